"""What stands over the line: never more than its rows, never wider than the screen, the place of a question marked."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from support.screens_desk import demo_desk
from support.tickets import ticket_of
from ticket.job.case import Case, Settings
from ticket.notes.read import read
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.understanding import HEIGHT, Reply, height_for, understanding_rows
from ticket.shop.completing import Candidate
from ticket.shop.drafts import settle
from ticket.shop.shop import Shop

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
        number = shop.new()
        shop.add(number, "says: no heat\nfound: blend door travel 2 mm (min 9)")
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
