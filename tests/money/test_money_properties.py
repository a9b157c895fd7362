"""What holds for every bill: sums, shares, signs, order of lines, and the way through JSON."""

import json
from dataclasses import replace
from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from support.tickets import tickets
from ticket.job.codec import encode
from ticket.job.kinds import Did, Used
from ticket.job.ticket import Ticket
from ticket.job.values import PAYERS
from ticket.money.agreement import agreement
from ticket.money.amount import HIGHEST, cents, half_up, plain, spread
from ticket.money.bill import Bill, bill
from ticket.money.prices import LINES, Fee, Place, PriceList, Rate, TaxRate
from ticket.money.terms import CoreReturn, Cover, Overlap, Share, Split, Terms

sums = st.integers(0, 50_000).map(plain)
percents = st.integers(0, 15_000).map(lambda n: f"{n // 1000}.{n % 1000:03d}")


@st.composite
def price_lists(draw: Any) -> PriceList:
    """A price list with up to two taxes on any lines and fees of both sorts."""
    some = st.lists(st.sampled_from(LINES), unique=True).map(tuple)
    taxes = tuple(
        TaxRate(name=f"tax {n}", percent=draw(percents), on=draw(some)) for n in range(draw(st.integers(0, 2)))
    )
    place = Place(
        name="here",
        taxes=taxes,
        per=draw(st.sampled_from(("line", "invoice"))),
        rates_are=draw(st.sampled_from(("combined", "split"))),
        rounding=draw(st.sampled_from(("half up", "down"))),
        core_before_tax=draw(st.sampled_from(((), ("rebuilt",), ("new", "used")))),
        exempt=draw(st.sampled_from(((), ("shop",), PAYERS))),
    )
    fees = (
        Fee(name="supplies", charge="supplies", percent=draw(percents), of=("labour", "part"), cap=draw(sums)),
        Fee(name="waste", charge="waste", amount=draw(sums), pays=draw(st.sampled_from(PAYERS))),
    )
    return PriceList(rates=(Rate(name="general", price=draw(sums)),), fees=fees, places=(place,))


@st.composite
def jobs(draw: Any) -> tuple[Ticket, PriceList, Terms]:
    """A whole ticket with a price list and terms that speak of its entries."""
    ticket = draw(tickets())
    billed = [entry.no for entry in ticket.living if isinstance(entry.fact, Did | Used)]
    mine = st.lists(st.sampled_from(billed), unique=True, max_size=3) if billed else st.just([])

    def shares() -> tuple[Share, ...]:
        payers = draw(st.lists(st.sampled_from(PAYERS), unique=True, min_size=1, max_size=4))
        parts = spread(100, draw(st.lists(st.integers(1, 9), min_size=len(payers), max_size=len(payers))))
        return tuple(Share(payer=payer, percent=str(part)) for payer, part in zip(payers, parts, strict=True))

    terms = Terms(
        deposit=draw(sums),
        discount=draw(sums),
        overlaps=tuple(Overlap(no=no, cut="0.7", reason="same cover off") for no in draw(mine)),
        cores=tuple(CoreReturn(no=no, quantity=draw(st.sampled_from(("", "1", "0.5", "9")))) for no in draw(mine)),
        splits=tuple(Split(no=no, shares=shares()) for no in draw(mine)),
        covers=tuple(Cover(payer=payer, deductible=draw(sums)) for payer in ("warranty", "contract")),
    )
    return ticket, draw(price_lists()), terms


def check_sums(made: Bill) -> None:
    groups = made.labour + made.parts + made.sublet + made.cores + made.fees
    assert groups == sum(line.amount for line in made.lines)
    assert made.total == groups - made.discount + made.tax == sum(payer.total for payer in made.payers)
    assert made.tax == sum(tax.amount for tax in made.taxes) == sum(payer.tax for payer in made.payers)
    assert sum(payer.deductible for payer in made.payers) == 0
    assert made.due + made.deposit == made.of("customer").total
    for payer in made.payers:
        assert payer.total == payer.lines - payer.discount + payer.tax + payer.deductible


@given(jobs())
def test_lines_taxes_and_payers_sum_to_the_total(job: tuple[Ticket, PriceList, Terms]) -> None:
    made = bill(*job)
    check_sums(made)
    for line in made.lines:
        assert sum(share.amount for share in line.shares) == line.amount
        assert sum(share.discount for share in line.shares) == line.discount
        assert sum(line.borne_by(payer) for payer in PAYERS) == line.amount - line.discount
    if job[1].places[0].per == "line":
        assert sum(line.tax for line in made.lines) == made.tax


@given(jobs())
def test_nothing_goes_below_zero(job: tuple[Ticket, PriceList, Terms]) -> None:
    made = bill(*job)
    assert all(payer.total >= 0 and payer.tax >= 0 and payer.discount >= 0 for payer in made.payers)
    for line in made.lines:
        back = line.kind == "core" and line.amount < 0
        assert all((share.amount <= 0) if back else (share.amount >= share.discount >= 0) for share in line.shares)
    assert made.cores >= 0


@given(jobs(), st.randoms(use_true_random=False))
def test_the_order_of_lines_changes_nothing(job: tuple[Ticket, PriceList, Terms], dice: Any) -> None:
    ticket, prices, terms = job
    entries = list(ticket.entries)
    dice.shuffle(entries)
    other = replace(ticket, entries=tuple(entries))
    assert bill(other, prices, terms) == bill(ticket, prices, terms)
    assert agreement(other, prices, terms) == agreement(ticket, prices, terms)


texts = st.text(max_size=12) | st.sampled_from(
    ("9" * 5000, "1/0", "1/3", "1e400", "-1", "<5", "NaN", "8.00/L", "/", "1/L/2")
)


@given(
    st.builds(Did, hours=texts, text=texts, rate=texts),
    st.builds(Used, amount=texts, unit=texts, part=texts, text=texts, price=texts, cost=texts, core=texts),
    jobs(),
)
def test_any_text_makes_a_bill(did: Did, used: Used, job: tuple[Ticket, PriceList, Terms]) -> None:
    ticket, prices, terms = job
    last = ticket.entries[-1]
    extra = (
        replace(last, no=last.no + 1, fact=did, replaces=None),
        replace(last, no=last.no + 2, fact=used, replaces=None),
    )
    made = bill(replace(ticket, entries=(*ticket.entries, *extra)), prices, terms)
    check_sums(made)
    json.dumps(encode(made))


@given(st.integers(-(10**9), 10**9), st.lists(st.integers(0, 10**6), min_size=1, max_size=9).filter(any))
def test_a_spread_loses_nothing_and_is_fair(total: int, weights: list[int]) -> None:
    shares = spread(total, weights)
    assert sum(shares) == total
    for share, weight in zip(shares, weights, strict=True):
        assert abs(share - Fraction(total * weight, sum(weights))) < 1
        assert share * total >= 0


@given(st.fractions(-(10**6), 10**6))
def test_rounding_is_to_the_nearest_and_alike_on_both_sides(value: Fraction) -> None:
    assert abs(half_up(value) - value) <= Fraction(1, 2)
    assert half_up(-value) == -half_up(value)


@given(st.integers(0, HIGHEST))
def test_an_amount_reads_back_from_its_print(value: int) -> None:
    assert cents(plain(value)) == value
