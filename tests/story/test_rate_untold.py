"""A rate class that the shop does not have stays in the words of a line, and is no work that a customer is told of."""

import pytest

from support.tickets import ticket_of
from ticket.job.case import Case, Settings
from ticket.story.build import build


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("work", ["check charging system", "R&R pump, fill, bleed", "replaced fan belt"])
def test_a_rate_nobody_knows_is_not_told_as_work(work: str, language: str) -> None:
    ticket = ticket_of(f"says: hums\nfound: belt slack\ndid: 0.8 h {work}; for 2; rate shop")
    story = build(Case(ticket, Settings(), ticket.opened.date()), "customer", language)
    text = " ".join(one.text for section in story.sections for one in section.sentences)
    assert "rate" not in text.split()
    assert "shop" not in text
