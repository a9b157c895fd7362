"""The whole demo job by keyboard, from a new ticket to the printed copy and the signature: once through Textual's
pilot, once through tmux against the program as it is installed."""

import asyncio
import sys
import time
from pathlib import Path

import pytest
from job_by_keys import WHOLE
from test_whole_job import desk
from textual import events
from textual.pilot import Pilot

from support.clock import BEGIN, Clock
from support.screen import Tmux, screen_text
from support.screens_desk import copy_demo, flat
from ticket.gaps.find import blocking
from ticket.screens.app import TicketApp
from ticket.shop.opening import Shop
from ticket.shop.reading import open_gaps, ticket_of

KINDS = "says code found found found ruled cause offer told did used used used proof proof proof later note".split()
LIMIT = 20.0  # seconds until the words must stand on the screen, on a busy machine


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """The demo shop's file."""
    copy_demo(tmp_path / "demo.db", day=BEGIN)  # as early as the clock of these screens
    return tmp_path / "demo.db"


async def until(app: TicketApp, pilot: Pilot[int], words: str) -> None:
    end = time.monotonic() + LIMIT
    while words not in flat(screen_text(app)):
        assert time.monotonic() < end, f"waited for {words!r}; the screen shows:\n{screen_text(app)}"
        assert app.is_running, app._exception
        await pilot.pause(0.02)


def check(database: Path, folder: Path) -> None:
    """What the keys have made: a signed ticket of one person's typing, and its copy as a file."""
    with Shop.open(database, "after", now=Clock()) as shop:
        ticket = ticket_of(shop, 1024)
        assert [entry.kind for entry in ticket.entries] == KINDS
        assert ticket.status == "signed"
        assert not blocking(open_gaps(shop, 1024))
        assert shop.store.audit(deep=True).ok
        assert {entry.person for entry in ticket.entries} == {"Nell Ivarsen"}
    assert (folder / "ticket-1024-customer.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_under_the_pilot(
    demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    monkeypatch.chdir(tmp_path)
    async with desk(demo, size, person="Nell Ivarsen") as (app, pilot):
        for what, *rest in WHOLE:
            if what == "see":
                await until(app, pilot, rest[0])
                continue
            if what == "press":
                await asyncio.wait_for(pilot.press(*rest), LIMIT)
                continue
            for letter in rest[0]:  # typed ahead, as fast as a terminal sends it
                app.post_message(events.Key(letter, letter))
            if what == "line":
                app.post_message(events.Key("enter", None))
            await pilot.pause()
    check(demo, tmp_path)


@pytest.mark.slow
@pytest.mark.skipif(not Tmux.there(), reason="this machine has no tmux")
def test_in_tmux(demo: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "ticket", "--db", str(demo), "--by", "Nell Ivarsen"]
    terminal = Tmux(command, tmp_path)
    try:
        for what, *rest in WHOLE:
            if what == "see":
                terminal.until(rest[0], LIMIT)
            elif what == "press":
                terminal.press(*rest)
            else:
                terminal.type(rest[0])
                if what == "line":
                    terminal.press("enter")
    finally:
        terminal.close()
    check(demo, tmp_path)
