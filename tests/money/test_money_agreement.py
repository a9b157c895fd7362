"""What the answers on a ticket agree to: sums, limits, versions, who speaks for whom, and when."""

import dataclasses
import time
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Fact, Later, Offer, Told
from ticket.job.ticket import Ticket
from ticket.job.values import Answer, Ref
from ticket.money.agreement import Agreement, agreement, offer_price, told_at
from ticket.money.prices import PriceList, Rate
from ticket.money.terms import Cover, Terms

AT = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)
SEAL, PUMP = Offer(text="replace seal", estimate="100"), Offer(text="replace pump", estimate="240.50")


def job(*facts: Fact) -> Ticket:
    return Ticket(12, AT, entries=tuple(Entry(no, fact, "W.", AT, "A") for no, fact in enumerate(facts, 1)))


def told(*answers: tuple[str, tuple[int, ...]], **more: Any) -> Told:
    given = tuple(Answer(answer, tuple(Ref(no) for no in to)) for answer, to in answers)
    return Told(**({"who": "Ada Fenn", "way": "phone", "address": "555-0134", "answers": given} | more))


def state(agreed: Agreement) -> tuple[int | None, bool, dict[int, str]]:
    return agreed.approved, agreed.ceiling, {offer.no: offer.answer for offer in agreed.offers}


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ([told(("yes", (1,)))], (10000, False, {1: "yes", 2: ""})),
        ([told(("yes", (1, 2)))], (34050, False, {1: "yes", 2: "yes"})),
        ([told(("yes", ()))], (34050, False, {1: "yes", 2: "yes"})),
        ([told(("yes", (1,)), ("no", (2,)))], (10000, False, {1: "yes", 2: "no"})),
        ([told(("no", (2,)), ("yes", ()))], (10000, False, {1: "yes", 2: "no"})),
        ([told(("yes", ()), total="300")], (30000, False, {1: "yes", 2: "yes"})),
        ([told(("yes", (1,)), total="110"), told(("yes", (2,)))], (35050, False, {1: "yes", 2: "yes"})),
        ([told(("yes", (1, 2))), told(("no", (2,)))], (10000, False, {1: "yes", 2: "no"})),
        ([told(("yes", (1, 2))), told(("thinks", (2,)))], (10000, False, {1: "yes", 2: "thinks"})),
        ([told(("yes", ())), told(("left message", ()))], (34050, False, {1: "yes", 2: "yes"})),
        ([told(("yes", (1,))), told(("yes", (1,)))], (10000, False, {1: "yes", 2: ""})),
        ([told(("yes", ()), ceiling="300")], (30000, True, {1: "yes", 2: "yes"})),
        ([told(("yes", ()), total="280", ceiling="300")], (30000, True, {1: "yes", 2: "yes"})),
        ([told(("yes", ()), ceiling="300"), told(("yes", ()), total="450")], (45000, False, {1: "yes", 2: "yes"})),
        # nothing but a yes agrees to anything
        ([told(("asked", ()), total="300")], (None, False, {1: "asked", 2: "asked"})),
        ([told(("thinks", ()), total="300")], (None, False, {1: "thinks", 2: "thinks"})),
        ([told(("no answer", ()))], (None, False, {1: "no answer", 2: "no answer"})),
        ([told(total="300")], (None, False, {1: "", 2: ""})),
        ([told(ceiling="300")], (None, False, {1: "", 2: ""})),
        ([told(("no", ()), total="300")], (None, False, {1: "no", 2: "no"})),
    ],
)
def test_what_the_answers_agree_to(answers: list[Told], expected: Any) -> None:
    assert state(agreement(job(SEAL, PUMP, *answers))) == expected


def test_an_answer_reaches_back_only() -> None:
    agreed = agreement(job(SEAL, told(("yes", ())), PUMP))
    assert state(agreed) == (10000, False, {1: "yes", 3: ""})


def test_a_deferred_item_may_be_agreed_to_by_its_number() -> None:
    agreed = agreement(job(SEAL, Later(text="brake hoses", estimate="80"), told(("yes", ())), told(("yes", (2,)))))
    assert state(agreed) == (18000, False, {1: "yes", 2: "yes"})


def test_a_yes_without_a_price() -> None:
    agreed = agreement(job(Offer(text="look further"), told(("yes", ()))))
    assert (agreed.said_yes, agreed.approved) == (True, None)


def test_an_answer_to_something_else_is_a_doubt() -> None:
    agreed = agreement(job(SEAL, Did(text="x"), told(("yes", (2,)))))
    assert [doubt.about for doubt in agreed.doubts] == ["answer"]
    assert state(agreed) == (None, False, {1: ""})
    assert [doubt.about for doubt in agreement(job(SEAL, told(("yes", ()), total="a lot"))).doubts] == ["sum"]


