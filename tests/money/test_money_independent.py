"""The bill again by another road: plain ``Decimal`` sums from the same figures, never looking at the program's lines.

10,000 random bills; ``BILLS`` in the environment names another number.
"""

import os
import random
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import UTC, datetime
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal, localcontext
from typing import Any

import pytest

from ticket.job.entry import Entry
from ticket.job.kinds import CONDITIONS, Did, Fact, Used
from ticket.job.ticket import Ticket
from ticket.job.values import PAYERS
from ticket.money.bill import Bill, bill
from ticket.money.prices import Band, Fee, Place, PriceList, PriceTable, Rate, TaxRate
from ticket.money.terms import CoreReturn, Cover, Overlap, Share, Split, Terms

AT = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)
CENT = Decimal("0.01")
QUART = Decimal("0.946352946")  # litres, NIST Handbook 44 appendix C
CLASSES = ("labour", "fabrication", "part", "fluid", "sublet", "core", "supplies")


def nearest(value: Decimal, rounding: str = ROUND_HALF_UP) -> int:
    return int((value / CENT).quantize(Decimal(1), rounding))


@dataclass
class Item:
    """One line as dealt: its class and its cents, who bears it by weight, its condition."""

    kind: str
    cents: int
    weights: dict[str, Decimal]
    condition: str = ""
    of: "Item | None" = None
    borne: dict[str, int] = field(default_factory=dict)
    off: int = 0


@dataclass
class Deal:
    """One random job: the ticket and settings for the program, the items for the other road."""

    ticket: Ticket
    prices: PriceList
    terms: Terms
    items: list[Item]


def number(dice: random.Random, most: int, places: int) -> str:
    return str(Decimal(dice.randint(1, most * 10**places)).scaleb(-places))


