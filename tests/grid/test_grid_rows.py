"""The table of entries: columns where they are declared, nothing lost, nothing wider than its pane."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from support.tickets import ticket_of, tickets
from ticket.grid.columns import columns_for, pane_of
from ticket.grid.entries import STRUCK_KEY, entry_rows
from ticket.grid.rows import Row
from ticket.grid.sight import Sight
from ticket.grid.worded import numbers
from ticket.job.case import Case, Settings
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.job.width import cells

WIDTHS = (48, 60, 72, 78, 80, 87, 96)


def rows_of(ticket: Ticket, width: int, *, struck: bool = False) -> list[Row]:
    sight = Sight(Case(ticket, Settings(), date(2026, 3, 2)))
    shown = {entry.no for entry in ticket.entries} if struck else ()
    return entry_rows(sight, ticket.entries, columns_for(width), struck=shown)


def shown(*lines: str, width: int = 80) -> list[str]:
    """The rows as they stand on a page, the pointer's column in front."""
    return [f" {row.text}" for row in rows_of(ticket_of(lines), width)]


def test_the_columns_of_the_drawing() -> None:
    assert shown(
        "says: fan roars all the time, message on the dash since Tuesday; worse on hills",
        "code: P1A30-7B fan control, stored, 3 times",
        "found: fan-drive reservoir level -14 mm (-3 to 0)",
        "found: engine oil level +6 mm (-5 to 0), smells of hydraulic fluid",
        "cause: fluid passes the shaft seal between fan drive and engine; likely; from 3 4",
    ) == [
        "    1 says  “fan roars all the time, message on the dash since Tuesday; worse",
        "            on hills”",
        "    2 code  P1A30-7B fan control              3 times                  stored",
        " ▼  3 found fan-drive reservoir level       −14 mm    −3 to 0       low by 11",
        " ▲  4       engine oil level                 +6 mm    −5 to 0       high by 6",
        "            smells of hydraulic fluid",
        "    5 cause fluid passes the shaft seal between fan   from 3 4         likely",
        "            drive and engine",
    ]


def test_several_readings_align_and_say_the_thing_once() -> None:
    first, second = shown("found: front rotor runout LF 0.11 RF 0.4 mm (max 0.6)")
    assert first.index("0.11") + 1 == second.index("0.4") + 1  # on the decimal point
    assert second.split()[:2] == ["·", "right"]


def test_more_than_two_places_in_limits_are_one_row_and_what_is_out_has_its_own() -> None:
    told = shown("found: brake pads LF 2 RF 5 LR 6 RR 7 mm (min 3)")
    assert [line[1] for line in told] == ["▼", "·"]
    assert "low by 1" in told[0]
    assert "3 other places" in told[1]
    assert "5 to 7 mm" in told[1]
    assert "in limits" in told[1]


@pytest.mark.parametrize(
    ("line", "sign", "word"),
    [
        ("found: battery rest voltage 12.2 V (min 12.4)", "▼", "low by 0.2"),
        ("found: coolant 104 C (max 100)", "▲", "high by 4"),
        ("found: battery rest voltage 12.6 V (min 12.4)", "·", "in limits"),
        ("found: battery rest voltage 12.6 V", " ", ""),
        ("found: pad lining <3 mm (min 2)", "~", "not judged"),
        ("proof: road test 4 km; passed", "✓", "proved"),
        ("proof: road test 4 km; failed", "!", "failed"),
    ],
)
def test_every_verdict_has_a_sign_and_a_word(line: str, sign: str, word: str) -> None:
    first = shown(line)[0]
    assert first[1] == sign
    assert first.rstrip().endswith(word)


def test_what_nobody_read_is_marked_where_it_stands() -> None:
    rows = rows_of(ticket_of(["found: cooler 71, inlet 64 C (max 80)"]), 80)
    unread = [span.text for row in rows for span in row.spans if span.style == "unread"]
    assert unread
    assert rows[0].text.startswith("?")
    assert any(span.text == "unread" and span.style == "ask" for row in rows for span in row.spans)


