"""The screens by name: whoever opens another screen names it here, and it is imported when it is first opened."""

from importlib import import_module
from typing import Any

ROUTES = {
    "actions": ("actions_screen", "ActionsScreen"),
    "amend": ("amend_screen", "AmendScreen"),
    "balance": ("balance_screen", "BalanceScreen"),
    "conflict": ("conflict_screen", "ConflictScreen"),
    "entry": ("entry_screen", "EntryScreen"),
    "followups": ("followups_screen", "FollowupsScreen"),
    "found": ("past_found", "FoundScreen"),
    "header": ("header_screen", "HeaderScreen"),
    "jobs": ("jobs_screen", "JobsScreen"),
    "keep": ("story_keep", "KeepScreen"),
    "lock": ("lock_screen", "LockScreen"),
    "new": ("jobs_new", "NewScreen"),
    "past": ("past_screen", "PastScreen"),
    "phone": ("phone_screen", "PhoneScreen"),
    "remind": ("remind_form", "RemindForm"),
    "settings": ("settings_screen", "SettingsScreen"),
    "sign": ("sign_screen", "SignScreen"),
    "start": ("start_screen", "StartScreen"),
    "story": ("story_screen", "StoryScreen"),
    "ticket": ("ticket_screen", "TicketScreen"),
    "write": ("story_write", "WriteScreen"),
}
"""Name of a screen: the module of this folder it stands in, and its class."""


def route_to(name: str, *about: Any) -> Any:
    """The screen of that name, made of what it is about; whoever asks pushes it."""
    module, made = ROUTES[name]
    return getattr(import_module(f"ticket.screens.{module}"), made)(*about)


def name_of(screen: object) -> str:
    """The name by which a screen is opened; empty for one that only another screen opens."""
    made = type(screen).__name__
    return next((name for name, (_, known) in ROUTES.items() if known == made), "")
