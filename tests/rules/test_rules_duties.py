"""Consent, papers, days, parts, warranty, tax and limits of the local rules, each with its citation."""

import dataclasses
from datetime import UTC, date, datetime
from typing import Any

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Fact, Found, Offer, Says, Told, Used
from ticket.job.ticket import Customer, Header, Person, Ticket, Vehicle
from ticket.job.values import Answer, Clock, Quantity
from ticket.money.agreement import agreement
from ticket.money.bill import bill
from ticket.money.prices import Place, PriceList, Rate, TaxRate
from ticket.money.terms import Terms
from ticket.rules.charge_rules import duties, may_charge, parts_duty
from ticket.rules.consent_rules import Consent, consent_faults, consent_of
from ticket.rules.pack import load
from ticket.rules.paper_duties import circumstances, missing, present
from ticket.rules.taxes import tax_differences, taxed

AT = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)
PRICES = PriceList(rates=(Rate(name="general", price="100"),))
FRIDAY, MONDAY, THURSDAY = date(2026, 3, 6), date(2026, 3, 9), date(2026, 3, 12)
FULL = frozenset(("date", "time", "who authorised", "who recorded", "channel", "work added", "cost added", "new total"))


def job(*facts: Fact, **header: Any) -> Ticket:
    entries = tuple(Entry(no, fact, "Kaia Rothmere", AT, "A") for no, fact in enumerate(facts, 1))
    return Ticket(12, AT, header=Header(**header), entries=entries)


def lacking(place: str, consent: Consent, case: str = "extra") -> list[str]:
    return [fault.missing for fault in consent_faults(load(place), consent, case)]


def test_california_wants_the_number_only_if_one_was_called() -> None:
    """Bus. & Prof. Code 9884.9(a): number "if any"; date and time always."""
    assert lacking("US-CA", Consent(channel="in person", have=FULL)) == []
    assert lacking("US-CA", Consent(channel="in person", have=FULL - {"time"})) == ["time"]
    assert lacking("US-CA", Consent(channel="phone", have=FULL)) == ["number or address"]


def test_colorado_wants_both_names() -> None:
    """C.R.S. 42-9-105(1): who gave and who received the consent, and the manner."""
    assert lacking("US-CO", Consent(channel="in person", have=FULL - {"who recorded"})) == ["who recorded"]
    assert lacking("US-CO", Consent(channel="in person", have=FULL)) == []


def test_an_oral_law_does_not_refuse_a_letter_but_a_written_one_refuses_speech() -> None:
    """C.R.S. 42-9-105(1): written or oral; Bus. & Prof. Code 9884.9(d): a designation is made in writing."""
    assert lacking("US-CO", Consent(channel="letter", have=FULL | {"number or address"})) == []
    spoken = lacking("US-CA", Consent(channel="phone", have=frozenset()), "designee")
    assert spoken[0] == "a consent by writing or signature"


def test_a_contact_on_the_ticket_is_a_consent() -> None:
    told = Told(who="Ada Fenn", way="phone", address="555-0134", answers=(Answer("yes"),), total="90")
    agreed = agreement(job(Offer(text="replace seal", estimate="90"), told))
    consent = consent_of(agreed.contacts[0], agreed)
    for place in ("US-CA", "US-CO", "US-MI", "US-WI", "CA-ON", "neutral"):
        assert lacking(place, consent) == []
    bare = dataclasses.replace(told, address="", total="")
    other = agreement(job(Offer(text="replace seal"), bare))
    assert lacking("US-CA", consent_of(other.contacts[0], other)) == ["number or address", "cost added", "new total"]


SHOP = ("Wrenfold Vehicle Repair", (Person("Kaia Rothmere"), Person("Nell Ivarsen", "writer")))


def fields(place: str, paper: str, ticket: Ticket, **how: Any) -> dict[str, bool]:
    made, agreed = bill(ticket, PRICES), agreement(ticket)
    have = present(ticket, made, agreed, PRICES, shop=SHOP[0], people=SHOP[1])
    when = circumstances(made, agreed)
    return {one.field: one.blocks for one in missing(load(place), paper, have, when, **how)}


def test_wisconsin_wants_the_clock_beside_flat_hours() -> None:
    """Wis. Adm. Code ATCP 132.08(7): blocks until actual hours are there."""
    flat = Did(hours="3.5", text="replace rack")
    assert fields("US-WI", "invoice", job(flat))["actual hours"]
    clocked = dataclasses.replace(flat, clock=(Clock("8:00", "11:12"),))
    assert "actual hours" not in fields("US-WI", "invoice", job(clocked))
    by_clock = Did(text="replace rack", clock=(Clock("8:00", "11:12"),))
    assert "actual hours" not in fields("US-WI", "invoice", job(by_clock))


def test_michigan_wants_the_mechanics_by_name() -> None:
    """MCL 257.1334(g): who diagnosed and who repaired; blocks."""
    ticket = job(Found(what="rack leaks"), Did(hours="1", text="replace rack", by="Kaia Rothmere"))
    assert "repaired by" not in fields("US-MI", "invoice", ticket)
    assert "diagnosed by" not in fields("US-MI", "invoice", ticket)
    written = job(Did(hours="1", text="replace rack", by="Nell Ivarsen"))  # the writer is no mechanic
    assert fields("US-MI", "invoice", written)["repaired by"]
    assert fields("US-MI", "invoice", written)["diagnosed by"]