def test_an_offer_shows_who_answered_and_what_waits() -> None:
    ticket = ticket_of(
        [
            "found: pads LF 2 mm (min 3)", "offer: replace front pads; for 1; est 228.40",
            "offer: cabin filter; est 38", "told: Ada Fenn by phone 555-0134, yes 2",
        ]
    )  # fmt: skip
    rows = [row for row in rows_of(ticket, 80) if row.key in (2, 3)]
    assert rows[0].text.startswith("✓")
    assert "yes, by 4" in rows[0].text
    assert "228.40" in rows[0].text
    assert rows[1].text.endswith("○")
    assert rows[1].spans[-1].style == "ask"


@given(tickets(), st.sampled_from(WIDTHS))
def test_no_row_is_wider_than_its_pane_and_no_entry_is_left_out(ticket: Ticket, width: int) -> None:
    rows = rows_of(ticket, width)
    wide = [row.text for row in rows if cell_len(row.text) >= columns_for(width).width]
    assert not wide
    standing = {entry.no for entry in ticket.entries if not entry.struck}
    assert {row.key for row in rows if isinstance(row.key, int)} == standing
    assert (STRUCK_KEY in {row.key for row in rows}) == any(entry.struck for entry in ticket.entries)
    every = rows_of(ticket, width, struck=True)
    assert {row.key for row in every} == {entry.no for entry in ticket.entries}


@given(tickets(), st.sampled_from(WIDTHS))
def test_the_pointed_row_says_its_kind_and_all_it_said_before(ticket: Ticket, width: int) -> None:
    for row in rows_of(ticket, width):
        entry = ticket.entry(row.key) if isinstance(row.key, int) else None
        if row.here and entry is not None:
            pointed = "".join(span.text for span in row.here)
            assert pointed[5:10].strip() == entry.kind
            assert pointed[:5] + pointed[10:] == row.text[:5].ljust(5) + row.text[10:]


@given(st.integers(1, 300))
def test_widths_between_give_their_difference_to_what_it_is_about(width: int) -> None:
    grid = columns_for(width)
    assert 48 <= grid.width <= 96
    assert grid.flag == grid.width - 2
    assert grid.what.start == 12
    assert grid.what.width >= 8


@pytest.mark.parametrize(("page", "pane"), [(110, 72), (120, 78), (138, 96), (200, 96)])
def test_the_pane_beside_a_second_one(page: int, pane: int) -> None:
    assert pane_of(page) == pane


def test_a_long_list_of_numbers_says_how_many_more() -> None:
    assert numbers("from", [Ref(3), Ref(4)]) == "from 3 4"
    assert numbers("for", [Ref(no) for no in range(1, 12)]).endswith("and 7 more")
    assert numbers("for", []) == ""


@given(st.text())
def test_cells_are_counted_as_terminals_draw_them(text: str) -> None:
    # rich measures what Textual draws; Indic vowel signs and marks without a base are counted otherwise there.
    plain = "".join(char for char in text if char.isprintable() and ord(char) < 0x300)
    assert cells(plain) == cell_len(plain)


@pytest.mark.parametrize(
    "text", ["漢字", "e\u0301", "\U0001f469\u200d\U0001f527", "\u26a0\ufe0f", "\U0001f527\U0001f3fd", "½ ▼▲ ▣"]
)
def test_wide_and_joined_letters(text: str) -> None:
    assert cells(text) == cell_len(text)


def test_a_value_of_before_in_another_unit_says_which() -> None:
    text = " ".join(shown("says: x", "found: wheel sensor 2.4 Mohm (1.0-1.6 kohm)", "proof: 2 now 1.24 kohm", width=96))
    assert "was 2.4 Mohm" in text
    assert "1.6 kohm" in text