def deal(dice: random.Random) -> Deal:
    rates = (Rate(name="general", price=number(dice, 190, 2)), Rate(name="bench", price="93.65", kind="fabrication"))
    markup = str(dice.choice((0, 12, 25, 40)))
    edge, lower, upper = number(dice, 60, 2), dice.choice(("2.5", "1.8")), dice.choice(("1.35", "1.6"))
    tables = (
        PriceTable(name="parts", basis="times", bands=(Band(start="0", value=lower), Band(start=edge, value=upper))),
        PriceTable(name="outside", basis="markup", bands=(Band(start="0", value=markup),)),
    )
    facts: list[Fact] = []
    items: list[Item] = []
    splits, cores, overlaps = [], [], []
    for no in range(1, dice.randint(1, 9) + 1):
        pays = dice.choice(("", "", *PAYERS))
        weights = {pays or "customer": Decimal(1)}
        if dice.random() < 0.2:
            sides = dice.sample(PAYERS, dice.randint(2, 4))
            cuts = sorted(dice.sample(range(1, 1000), len(sides) - 1))
            parts = [b - a for a, b in zip([0, *cuts], [*cuts, 1000], strict=True)]
            weights = {side: Decimal(part).scaleb(-1) for side, part in zip(sides, parts, strict=True)}
            splits.append(
                Split(no=no, shares=tuple(Share(payer=side, percent=str(part)) for side, part in weights.items()))
            )
        kind = dice.choice(("labour", "part", "part", "fluid", "sublet"))
        if kind == "labour":
            rate, hours = dice.choice(rates), number(dice, 6, dice.choice((0, 1, 2)))
            billed = Decimal(hours)
            if dice.random() < 0.2:
                cut = number(dice, 3, 1)
                overlaps.append(Overlap(no=no, cut=cut, reason="same steps"))
                billed = max(Decimal(0), billed - Decimal(cut))
            facts.append(Did(hours=hours, text="work", rate=rate.name, pays=pays))
            items.append(Item(rate.kind, nearest(billed * Decimal(rate.price)), weights))
        elif kind == "fluid":
            amount, each, unit = number(dice, 9, 1), number(dice, 40, 2), dice.choice(("L", "qt"))
            facts.append(Used(amount=amount, unit=unit, text="oil", price=f"{each}/L", pays=pays))
            litres = Decimal(amount) * (QUART if unit == "qt" else 1)
            items.append(Item("fluid", nearest(litres * Decimal(each)), weights))
        elif kind == "sublet":
            cost = number(dice, 300, 2)
            facts.append(Used(amount="1", unit="x", text="lathe work", condition="sublet", cost=cost, pays=pays))
            each_cents = nearest(Decimal(cost) + Decimal(cost) * Decimal(markup) / 100)
            items.append(Item("sublet", each_cents, weights, "sublet"))
        else:
            condition = dice.choice(tuple(one for one in CONDITIONS if one != "sublet"))
            count, listed = str(dice.randint(1, 12)), dice.random() < 0.6
            value = number(dice, 250, dice.choice((0, 2, 3)) if listed else 2)
            core = number(dice, 90, 2) if dice.random() < 0.4 else ""
            facts.append(
                Used(
                    amount=count, unit="x", text="part", condition=condition, price=value if listed else "",
                    cost="" if listed else value, core=core, pays=pays,
                )
            )  # fmt: skip
            times = Decimal(1) if listed else Decimal(lower if Decimal(value) < Decimal(edge) else upper)
            one = Decimal(value) if listed else Decimal(nearest(Decimal(value) * times)) * CENT
            part = Item("part", nearest(Decimal(count) * one), weights, condition)
            items.append(part)
            if core:
                charge = Item("core", nearest(Decimal(count) * Decimal(core)), weights, condition)
                items.append(charge)
                if dice.random() < 0.7:
                    back = dice.randint(1, 13)
                    cores.append(CoreReturn(no=no, quantity=str(back)))
                    credit = nearest(Decimal(min(back, int(count))) * Decimal(core))
                    items.append(Item("core", -credit, weights, condition, of=charge))
    fee = Fee(
        name="supplies", charge="supplies", percent=number(dice, 9, 1), of=("labour", "part"), cap=number(dice, 40, 2)
    )
    names = ("state", "county")[: dice.randint(1, 2)]
    taxes = tuple(
        TaxRate(name=name, percent=number(dice, 12, 3), on=tuple(dice.sample(CLASSES, dice.randint(1, 7))))
        for name in names
    )
    place = Place(
        name="here", taxes=taxes, per=dice.choice(("invoice", "line")), rates_are=dice.choice(("combined", "split")),
        rounding=dice.choice(("half up", "half up", "down")), core_before_tax=dice.choice(((), ("rebuilt", "new"))),
        exempt=dice.choice((("shop",), (), ("shop", "warranty"))),
    )  # fmt: skip
    off: tuple[dict[str, Any], ...] = ({}, {"discount": number(dice, 90, 2)}, {"discount_percent": number(dice, 30, 1)})
    discount = dice.choice(off)
    covers = tuple(
        Cover(payer=payer, deductible=number(dice, 200, 2)) for payer in ("warranty", "contract") if dice.random() < 0.5
    )
    terms = Terms(
        **discount, deposit=number(dice, 50, 2), splits=tuple(splits), cores=tuple(cores), overlaps=tuple(overlaps),
        covers=covers,
    )  # fmt: skip
    prices = PriceList(
        rates=rates, tables=tables, part_table="parts", sublet_table="outside", fees=(fee,), places=(place,)
    )
    entries = [Entry(no, fact, "K.", AT) for no, fact in enumerate(facts, 1)]
    dice.shuffle(entries)
    return Deal(Ticket(1, AT, entries=tuple(entries)), prices, terms, items)


