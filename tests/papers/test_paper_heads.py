"""The head of a paper, which is read later than it was written."""

import pytest
from papers_cases import contents_for

from support.tickets import MORNING, ticket_of
from ticket.papers.head import facts


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("today 16:00", "today 16:00 (March 2, 2026)"),
        ("tomorrow 5pm", "tomorrow 5pm (March 3, 2026)"),
        ("Friday noon", "Friday noon (March 6, 2026)"),
        ("2026-03-05 10:00", "2026-03-05 10:00"),
        ("5 March", "5 March"),
        ("when the part is here", "when the part is here"),
    ],
)
def test_a_promise_without_a_date_says_its_day(typed: str, shown: str) -> None:
    ticket = ticket_of("says: horn silent", ready_by=typed)
    assert ticket.opened.date() == MORNING.date()
    assert dict(facts(contents_for(ticket)).pairs)["Promised"] == shown
