"""The account of a ticket: sides, rules that bear on it, what is missing; offers with versions; uncovered work."""

import dataclasses
from datetime import UTC, datetime

import pytest
from hypothesis import given

from support.tickets import ticket_of, tickets
from ticket.gaps.find import find_gaps
from ticket.gaps.gap import BLOCKING
from ticket.job.case import Case, Settings
from ticket.job.ticket import Cover, Ticket
from ticket.money.prices import Details, Fee, Place, PriceList, Rate, Statement, TaxRate
from ticket.money.terms_of import terms_of
from ticket.rules.account import Account, account
from ticket.rules.account_document import bill_document, estimate_document
from ticket.rules.estimate import estimate
from ticket.rules.pack import load, packaged
from ticket.rules.uncovered_work import uncovered_work

PRICES = PriceList(rates=(Rate(name="general", price="100"),), quotes="before tax")
JOB = """
says: horn silent
offer: replace horn; hours 1; parts 20
told: Ada Fenn by phone 555-0134, yes 2; at 9:00; by W. Orlo
did: 1 h replace horn; for 2; clock 9:10-10:10
used: 1 x HN-2041 horn, new @ 20.00; for 2
""".strip()


def ledger(lines: str, rules: str = "neutral", prices: PriceList = PRICES, **header: object) -> Account:
    ticket = ticket_of(lines, **header)  # type: ignore[arg-type]
    return account(ticket, prices, load(rules), terms_of(ticket), shop="Wrenfold")


def asked(found: Account, ticket: Ticket) -> dict[str, str]:
    case = Case(ticket, Settings(), datetime(2026, 3, 2, tzinfo=UTC).date())
    plain = {gap.id for gap in find_gaps(case)}
    return {gap.id: gap.level for gap in find_gaps(case, found) if gap.id not in plain}


def test_a_bill_as_agreed_is_within_and_asks_nothing() -> None:
    found = ledger(JOB)
    assert (found.customer.verdict.word, found.bill.total, found.offered) == ("within", 120_00, 120_00)
    assert (found.may_be_given, found.blocking, found.refused) == (True, (), ())
    assert asked(found, ticket_of(JOB)) == {}


def test_only_prices_of_offers_that_were_not_refused_are_offered() -> None:
    """Arithmetic: 120.00 was agreed to; what was refused and what is only deferred adds nothing."""
    more = JOB + "\noffer: polish lamp; est 10\ntold: Ada Fenn by phone, no 6\nlater: belt; due 500 mi; est 45"
    assert ledger(more).offered == 120_00
    assert ledger("says: horn silent\noffer: replace horn\ndid: 1 h replace horn; for 2").offered is None


@pytest.mark.parametrize(
    ("lines", "rules", "gap", "level"),
    [
        (JOB + "\nused: 1 x LP-1 lamp, new @ 0.01", "neutral", "bill-above-approved", BLOCKING),
        ("says: horn silent\ndid: 1 h replace horn", "neutral", "sum-not-agreed", "advice"),
        (JOB.replace("yes 2", "thinks 2"), "neutral", "bill-not-approved", BLOCKING),
        # Colorado: number called and who took the call, for what is added to the first yes (C.R.S. 42-9-105(1))
        (JOB + "\noffer: polish lamp; est 10\ntold: Ada Fenn by phone, yes 6", "US-CO", "consent-incomplete", "advice"),
        # Florida's invoice waits for guarantee and registration (Fla. Stat. 559.911)
        (JOB, "US-FL", "paper-incomplete", BLOCKING),
        (JOB + "\nused: 1 x LP-1 lamp, new", "neutral", "bill-price", "advice"),
        (JOB.replace("clock", "less 0.1; clock"), "neutral", "bill-overlap", "advice"),
    ],
)
def test_what_a_foreman_asks_about_money(lines: str, rules: str, gap: str, level: str) -> None:
    assert asked(ledger(lines, rules), ticket_of(lines)).get(gap) == level


def test_a_sum_with_tax_is_not_held_against_sums_before_tax() -> None:
    here = Place(name="here", taxes=(TaxRate(name="sales tax", percent="10", on=("part", "labour")),))
    prices = dataclasses.replace(PRICES, places=(here,))
    lines = JOB.replace("yes 2;", "yes 2; total 132 with tax;")
    assert asked(ledger(lines, prices=prices), ticket_of(lines))["bill-tax"] == BLOCKING
    told = dataclasses.replace(prices, quotes="with tax")
    assert asked(ledger(lines, prices=told), ticket_of(lines)) == {}, "100 and 20 with a tenth on top are 132"
    assert asked(ledger(lines.replace("with", "before").replace("132", "120"), prices=prices), ticket_of(JOB)) == {}


def test_a_shop_without_a_price_list_is_not_asked_for_prices() -> None:
    ticket = ticket_of(JOB)
    bare = account(ticket, PriceList(), load("neutral"), terms_of(ticket), priced=False)
    assert asked(bare, ticket) == {}


