"""Every screen as text at two sizes, in colour and without: what is kept in ``pictures`` is what a person sees.

``PICTURES=write`` with ``-m ''`` keeps what the screens show now; read the difference before you commit it. The text
without colour must be the same, so that nothing is told by colour alone.
"""

import os
import re
import time
from collections.abc import Callable
from dataclasses import dataclass
from difflib import unified_diff
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual._compositor import Compositor
from textual.filter import NoColor
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widget import Widget

from support.clock import BEGIN, Clock
from support.screen import screen_lines, screen_text
from support.screens_desk import copy_demo, flat
from ticket.assist.merging import Clash
from ticket.machine.environment import NOW
from ticket.screens.app import TicketApp
from ticket.screens.jobs_screen import JobsScreen
from ticket.screens.look import look
from ticket.screens.prompt import Prompt
from ticket.screens.routes import ROUTES, name_of, route_to
from ticket.screens.start_screen import StartScreen
from ticket.shop.opening import Shop

PICTURES = Path(__file__).with_name("pictures")
WRITE = os.environ.get("PICTURES") == "write"
TODAY = "2026-11-27T15:00:00+00:00"
SIZES = [(80, 24), (120, 40)]
BAR = dict.fromkeys(map(ord, "▁▂▃▄▅▆▇█"), " ")  # the scroll bar shows eighths of a row: kept without
SEAL = re.compile(r"(seal [0-9]+-)[0-9a-f]{16}")  # made of salts, so another one in every shop
LIMIT = 20.0  # seconds until a screen is whole, on a busy machine
STILL = 3  # looks in a row that must show the same


@dataclass(frozen=True)
class Picture:
    """A screen: how it is reached from the jobs, and words that stand on it when it is whole.

    Attributes:
        ticket: opened first; 0 for none.
        keys: names of keys; ``>words`` types them, ``~words`` waits for them, ``!name`` opens what no key opens.
        by_start: it is drawn by Textual's own widgets alone, so the start decides on its colours, not a later look.
        shop: ``demo``, ``empty`` (a shop without tickets) or ``none`` (no database at all).
    """

    name: str
    ticket: int
    keys: tuple[str, ...]
    sees: str
    shop: str = "demo"
    by_start: bool = False


