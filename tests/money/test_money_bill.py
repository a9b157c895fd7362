"""The bill of a ticket, line by line, and who pays what."""

import dataclasses
from datetime import UTC, datetime
from fractions import Fraction
from typing import Any

import pytest

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Fact, Found, Used
from ticket.job.ticket import Ticket
from ticket.job.values import Clock
from ticket.money.bill import Bill, bill
from ticket.money.prices import Band, Fee, Part, Place, PriceList, PriceTable, Rate, TaxRate
from ticket.money.terms import CoreReturn, Cover, Overlap, Share, Split, Terms

AT = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)
RATES = (Rate(name="general", price="100"), Rate(name="machine shop", price="93.65", kind="fabrication"))


def job(*facts: Fact, **marks: Any) -> Ticket:
    entries = tuple(Entry(no, fact, "K.", AT, **marks) for no, fact in enumerate(facts, 1))
    return Ticket(number=12, opened=AT, entries=entries)


def taxed(percent: str, *on: str, **how: Any) -> PriceList:
    place = Place(name="here", taxes=(TaxRate(name="sales tax", percent=percent, on=on),), **how)
    return PriceList(rates=RATES, places=(place,))


def amounts(made: Bill) -> list[int]:
    return [line.amount for line in made.lines]


def test_labour_parts_and_fluids() -> None:
    """Arithmetic: 1.2 h x 100, 0.9 L x 21.40, 5.2 L x 8.90, 1 x 1.85."""
    made = bill(
        job(
            Found(what="oil level high"),
            Did(hours="1.2", text="change engine oil"),
            Used(amount="0.9", unit="L", part="FD-46", text="fan-drive fluid", price="21.40/L"),
            Used(amount="5.2", unit="L", text="engine oil", price="8.90"),
            Used(amount="1", unit="x", part="4410-77", text="drain washer", condition="new", price="$1.85"),
        ),
        PriceList(rates=RATES),
    )
    assert amounts(made) == [12000, 1926, 4628, 185]
    assert [line.kind for line in made.lines] == ["labour", "fluid", "fluid", "part"]
    assert (made.labour, made.parts, made.tax, made.total, made.due) == (12000, 6739, 0, 18739, 18739)
    assert [line.no for line in made.lines] == [2, 3, 4, 5]
    assert not made.doubts


def test_labour_by_clock_by_rate_class_and_with_overlap() -> None:
    """Punches of 62 and 20 minutes are 82 minutes = 1.4 h; 3.5 h x 93.65 = 327.775 (trade-press column)."""
    spans = (Clock("8:00", "9:02"), Clock("9:30", "9:50"))
    ticket = job(
        Did(text="find the fault", clock=spans),
        Did(hours="3.5", text="turn a bush", rate="machine shop", clock=spans),
        Did(hours="1.2", text="front pads"),
    )
    made = bill(ticket, PriceList(rates=RATES), Terms(overlaps=(Overlap(no=3, cut="0.4", reason="wheels off twice"),)))
    assert amounts(made) == [14000, 32778, 8000]
    assert [line.clock for line in made.lines] == ["1.4", "1.4", ""]
    third = made.lines[2]
    assert (third.book, third.cut, third.quantity, third.reason) == ("1.2", "0.4", "0.8", "wheels off twice")
    assert made.lines[1].kind == "fabrication"


def test_prices_from_the_list_and_from_the_cost() -> None:
    prices = PriceList(
        rates=RATES,
        tables=(
            PriceTable(name="parts", basis="markup", bands=(Band(start="0", value="40"), Band(start="50", value="25"))),
            PriceTable(name="outside", basis="markup", bands=(Band(start="0", value="20"),)),
        ),
        part_table="parts",
        sublet_table="outside",
        parts=(Part(number="OL-5", text="engine oil", price="8.00", unit="L"), Part(number="7-11", cost="50")),
    )
    made = bill(
        job(
            Used(amount="5", unit="qt", part="OL-5", text="engine oil"),
            Used(amount="2", unit="x", part="7-11", text="sensor", condition="new"),
            Used(amount="1", unit="x", text="machine the disc", condition="sublet", cost="80"),
            Used(amount="1", unit="x", text="own filter", condition="customer's own"),
        ),
        prices,
    )
    # 5 qt = 4.73176473 L (NIST Handbook 44) x 8.00 = 37.854...
    assert amounts(made) == [3785, 12500, 9600, 0]
    assert made.lines[0].price == "8.00/L"
    assert (made.sublet, made.lines[2].kind) == (9600, "sublet")
    assert not made.doubts


