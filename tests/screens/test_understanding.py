"""What stands over the line: never more than its rows, never wider than the screen, the place of a question marked."""

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from support.tickets import ticket_of
from ticket.job.case import Case, Settings
from ticket.notes.read import read
from ticket.screens.understanding import HEIGHT, Reply, understanding_rows
from ticket.shop.completing import Candidate
from ticket.shop.drafts import settle

TICKET = ticket_of("says: no heat\nfound: blend door travel 2 mm (min 9)")
CASE = Case(TICKET, Settings(), TICKET.opened.date())


def reply(line: str, message: str = "", *candidates: Candidate) -> Reply:
    return Reply(settle(read(line), TICKET, "A", lambda _: None, lambda _: False), False, message, candidates)


@given(st.text(max_size=90), st.text(max_size=90), st.text(min_size=1, max_size=60), st.sampled_from((20, 78, 118)))
def test_any_line_message_and_completion_fit(line: str, message: str, shown: str, width: int) -> None:
    rows = understanding_rows(reply(line, message, Candidate(shown, shown, "this ticket")), CASE, width)
    assert len(rows) <= HEIGHT
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