def largest_remainder(total: int, weights: list[int]) -> list[int]:
    whole = sum(weights)
    if not whole:
        return [0] * len(weights)
    shares = [total * weight // whole for weight in weights]
    order = sorted(range(len(weights)), key=lambda i: -(total * weights[i] % whole))
    for i in order[: total - sum(shares)]:
        shares[i] += 1
    return shares


def recompute(job: Deal) -> dict[str, int]:
    """Every sum of the bill from the dealt items."""
    fee, place, terms = job.prices.fees[0], job.prices.places[0], job.terms
    items = list(job.items)
    for item in items:
        source = item.of.borne if item.of else {side: int(weight * 1000) for side, weight in item.weights.items()}
        shares = largest_remainder(abs(item.cents), list(source.values()))
        item.borne = {side: share if item.cents >= 0 else -share for side, share in zip(source, shares, strict=True)}
    base = sum(item.borne.get("customer", 0) for item in items if item.kind in fee.of)
    due = min(nearest(Decimal(base) * Decimal(fee.percent) / 10000), nearest(Decimal(fee.cap)))
    items.append(Item("supplies", due, {}, borne={"customer": due}))

    weights = [
        item.borne.get("customer", 0) if item.kind in ("labour", "fabrication", "part", "fluid", "sublet") else 0
        for item in items
    ]
    asked = nearest(Decimal(terms.discount or 0))
    if terms.discount_percent:
        asked = nearest(Decimal(sum(weights)) * Decimal(terms.discount_percent) / 10000)
    for item, off in zip(items, largest_remainder(min(asked, sum(weights)), weights), strict=True):
        item.off = off

    net: dict[str, list[tuple[Item, int]]] = defaultdict(list)
    for item in items:
        for side, share in item.borne.items():
            net[side].append((item, share - (item.off if side == "customer" else 0)))
    rounding = ROUND_DOWN if place.rounding == "down" else ROUND_HALF_UP

    def tax(pairs: list[tuple[Item, int]]) -> int:
        raw = []
        for rate in place.taxes:
            falls = [
                share for item, share in pairs
                if item.kind in rate.on and (item.of is None or item.condition in place.core_before_tax)
            ]  # fmt: skip
            raw.append(Decimal(sum(falls)) * Decimal(rate.percent) / 10000)
        return (
            sum(nearest(one, rounding) for one in raw)
            if place.rates_are == "split"
            else nearest(sum(raw, Decimal(0)), rounding)
        )

    owed: dict[str, int] = {}
    taxed: dict[str, int] = {}
    for side, pairs in net.items():
        groups = [pairs] if place.per == "invoice" else [[pair] for pair in pairs]
        taxed[side] = 0 if side in place.exempt else sum(tax(group) for group in groups)
        owed[side] = sum(share for _, share in pairs) + taxed[side]
    for cover in terms.covers:
        moved = min(nearest(Decimal(cover.deductible)), owed.get(cover.payer, 0))
        owed[cover.payer] = owed.get(cover.payer, 0) - moved
        owed["customer"] = owed.get("customer", 0) + moved
    sums = {
        "labour": sum(item.cents for item in items if item.kind in ("labour", "fabrication")),
        "parts": sum(item.cents for item in items if item.kind in ("part", "fluid")),
        "sublet": sum(item.cents for item in items if item.kind == "sublet"),
        "cores": sum(item.cents for item in items if item.kind == "core"),
        "fees": due,
        "discount": sum(item.off for item in items),
        "tax": sum(taxed.values()),
        "total": sum(owed.values()),
        "due": owed.get("customer", 0) - nearest(Decimal(terms.deposit)),
    }
    return sums | {side: owed.get(side, 0) for side in PAYERS}


def sums_of(made: Bill) -> dict[str, int]:
    names = ("labour", "parts", "sublet", "cores", "fees", "discount", "tax", "total", "due")
    return {name: getattr(made, name) for name in names} | {side: made.of(side).total for side in PAYERS}


@pytest.mark.slow
@pytest.mark.parametrize("seed", [31, 32, 33, 34])
def test_another_road_comes_to_the_same_cents(seed: int) -> None:
    dice = random.Random(seed)
    with localcontext() as context:
        context.prec = 60
        for n in range(int(os.environ.get("BILLS", "10000")) // 4):
            job = deal(dice)
            made = bill(job.ticket, job.prices, job.terms)
            assert sums_of(made) == recompute(job), f"bill {n}"
            assert {doubt.about for doubt in made.doubts} <= {"discount"}
