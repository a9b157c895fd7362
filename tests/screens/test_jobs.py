"""The list of jobs and the form for a new ticket, on the demo shop."""

import asyncio
from datetime import date, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.widgets import Input

from support.clock import Clock
from support.screens_desk import demo_desk, flat, page_text, screen_of, until
from ticket.grid.list_grid import column_at, head_rows
from ticket.job.promise import promised_day, promised_minute
from ticket.job.text import one_line
from ticket.machine.job_list import read_list
from ticket.screens.app import TicketApp
from ticket.screens.jobs_new import NewScreen
from ticket.screens.jobs_preview import preview_rows
from ticket.screens.jobs_rows import (
    LATE,
    LATER,
    SORTS,
    TODAY,
    DueCount,
    Surroundings,
    columns_for,
    due_row,
    in_order,
    job_row,
    parted,
    promise_of,
)  # fmt: skip
from ticket.screens.jobs_screen import JobsScreen
from ticket.screens.long_page import LongPage
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of
from ticket.store.ticket_list import TicketRow

NOW = datetime.fromisoformat("2026-11-25T10:00:00+00:00")


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
    promised_day(text, NOW.date())


# Common practice, no source: how a day is told in words. 12 am is midnight and 12 pm noon (NIST, Times of Day FAQ).
@pytest.mark.parametrize(
    ("text", "minute"),
    [("16:00", 960), ("Friday noon", 720), ("wed. 4 pm", 960), ("12 am", 0), ("12 pm", 720), ("9:30", 570),
     ("Friday", None), ("25:00", None), ("2026-12-01", None), ("9 o'clock", 540)],
)  # fmt: skip
def test_a_promise_names_its_time(text: str, minute: int | None) -> None:
    assert promised_minute(text) == minute


@given(st.text(), st.text(), st.text(), st.sampled_from((40, 60, 78, 80, 100, 120, 160, 200)))
def test_a_line_of_the_list_fits_and_shows_text_literally(vehicle: str, name: str, promise: str, width: int) -> None:
    row = job_row(job(vehicle=vehicle, customer=name, ready_by=promise), Surroundings(NOW), width)
    for spans in (row.spans, row.here):
        text = "".join(span.text for span in spans)
        assert cell_len(text) < max(width, 60), "the pointer's cell stands before it"
        assert text == one_line(text)


@pytest.mark.parametrize("width", [60, 80, 96, 120, 150, 200])
def test_columns_stand_beside_each_other_and_under_their_heads(width: int) -> None:
    columns = columns_for(width)
    assert all(left.end < right.start for left, right in pairwise(columns))
    assert columns[-1].end < width
    heads = head_rows(columns, "promised", width)[0].text
    for column in columns:
        assert column.head.strip() in heads[column.start : column.end + 1]
        assert column_at(columns, column.start) == column_at(columns, column.end) == column.name


# A Wednesday, 10:00 on the wall in UTC.
@pytest.mark.parametrize(
    ("promise", "words", "group"),
    [
        ("2026-11-24", "late 1 day", LATE), ("2026-11-01", "late 24 d", LATE), ("2026-11-25 9:20", "late 40 min", LATE),
        ("2026-11-25 6:00", "late 4 h", LATE), ("2026-11-25 16:00", "today 16:00", TODAY),
        ("2026-11-25", "today", TODAY), ("2026-12-01 10:00", "Tue 10:00", LATER), ("2026-12-24", "24 Dec", LATER),
        ("", "no promise", LATER),
        ("when the condenser is here", "when the condenser is here", LATER),
    ],
)  # fmt: skip
def test_a_promise_is_held_against_the_clock(promise: str, words: str, group: int) -> None:
    found = promise_of(job(ready_by=promise), NOW)
    assert (found.words, found.group) == (words, group)


