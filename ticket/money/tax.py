"""Tax by place: what falls on which line, who owes it, and one rounding of the exact product."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ticket.job.numbers import exact
from ticket.money.amount import down, half_up, written
from ticket.money.bill_line import Line
from ticket.money.prices import Place, TaxRate


@dataclass(frozen=True, slots=True, kw_only=True)
class Tax:
    """A tax one payer owes: its name, rate in per cent (empty where it differs by line), base and sum in cents."""

    payer: str
    name: str
    percent: str
    base: int
    amount: int


def falls_on(line: Line, tax: TaxRate, place: Place) -> bool:
    """True where a tax falls on a line. A core comes back before tax only for the conditions the place names."""
    if line.kind not in tax.on:
        return False
    return line.amount >= 0 or line.kind != "core" or line.condition in place.core_before_tax


def rounded(value: Fraction, place: Place) -> int:
    """An exact tax in cents as the place rounds it."""
    return down(value) if place.rounding == "down" else half_up(value)


def sums(bases: Sequence[tuple[Fraction, int]], place: Place) -> list[int]:
    """Tax on (rate in per cent, base in cents) pairs: one sum for combined rates, one for each for split ones."""
    exact_taxes = [rate * base / 100 for rate, base in bases]
    if place.rates_are == "split":
        return [rounded(tax, place) for tax in exact_taxes]
    return [rounded(sum(exact_taxes, Fraction(0)), place)] if bases else []


def _bases(nets: Iterable[tuple[Line, int]], place: Place) -> list[tuple[Fraction, int]]:
    pairs = list(nets)
    return [
        (exact(tax.percent) or Fraction(0), sum(net for line, net in pairs if falls_on(line, tax, place)))
        for tax in place.taxes
    ]


def tax_lines(lines: Sequence[Line], place: Place) -> tuple[Line, ...]:
    """The lines with what is taxed marked and, where the place taxes by line, the tax in each payer's share."""
    marked = []
    for line in lines:
        shares = line.shares
        if place.per == "line":
            shares = tuple(
                replace(share, tax=sum(sums(_bases([(line, share.net)], place), place)))
                if share.payer not in place.exempt
                else share
                for share in shares
            )
        taxed = any(falls_on(line, tax, place) for tax in place.taxes)
        marked.append(replace(line, taxed=taxed, shares=shares, tax=sum(share.tax for share in shares)))
    return tuple(marked)


def taxes(lines: Sequence[Line], place: Place) -> tuple[Tax, ...]:
    """What each payer owes in tax, by the place's way of rounding; lines must come from :func:`tax_lines`."""
    nets: dict[str, list[tuple[Line, int]]] = defaultdict(list)
    for line in lines:
        for share in line.shares:
            if share.payer not in place.exempt:
                nets[share.payer].append((line, share.net))
    return tuple(tax for payer, mine in nets.items() for tax in _owed(payer, mine, place))


def _owed(payer: str, mine: list[tuple[Line, int]], place: Place) -> list[Tax]:
    bases = _bases(mine, place)
    if place.per == "invoice":
        owed = sums(bases, place)
    else:
        by_line = [sums(_bases([pair], place), place) for pair in mine]
        owed = [sum(column) for column in zip(*by_line, strict=True)]
    if place.rates_are == "split":
        named = [(tax.name, tax.percent, base) for tax, (_, base) in zip(place.taxes, bases, strict=True)]
    else:
        alike = len({base for _, base in bases}) == 1
        percent = written(sum((rate for rate, _ in bases), Fraction(0))) if alike else ""
        largest = max((base for _, base in bases), default=0)
        named = [(" + ".join(tax.name for tax in place.taxes), percent, largest)]
    return [
        Tax(payer=payer, name=name, percent=percent, base=base, amount=amount)
        for (name, percent, base), amount in zip(named, owed, strict=False)
    ]
