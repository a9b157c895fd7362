"""How far a vehicle is driven a day, from its odometer readings or, without them, from the national average."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from itertools import combinations, pairwise
from math import log
from statistics import median

from ticket.readings.units import convert, find

# FHWA, Highway Statistics 2024, table VM-1: miles a year per light-duty vehicle in the United States.
AVERAGE_YEAR = Fraction("10786.65")
_YEAR = Fraction("365.25")  # days

# Fitted on invented drivers, not on a published sample: the shop's own closed follow-ups should replace them.
CLOSEST_VISITS = 14  # days; closer pairs tell a trip, not a habit
LEAST_SPREAD = 0.20  # of the logarithm of a vehicle's visit-to-visit rates
FEW_SPREAD = 0.30  # with fewer than three such rates
AVERAGE_SPREAD = 0.50  # between vehicles, when only the average is known
CHANGED = 0.35  # a last rate that differs by more is worth showing beside the usual one
_MOST_READINGS = 60  # the pairs grow with the square; older readings tell little


@dataclass(frozen=True, slots=True)
class Rate:
    """A usual distance a day.

    Attributes:
        per_day: exact, in ``unit``.
        unit: unit of the readings.
        visits: number of readings it rests on; 0 for the national average.
        rates: number of visit-to-visit rates behind ``spread``.
        spread: standard deviation of the logarithm of the rate from visit to visit.
        last: the rate of the last interval, where it differs from ``per_day`` by more than a third; show both.
    """

    per_day: Fraction
    unit: str
    visits: int = 0
    rates: int = 1
    spread: float = AVERAGE_SPREAD
    last: Fraction | None = None

    @property
    def per_year(self) -> Fraction:
        """The same in a year of 365.25 days."""
        return self.per_day * _YEAR

    @property
    def basis(self) -> str:
        """What it rests on, in words without a final stop."""
        unit = find(self.unit)
        word = unit.many if unit else self.unit
        if not self.visits:
            return f"assumes the US average of {round(self.per_year):,} {word} a year (FHWA 2024)"
        return f"{self.visits} odometer readings, about {round(self.per_day)} {word} a day, if driving stays as before"


def average(unit: str = "mi") -> Rate:
    """The national average, for a vehicle without a history. Raises ``ValueError`` for a unit that is no length."""
    year = convert(AVERAGE_YEAR, "mi", unit)
    if year is None:
        raise ValueError(f"{unit!r} is no unit of distance")
    return Rate(year / _YEAR, unit)


def rate(readings: Sequence[tuple[date, Fraction]], unit: str = "mi") -> Rate:
    """The usual rate: the median over all pairs of visits (Theil-Sen), which one mistyped reading cannot spoil.

    Args:
        readings: day and odometer, in any order; all in ``unit``.
        unit: their unit.

    Raises:
        ValueError: if ``unit`` is no length.
    """
    ordered = sorted(set(readings))[-_MOST_READINGS:]
    slopes = [slope for one, other in combinations(ordered, 2) if (slope := _slope(one, other)) is not None]
    usual = median(slopes) if slopes else Fraction(0)
    if usual <= 0:
        return average(unit)
    steps = [slope for one, other in pairwise(ordered) if (slope := _slope(one, other)) is not None and slope > 0]
    last = steps[-1] if steps and abs(steps[-1] / usual - 1) > CHANGED else None
    return Rate(usual, unit, len(ordered), max(1, len(steps)), _spread(steps), last)


def _slope(one: tuple[date, Fraction], other: tuple[date, Fraction]) -> Fraction | None:
    days = (other[0] - one[0]).days
    return (other[1] - one[1]) / days if days >= CLOSEST_VISITS else None


def _spread(steps: Sequence[Fraction]) -> float:
    """A robust standard deviation of the logarithms: 1.4826 times the median distance from their median."""
    if len(steps) < 3:
        return FEW_SPREAD
    logs = [log(step) for step in steps]
    middle = median(logs)
    return max(LEAST_SPREAD, 1.4826 * median(abs(value - middle) for value in logs))
