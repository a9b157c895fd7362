"""The screens on a shop full of the demo jobs, at a fixed day, for tests."""

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from textual.pilot import Pilot
from textual.screen import Screen

from support.clock import Clock
from support.made_shops import copy_shop
from ticket.scratch_shop import fill
from ticket.screens.app import TicketApp
from ticket.screens.page import Page
from ticket.shop.opening import Shop

DAY = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)  # a Wednesday, the day behind the newest demo job

_TAKES = timedelta(hours=1)  # filling it, so that whoever opens it on its day finds no clock behind


def copy_demo(path: Path, person: str = "K. Orlo", day: datetime = DAY) -> None:
    """The file of a shop of the demo jobs, filled by somebody on a day."""
    copy_shop(path, fill, person, day - _TAKES)


def demo_shop(path: Path) -> Shop:
    """A shop of the demo jobs."""
    copy_demo(path)
    return Shop.open(path, "K. Orlo", now=Clock(DAY))


@asynccontextmanager
async def demo_desk(path: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[tuple[TicketApp, Pilot[int]]]:
    """The screens on such a shop; ``TICKET_NOW`` names the day of the list."""
    app = TicketApp(path, partial(Shop.open, path, "K. Orlo", now=Clock(DAY)))
    async with app.run_test(size=size) as pilot:
        await pilot.pause(0.3)
        yield app, pilot
        app.close_shop()


def page_text(app: TicketApp, which: str = "#page") -> str:
    """What a page shows, row by row."""
    return "\n".join(row.text for row in app.screen.query_one(which, Page).rows)


def flat(text: str) -> str:
    """Words with single spaces."""
    return " ".join(text.split())


async def until(pilot: Pilot[int], there: Callable[[], bool], tries: int = 1200) -> None:
    """Wait until a question asked behind the screen is answered; the minute guards against hanging only."""
    for _ in range(tries):
        if there():
            return
        await pilot.pause(0.05)
    raise AssertionError("it did not come")


Kind = TypeVar("Kind", bound=Screen[Any])


def screen_of(app: TicketApp, kind: type[Kind]) -> Kind:
    """The screen on top, which must be of that kind."""
    screen: Screen[Any] = app.screen
    assert isinstance(screen, kind), f"{screen} is no {kind.__name__}"
    return screen