@pytest.mark.parametrize(
    ("fact", "about"),
    [
        (Used(amount="1", unit="x", text="seal"), "price"),
        (Used(amount="1", unit="x", text="seal", price="dear"), "price"),
        (Used(amount="1", unit="x", text="oil", price="8.00/L"), "unit"),
        (Used(amount="many", unit="x", text="seal", price="1"), "quantity"),
        (Used(amount="9" * 5000, unit="x", text="seal", price="1"), "quantity"),
        (Used(amount="1", unit="x", text="seal", price="1", core="deposit"), "core"),
        (Did(hours="1.0", text="weld", rate="night"), "rate"),
        (Did(hours="long", text="weld"), "hours"),
        (Did(text="weld", clock=(Clock("8", "9"),)), "clock"),
    ],
)
def test_what_cannot_be_priced_is_a_doubt_and_never_a_guess(fact: Fact, about: str) -> None:
    made = bill(job(fact), PriceList(rates=RATES))
    assert [doubt.about for doubt in made.doubts] == [about]
    assert made.total == (100 if about == "core" else 0)


def test_a_core_on_a_new_part_is_taxed_and_comes_back_after_tax() -> None:
    """State leaflet as quoted: battery 54.00 with core 7.00 at 7 per cent: tax 3.78, credit 7.00, total 50.78."""
    ticket = job(Used(amount="1", unit="x", text="battery", condition="new", price="47", core="7"))
    prices = taxed("7", "part", "core", core_before_tax=("rebuilt",))
    assert bill(ticket, prices).total == 5400 + 378
    back = bill(ticket, prices, Terms(cores=(CoreReturn(no=1, date="2026-03-02"),)))
    assert (back.tax, back.total, back.cores) == (378, 5078, 0)
    assert [(line.of, line.amount) for line in back.lines] == [(0, 4700), (1, 700), (1, -700)]


@pytest.mark.parametrize("per", ["invoice", "line"])
def test_a_core_on_a_rebuilt_part_comes_off_before_tax(per: str) -> None:
    """Derived from the same guide: 47.00 x 7 per cent = 3.29, total 50.29."""
    ticket = job(Used(amount="1", unit="x", text="battery", condition="rebuilt", price="47", core="7"))
    prices = taxed("7", "part", "core", core_before_tax=("rebuilt",), per=per)
    back = bill(ticket, prices, Terms(cores=(CoreReturn(no=1),)))
    assert (back.tax, back.total) == (329, 5029)


def test_a_rebuilt_engine_is_taxed_without_the_old_one() -> None:
    """26 CFR 48.4062(b)-1: a rebuilt engine for 100 and the old engine: the base is 100."""
    ticket = job(Used(amount="1", unit="x", text="engine", condition="rebuilt", price="100", core="60"))
    prices = taxed("10", "part", "core", core_before_tax=("rebuilt",))
    assert bill(ticket, prices, Terms(cores=(CoreReturn(no=1),))).taxes[0].base == 10000


def test_more_cores_than_were_charged_never_come_back() -> None:
    ticket = job(Used(amount="2", unit="x", text="caliper", price="60", core="40"))
    made = bill(ticket, PriceList(), Terms(cores=(CoreReturn(no=1, quantity="5"),)))
    assert (made.cores, made.total) == (0, 12000)


def test_tax_by_line_and_by_invoice_is_an_election() -> None:
    """Streamlined agreement s. 324: the seller elects item or invoice; 3 x 0.045 is 0.15 by line, 0.14 by invoice."""
    ticket = job(*[Used(amount="1", unit="x", text="clip", price="0.50")] * 3)
    by_line, by_invoice = (bill(ticket, taxed("9", "part", per=per)) for per in ("line", "invoice"))
    assert (by_line.tax, by_invoice.tax) == (15, 14)
    assert [line.tax for line in by_line.lines] == [5, 5, 5]
    assert not any(line.tax for line in by_invoice.lines)


@pytest.mark.parametrize(("rates_are", "tax"), [("combined", [415]), ("split", [160, 256])])
def test_combined_and_split_rates(rates_are: str, tax: list[int]) -> None:
    """Excise Tax Act (Canada) 165.2(2), case 125136: 31.95 with 13 per cent is 4.15; with 5 and 8 it is 4.16."""
    rates = (
        TaxRate(name="federal", percent="5", on=("part",)), TaxRate(name="provincial", percent="8", on=("part",)),
    )  # fmt: skip
    prices = PriceList(places=(Place(name="here", taxes=rates, rates_are=rates_are),))
    made = bill(job(Used(amount="1", unit="x", text="belt", price="31.95")), prices)
    assert [one.amount for one in made.taxes] == tax
    assert made.total == 3195 + sum(tax)