def test_a_fee_the_rules_refuse_keeps_the_bill_back() -> None:
    """K30, K31: 16 CCR 3356(g) has no line for supplies; Michigan's manual (4-1.2) takes them as a sum of money."""
    fee = dataclasses.replace(PRICES, fees=(Fee(name="supplies", charge="supplies", percent="8", of=("labour",)),))
    sum_of_money = dataclasses.replace(PRICES, fees=(Fee(name="supplies", charge="supplies", amount="8.00"),))
    california = ledger(JOB, "US-CA", fee)
    assert not california.may_be_given
    assert [charge.source.citation for _, charge in california.refused if charge.source] == ["16 CCR 3356(f), (g)"]
    assert asked(california, ticket_of(JOB))["fee-refused"] == BLOCKING
    assert ledger(JOB, "US-MI", fee).refused
    assert not ledger(JOB, "US-MI", sum_of_money).refused
    florida = next(rule for rule in ledger(JOB, "US-FL", fee).rules if rule.id == "US-FL/supplies with words")
    assert "if the estimate says" in florida.text  # K32, Fla. Stat. 559.905(1)(h)


def test_what_the_shop_states_on_every_paper_fills_a_field() -> None:
    """Fla. Stat. 559.911: guarantee with time and mileage, registration number."""
    details = Details(
        registration="WR-1", statements=(Statement(field="guarantee", words="12 months or 12,000 miles"),)
    )
    ready = dataclasses.replace(PRICES, details=details)
    assert {field.field for field in ledger(JOB, "US-FL").blocking} >= {"guarantee", "shop registration"}
    assert ledger(JOB, "US-FL", ready, odometer_in="10 mi").blocking == ()


def test_another_payer_is_held_to_the_sum_they_agreed_to() -> None:
    lines = (
        JOB.replace("for 2; clock", "for 2; pay warranty; clock")
        + "\ntold: Hollis Wray, Oakline by phone, yes 2; total 90"
    )
    found = ledger(lines, "US-FL", warranty=Cover("Oakline", "50", "77"))
    assert [(side.payer, side.verdict.word) for side in found.sides] == [("customer", "within"), ("warranty", "within")]
    dear = ledger(lines.replace("total 90", "total 49.99"), "US-FL", warranty=Cover("Oakline", "50", "77"))
    assert dear.worst.payer == "warranty"  # 100 less the deductible of 50; no local tolerance for a payer of the trade
    assert (dear.worst.verdict.word, dear.customer.verdict.word) == ("ask first", "within")


def test_versions_of_an_offer_and_who_answered_when() -> None:
    ticket = ticket_of(
        "offer: replace horn; est 40\ntold: Ada Fenn by phone, yes 1; at 9:00\noffer: replace both horns; est 70"
    )
    newer = dataclasses.replace(ticket.entries[2], replaces=1)
    ticket = dataclasses.replace(ticket, entries=(*ticket.entries[:2], newer))
    made = account(ticket, PRICES, load("neutral"), terms_of(ticket))
    found = estimate(ticket, made, PRICES, zone=UTC)
    (offer,) = found.offers
    assert (offer.no, offer.version, offer.price, offer.answer) == (3, 2, 70_00, "")  # the yes was to other words
    assert [(one.no, one.price) for one in offer.earlier] == [(1, 40_00)]
    assert (found.approved, found.allowed, found.room) == (40_00, 40_00, 40_00)


def test_a_change_after_the_yes_shows_what_the_rule_now_demands() -> None:
    """Cal. Bus. & Prof. Code 9884.9(a): date, time, who authorised, number called if any, what is added, new total."""
    assert not [rule for rule in ledger(JOB, "US-CA").rules if rule.text.startswith("More than was agreed")]
    more = ledger(JOB + "\noffer: polish lamp; est 10", "US-CA")
    (rule,) = (rule for rule in more.rules if rule.text.startswith("More than was agreed"))
    assert "9884.9(a)" in rule.citation
    assert {"date", "time", "who authorised", "new total"} <= set(rule.text.rstrip(".").split(": ")[1].split(", "))
    assert "number or address if one was used" in rule.text


@pytest.mark.parametrize(
    ("lines", "about"),
    [
        (JOB, []),
        (JOB.replace("yes 2", "no 2"), ["declined", "declined"]),
        (JOB.replace("at 9:00", "at 9:11"), ["early"]),
        (JOB.replace("at 9:00", "at 2026-03-03 9:00"), ["early"]),
        (JOB.replace("at 9:00", "at 2026-03-01 23:00"), []),
        (JOB.replace("at 9:00", "at 9:11").replace("clock 9:10-10:10", "clock 33:10-34:10"), []),  # no time of a day
    ],
)
def test_work_that_is_astray(lines: str, about: list[str]) -> None:
    ticket = ticket_of(lines)
    found = uncovered_work(ticket, UTC)
    assert [one.about for one in found] == about
    for one in found:
        refused = f"done on offer 2, which was answered no (entry {one.told})"
        early = f"begun before the yes to offer 2 at {one.at:%H:%M} (entry {one.told})"
        assert one.text == f"Entry {one.no} was {refused if one.about == 'declined' else early}."


@given(tickets(hostile=True))
def test_any_ticket_has_an_account_and_its_documents(ticket: Ticket) -> None:
    place = Place(name="here", taxes=(TaxRate(name="sales tax", percent="7.4", on=("part", "labour")),))
    prices = dataclasses.replace(PRICES, places=(place,))
    for rules in ("neutral", "US-FL"):
        found = account(ticket, prices, load(rules), terms_of(ticket))
        document = bill_document(found)
        assert document["verdict"] in ("within", "ask first", "not approved")
        assert {rule["id"].partition("/")[0] for rule in document["rules"]} <= set(packaged())
        assert all(rule["citation"] and rule["status"] for rule in document["rules"])
        assert estimate_document(estimate(ticket, found, prices))["ticket"] == ticket.number
