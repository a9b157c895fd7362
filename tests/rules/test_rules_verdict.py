"""Bill, answers and local rules in one verdict."""

import dataclasses
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.tickets import tickets
from ticket.job.entry import Entry
from ticket.job.kinds import Did, Fact, Offer, Told, Used
from ticket.job.ticket import Ticket
from ticket.job.values import Answer, Ref
from ticket.money.agreement import agreement
from ticket.money.bill import bill
from ticket.money.prices import Place, PriceList, Rate, TaxRate
from ticket.money.terms import Cover, Terms
from ticket.rules.agreement_verdict import AgreementVerdict, verdict
from ticket.rules.overrun import Situation, allowed
from ticket.rules.pack import load, packaged

AT = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)
PLAIN = PriceList(rates=(Rate(name="general", price="100"),))
TAXED = dataclasses.replace(
    PLAIN, places=(Place(name="here", taxes=(TaxRate(name="sales", percent="10", on=("labour", "part")),)),)
)


def yes(*to: int, **more: Any) -> Told:
    return Told(**({"who": "Ada Fenn", "way": "phone", "answers": (Answer("yes", tuple(map(Ref, to))),)} | more))


def part(price: str, *refs: int, **more: Any) -> Used:
    return Used(**({"amount": "1", "unit": "x", "text": "rack", "price": price, "refs": tuple(map(Ref, refs))} | more))


def judge(
    place: str, *facts: Fact, prices: PriceList = PLAIN, terms: Terms | None = None, **how: Any
) -> AgreementVerdict:
    entries = tuple(Entry(no, fact, "W.", AT, "A") for no, fact in enumerate(facts, 1))
    ticket = Ticket(12, AT, entries=entries)
    made, agreed = bill(ticket, prices, terms), agreement(ticket, prices, terms)
    return verdict(ticket, made, agreed, load(place), **how)


OFFER = Offer(text="replace steering rack", estimate="400")


@pytest.mark.parametrize(
    ("place", "price", "word"),
    [
        ("US-CA", "400.00", "within"),
        ("US-CA", "400.01", "ask first"),  # Bus. & Prof. Code 9884.9(a)
        ("US-MA", "410.00", "within"),
        ("US-MA", "410.01", "ask first"),  # 940 CMR 5.05(7)
        ("US-OH", "439.99", "within"),
        ("US-OH", "440.00", "ask first"),  # Ohio Adm. Code 109:4-3-13(C)(2)
        ("US-FL", "440.00", "within"),
        ("US-FL", "440.01", "ask first"),  # Fla. Stat. 559.909
        ("neutral", "400.01", "ask first"),
    ],
)
def test_a_bill_against_an_estimate(place: str, price: str, word: str) -> None:
    found = judge(place, OFFER, yes(1), part(price, 1))
    assert found.word == word
    assert found.allowed is not None
    assert found.approved == 40000
    assert found.reason.startswith(f"The bill is {price}")


@pytest.mark.parametrize("place", packaged())
def test_one_cent_above_what_a_place_allows_is_asked_about(place: str) -> None:
    """Whatever a pack allows above an estimate of 400.00: the bill at that cent is within it, the next one is not."""
    most = allowed(40000, load(place)).allowed
    for sum_, word in ((most, "within"), (most + 1, "ask first")):
        assert judge(place, OFFER, yes(1), part(f"{sum_ // 100}.{sum_ % 100:02}", 1)).word == word


def test_tax_stays_out_where_estimates_are_told_before_tax() -> None:
    """RCW 46.71.025: 400 before tax, a bill of 440.00 + 10 per cent tax = 484.00 is allowed."""
    found = judge("US-WA", OFFER, yes(1), part("440", 1), prices=TAXED, quotes="before tax")
    assert (found.word, found.billed, found.basis) == ("within", 44000, "before tax")
    assert judge("US-WA", OFFER, yes(1), part("440", 1), prices=TAXED).billed == 48400
    assert judge("US-WA", OFFER, yes(1), part("440", 1), prices=TAXED).word == "ask first"