def amended(ticket: Ticket, fact: Fact, replaces: int) -> Ticket:
    no = len(ticket.entries) + 1
    entry = Entry(no, fact, "W.", AT, replaces=replaces, reason="new price", amended=True)
    return dataclasses.replace(ticket, entries=(*ticket.entries, entry))


def test_a_yes_holds_for_the_wording_it_was_given_to() -> None:
    ticket = amended(job(SEAL, told(("yes", (1,)))), dataclasses.replace(SEAL, estimate="150"), 1)
    agreed = agreement(ticket)
    assert state(agreed) == (10000, False, {3: ""})
    assert agreed.offers[0].version == 2
    again = dataclasses.replace(ticket, entries=(*ticket.entries, Entry(4, told(("yes", (3,))), "W.", AT)))
    assert state(agreement(again)) == (15000, False, {3: "yes"})


def test_a_blanket_yes_counts_one_wording_only() -> None:
    ticket = amended(job(SEAL), dataclasses.replace(SEAL, estimate="150"), 1)
    ticket = dataclasses.replace(ticket, entries=(*ticket.entries, Entry(3, told(("yes", ())), "W.", AT)))
    assert state(agreement(ticket)) == (15000, False, {2: "yes"})


def test_a_struck_answer_agrees_to_nothing() -> None:
    ticket = job(SEAL, told(("yes", ())))
    struck = dataclasses.replace(
        ticket, entries=(ticket.entries[0], dataclasses.replace(ticket.entries[1], struck=True))
    )
    assert not agreement(struck).said_yes


def test_a_payer_agrees_for_itself_alone() -> None:
    ticket = job(SEAL, told(("yes", (1,)), total="90", who="Harrow Cover, claims"), told(("yes", (1,)), total="20"))
    terms = Terms(covers=(Cover(payer="contract", name="Harrow Cover"),))
    assert agreement(ticket, terms=terms).approved == 2000
    assert agreement(ticket, terms=terms, payer="contract").approved == 9000


def test_contacts_are_evidence_with_a_version() -> None:
    agreed = agreement(
        job(SEAL, PUMP, told(("yes", (1,))), told(("asked", (2,)), by="N."), told(("yes", (2,)), at="15:30"))
    )
    assert [contact.version for contact in agreed.contacts] == [1, 1, 2]
    assert [contact.approved for contact in agreed.contacts] == [10000, 10000, 34050]
    first, second, third = agreed.contacts
    assert (first.who, first.way, first.address, first.taken_by, second.taken_by) == (
        "Ada Fenn", "phone", "555-0134", "W.", "N.",
    )  # fmt: skip
    assert (third.yes_to, third.at) == ((2,), AT.replace(hour=15, minute=30))


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("", "2026-03-02T09:10"),
        ("8:05", "2026-03-02T08:05"),
        ("2026-02-27 16:40", "2026-02-27T16:40"),
        ("2026-02-30 16:40", None),
        ("23:00", "2026-03-02T23:00"),
        ("24:00", None),
        ("25:00", None),
        ("noon", None),
    ],
)
def test_the_time_of_a_contact_is_the_shops_wall_clock(typed: str, expected: str | None) -> None:
    at = told_at(Told(who="Ada", at=typed), Entry(1, Told(who="Ada"), "W.", AT), timezone(timedelta(hours=-5)))
    assert (at.isoformat()[:16] if at else None) == expected


@pytest.mark.parametrize(
    ("offer", "expected"),
    [
        (Offer(text="x", estimate="99.95", hours="9"), 9995),
        (Offer(text="x", hours="1.5", parts="20"), 17000),
        (Offer(text="x", parts="20"), 2000),
        (Offer(text="x"), None),
        (Offer(text="x", hours="some"), None),
        (Offer(text="x", hours="9" * 6000), None),
        (Offer(text="x", estimate="about 90"), None),
    ],
)
def test_the_price_of_an_offer(offer: Offer, expected: int | None) -> None:
    assert offer_price(offer, PriceList(rates=(Rate(name="general", price="100"),))) == expected
    if offer.hours == "1.5":
        assert offer_price(offer) is None


def test_typed_times_stand_on_the_wall_clock_of_the_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    """IANA time zone data: New York is UTC-5 in winter and, from 8 March 2026 on, UTC-4."""
    monkeypatch.setenv("TZ", "America/New_York")
    time.tzset()
    try:
        entry = Entry(1, Told(who="Ada Fenn", at="9:00"), "W.", datetime(2026, 3, 2, 14, 10, tzinfo=UTC))
        assert told_at(Told(who="Ada Fenn", at="9:00"), entry, None) == datetime(2026, 3, 2, 14, tzinfo=UTC)
        summer = Told(who="Ada Fenn", at="2026-07-01 9:00")
        assert told_at(summer, entry, None) == datetime(2026, 7, 1, 13, tzinfo=UTC)
    finally:
        monkeypatch.undo()
        time.tzset()
