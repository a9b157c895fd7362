"""What stands below the line: one row, more only for a sentence that needs them, the place of a question marked."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from support.screens_desk import demo_desk, flat
from support.tickets import ticket_of
from ticket.assist.completing import Candidate
from ticket.assist.line_settling import settle
from ticket.job.case import Case, Settings
from ticket.notes.read import read
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.understanding import HEIGHT, Reply, inks_of, open_question, understanding_rows
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop

TICKET = ticket_of("says: no heat\nfound: blend door travel 2 mm (min 9)")
CASE = Case(TICKET, Settings(), TICKET.opened.date())


def reply(line: str, message: str = "", *candidates: Candidate) -> Reply:
    return Reply(settle(read(line), TICKET, "A", lambda _: None, lambda _: False), False, message, candidates)


@given(
    st.text(max_size=90),
    st.text(max_size=90),
    st.text(min_size=1, max_size=60),
    st.sampled_from((20, 78, 118)),
    st.integers(1, HEIGHT),
)
def test_any_line_message_and_completion_fit(line: str, message: str, shown: str, width: int, height: int) -> None:
    rows = understanding_rows(reply(line, message, Candidate(shown, shown, "this ticket")), CASE, width, height)
    assert len(rows) <= height
    assert all(cell_len(row.text) <= width for row in rows)


def test_the_best_completion_stands_before_the_others_and_says_where_it_comes_from() -> None:
    ways = (Candidate("x", "replace blend door", "used 3 times"), Candidate("y", "replace belt", "this vehicle"))
    (row,) = understanding_rows(reply("did: rep", "", *ways), CASE, 78)
    assert row.text == "→ replace blend door (used 3 times)  or replace belt"


def test_a_question_names_its_place_in_the_line() -> None:
    (row,) = understanding_rows(reply("found: cooler 71, inlet 64 C (max 80)"), CASE, 118)
    assert [(span.text, span.style) for span in row.spans[:2]] == [("? ", "ask"), ("71", "unread")]


def test_a_message_stands_first() -> None:
    (row,) = understanding_rows(reply("found: x", "Entry 3 is struck."), CASE, 78)
    assert row.text == "Entry 3 is struck."


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40)])
async def test_every_row_that_is_said_is_seen(database: Path, size: tuple[int, int]) -> None:
    with Shop.open(database, "K. Orlo") as shop:
        number = new_ticket(shop)
        add_lines(shop, number, "says: no heat\nfound: blend door travel 2 mm (min 9)")
    async with demo_desk(database, size=size) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        app.screen.query_one(
            Prompt
        ).value = "cause: blend door does not travel as far as it should, its pin is worn; lik"
        await pilot.pause()
        understood = app.screen.query_one("#understood", Page)
        assert len(understood.rows) == understood.size.height <= HEIGHT
        assert app.screen.query_one("#page", Page).size.height >= size[1] - 7 - HEIGHT


def test_one_question_at_a_time_is_put_and_its_answers_stand_last() -> None:
    settled = settle(
        read("found: leak-down 3 62 % (max 20), pads 4 (min 3)"), TICKET, "A", lambda _: None, lambda _: False
    )
    questions = [remark for remark in settled[-1].draft.remarks if remark.state != "remark"]
    assert len(questions) > 1  # the line leaves more than one thing open
    rows = [row.text for row in understanding_rows(Reply(settled), CASE, 118)]
    assert sum(row.startswith("? ") for row in rows) == 1
    assert questions[0].text in " ".join(" ".join(rows).split())
    assert open_question(settled) == questions[0]


def test_each_measurement_is_shown_with_its_verdict() -> None:
    (row,) = understanding_rows(reply("found: pads LF 2 RF 5 mm (min 3), oil 20 psi"), CASE, 118)
    assert row.text == "▼ left front 2 mm low by 1   · right front 5 mm in limits"


def test_every_piece_of_the_line_has_the_ink_of_what_it_was_read_as() -> None:
    line = "found: drive pressure 14 bar at 700 rpm (12 to 18), cooler 71"
    inks = {line[start:end]: ink for start, end, ink in inks_of(reply(line).settled)}
    assert inks == {
        "found:": "quiet", "14 bar": "value", "at 700 rpm": "where", "(12 to 18)": "quiet", "71": "unread",
    }  # fmt: skip


async def test_right_takes_an_answer_and_down_shows_the_next(database: Path) -> None:
    with Shop.open(database, "K. Orlo") as shop:
        number = new_ticket(shop)
        add_lines(shop, number, "says: no heat")
    async with demo_desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        prompt = app.screen.query_one(Prompt)
        understood = app.screen.query_one("#understood", Page)
        line = "later: pump; in 9k"
        asked = next(remark for remark in read(line)[0].remarks if len(remark.answers) > 1)
        for take in (0, 1):
            prompt.put(line)
            await pilot.pause()
            assert f"→ {asked.answers[0]} or {asked.answers[1]}" in flat(" ".join(row.text for row in understood.rows))
            for _ in range(take):
                await pilot.press("down")
            await pilot.press("right")
            await pilot.pause()
            assert prompt.value == f"{line[: asked.start]}{asked.answers[take]}{line[asked.end :]}"


async def test_what_is_unread_is_underlined_in_the_line(database: Path) -> None:
    with Shop.open(database, "K. Orlo") as shop:
        number = new_ticket(shop)
        add_lines(shop, number, "says: no heat")
    async with demo_desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        prompt = app.screen.query_one(Prompt)
        line = "found: leak-down 3 62 % (max 20)"
        prompt.put(line)
        await pilot.pause()
        assert [piece.text for piece in prompt.render_line(0) if piece.style and piece.style.underline] == ["3 62 %"]
        prompt.put("found: leak-down 62 % (max 20)")
        await pilot.pause()
        assert not any(piece.style and piece.style.underline for piece in prompt.render_line(0))
