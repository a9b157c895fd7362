"""Deferred work on the screen: seen by its day, called about, set anew, closed, turned into a ticket."""

from contextlib import suppress
from dataclasses import replace
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.widgets import Input

from support.screens_desk import demo_desk, flat, page_text, screen_of, until
from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.job.values import Quantity, Ref
from ticket.screens.followups_rows import (
    SORTS,
    columns_for,
    due_words,
    empty_rows,
    in_order,
    item_row,
    narrowed,
    preview_rows,
    scale_for,
)  # fmt: skip
from ticket.screens.followups_screen import FollowForm, FollowupsScreen
from ticket.screens.long_page import LongPage
from ticket.screens.remind_form import RemindForm
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.deferred import DueItem, agreed_day, due_within
from ticket.shop.reading import ticket_of

TODAY = date(2026, 11, 25)
ITEM = DueItem(
    1020, 15, "replace shaft seal", "may wait", "it may have seeped slowly", "fan may stop", "$640.00",
    "Dunmarrow 28", "Sandmere Coaches", "555-0128", date(2026, 11, 20), None, "",
)  # fmt: skip


ITEMS = [
    ITEM,
    replace(ITEM, entry=16, day=TODAY, followed="called 2026-11-24 by K. Orlo: left word"),
    replace(ITEM, entry=17, day=date(2026, 12, 20), judgement="do not drive", plate="LMV 208"),
    replace(ITEM, entry=18, day=date(2027, 12, 20)),
    replace(ITEM, entry=19, day=None),
    replace(ITEM, entry=20, day=None, odometer=Quantity("112,000", "km")),
]


def test_when_it_falls_due_is_told_in_words() -> None:
    assert [due_words(item, TODAY) for item in ITEMS] == [
        "5 days late", "today", "20 Dec", "20 Dec 2027", "no date", "at 112,000 km",
    ]  # fmt: skip


@pytest.mark.parametrize("width", [60, 80, 120])
def test_every_item_tells_what_waits_and_when_under_its_heads(width: int) -> None:
    columns = columns_for(width)
    assert all(left.end < right.start for left, right in pairwise(columns))
    rows = [item_row(item, TODAY, width, scale_for([item], TODAY)) for item in ITEMS]
    assert all("replace shaft seal" in row.text for row in rows)
    assert "5 days late" in rows[0].text
    assert [row.text[0] for row in rows] == ["!", " ", "!", " ", "?", " "], "late, unsafe and dateless ones have a sign"
    assert [row.key for row in rows] == [f"1020/{no}" for no in range(15, 21)]


def test_ranges_are_drawn_on_one_scale_with_a_line_for_today() -> None:
    wide = replace(ITEM, day=date(2027, 1, 20), earliest=date(2027, 1, 5), latest=date(2027, 2, 1))
    late, plain = replace(ITEM, day=date(2026, 11, 15)), replace(ITEM, day=date(2026, 12, 20))
    items = [wide, late, plain, replace(ITEM, day=None)]
    scale = scale_for(items, TODAY)
    drawn = ["".join(span.text for span in scale.chart(item)) for item in items]
    assert {len(line) for line in drawn} == {20}
    assert drawn[0].strip("┊ ").startswith("├")
    assert drawn[0].strip().endswith("┤")
    assert [line.index("●") for line in drawn[1:3]] == [scale.cell(date(2026, 11, 15)), scale.cell(date(2026, 12, 20))]
    assert drawn[1].index("●") < drawn[1].index("┊") < drawn[2].index("●") < drawn[0].index("●")
    assert drawn[3].strip() == "┊"
    assert scale.chart(late)[1].style == "bad"
    heads = scale.heads()
    assert [heads.index(month) for month in ("Dec", "Jan")] == [
        scale.cell(date(2026, 12, 1)), scale.cell(date(2027, 1, 1)),
    ]  # fmt: skip
    assert cell_len(item_row(wide, TODAY, 80, scale).text) <= 80


def test_the_pointed_item_tells_reason_risk_and_last_word() -> None:
    shown = flat("\n".join(row.text for row in preview_rows(ITEMS[1], 100)))
    for told in ("because it may have seeped slowly; about $640.00", "risk fan may stop", "2026-11-25",
                 "called 2026-11-24 by K. Orlo: left word", "Dunmarrow 28 · Sandmere Coaches · 555-0128"):  # fmt: skip
        assert told in shown


def test_the_list_is_narrowed_by_words_and_sorted_by_columns() -> None:
    assert [item.entry for item in narrowed(ITEMS, "late", TODAY)] == [15]
    assert [item.entry for item in narrowed(ITEMS, "unsafe seal", TODAY)] == [17]
    assert [item.entry for item in narrowed(ITEMS, "no date", TODAY)] == [19]
    assert in_order(ITEMS, "judged")[0].entry == 17
    assert in_order(ITEMS, "plate")[0].entry == 17
    assert all(sorted(item.entry for item in in_order(ITEMS, sort)) == list(range(15, 21)) for sort in SORTS)