def test_late_ones_stand_first_with_their_sign_and_groups_are_parted() -> None:
    jobs = [
        job(1), job(2, ready_by="2026-12-24"), job(3, ready_by="2026-11-25 16:00"), job(4, ready_by="2026-11-24"),
        job(5, ready_by="2026-11-20"), job(6, ready_by="2026-11-25 12:00"),
    ]  # fmt: skip
    shown = parted(in_order(jobs, "promised", NOW), groups=True)
    assert [one.number if one else None for one in shown] == [5, 4, None, 6, 3, None, 2, 1]
    assert "!" in job_row(jobs[3], Surroundings(NOW), 80).text[:2]
    for sort in SORTS[1:]:
        assert {one.job.number for one in in_order(jobs, sort, NOW)} == {1, 2, 3, 4, 5, 6}


def test_a_line_says_what_it_waits_for_what_is_to_ask_and_how_old_it_is() -> None:
    about = Surroundings(NOW, {7: 4}, DueCount(6, 1), "Halm Lane Garage", "Mo")
    row = job_row(job(status="waiting for approval", codes="P0562-16 P1A30-7B"), about, 120)
    assert " ".join(row.text.split()) == ("7 GRN 04 2019 Corvane Alder Ada Fenn P1A30-7B ○ approval ? 4 3 d no promise")
    assert "…" in job_row(job(), Surroundings(NOW), 120).text, "not counted yet"
    assert "6 to call today about work that waits, 1 of them unsafe" in due_row(about, 78).text
    assert due_row(Surroundings(NOW), 78).text == ""
    assert "cannot be read: run ticket audit" in job_row(job(damaged=True), about, 80).text


def test_a_job_that_came_back_has_its_sign_unless_it_is_late_too() -> None:
    about = Surroundings(NOW)
    assert job_row(job(back_from=1871), about, 80).text.startswith("«")
    assert job_row(job(back_from=1871, ready_by="Monday 4 pm"), about, 80).text.startswith("!")
    assert not job_row(job(), about, 80).text.startswith("«")
    told = preview_rows(job(back_from=1871), None, 80)[0].text
    assert "came back from 1871" in told


def test_the_list_reads_what_a_complaint_says_it_came_back_from(shop: Shop) -> None:
    first, second = new_ticket(shop), new_ticket(shop)
    add_lines(shop, second, f"says: horn is silent again; back from {first}")
    assert {row.number: row.back_from for row in read_list(shop.store.path).rows} == {first: 0, second: first}


async def test_counts_come_in_behind_without_moving_the_pointer(demo: Path) -> None:
    async with demo_desk(demo) as (app, pilot):
        page = app.screen.query_one("#page", LongPage)
        await pilot.press("down", "down")
        chosen = page.key
        await until(pilot, lambda: "? 3" in page_text(app) and "to call today" in page_text(app, "#top"))
        assert page.key == chosen
        assert "○ parts" in page_text(app)
        assert "? 6 to ask" in page_text(app, "#top")
        await until(pilot, lambda: "agreed" in page_text(app, "#preview"))
        assert str(chosen) in page_text(app, "#preview")
        await pilot.press("alt+s")
        await pilot.pause()
        assert "↑age" in page_text(app, "#top")
        await pilot.press("alt+i")
        await pilot.pause()
        assert app.screen.query_one(Prompt).value == "late"


async def test_what_is_signed_is_found_by_the_word(demo: Path) -> None:
    async with demo_desk(demo) as (app, pilot):
        await pilot.press(*"signed")
        await until(pilot, lambda: len(app.screen.query_one("#page", LongPage).keys) > 10)
        assert "signed ones too" in page_text(app, "#top")


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
        await pilot.press(*"161200", "ctrl+s")
        await pilot.pause()
        screen_of(app, TicketScreen)
        header = ticket_of(app.shop, screen_of(app, TicketScreen).number).header
        assert (header.vehicle.label, header.vehicle.plate) == ("Dunmarrow 28 coach, 7.0 diesel", "SMC022")
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
        await pilot.press("ctrl+s")
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

        screen.work_behind(late, "late")
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


async def test_the_list_names_whoever_the_program_was_started_for(database: Path) -> None:
    Shop.open(database, "K. Orlo", now=Clock()).close()
    app = TicketApp(database, lambda: Shop.open(database, "Mo Reyd"), person="Mo Reyd")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert page_text(app, "#top").splitlines()[0].endswith("Mo Reyd")
        app.close_shop()
