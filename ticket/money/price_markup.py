"""From a cost to a price: mark-up, margin, and tables by cost band with their edge check."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from ticket.job.numbers import exact
from ticket.money.amount import half_up
from ticket.money.prices import Band, PriceTable


def by_markup(cost: Fraction, percent: Fraction) -> Fraction:
    """Price = cost x (1 + mark-up)."""
    return cost * (1 + percent / 100)


def by_margin(cost: Fraction, percent: Fraction) -> Fraction:
    """Price = cost / (1 - margin). Raises ``ZeroDivisionError`` for a margin of 100 per cent."""
    return cost / (1 - percent / 100)


def _banded(table: PriceTable, band: Band, cost: Fraction) -> int:
    figure = exact(band.value) or Fraction(0)
    price = {"times": lambda: cost * figure, "markup": lambda: by_markup(cost, figure)}.get(
        table.basis, lambda: by_margin(cost, figure)
    )()
    return half_up(price * 100)


def table_price(table: PriceTable, cost: Fraction) -> int:
    """The price in cents of one unit that costs so much, by the band ``[start, next start)`` it falls in."""
    reached = [band for band in table.bands if (exact(band.start) or Fraction(0)) <= cost]
    price = _banded(table, reached[-1], cost) if reached else half_up(cost * 100)
    if table.hold:
        for below, above in pairwise(reached):
            top = (exact(above.start) or Fraction(0)) - Fraction(1, 100)
            price = max(price, _banded(table, below, top))
    return price


@dataclass(frozen=True, slots=True)
class EdgeFault:
    """A band edge where the dearer part sells for less; costs and prices in cents."""

    edge: int
    price_below: int
    price_at: int


def edge_faults(table: PriceTable) -> Iterator[EdgeFault]:
    """Every edge where a part that costs a cent more would sell for less."""
    for band in table.bands[1:]:
        edge = exact(band.start) or Fraction(0)
        below, at = table_price(table, edge - Fraction(1, 100)), table_price(table, edge)
        if at < below:
            yield EdgeFault(half_up(edge * 100), below, at)