@given(st.text(), st.text(), st.sampled_from((40, 60, 76, 116)))
def test_any_text_fits_literally(text: str, note: str, width: int) -> None:
    item = replace(ITEM, text=text, customer=note, followed=note, plate=text)
    for row in (
        item_row(item, TODAY, width, scale_for([item], TODAY)),
        *preview_rows(item, width),
        *empty_rows(text, TODAY, width),
    ):
        assert cell_len(row.text) <= max(width, 60)
        assert row.text == one_line(row.text)


# The last days are calendar facts: a month after January 31 is the last of February (python-dateutil's rule).
@pytest.mark.parametrize(
    ("text", "today", "day"),
    [
        ("2027-01-15", TODAY, "2027-01-15"),
        ("in 3 weeks", TODAY, "2026-12-16"),
        ("2 months", TODAY, "2027-01-25"),
        ("in 1 month", date(2027, 1, 31), "2027-02-28"),
        ("", TODAY, ""),
    ],
)
def test_a_day_is_agreed_on_as_a_date_or_as_a_time_from_now(text: str, today: date, day: str) -> None:
    assert agreed_day(text, today) == day


@given(st.text(max_size=20))
def test_any_other_text_is_no_day(text: str) -> None:
    with suppress(InputError):
        assert agreed_day(text, TODAY) == "" or date.fromisoformat(agreed_day(text, TODAY))


async def test_a_reminder_is_read_copied_and_recorded(demo: Path, tmp_path: Path) -> None:
    async with demo_desk(demo, (100, 30)) as (app, pilot):
        await pilot.press("alt+d")
        page = app.screen.query_one("#page", LongPage)
        await until(pilot, lambda: bool(page.keys))
        days = screen_of(app, FollowupsScreen).until
        assert page.keys == [item.name for item in due_within(app.shop, days)], "the rows of ticket due --within"
        number, no = (int(part) for part in str(page.keys[0]).split("/"))
        await pilot.press("alt+w")
        await pilot.pause()
        form = screen_of(app, RemindForm)
        assert "Please call us" in form.answered
        await pilot.press("right")  # the letter
        await until(pilot, lambda: "Dear " in form.answered)
        words = form.answered
        form.control("sent").put("letter")
        await pilot.press("ctrl+s")
        await until(pilot, lambda: not isinstance(app.screen, RemindForm))
        assert app.clipboard == words + "\n"
        assert app.shop.store.followed(number)[Ref(no, number)].note == "reminder sent by letter"

        await pilot.press("alt+w")
        await pilot.pause()
        form = screen_of(app, RemindForm)
        target = tmp_path / "reminder.txt"
        form.control("to").put("file")
        form.control("file").put(str(target))
        await pilot.press("ctrl+s")
        await until(pilot, target.exists)
        assert "Please call us" in target.read_text(encoding="utf-8")


async def test_call_new_day_declined_and_a_ticket_by_one_key_each(demo: Path) -> None:
    async with demo_desk(demo) as (app, pilot):
        await pilot.press("alt+d")
        await pilot.pause()
        screen_of(app, FollowupsScreen)
        page = app.screen.query_one("#page", LongPage)
        await until(pilot, lambda: bool(page.keys))
        first = page.keys[0]
        assert isinstance(first, str)
        number, no = (int(part) for part in first.split("/"))
        await pilot.press("alt+c")
        await pilot.pause()
        screen_of(app, FollowForm)
        app.screen.query_one("#field-note", Input).value = "left [/x] word"
        await pilot.press("ctrl+s")
        await until(pilot, lambda: "left [/x] word" in flat(page_text(app, "#preview")))
        assert page.key == first

        await pilot.press("alt+n")
        await pilot.pause()
        app.screen.query_one("#field-day", Input).value = "soon"
        await pilot.press("ctrl+s")
        await pilot.pause()
        screen_of(app, FollowForm)  # no day: it is asked again and nothing is lost
        app.screen.query_one("#field-day", Input).value = "2027-01-15"
        await pilot.press("ctrl+s")
        await until(pilot, lambda: "new date 2027-01-15" in flat(page_text(app, "#preview")))
        word = app.shop.store.followed(number)[Ref(no, number)]
        assert (word.what, word.date, word.person) == ("new date", "2027-01-15", "K. Orlo")

        page.choose(first)
        await pilot.press("ctrl+n")
        await pilot.pause()
        ticket = ticket_of(app.shop, screen_of(app, TicketScreen).number)
        assert ticket.header.vehicle == ticket_of(app.shop, number).header.vehicle
        assert ticket.header.odometer_in is None
        assert getattr(ticket.entries[0].fact, "refs", ()) == (Ref(no, number),)
        while isinstance(app.screen, TicketScreen):
            await pilot.press("escape")
            await pilot.pause()
        screen_of(app, FollowupsScreen)
        app.screen.query_one("#page", LongPage).choose(first)
        await pilot.press("alt+x")
        await pilot.pause()
        await pilot.press("ctrl+s")
        await until(pilot, lambda: first not in app.screen.query_one("#page", LongPage).keys)
        assert app.shop.store.audit(deep=True).ok
