"""A ticket that has all a local rule wants can be signed: what signing gives is not asked for before it."""

import json

import pytest

from ticket.job.errors import ConflictError
from ticket.money.prices import prices_document
from ticket.rules.pack import packaged
from ticket.scratch_shop import fill
from ticket.shop import money
from ticket.shop.changing import add_lines, new_ticket, sign_ticket
from ticket.shop.opening import Shop, set_setting
from ticket.shop.reading import open_gaps, ticket_of

LINES = """says: whine from the front at idle
found: oil pressure 8 psi (min 10)
cause: oil pump worn, from 2
offer: replace oil pump; est 420
told: Ada Fenn by phone 555-0134, yes 4; total 420; at 9:10
did: 1.5 h replace oil pump; for 4; clock 9:30-11:00
used: 1 x OP-3310 oil pump, new @ 140.00; for 4
proof: of 2 now 24 psi"""


def ready(shop: Shop, rules: str, *, lines: str = LINES) -> int:
    """A ticket with all that MCL 257.1334 asks of the final statement, under the rules of a place."""
    fill(shop)
    prices = json.loads(json.dumps(prices_document(money.prices(shop))))
    prices["details"] = {"statements": [{"field": "completion certificate", "words": "The work is complete."}]}
    money.set_prices(shop, json.dumps(prices))
    set_setting(shop, "rules", rules)
    number = new_ticket(shop)
    add_lines(shop, number, lines)
    return number


def asked(shop: Shop, number: int) -> list[str]:
    return [gap.question for gap in open_gaps(shop, number) if gap.id == "paper-incomplete"]


def test_a_whole_ticket_is_signed_under_the_law_of_michigan(shop: Shop) -> None:
    """MCL 257.1334 (read in the law itself) wants a signature for the shop on the final statement."""
    number = ready(shop, "US-MI")
    assert asked(shop, number) == []
    reasons = {gap.id: "not of this test" for gap in open_gaps(shop, number) if not gap.id.startswith("paper")}
    sign_ticket(shop, number, overruled=reasons)
    assert ticket_of(shop, number).status == "signed"


def test_what_only_people_can_give_is_still_asked_for(shop: Shop) -> None:
    number = ready(shop, "US-MI", lines="\n".join(line for line in LINES.split("\n") if not line.startswith("told")))
    (question,) = asked(shop, number)
    assert "the repairs that were authorised" in question
    assert "signature" not in question
    with pytest.raises(ConflictError):
        sign_ticket(shop, number)


def test_no_local_rule_asks_before_signing_for_what_signing_gives(shop: Shop) -> None:
    number = ready(shop, "neutral")
    for place in packaged():
        set_setting(shop, "rules", place)
        told = " ".join(asked(shop, number))
        assert "signature for the shop" not in told, place
        assert "the day the vehicle left" not in told, place