def test_what_is_taxed_is_data() -> None:
    ticket = job(Did(hours="1", text="fit it"), Used(amount="1", unit="x", text="belt", price="50"))
    assert bill(ticket, taxed("10", "part")).tax == 500
    assert bill(ticket, taxed("10", "part", "labour")).tax == 1500
    assert [line.taxed for line in bill(ticket, taxed("10", "part")).lines] == [False, True]


def test_tax_follows_the_place() -> None:
    tax = TaxRate(name="t", percent="10", on=("part",))
    here, there = Place(name="here", taxes=(tax,)), Place(name="there", taxes=(dataclasses.replace(tax, percent="5"),))
    prices = PriceList(places=(here, there), place="here")
    ticket = job(Used(amount="1", unit="x", text="belt", price="50"))
    assert [bill(ticket, prices, Terms(place=place)).tax for place in ("", "there")] == [500, 250]
    assert [doubt.about for doubt in bill(ticket, prices, Terms(place="elsewhere")).doubts] == ["place"]
    assert [doubt.about for doubt in bill(ticket, PriceList(places=(here, there))).doubts] == ["place"]


@pytest.mark.parametrize(("base", "due"), [("375.00", 3000), ("375.01", 3000), ("374.99", 3000), ("300", 2400)])
def test_supplies_are_a_percentage_with_a_cap(base: str, due: int) -> None:
    """Common practice, no source: 8 per cent of 375.00 is 30.00, where the cap begins."""
    fee = Fee(name="supplies", charge="supplies", percent="8", of=("part",), cap="30")
    made = bill(job(Used(amount="1", unit="x", text="rack", price=base)), PriceList(fees=(fee,)))
    assert made.fees == due


def test_supplies_over_the_cap() -> None:
    """Common practice, no source: 8 per cent of 412.50 with a cap of 30 is 30.00, without it 33.00."""
    ticket = job(Used(amount="1", unit="x", text="rack", price="412.50"))
    fee = Fee(name="supplies", charge="supplies", percent="8", of=("part",))
    assert bill(ticket, PriceList(fees=(fee,))).fees == 3300
    assert bill(ticket, PriceList(fees=(dataclasses.replace(fee, cap="30"),))).fees == 3000


def test_a_fee_by_the_piece_falls_on_the_named_parts_only() -> None:
    """Fla. Stat. 403.718: 1.00 for each new tire."""
    fee = Fee(name="tire fee", charge="tire", amount="1.00", each=("tire", "tires"), law="Fla. Stat. 403.718")
    ticket = job(
        Used(amount="4", unit="x", text="all-season tires", price="90"),
        Used(amount="4", unit="x", text="valve", price="2"),
    )
    made = bill(ticket, PriceList(fees=(fee,)))
    assert (made.fees, made.lines[-1].quantity) == (400, "4")
    free = bill(job(Used(amount="4", unit="x", text="tires", price="90", pays="warranty")), PriceList(fees=(fee,)))
    assert free.fees == 0


def test_a_discount_is_spread_before_tax() -> None:
    """Arithmetic: 25.00 over 120, 80 and 50."""
    ticket = job(*[Used(amount="1", unit="x", text="part", price=price) for price in ("120", "80", "50")])
    made = bill(ticket, taxed("10", "part"), Terms(discount="25", discount_reason="waited a day"))
    assert [line.discount for line in made.lines] == [1200, 800, 500]
    assert (made.tax, made.total, made.discount_reason) == (2250, 24750, "waited a day")


def test_a_discount_is_the_customers_and_stops_at_zero() -> None:
    ticket = job(
        Used(amount="1", unit="x", text="hose", price="30"),
        Used(amount="1", unit="x", text="pump", price="90", pays="warranty"),
    )
    made = bill(ticket, PriceList(), Terms(discount="50"))
    assert (made.discount, made.of("customer").total, made.of("warranty").total) == (3000, 0, 9000)
    assert [doubt.about for doubt in made.doubts] == ["discount"]


def test_a_deposit_is_a_payment() -> None:
    made = bill(job(Used(amount="1", unit="x", text="hose", price="100")), taxed("10", "part"), Terms(deposit="150"))
    assert (made.tax, made.total, made.due) == (1000, 11000, -4000)


