"""Every action of the registry can be done on the screens it names: no key and no line of the list leads nowhere."""

import pytest

from ticket.screens.action_table import ACTIONS
from ticket.screens.actions import actions_of
from ticket.screens.app import TicketApp
from ticket.screens.conflict_screen import ConflictScreen
from ticket.screens.followups_screen import FollowForm, FollowupsScreen
from ticket.screens.frame import Frame
from ticket.screens.help_screen import help_rows
from ticket.screens.jobs_new import NewScreen
from ticket.screens.jobs_screen import JobsScreen
from ticket.screens.past_found import FoundScreen
from ticket.screens.past_screen import PastScreen
from ticket.screens.start_screen import StartScreen
from ticket.screens.ticket_screen import TicketScreen

SCREENS = (
    JobsScreen, NewScreen, TicketScreen, PastScreen, FoundScreen, FollowupsScreen, FollowForm, ConflictScreen,
    StartScreen,
)  # fmt: skip


@pytest.mark.parametrize("screen", SCREENS)
def test_every_action_of_a_screen_is_there_and_in_its_help(screen: type[Frame]) -> None:
    told = " ".join(row.text for row in help_rows(screen.subject, 116))
    for action in actions_of(screen.subject):
        if action.id == "actions":
            continue
        assert hasattr(screen, f"action_{action.id}") or hasattr(TicketApp, f"action_{action.id}"), action.id
        assert action.help.split(";")[0] in told


def test_names_are_given_once_and_no_screen_has_one_key_for_two_things() -> None:
    assert len({action.id for action in ACTIONS}) == len(ACTIONS)
    for screen in {name for action in ACTIONS for name in action.screens} - {"all"}:
        keys = [key for action in actions_of(screen) for key in action.keys]
        assert len(keys) == len(set(keys)), screen
