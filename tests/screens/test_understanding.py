"""What stands over the line: never more than its rows, never wider than the screen, the place of a question marked."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from support.screens_desk import demo_desk
from support.tickets import ticket_of
from ticket.assist.completing import Candidate
from ticket.assist.line_settling import settle
from ticket.job.case import Case, Settings
from ticket.notes.read import read
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.understanding import HEIGHT, Reply, height_for, open_question, understanding_rows
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
    st.integers(2, HEIGHT),
)
def test_any_line_message_and_completion_fit(line: str, message: str, shown: str, width: int, height: int) -> None:
    rows = understanding_rows(reply(line, message, Candidate(shown, shown, "this ticket")), CASE, width, height)
    assert len(rows) <= height
    assert all(cell_len(row.text) <= width for row in rows)


def test_the_best_completion_stands_before_the_others_and_says_where_it_comes_from() -> None:
    ways = (Candidate("x", "replace blend door", "used 3 times"), Candidate("y", "replace belt", "this vehicle"))
    last = understanding_rows(reply("did: rep", "", *ways), CASE, 78)[-1].text
    assert last == "→ replace blend door (used 3 times)  or replace belt"


def test_a_question_names_its_place_in_the_line() -> None:
    text = "\n".join(row.text for row in understanding_rows(reply("did: clean it; est 20,5 x; rate 99"), CASE, 78))
    assert "?" in text
    assert "«" in text


def test_a_message_stands_first() -> None:
    rows = understanding_rows(reply("found: x", "Entry 3 is struck."), CASE, 78)
    assert rows[0].text == "Entry 3 is struck."
    assert "finding" in rows[1].text


@pytest.mark.parametrize("size", [(40, 12), (80, 24), (120, 40)])
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
        assert len(understood.rows) == understood.size.height == height_for(size[1])
        assert app.screen.query_one("#page", Page).size.height >= 3


def test_one_question_at_a_time_is_put_and_its_answers_stand_last() -> None:
    settled = settle(
        read("found: leak-down 3 62 % (max 20), pads 4 (min 3)"), TICKET, "A", lambda _: None, lambda _: False
    )
    questions = [remark for remark in settled[-1].draft.remarks if remark.state != "remark"]
    assert len(questions) > 1  # the line leaves more than one thing open
    rows = [row.text for row in understanding_rows(Reply(settled), CASE, 118)]
    assert sum(row.startswith("? ") for row in rows) == 1
    assert open_question(settled) == questions[0]


def test_each_measurement_is_shown_with_its_verdict() -> None:
    rows = " ".join(
        row.text for row in understanding_rows(reply("found: pads LF 2 RF 5 mm (min 3), oil 20 psi"), CASE, 118)
    )
    assert "left front 2" in rows
    assert "right front 5" in rows
    assert "20 psi" in rows
    assert "left front low" in rows


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
            assert f"→ {asked.answers[0]}  or {asked.answers[1]}" in [row.text for row in understood.rows]
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
        drawn = prompt._value
        assert [drawn.plain[span.start : span.end] for span in drawn.spans if "underline" in str(span.style)] == [
            "3 62 %"
        ]
        prompt.put("found: leak-down 62 % (max 20)")
        await pilot.pause()
        assert prompt._value.spans == []