ALL = (
    Picture("first-run", 0, (), "There is no shop here yet", "none"),
    Picture("empty-shop", 0, (), "There is no ticket in this shop yet", "empty"),
    Picture("jobs", 0, ("~agreed",), "6 to ask"),
    Picture("jobs-narrowed", 0, (">coach", "~agreed"), "1 open"),
    Picture("jobs-signed", 0, ("alt+u", "~agreed"), "23 tickets"),
    Picture("jobs-by-age", 0, ("~6 to ask", "alt+s", "~agreed"), "↑"),
    Picture("new-ticket", 0, ("ctrl+n", "~New ticket", ">SMC 022"), "It was here once"),
    Picture("new-ticket-refused", 0, ("ctrl+n", *["down"] * 6, ">112,480"), "a distance, not"),
    Picture("ticket", 1020, (), "SMC 022"),
    Picture("ticket-gaps", 1023, ("ctrl+g",), "JXP 3905"),
    Picture("ticket-typing", 1023, (">found: battery rest voltage 11.9 V (min 12.4)",), "11.9 V"),
    Picture("ticket-signed", 1019, (">found: belt dry",), "1019"),
    Picture("amendment", 1019, ("alt+a",), "amendment"),
    Picture("header", 1020, ("ctrl+l",), "odometer out"),
    Picture("entry", 1020, ("up", "up", "up", "alt+e"), "kept as you type"),
    Picture("balance", 1020, ("f11",), "Where did the fluid go"),
    Picture("sign", 1020, ("f12",), "Sign ticket 1020"),
    Picture("sign-in-spite", 1023, ("f12", "f12"), "Sign ticket 1023"),
    Picture("story", 1020, ("ctrl+t", "down", "down"), "story for the"),
    Picture("story-payer", 1020, ("ctrl+t", "alt+r"), "story for the"),
    Picture("story-reword", 1020, ("ctrl+t", "down", "down", "down", "down", "enter"), "Enter keeps them"),
    Picture("story-write", 1020, ("ctrl+t", "alt+w"), "Write out ticket 1020"),
    Picture("phone", 1022, ("alt+c",), "read aloud"),
    Picture("phone-answered", 1022, ("alt+c", "y", "down", "n"), "no 10"),
    Picture("past", 0, ("ctrl+f", ">P0562"), "4 jobs"),
    Picture("past-counts", 0, ("ctrl+f", ">P0562", "~4 jobs", "tab"), "Of these 4 jobs"),
    Picture("past-found", 1023, ("ctrl+f", "~jobs", "enter"), "Read only"),
    Picture("follow-ups", 0, ("alt+d",), "days late"),
    Picture("follow-up-call", 0, ("alt+d", "~days late", "alt+c"), "records it"),
    Picture("settings", 0, ("alt+o",), "name on papers"),
    Picture("rules", 0, ("alt+o", "~name on papers", "alt+v"), "Local rules side"),
    Picture("actions", 1020, ("ctrl+p", ">concern"), "All actions"),
    Picture("help", 1020, ("f1",), "Esc back"),
    Picture("help-jobs", 0, ("f1",), "from beginning to end"),
    Picture(
        "keep",
        1020,
        ("ctrl+t", "~In short", "ctrl+g", "enter", "backspace", ">, as we found.", "alt+q", "alt+q"),
        "phrasebook",
    ),
    Picture("new-day", 0, ("alt+d", "~days late", "alt+n"), "come back on"),
    Picture("remind", 0, ("alt+d", "~days late", "alt+w"), "language"),
    Picture("conflict", 1020, ("!conflict",), "Keep theirs"),
    Picture("lock", 0, ("!lock",), "Locked", by_start=True),
)


def _conflict(app: TicketApp) -> Screen[Any]:
    clash = Clash("what", "reservoir level", "reservoir level -14 mm", "reservoir level -13 mm")
    screen: Screen[Any] = route_to("conflict", "Entry 3 was changed at another terminal.", (clash,), app.bell, app.bell)
    return screen


OPENED: dict[str, Callable[[TicketApp], Screen[Any]]] = {
    "conflict": _conflict,
    "lock": lambda app: route_to("lock", app.shop, app.presence),
}
"""The pages that open by themselves."""


async def until_still(app: TicketApp, pilot: Pilot[int], words: str) -> None:
    """Wait until the words stand there and nothing moves any more."""
    end = time.monotonic() + LIMIT
    shown, same = "", 0
    while same < STILL:
        await pilot.pause(0.02)
        now = screen_text(app)
        same = same + 1 if now == shown and words in flat(now) else 0
        shown = now
        assert time.monotonic() < end, f"waited for {words!r}; the screen shows:\n{shown}"


async def reach(app: TicketApp, pilot: Pilot[int], picture: Picture) -> None:
    """From the jobs to the screen of a picture, until it is whole."""
    if picture.ticket:
        app.open_ticket(picture.ticket)
        await pilot.pause()
    for key in picture.keys:
        if key.startswith("~"):
            await until_still(app, pilot, key[1:])
        elif key.startswith(">"):
            for letter in key[1:]:
                app.post_message(events.Key(letter, letter))
            await pilot.pause()
        elif key.startswith("!"):
            app.push_screen(OPENED[key[1:]](app))
            await pilot.pause()
        else:
            await pilot.press(key)
    await until_still(app, pilot, picture.sees)


def has_colours(app: TicketApp) -> bool:
    """Whether any cell is drawn in a colour, a grey included; else the terminal's own ink and ground are left alone."""
    styles = (segment.style for strip in app.screen._compositor.render_strips() for segment in strip if segment.style)
    colours = (colour for style in styles for colour in (style.color, style.bgcolor) if colour)
    return any(not colour.is_default for colour in colours)


