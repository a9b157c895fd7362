"""The list of jobs and the form for a new ticket, on the demo shop."""

import asyncio
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.widgets import Input

from support.screens_desk import demo_desk, flat, page_text, screen_of, until
from ticket.assist.promise import promised_day
from ticket.job.text import one_line
from ticket.screens.jobs_new import NewScreen
from ticket.screens.jobs_rows import DueLine, Surroundings, head_rows, job_row, promised_today, state_words
from ticket.screens.jobs_screen import JobsScreen
from ticket.screens.long_page import LongPage
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.reading import ticket_of
from ticket.store.ticket_list import TicketRow

TODAY = date(2026, 11, 25)


def job(number: int = 7, **known: Any) -> TicketRow:
    at = datetime.fromisoformat("2026-11-22T09:00:00+00:00")
    row = TicketRow(number, "open", "2019 Corvane Alder", "GRN 04", "Ada Fenn", at, None, "48,210 mi", 3, at)
    return row._replace(**known)


# Common practice, no source: what people at a desk mean by such words. 2026-11-22 is a Sunday.
@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("Friday noon", date(2026, 11, 27)),
        ("Sunday 4 pm", date(2026, 11, 22)),
        ("wed. 4 pm", date(2026, 11, 25)),
        ("tomorrow at ten", date(2026, 11, 23)),
        ("today", date(2026, 11, 22)),
        ("16:00", date(2026, 11, 22)),
        ("2026-12-01", date(2026, 12, 1)),
        ("December 3", date(2026, 12, 3)),
        ("3 Jan", date(2027, 1, 3)),
        ("2026-13-45", None),
        ("when the condenser is here", None),
        ("", None),
    ],
)
def test_a_promise_names_its_day(text: str, day: date | None) -> None:
    assert promised_day(text, date(2026, 11, 22)) == day


@given(st.text(max_size=40))
def test_any_promise_is_read(text: str) -> None:
    promised_day(text, TODAY)


@given(st.text(), st.text(), st.text(), st.sampled_from((20, 78, 118)))
def test_a_line_of_the_list_fits_and_shows_text_literally(vehicle: str, name: str, promise: str, width: int) -> None:
    row = job_row(job(vehicle=vehicle, customer=name, ready_by=promise), Surroundings(TODAY), width)
    assert cell_len(row.text) <= max(width, 20)
    assert row.text == one_line(row.text)


def test_a_line_says_what_it_waits_for_what_is_to_ask_and_how_old_it_is() -> None:
    promised = job(ready_by="Wednesday 4 pm")
    due = (DueLine(3, 9, "replace shaft seal", "Dunmarrow 28", "Ada Fenn"),)
    about = Surroundings(TODAY, {7: 4}, due, (promised,))
    assert promised_today(promised, TODAY)
    assert not promised_today(job(ready_by="Friday"), TODAY)
    words = state_words(job(status="waiting for approval", ready_by="Wednesday 4 pm"), about)
    assert words == "waits for approval, 4 to ask, 3 days, promised today"
    for width in (78, 118):
        row = job_row(job(status="waiting for approval"), about, width)
        assert "waits for approval, 4 to ask, 3 days" in row.text
        assert "2019 Corvane Alder" in row.text
        head = [row.text for row in head_rows(about, width)]
        assert head[0] == "Due: replace shaft seal [3/9] Dunmarrow 28 · Ada Fenn"
        assert head[1] == "Promised today: 7 2019 Corvane Alder, Wednesday 4 pm"
    assert head_rows(Surroundings(TODAY), 78) == []


async def test_counts_come_in_behind_without_moving_the_pointer(demo: Path) -> None:
    async with demo_desk(demo) as (app, pilot):
        page = app.screen.query_one("#page", LongPage)
        await pilot.press("down", "down")
        chosen = page.key
        await until(pilot, lambda: "to ask" in page_text(app))
        assert page.key == chosen
        shown = page_text(app)
        assert "Promised today: 1023 Corvane Sorrel 1.5 petrol, Wednesday 4 pm" in flat(shown)
        assert "waits for parts" in shown
        assert "Due: " in shown