def test_a_deductible_moves_from_the_payer_to_the_customer() -> None:
    """Arithmetic: deductible 100, covered 640, not covered 45: the customer pays 145.00, the contract 540.00."""
    ticket = job(
        Used(amount="1", unit="x", text="pump", price="640", pays="contract"),
        Used(amount="1", unit="x", text="wiper", price="45"),
    )
    terms = Terms(covers=(Cover(payer="contract", name="Harrow Cover", deductible="100", approval="HC 88"),))
    made = bill(ticket, PriceList(), terms)
    assert (made.of("customer").total, made.of("contract").total, made.total) == (14500, 54000, 68500)
    small = bill(job(Used(amount="1", unit="x", text="clip", price="40", pays="contract")), PriceList(), terms)
    assert (small.of("customer").total, small.of("contract").total) == (4000, 0)


def test_a_line_may_be_split_and_its_core_goes_back_to_whom_it_came_from() -> None:
    ticket = job(Used(amount="1", unit="x", text="pump", price="0.05", core="0.02"))
    thirds = (
        Share(payer="customer", percent="33.3"),
        Share(payer="warranty", percent="33.3"),
        Share(payer="shop", percent="33.4"),
    )
    terms = Terms(splits=(Split(no=1, shares=thirds),), cores=(CoreReturn(no=1, quantity="0.5"),))
    made = bill(ticket, PriceList(), terms)
    assert [sum(share.amount for share in line.shares) for line in made.lines] == amounts(made) == [5, 2, -1]
    assert all(payer.total >= 0 for payer in made.payers)
    assert made.lines[0].pays == "several"


def test_free_lines_are_printed_at_nothing() -> None:
    """Cal. Bus. & Prof. Code 9884.8, Fla. Stat. 559.911, Wis. Adm. Code ATCP 132.08: warranty work is listed too."""
    ticket = job(
        Did(hours="1", text="replace pump", pays="warranty"),
        Did(hours="0.5", text="wash", pays="shop"),
        Did(text="road test"),
    )
    made = bill(ticket, taxed("10", "labour"))
    assert [(line.text, line.borne_by("customer")) for line in made.lines] == [
        ("replace pump", 0), ("wash", 0), ("road test", 0),
    ]  # fmt: skip
    assert (made.of("customer").total, made.of("warranty").total, made.of("shop").total) == (0, 11000, 5000)


def test_struck_and_replaced_entries_are_not_billed() -> None:
    ticket = job(Did(hours="1", text="a"), Did(hours="2", text="b"))
    entries = (
        dataclasses.replace(ticket.entries[0], struck=True),
        ticket.entries[1],
        Entry(3, Did(hours="3", text="b, corrected"), "K.", AT, replaces=2, reason="slip", amended=True),
    )
    made = bill(dataclasses.replace(ticket, entries=entries), PriceList(rates=RATES))
    assert amounts(made) == [30000]


def test_what_the_customer_pays_but_never_sees_is_a_doubt() -> None:
    made = bill(job(Did(hours="1", text="a"), shop_only=True), PriceList(rates=RATES))
    assert [doubt.about for doubt in made.doubts] == ["hidden"]
    astray = Terms(overlaps=(Overlap(no=9, cut="1", reason="r"),), splits=(Split(no=8, shares=()),))
    assert [doubt.no for doubt in bill(job(Did(text="a")), PriceList(rates=RATES), astray).doubts] == [9, 8]


def test_quantities_stay_exact() -> None:
    """A third of a litre at 10.00 three times is billed 3.33 each; nothing is lost between typing and product."""
    made = bill(job(Used(amount="1/3", unit="L", text="oil", price="10")), PriceList())
    assert amounts(made) == [333]
    assert Fraction(made.lines[0].quantity) == Fraction(1, 3)


def test_a_part_is_found_by_its_own_number_alone() -> None:
    prices = PriceList(parts=(Part(number="AA-1", price="3"), Part(number="BB-2", price="5")))
    assert [part and part.price for part in map(prices.part, ("BB-2", "AA-1", "BB-1", ""))] == ["5", "3", None, None]


def test_the_bill_says_whose_taxes_it_holds() -> None:
    work = job(Did(text="replace belt", hours="1"))
    there = taxed("7", "labour")
    assert bill(work, there).place == "here"
    assert bill(work, there, Terms(place="elsewhere")).place == "elsewhere"
    assert bill(work, PriceList(rates=RATES)).place == "none"
