"""What a screen shows is made by pure functions: no row is wider than the screen, nothing typed is lost."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from support.tickets import ticket_of, tickets
from ticket.gaps.find import find_gaps
from ticket.grid.rows import Span, cut, wrap
from ticket.job.case import Case, Settings
from ticket.job.header_fields import HEADER_FIELDS
from ticket.job.text import one_line
from ticket.job.ticket import Ticket
from ticket.screens.action_table import ACTIONS
from ticket.screens.actions import Hint, hinted
from ticket.screens.help_screen import help_rows
from ticket.screens.key_row import key_row
from ticket.screens.story_rows import story_rows
from ticket.screens.ticket_head import Standing, head_rows
from ticket.screens.ticket_pane import pane_rows
from ticket.screens.ticket_rows import ticket_rows
from ticket.screens.ticket_view import TicketView
from ticket.story.build import build
from ticket.story.facts.concerns import states

WIDTHS = (20, 38, 76, 116)


def view_of(ticket: Ticket, *earlier: Ticket) -> TicketView:
    case = Case(ticket, Settings(), date(2026, 3, 2), earlier)
    return TicketView(case, states(case), find_gaps(case))


@given(st.text(), st.sampled_from(WIDTHS))
def test_wrapping_keeps_every_word_and_the_width(text: str, width: int) -> None:
    rows = wrap([Span(text)], width, first="  3 ", rest="    ")
    assert all(cell_len(row.text) <= width for row in rows)
    shown = "".join("".join(row.text.split()) for row in rows)
    assert shown == "3" + "".join(one_line(text).split())


@given(st.text(), st.integers(2, 30))
def test_a_cut_text_fits(text: str, width: int) -> None:
    assert cell_len(cut(text, width)) <= width


@pytest.mark.slow
@given(tickets(), st.sampled_from(WIDTHS))
def test_a_ticket_fits_any_width(ticket: Ticket, width: int) -> None:
    view = view_of(ticket)
    rows = ticket_rows(view, max(width, 48))  # below that the screen says what it needs
    assert all(cell_len(row.text) <= max(width, 48) for row in rows)
    shown = {row.key for row in rows if isinstance(row.key, int)}
    assert shown == {entry.no for entry in ticket.entries if not entry.struck}, "struck ones are a count"
    assert all(cell_len(row.text) <= width for row in story_rows(build(view.case), width))


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("subject", ["jobs", "ticket", "reading", "form", "sign"])
def test_hints_are_whole_and_help_fits(subject: str, width: int) -> None:
    assert sum(cell_len(span.text) for span in key_row(subject, width)) <= width + 1
    assert all(cell_len(row.text) <= max(width, 38) for row in help_rows(subject, max(width, 38)))


@pytest.mark.parametrize("subject", ["telling", "phone", "settings", "past", "found", "followups", "sign"])
def test_the_way_back_and_what_ends_a_call_are_hinted_on_80_columns(subject: str) -> None:
    assert hinted(subject, 78)[-2:] == (Hint("back", "Esc", "back"), Hint("help", "F1", "help"))
    assert Hint("record", "Enter", "write") in hinted("phone", 78)
    assert Hint("sign", "F12", "sign") in hinted("sign", 78)


def test_keys_in_the_help_stand_apart_from_what_they_do() -> None:
    assert any(row.text.startswith("Alt+↓ or Ctrl+↓     Another way") for row in help_rows("ticket", 76))


def test_no_action_takes_a_key_that_terminals_keep_and_none_is_given_twice() -> None:
    taken = {"ctrl+c", "ctrl+b", "ctrl+a", "ctrl+h", "ctrl+i", "ctrl+m", "ctrl+j"}
    for action in ACTIONS:
        assert not taken & set(action.keys), action.id
    for screen in ("jobs", "ticket", "reading", "form", "sign"):
        keys = [key for action in ACTIONS if screen in action.screens or "all" in action.screens for key in action.keys]
        assert len(keys) == len(set(keys)), screen


def test_what_waits_from_before_and_how_readings_moved_stand_beside_the_entries() -> None:
    before = ticket_of(
        "found: LF pad 5.0 mm (min 2.0)\nlater: replace front pads; because they are thin; in 6 months",
        vehicle="Corvane Alder", odometer_in="40,000 mi",
    )  # fmt: skip
    before = replace(before, number=7, opened=before.opened - timedelta(days=200), status="signed")
    now = ticket_of(
        "says: service\nfound: LF pad 4.0 mm (min 2.0)\noffer: change oil; est 80\n"
        "told: Ada Fenn by phone, yes 3; total 80.00",
        vehicle="Corvane Alder", odometer_in="49,000 mi",
    )  # fmt: skip
    view = view_of(now, before)
    head = [row.text for row in head_rows(view, Standing(), 80)]
    assert "? waits from before: 7/2" in head[1]
    assert "yes, by 4" in "\n".join(row.text for row in ticket_rows(view, 80))
    # 1.0 mm in 9,000 mi leaves 2.0 mm for 18,000 mi (rule of three).
    assert "limit 2.0 in about 18,000 mi" in " ".join(row.text for row in pane_rows(view, 60, 30))


def test_what_a_field_of_the_header_takes_is_read_whole_on_80_columns() -> None:
    assert [name for name, field in HEADER_FIELDS.items() if field.width + cell_len(field.help) > 59] == [
        "odometer-reason"
    ], "which is chosen from a list"