async def test_a_job_is_found_by_plate_name_code_and_number(demo: Path) -> None:
    async with demo_desk(demo) as (app, pilot):
        page = app.screen.query_one("#page", LongPage)
        for typed, number in (("JXP 3905", 1023), ("p0532", 1021), ("1A30-7b", 1020), ("fjb", 1022)):
            app.screen.query_one(Prompt).value = typed
            await pilot.pause()
            assert page.keys == [number], typed
        app.screen.query_one(Prompt).value = "[/x] nobody"
        await pilot.pause()
        assert "No open job fits" in page_text(app)
        app.screen.query_one(Prompt).value = "1003"
        await pilot.press("enter")
        await pilot.pause()
        screen_of(app, TicketScreen)
        assert screen_of(app, TicketScreen).number == 1003


async def test_a_known_plate_brings_history_odometer_and_waiting_work_along(demo: Path) -> None:
    async with demo_desk(demo) as (app, pilot):
        await pilot.press("ctrl+n")
        await pilot.pause()
        screen_of(app, NewScreen)
        await pilot.press(*"smc022")
        await until(pilot, lambda: "It was here" in page_text(app, "#known"))
        shown = flat(page_text(app, "#known"))
        assert "Ticket 1020 of this vehicle is not signed yet" in shown
        assert "Waits from earlier: " in shown
        assert "P1A30-7B" in shown
        assert "the odometer read" in shown
        assert app.screen.query_one("#field-vehicle", Input).value == "Dunmarrow 28 coach, 7.0 diesel"
        await pilot.press("x")
        await until(pilot, lambda: not page_text(app, "#known"))
        assert app.screen.query_one("#field-vehicle", Input).value == "", "what no longer holds is taken out again"
        await pilot.press("backspace", "enter")
        await pilot.pause()
        screen_of(app, NewScreen)  # Enter behind a scan goes on to the first thing that is not known
        await pilot.press(*"161200", "f2")
        await pilot.pause()
        screen_of(app, TicketScreen)
        header = ticket_of(app.shop, screen_of(app, TicketScreen).number).header
        assert (header.vehicle.label, header.vehicle.plate) == ("Dunmarrow 28 coach, 7.0 diesel", "smc022")
        assert str(header.odometer_in) == "161200 mi"
        assert header.customer.name


async def test_a_scanned_number_goes_into_its_own_field(demo: Path) -> None:
    async with demo_desk(demo) as (app, pilot):
        await pilot.press("ctrl+n")
        await pilot.pause()
        app.screen.query_one("#field-plate", Input).value = "IZ6XCA20D4NA001482"  # an I in front, as some labels carry
        await pilot.press("enter")
        await pilot.pause()
        assert app.screen.query_one("#field-vin", Input).value == "Z6XCA20D4NA001482"
        assert app.screen.query_one("#field-plate", Input).value == "LTH 7730"
        assert "P2453-64" in page_text(app, "#known")
        await pilot.pause(0.2)
        await pilot.press("f2")
        await pilot.pause()
        screen_of(app, TicketScreen)
        assert ticket_of(app.shop, screen_of(app, TicketScreen).number).header.vehicle.vin == "Z6XCA20D4NA001482"


async def test_a_number_scanned_on_the_list_starts_a_ticket(demo: Path) -> None:
    async with demo_desk(demo) as (app, pilot):
        app.screen.query_one(Prompt).value = "Z6XCA20D4NA001482"
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause(0.2)
        screen_of(app, NewScreen)
        assert app.screen.query_one("#field-vin", Input).value == "Z6XCA20D4NA001482"
        assert "P2453-64" in page_text(app, "#known")


async def test_an_empty_shop_says_what_to_do_next(database: Path) -> None:
    async with demo_desk(database) as (app, _):
        shown = flat(page_text(app))
        assert "Ctrl+N opens the first one" in shown
        assert "ticket demo" in shown


async def test_work_that_comes_back_to_a_screen_taken_down_is_no_fault(database: Path) -> None:
    async with demo_desk(database) as (app, pilot):
        screen = app.screen
        assert isinstance(screen, JobsScreen)
        comes_back = asyncio.Event()

        async def late() -> None:
            await comes_back.wait()
            screen.query_one("#gone")

        screen.work_behind(late(), "late")
        await pilot.pause()
        app._running = False  # as while the program is left
        comes_back.set()
        await asyncio.sleep(0.1)
        app._running = True


async def test_a_narrower_terminal_gets_no_bar_across_the_page(demo: Path) -> None:
    async with demo_desk(demo, size=(120, 40)) as (app, pilot):
        app.open_ticket(1023)
        await pilot.pause()
        await pilot.resize_terminal(40, 12)
        await pilot.pause()
        assert not any(page.show_horizontal_scrollbar for page in app.screen.query(Page))
