"""The whole job by keyboard through Textual's pilot: new ticket, lines, story, undo, signing."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path

import pytest
from textual.pilot import Pilot

from support.clock import Clock
from support.screens_desk import flat, page_text, screen_of, until
from ticket.screens.app import TicketApp
from ticket.screens.help_screen import HelpScreen
from ticket.screens.jobs_screen import JobsScreen
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.sign_screen import SignScreen
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import add_lines
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of

LINES = """
says: horn is silent since the car wash
found: horn fuse good; voltage at horn plug 12.4 V (min 11.5)
found: horn ground strap resistance 48 ohm (max 0.5)
cause: corroded horn ground strap; from 3
offer: replace horn ground strap; for 3; do now; est 38.00
told: Ada Fenn by phone 555-0134, yes 5; total 38.00
did: 0.4 h replace horn ground strap; for 5; rate electrical
used: 1 x GS-0412 ground strap, new @ 9.80
proof: 3 now 0.1 ohm
proof: horn sounds, ten tries
""".strip().split("\n")


@asynccontextmanager
async def desk(
    database: Path, size: tuple[int, int] = (80, 24), person: str = "K. Orlo"
) -> AsyncIterator[tuple[TicketApp, Pilot[int]]]:
    app = TicketApp(database, partial(Shop.open, database, person, now=Clock()))
    async with app.run_test(size=size) as pilot:
        await pilot.pause(0.3)
        yield app, pilot
        app.close_shop()


async def type_line(app: TicketApp, pilot: Pilot[int], line: str) -> None:
    prompt = app.screen.query_one(Prompt)
    prompt.value = line
    prompt.cursor_position = len(line)
    await pilot.pause()
    await pilot.press("enter")
    await pilot.pause()


async def test_from_new_ticket_to_signed(database: Path) -> None:
    async with desk(database) as (app, pilot):
        screen_of(app, JobsScreen)
        await pilot.press("ctrl+n", "ctrl+s")
        await pilot.pause()
        screen_of(app, TicketScreen)
        for line in LINES:
            await type_line(app, pilot, line)
        shown = flat(page_text(app))
        assert "48 ohm max 0.5 high by" in shown

        await pilot.press("f12")
        await pilot.pause()
        assert isinstance(app.screen, TicketScreen), "a blocking gap stands in the way of signing"
        assert "? before signing: Which vehicle is it?" in flat(page_text(app)), "the questions are open"
        await pilot.press("escape")

        await pilot.press("ctrl+l")
        await pilot.pause()
        app.screen.query_one("#field-vehicle").value = "Corvane Alder"  # type: ignore[attr-defined]
        app.screen.query_one("#field-odometer").value = "100214"  # type: ignore[attr-defined]
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert isinstance(app.screen, TicketScreen)

        await pilot.press("ctrl+t")
        await pilot.pause()
        told = flat(page_text(app))
        assert "48 ohms" in told or "48 Ω" in told or "48 ohm" in told
        await pilot.press("escape")
        await pilot.pause()

        await pilot.press("f12")
        await pilot.pause()
        assert isinstance(app.screen, SignScreen)
        await pilot.press("f12")
        await pilot.pause()
        assert isinstance(app.screen, TicketScreen)
        assert ticket_of(app.shop, 1).status == "signed"
        assert ticket_of(app.shop, 1).header.odometer_in is not None


async def test_undo_redo_retype_and_strike(database: Path) -> None:
    async with desk(database) as (app, pilot):
        await pilot.press("ctrl+n", "ctrl+s")
        await pilot.pause()
        await type_line(app, pilot, "found: LF pad 1.9 mm (min 3.0)")
        await type_line(app, pilot, "found: RF pad 4.9 mm (min 3.0)")
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert "RF pad" not in page_text(app)
        assert "1 struck, folded" in page_text(app)
        await pilot.press("ctrl+y")
        await pilot.pause()
        assert "struck" not in page_text(app)

        await pilot.press("up", "up", "f2")
        await pilot.pause()
        prompt = app.screen.query_one(Prompt)
        chosen = app.screen.query_one("#page", Page).key
        assert isinstance(chosen, int)
        await type_line(app, pilot, prompt.value.replace("pad", "outer pad"))
        assert "pad left front outer" in page_text(app)
        assert len(ticket_of(app.shop, 1).entries) == 2

        await pilot.press("f6")
        await pilot.pause()
        assert sum(entry.struck for entry in ticket_of(app.shop, 1).entries) == 1


async def test_the_line_is_understood_while_it_is_typed(database: Path) -> None:
    async with desk(database) as (app, pilot):
        await pilot.press("ctrl+n", "ctrl+s")
        await pilot.pause()
        prompt = app.screen.query_one(Prompt)
        prompt.value = "coolant level -14 mm (-10 to 0 per maker)"
        await pilot.pause()
        understood = page_text(app, "#understood")
        assert "▼ -14 mm low by 4" in understood
        prompt.value = "code: P0562-16 engine computer, stored"
        await pilot.pause()
        assert "voltage" in page_text(app, "#understood")


async def test_a_pasted_block_becomes_several_entries(database: Path) -> None:
    from textual import events

    async with desk(database) as (app, pilot):
        await pilot.press("ctrl+n", "ctrl+s")
        await pilot.pause()
        app.screen.query_one(Prompt).post_message(events.Paste("says: no heat\r\nfound: hoses cold\n\n# ask for key\n"))
        await pilot.pause()
        assert [entry.kind for entry in ticket_of(app.shop, 1).entries] == ["says", "found", "note"]


EVIL = [
    "[/",
    "[/x]",
    "[type=x, v={'a[0]'}]",
    "[red]50%[/red] [done]",
    "\x1b[31mred\x1b[0m",
    "a\u202eb",
    "漢字 ½ ⚠️",
    "x" * 500,
]


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 12)], ids=str)
async def test_hostile_text_prints_literally_everywhere(database: Path, size: tuple[int, int]) -> None:
    async with desk(database, size) as (app, pilot):
        await pilot.press("ctrl+n", "ctrl+s")
        await pilot.pause()
        for text in EVIL:
            await type_line(app, pilot, f"found: {text}")
        await pilot.press("ctrl+t")
        await pilot.pause()
        await pilot.press("escape", "f1")
        await pilot.pause()
        assert isinstance(app.screen, HelpScreen)
        await pilot.press("escape")
        await pilot.pause()
        shown = page_text(app)
        assert "[/x]" in shown
        assert "red red done" in shown, "brackets around words that name a reading are told below the line"
        assert "\x1b" not in shown
        assert len(ticket_of(app.shop, 1).entries) == len(EVIL)


async def test_another_terminal_shows_without_moving_what_is_typed(database: Path, shop: Shop) -> None:
    async with desk(database) as (app, pilot):
        await pilot.press("ctrl+n", "ctrl+s")
        await pilot.pause()
        app.screen.query_one(Prompt).value = "found: half a li"
        add_lines(shop, 1, "says: typed at the other terminal")
        app.look()
        await pilot.pause()
        assert "typed at the other terminal" in page_text(app)
        assert app.screen.query_one(Prompt).value == "found: half a li"


@pytest.mark.slow
async def test_it_survives_any_size(database: Path) -> None:
    async with desk(database) as (app, pilot):
        await pilot.press("ctrl+n", "ctrl+s")
        await pilot.pause()
        for line in LINES:
            await type_line(app, pilot, line)
        for size in ((120, 40), (60, 18), (20, 5), (1, 1), (80, 24)):
            await pilot.resize_terminal(*size)
            await pilot.pause()
        await until(pilot, lambda: "48 ohm max 0.5" in flat(page_text(app)))


async def test_the_small_form_writes_the_line_of_a_balance(database: Path) -> None:
    from textual.widgets import Input

    async with desk(database) as (app, pilot):
        await pilot.press("ctrl+n", "ctrl+s")
        await pilot.pause()
        await pilot.press("f11")
        await pilot.pause()
        values = {"name1": "fan drive", "amount1": "1.02 L", "expected1": "1.40", "heat1": "60 degC"}
        values |= {
            "name2": "engine",
            "amount2": "drained 1.58 L",
            "expected2": "1.20",
            "heat2": "60 degC",
            "outside": "dry",
        }
        for name, text in values.items():
            app.screen.query_one(f"#field-{name}", Input).value = text
        await pilot.pause()
        await pilot.press("ctrl+s")
        await pilot.pause()
        line = app.screen.query_one(Prompt).value
        assert line.startswith("found: balance: fan drive drained 1.02 L of 1.40 at 60 degC; engine drained 1.58 L")
        assert "passing from fan drive to engine" in flat(page_text(app, "#understood"))
        await pilot.press("enter")
        await pilot.pause()
        assert "passing from fan drive to engine" in flat(page_text(app))
