"""The terms of a bill as the ticket states them, from typed lines to the sums of the bill."""

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.facts import facts
from support.tickets import MORNING, ticket_of, tickets
from ticket.job.entry import Entry
from ticket.job.kinds import Fact, Told
from ticket.job.ticket import Cover, Discount, Ticket
from ticket.money.bill import bill
from ticket.money.json_shapes import verify
from ticket.money.prices import PriceList, Rate
from ticket.money.terms import Terms
from ticket.money.terms_of import term_doubts, terms_of
from ticket.notes.read import read

PRICES = PriceList(rates=(Rate(name="general", price="100"),))
LINES = """
did: 1.5 h machine both rotors; less 0.2; shared: wheels are off anyway
used: 2 x AL-2290 alternator, rebuilt @ 100.00; core 40; core back 1
did: 1 h fit alternators; split warranty 60, customer 40
told: Ada Fenn in person, yes; total 400; deposit 150.00
told: Ada Fenn by phone, yes; deposit 10
""".strip()


def test_header_and_entries_become_terms() -> None:
    cover = Cover("Oakline Cover", "50", "7731")
    ticket = ticket_of(LINES, discount=Discount(percent="10", of=("labour",), reason="long wait"), warranty=cover)
    terms = terms_of(ticket)
    assert (terms.discount_percent, terms.discount_of, terms.discount_reason) == ("10", ("labour",), "long wait")
    assert [(one.no, one.cut, one.reason) for one in terms.overlaps] == [(1, "0.2", "wheels are off anyway")]
    assert [(one.no, one.quantity) for one in terms.cores] == [(2, "1")]
    assert [(one.no, [share.percent for share in one.shares]) for one in terms.splits] == [(3, ["60", "40"])]
    assert [(one.payer, one.name, one.deductible, one.approval) for one in terms.covers] == [
        ("warranty", "Oakline Cover", "50.00", "7731")
    ]
    assert terms.deposit == "160.00"
    assert term_doubts(ticket) == ()
    made = bill(ticket, PRICES, terms)
    # 1.3 h + 1 h at 100; of the second 60 to the warranty; 10 % of the customer's 130 + 40; cores 2 x 40 less one
    assert (made.labour, made.discount, made.cores, made.parts) == (230_00, 17_00, 40_00, 200_00)
    assert made.of("warranty").total == 60_00 - 50_00
    assert made.due == 230_00 + 200_00 + 40_00 - 17_00 - 10_00 - 160_00


def test_hours_cut_without_a_reason_are_doubted() -> None:
    assert [doubt.about for doubt in term_doubts(ticket_of("did: 1 h x; less 0.2"))] == ["overlap"]


def test_what_cannot_be_used_is_left_out_and_named() -> None:
    spoilt = ticket_of("told: A in person\nused: 1 x y", discount=Discount(amount="5", percent="5"))
    told = dataclasses.replace(spoilt.entries[0], fact=Told(who="A", deposit="a lot"))
    spoilt = dataclasses.replace(spoilt, entries=(told, *spoilt.entries[1:]))
    cover = dataclasses.replace(spoilt.header, contract=Cover("B", "a lot"))
    spoilt = dataclasses.replace(spoilt, header=cover)
    assert terms_of(spoilt) == Terms(covers=terms_of(spoilt).covers)
    assert sorted(doubt.about for doubt in term_doubts(spoilt)) == ["discount", "sum", "terms"]


@pytest.mark.parametrize(
    "line", ["did: 1 h x; split warranty 60, customer 30", "did: 1 h x; split warranty 60, warranty 40"]
)
def test_shares_that_are_not_the_whole_get_a_remark_and_stay_text(line: str) -> None:
    (draft,) = read(line)
    assert [remark.text for remark in draft.remarks] == [
        "Behind “split” shares that make 100, such as warranty 60, customer 40, was expected; it stays text."
    ]


@given(st.lists(facts("did") | facts("used") | facts("told"), max_size=5), tickets())
def test_terms_of_any_ticket_hold_and_make_a_bill(more: list[Fact], drawn: Ticket) -> None:
    start = len(drawn.entries) + 200
    entries = tuple(Entry(start + i, fact, "W.", MORNING) for i, fact in enumerate(more))
    ticket = dataclasses.replace(drawn, entries=(*drawn.entries, *entries))
    terms = terms_of(ticket)
    verify(terms)
    made = bill(ticket, PRICES, terms)
    assert made.total == sum(payer.total for payer in made.payers)