def both_ways(app: TicketApp) -> dict[str, str]:
    """The screen with colours and without."""
    shown = {}
    for way in ("colour", "no colour"):
        app._filters[:] = [one for one in app._filters if not isinstance(one, NoColor)]
        app.inks = look("none" if way == "no colour" else "dark")
        if way == "no colour":
            app._filters.append(NoColor())  # as Textual does where NO_COLOR is set and the app keeps to ansi colours
        for widget in app.screen.walk_children(Widget, with_self=True):
            widget._styles_cache.clear()
        lines = screen_lines(app)
        assert (way == "colour") is has_colours(app)
        text = "\n".join(line.translate(BAR).rstrip() for line in lines) + "\n"
        shown[way] = SEAL.sub(r"\g<1>" + "0" * 16, text)
    app.inks = look("none" if app.no_color else "dark")
    if not app.no_color:
        app._filters.pop()
    return shown


def as_started(app: TicketApp) -> dict[str, str]:
    """The screen as the app was started, with colours or without."""
    assert app.no_color is not has_colours(app)
    return {"colour": screen_text(app)}


async def take(app: TicketApp, pilot: Pilot[int], picture: Picture, seen: set[str]) -> dict[str, str]:
    """The text of a screen with colours and without, reached from the jobs and left again."""
    await reach(app, pilot, picture)
    seen.add(name_of(app.screen))
    shown = as_started(app) if picture.by_start else both_ways(app)
    while not isinstance(app.screen, JobsScreen | StartScreen):
        app.pop_screen()
        await pilot.pause()
    if isinstance(app.screen, JobsScreen):
        app.screen.query_one(Prompt).value = ""
        if app.screen.every:
            app.screen.action_all()
    await pilot.pause()
    return shown


@pytest.fixture
def drawn_when_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    """Between two looks nothing is drawn for a terminal that is not there; a look draws the whole screen."""

    def leave_undrawn(compositor: Compositor, **_: object) -> None:
        compositor._dirty_regions.clear()

    monkeypatch.setattr(Compositor, "render_update", leave_undrawn)


# Each size is driven once, the small one by a shop with colours and the large one by a shop that wants none; what the
# screens look like the other way is looked at beside it.
@pytest.mark.usefixtures("drawn_when_looked_at")
@pytest.mark.parametrize(
    ("size", "plain"),
    [pytest.param(SIZES[0], False, id="80x24"), pytest.param(SIZES[1], True, id="120x40", marks=pytest.mark.slow)],
)
@pytest.mark.parametrize("kind", [pytest.param("demo", marks=pytest.mark.slow), "empty", "none"])
async def test_screens_look_as_kept(
    kind: str, size: tuple[int, int], plain: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(NOW, TODAY)
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.setenv("TICKET_PERSON", "Nell Ivarsen")
    monkeypatch.chdir(tmp_path)
    if plain:
        monkeypatch.setenv("NO_COLOR", "1")
    database = Path("shop.db")  # in the folder of this test: the first screen tells the path
    if kind == "demo":
        copy_demo(database, "Nell Ivarsen", BEGIN)
    elif kind == "empty":
        Shop.open(database, "Nell Ivarsen", now=Clock()).close()
    app = TicketApp(database, lambda: Shop.open(database, "Nell Ivarsen"))
    assert app.no_color is plain
    other, seen = [], set[str]()
    async with app.run_test(size=size) as pilot:
        await pilot.pause(0.3)
        for picture in (picture for picture in ALL if picture.shop == kind):
            shown = await take(app, pilot, picture, seen)
            kept = PICTURES / f"{picture.name}-{size[0]}x{size[1]}.txt"
            if WRITE:
                PICTURES.mkdir(exist_ok=True)
                kept.write_text(shown["colour"], encoding="utf-8")
            before = kept.read_text(encoding="utf-8")
            for way, text in shown.items():
                if text != before:
                    lines = unified_diff(before.split("\n"), text.split("\n"), kept.name, way, "", "", 1)
                    other.append("\n".join(lines))
        app.close_shop()
    assert not other, "\n".join(other)
    assert kind != "demo" or set(ROUTES) - seen == {"start"}, "every page has a picture"