def test_a_limit_set_by_the_customer_has_no_tolerance() -> None:
    """Consumer Protection Act, 2002 (Ontario) s. 56; 815 ILCS 306/15(b)."""
    capped = dataclasses.replace(yes(1), ceiling="300")
    assert judge("CA-ON", OFFER, capped, part("300", 1)).word == "within"
    over = judge("CA-ON", OFFER, capped, part("300.01", 1))
    assert over.word == "ask first"
    assert over.allowed is not None
    assert over.allowed.rules == "CA-ON/maximum"


def test_a_diagnosis_after_which_the_repair_was_declined() -> None:
    """Agency answer on MCL 257.1332: diagnosis 53, repair of 285 declined, the customer pays 53."""
    facts = (
        Offer(text="diagnosis", estimate="53"),
        Offer(text="replace the fuel tank", estimate="285"),
        Told(who="Ada Fenn", answers=(Answer("yes", (Ref(1),)), Answer("no", (Ref(2),)))),
    )
    assert judge("US-MI", *facts, part("53.00", 1)).word == "within"
    over = judge("US-MI", *facts, part("53.01", 1))
    assert (over.word, over.allowed and over.allowed.allowed) == ("ask first", 5300)


def test_work_that_was_declined_is_not_approved_however_cheap() -> None:
    """940 CMR 5.05(7): also work beyond what was authorised."""
    declined = Told(who="Ada Fenn", answers=(Answer("yes", (Ref(1),)), Answer("no", (Ref(2),))))
    found = judge("US-MA", OFFER, Offer(text="wipers", estimate="5"), declined, part("20", 1), part("5", 2))
    assert (found.word, found.entries) == ("not approved", (5,))
    free = part("5", 2, pays="shop")
    assert judge("US-MA", OFFER, Offer(text="wipers"), declined, part("20", 1), free).word == "within"


def test_without_a_yes_nothing_is_approved() -> None:
    asked = Told(who="Ada Fenn", answers=(Answer("asked"),), total="500")
    assert judge("US-FL", OFFER, asked, part("20")).word == "not approved"
    assert judge("US-FL", part("20")).word == "not approved"
    assert judge("US-FL").word == "within"
    assert judge("US-FL", part("20", pays="warranty")).word == "within"


def test_a_yes_without_a_sum_is_asked_about() -> None:
    found = judge("US-FL", Offer(text="look further"), yes(), part("20", 1))
    assert (found.word, found.allowed) == ("ask first", None)


def test_a_customer_who_asked_to_be_called() -> None:
    """MCL 257.1332: the allowance is void."""
    call = Situation(asked_to_be_called=True)
    assert judge("US-MI", OFFER, yes(1), part("400.01", 1), options=call).word == "ask first"
    assert judge("US-MI", OFFER, yes(1), part("440.00", 1)).word == "within"


def test_a_payer_who_is_not_the_customer_does_not_lift_the_customers_limit() -> None:
    terms = Terms(covers=(Cover(payer="contract", name="Harrow Cover"),))
    facts = (OFFER, yes(1, total="100"), yes(1, total="900", who="Harrow Cover"), part("500", 1))
    assert judge("US-CA", *facts, terms=terms).word == "ask first"


@given(tickets(), st.sampled_from(packaged()))
def test_a_verdict_agrees_with_its_figures(ticket: Ticket, place: str) -> None:
    made, agreed = bill(ticket, PLAIN), agreement(ticket, PLAIN)
    found = verdict(ticket, made, agreed, load(place))
    assert found.billed == made.of("customer").total
    if found.word == "within" and found.billed:
        assert agreed.said_yes
        assert found.allowed is not None
        assert found.billed <= found.allowed.allowed
    if found.allowed:
        assert found.allowed.estimate == agreed.approved


@given(st.integers(0, 10**7), st.integers(0, 10**5), st.sampled_from(packaged()))
def test_a_higher_estimate_never_allows_less(estimate: int, more: int, place: str) -> None:
    """Hawaii alone has a step down, at 100 (HRS 437B-15(a): 15 per cent below, 10 above)."""
    step = place == "US-HI" and estimate < 10_000 <= estimate + more
    assert step or allowed(estimate, load(place)).allowed <= allowed(estimate + more, load(place)).allowed


def test_hours_are_billed_too() -> None:
    assert judge("US-CA", OFFER, yes(1), Did(hours="4.0", text="replace rack", refs=(Ref(1),))).word == "within"
