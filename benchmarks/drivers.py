"""Invented drivers, day by day: no published figures tell how unevenly single vehicles are driven.

Three grades of unevenness, and what may happen to each: seasons, a drift, another rate from a day on, standing still.
"""

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import accumulate
from math import exp, log, pi, sin
from random import Random

START = date(2018, 1, 1)
DAYS = 365 * 15
_YEAR, _WANDER, _WEEKEND, _WEEKDAY = 365.25, 120.0, 1.6, 0.76


@dataclass(frozen=True)
class Kind:
    """How a driver drives.

    Attributes:
        day: spread of the logarithm of a day's distance.
        off: share of days without driving.
        month: spread of the logarithm of a month's distance.
        wander: spread of a slow change that comes back, within some four months.
        trips: long trips a year, up to so many miles each.
        rates: distance a day, least and most, even on the log scale; else spread .55 about 25.4.
        season: how far summer and winter differ, least and most.
        drift: spread of the logarithm of the rate after two years.
        hours: running hours instead of miles.
    """

    day: float
    off: float
    month: float
    wander: float
    trips: float
    longest: float
    rates: tuple[float, float] | None = None
    season: tuple[float, float] = (0.0, 0.0)
    drift: float = 0.0


CALM = Kind(0.4, 0.05, 0.08, 0.0, 0, 800)
ORDINARY = Kind(0.6, 0.10, 0.15, 0.10, 2, 800)
LIVELY = Kind(1.0, 0.25, 0.25, 0.20, 4, 1500)
GRADES = (CALM, ORDINARY, LIVELY)
Factor = Callable[[int], float]


@dataclass(frozen=True)
class Life:
    """One driver: where the odometer stands at the end of each day, and the days of the visits."""

    odometer: tuple[float, ...]
    visits: tuple[int, ...]

    def readings(self, many: int) -> list[tuple[date, float]]:
        """The first so many readings."""
        return [(START + timedelta(days=day), float(int(self.odometer[day]))) for day in self.visits[:many]]

    def days_until(self, day: int, more: float) -> int | None:
        """Days from a visit until so much more is driven; ``None`` where the life ends before."""
        aim = int(self.odometer[day]) + more
        found = bisect_left(self.odometer, aim, lo=day)
        return found - day if found < len(self.odometer) else None


def live(kind: Kind, chance: Random, factor: Factor = lambda _: 1.0, visits: tuple[int, ...] = ()) -> Life:
    """A driver of a kind; ``factor`` multiplies the rate from day to day."""
    low_high = kind.rates
    rate = exp(chance.uniform(log(low_high[0]), log(low_high[1])) if low_high else chance.gauss(log(25.4), 0.55))
    season, turn = chance.uniform(*kind.season), chance.uniform(0, 2 * pi)
    keep = exp(-1 / _WANDER)
    stray = kind.wander * (1 - keep**2) ** 0.5
    month = wander = drift = 0.0
    even = exp(-(kind.day**2) / 2) / (1 - kind.off)  # so that the mean day is the rate
    driven = []
    for day in range(DAYS):
        if day % 30 == 0:
            month = chance.gauss(0, kind.month)
            drift += chance.gauss(0, kind.drift * (30 / 730) ** 0.5) if kind.drift else 0.0
        wander = wander * keep + chance.gauss(0, stray)
        if chance.random() < kind.off:
            driven.append(0.0)
            continue
        usual = rate * (_WEEKEND if day % 7 in (5, 6) else _WEEKDAY) * factor(day)
        swing = 1 + season * sin(2 * pi * day / _YEAR + turn)
        miles = usual * even * swing * exp(chance.gauss(0, kind.day) + month + wander + drift)
        if kind.trips and chance.random() < kind.trips / _YEAR:
            miles += chance.uniform(300, kind.longest) * factor(day)
        driven.append(miles)
    start = chance.uniform(10_000, 90_000)
    return Life(tuple(accumulate(driven, initial=start))[1:], visits or calls(chance))


def calls(chance: Random) -> tuple[int, ...]:
    """The days of a driver's visits: a typical gap of its own, each one much longer or shorter."""
    typical = chance.uniform(40, 300)
    found, day = [], 30
    while day < DAYS // 2:
        found.append(day)
        day += int(min(730, max(10, typical * exp(chance.gauss(0, 0.7)))))
    return tuple(found)


def changed(chance: Random, readings: int, since: int, grades: tuple[Kind, ...] = GRADES) -> Life:
    """A driver whose rate changed, somewhere between two visits, so many readings before the forecast."""
    visits = calls(chance)
    factor = exp(chance.uniform(log(0.3), log(3)))
    before = min(readings - 1 - since, len(visits) - 2)
    turn = chance.randint(visits[before], visits[before + 1])
    return live(chance.choice(grades), chance, lambda day: factor if day > turn else 1.0, visits)


def stood(chance: Random, readings: int, since: int) -> Life:
    """A driver who stood still while so many readings were taken, and then drove on."""
    visits = calls(chance)
    first, last = visits[min(readings - 1 - since, len(visits) - 1)], visits[min(readings - 1, len(visits) - 1)]
    return live(chance.choice(GRADES), chance, lambda day: 0.005 if first < day <= last else 1.0, visits)


def mistyped(life: Life, chance: Random, readings: int) -> list[tuple[date, float]]:
    """A driver's readings with one inside that a hand got wrong in one digit."""
    found = life.readings(readings)
    if len(found) > 2:
        at = chance.randrange(1, len(found) - 1)
        digits = list(str(int(found[at][1])))
        digits[chance.randrange(len(digits))] = chance.choice("0123456789")
        found[at] = (found[at][0], float("".join(digits)))
    return found


def of_rates(kind: Kind, low: float, high: float) -> Kind:
    """The same with another range of distances a day."""
    return replace(kind, rates=(low, high))
