"""Random keys: no exception, no lost entry, no stuck focus.

``TICKET_FULL=1`` takes five thousand steps at each size, each of them more than ten thousand keys; ``TICKET_DICE=7``
throws other dice than the fixed ones.
"""

import os
import random
import string
from pathlib import Path

import pytest
from test_whole_job import desk
from textual.pilot import Pilot

from support.screens_desk import copy_demo
from ticket.screens.action_table import ACTIONS
from ticket.screens.app import TicketApp
from ticket.screens.jobs_screen import JobsScreen
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of

STEPS = 5_000 if os.environ.get("TICKET_FULL") else 250  # at each size
DICE = int(os.environ.get("TICKET_DICE", "0"))
LOOK = 100  # steps between two looks at everything
NEVER = {"leave", "suspend", "actions", "printer"}  # they end the run, offer to end it, wake the machine's printer
KEYS = sorted({key for action in ACTIONS if action.id not in NEVER for key in action.keys})
EDITING = ("enter", "escape", "backspace", "left", "right", "ctrl+right", "home", "end", "delete", "ctrl+u", "ctrl+w")
WORDS = (
    "found: ", "did: ", "used: 1 x ", "told: ", "cause: ", "says: ", "P1A30-7B", "12.4 V (min 11.5)", "; for 3",
    "@ 9.80", "[/x]", "日本", "\u0301", "ש", "🔧", "?", "#",
)  # fmt: skip


def next_keys(dice: random.Random) -> list[str]:
    """One step of somebody who leans on the keyboard: a key of an action, of editing, or a word with Enter."""
    throw = dice.random()
    if throw < 0.35:
        return [dice.choice(KEYS)]
    if throw < 0.65:
        return [dice.choice(EDITING)]
    if throw < 0.85:
        return [dice.choice(string.ascii_letters + string.digits)]
    return [*dice.choice(WORDS), *(["enter"] if dice.random() < 0.5 else [])]


def standing(shop: Shop) -> dict[int, int]:
    """Entries of each ticket, struck ones included."""
    return {row.number: len(ticket_of(shop, row.number).entries) for row in shop.store.rows()}


async def home(app: TicketApp, pilot: Pilot[int]) -> None:
    """Escape leads back to the jobs from wherever the keys have led, and the line there takes what is typed."""
    for _ in range(30):
        if isinstance(app.screen, JobsScreen) and len(app.screen_stack) <= 2:
            break
        await pilot.press("escape")
        await pilot.pause()
    assert isinstance(app.screen, JobsScreen), f"stuck on {app.screen}"
    await pilot.press("escape", "x")
    await pilot.pause()
    assert app.focused is not None
    assert getattr(app.focused, "value", "").endswith("x"), app.focused
    await pilot.press("backspace")


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20)])
async def test_random_keys_break_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)  # a story may be written out
    database = tmp_path / "shop.db"
    copy_demo(database)
    dice = random.Random(size[0] + 1000 * DICE)
    async with desk(database, size) as (app, pilot):
        before = standing(app.shop)
        done = pressed = 0
        while done < STEPS:
            keys = next_keys(dice)
            await pilot.press(*keys)
            assert app.is_running, f"ended after {done} steps: {app.return_code}, {app._exception!r}"
            done += 1
            pressed += len(keys)
            if done % LOOK == 0:
                now = standing(app.shop)
                assert all(now[number] >= count for number, count in before.items()), "an entry is gone"
                before = now
                await home(app, pilot)
                app.open_ticket(dice.choice(sorted(now)))
                await pilot.pause()
        assert app.shop.store.audit(deep=True).ok
    assert pressed >= done
