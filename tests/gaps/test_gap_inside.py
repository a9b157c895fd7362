"""Words that may be for the shop only are asked about before a copy leaves, by class and not by line.

Which matter stays inside is common practice of the trade, no source.
"""

from datetime import date

import pytest

from support.tickets import ticket_of
from ticket.gaps.find import find_gaps
from ticket.job.case import Case, Settings


def asked(*lines: str) -> set[int | None]:
    case = Case(ticket_of(["says: fan roars", *lines]), Settings(), date(2026, 3, 2))
    return {gap.entry for gap in find_gaps(case) if gap.id == "shop-only-words"}


@pytest.mark.parametrize(
    ("line", "alike"),
    [
        # hours of the shop
        ("did: 1.0 h replaced hose, actual time 2.6", "did: 1.0 h replaced hose, ran 15 min"),
        ("did: 1.0 h replaced hose, lost hours on a seized bolt", "did: 1.0 h replaced hose, bolt seized"),
        # what a payer agreed with the shop
        ("found: hose wet, warranty only pays 0.9 h", "found: hose wet, see warranty card"),
        ("later: replace belt; because contract caps at 400", "later: replace belt; because cracked"),
        # remarks about a person
        ("found: oil black, owner never changes it", "found: oil black, never changed"),
        ("told: Ada Fenn by phone, yes, always complaining", "told: Ada Fenn by phone, yes, call back"),
        ("offer: replace hose; est 90, she haggles", "offer: replace hose; est 90"),
    ],
)
def test_words_of_a_class_are_asked_about_and_words_beside_them_are_not(line: str, alike: str) -> None:
    assert asked(line) == {2}
    assert asked(alike) == set()
    assert asked(f"# {line}") == set()