def test_one_part_without_its_kind_is_a_missing_field() -> None:
    """16 CCR 3356(c)(2): the description of each part states whether it is new, used, rebuilt ..."""
    new = Used(amount="1", unit="x", text="rack", price="80", condition="new")
    assert "part kinds" not in fields("US-CA", "invoice", job(new))
    assert fields("US-CA", "invoice", job(new, dataclasses.replace(new, condition="")))["part kinds"]


def test_wisconsin_wants_a_date_when_much_was_prepaid() -> None:
    """Wis. Adm. Code ATCP 132.05: 250 or more."""
    assert "promised date" not in fields("US-WI", "order", job(), deposit=24999)
    assert "promised date" in fields("US-WI", "order", job(), deposit=25000)
    assert "promised date" not in fields("US-WI", "order", job(ready_by="Friday"), deposit=25000)


def test_a_full_ticket_fills_the_neutral_invoice() -> None:
    ticket = job(
        Says(text="it drips"),
        Did(hours="1", text="replace rack"),
        vehicle=Vehicle("Corvane Alder", vin="1A", plate="GRN 04"),
        customer=Customer("Ada Fenn"),
        odometer_in=Quantity("100,214", "mi"),
    )
    assert fields("neutral", "invoice", ticket) == {}
    assert set(fields("neutral", "invoice", job())) == {"customer name", "vehicle", "odometer in", "work done"}


def test_another_payer_and_a_teardown_ask_for_more_in_california() -> None:
    """16 CCR 3353(b), (c), (d)."""
    covered = job(Did(hours="1", text="replace rack", pays="warranty"))
    assert {"payer sum", "claim"} <= set(fields("US-CA", "estimate", covered))
    assert len(fields("US-CA", "teardown estimate", covered)) == 5


def test_old_parts() -> None:
    """Bus. & Prof. Code 9884.10; MCL 257.1333; Veh. & Traf. Law 398-d(1); Consumer Protection Act, 2002, s. 61."""
    california, michigan, ontario = load("US-CA"), load("US-MI"), load("CA-ON")
    assert not parts_duty(california).give_back
    assert parts_duty(california, asked=True).give_back
    exchange = parts_duty(california, asked=True, kinds=["exchange"])
    assert (exchange.give_back, exchange.say) == (False, "not returnable")
    assert parts_duty(michigan).give_back
    assert not parts_duty(michigan, kinds=["heavy"]).give_back
    assert not parts_duty(ontario, declined=True).give_back
    assert parts_duty(load("US-NY")).duty == "on written demand"


def test_storage_and_teardown_have_their_conditions() -> None:
    """MCL 257.1307e(f); Fla. Stat. 559.909(2); 16 CCR 3353(e)."""
    assert may_charge(load("US-MI"), "storage", 2000).unmet == ("no price dispute", "customer consent")
    assert may_charge(load("US-FL"), "teardown", 2000, {"told in the estimate"}).allowed
    assert not may_charge(load("US-CA"), "towing", 9000).allowed
    assert may_charge(load("US-CA"), "other", 9000).source is None


def test_duties_in_words_add_up_along_the_chain() -> None:
    assert [duty.source.rules for duty in duties(load("US-CA"), "sublet")] == ["US-CA/sublet"]
    assert [duty.source.rules for duty in duties(load("US-CA"), "labour time")] == ["US/labour time"]


def test_what_is_taxed_where() -> None:
    """State tax guides: California, Minnesota (labour apart), Washington (the total charge)."""
    assert [taxed(load(place), "labour") for place in ("US-CA", "US-WA", "US-NY")] == [False, True, True]
    assert taxed(load("US-MN"), "labour", apart=False)
    assert taxed(load("US-CA"), "fabrication")
    assert taxed(load("US-FL"), "part") is None


def test_a_price_list_that_taxes_otherwise_is_told() -> None:
    """RCW 82.08.054: one combined rate; California: no tax on repair labour, cores by the condition of the part."""
    tax = TaxRate(name="sales", percent="9", on=("part", "fluid"))
    place = Place(name="here", taxes=(tax, dataclasses.replace(tax, name="county")), rates_are="split", rounding="down")
    told = [one.text for one in tax_differences(load("US-WA"), place)]
    assert told == [
        "labour is taxed there, the price list says otherwise",
        "tax is rounded half up there, not down",
        "the rates are combined there",
    ]
    fine = Place(
        name="here", taxes=(TaxRate(name="sales", percent="7", on=("part", "fluid", "fabrication", "core")),),
        core_before_tax=("rebuilt", "reconditioned"),
    )  # fmt: skip
    assert tax_differences(load("US-CA"), fine) == ()
    assert len(tax_differences(load("US-CA"), dataclasses.replace(fine, core_before_tax=()))) == 2
    assert tax_differences(load("US-WA"), Place(name="none")) == ()


def test_terms_name_the_approval_of_a_payer() -> None:
    ticket = job(Did(hours="1", text="x", pays="contract"))
    made = bill(ticket, PRICES, Terms())
    assert "payer sum" not in present(ticket, made, agreement(ticket), PRICES)
