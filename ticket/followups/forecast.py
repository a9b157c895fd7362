"""When deferred work falls due: by date, by distance, whichever comes first."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction
from math import exp, floor, sqrt

from ticket.followups.calendar import add_time
from ticket.followups.rate import Rate
from ticket.job.kinds import Later
from ticket.job.values import Due, Quantity
from ticket.job.wall import calendar_day
from ticket.readings.digits import number
from ticket.readings.units import convert
from ticket.readings.wear import WEARS, Wear

_Z = 1.645  # two-sided 90 % of a normal distribution
_PRESSING = ("do soon", "do now", "do not drive")
_FURTHEST = 36525  # days; a forecast beyond a century says nothing


@dataclass(frozen=True, slots=True)
class Forecast:
    """When one piece of deferred work falls due.

    Attributes:
        by_date: the calendar limit: the typed date or the typed time from the entry, the earlier of both.
        by_distance: the day the distance will probably have been driven.
        interval: first and last day that 90 of 100 such vehicles would reach the distance, driving as before.
        binding: ``date`` or ``distance``, whichever comes first; empty when neither is known.
        due_odometer: reading at which it is due, in the odometer's own unit.
        basis: what the distance forecast rests on, in words; empty without one.
        hours: running hours typed as a limit; no forecast can be made from them.
        remind: when to call: for work that is risky to leave the early end, else the due day.
    """

    by_date: date | None = None
    by_distance: date | None = None
    interval: tuple[date, date] | None = None
    binding: str = ""
    due_odometer: Quantity | None = None
    basis: str = ""
    hours: Quantity | None = None
    remind: date | None = None

    @property
    def due(self) -> date | None:
        """The day that binds."""
        return self.by_distance if self.binding == "distance" else self.by_date


def forecast(
    later: Later,
    entered: date,
    odometer: Quantity | None,
    rate: Rate,
    *,
    latest: tuple[date, Quantity] | None = None,
) -> Forecast:
    """Forecast one deferred item.

    Args:
        later: the item.
        entered: local day it was entered; times and distances count from here.
        odometer: reading on that day.
        rate: the vehicle's usual distance a day.
        latest: a later odometer reading of the vehicle, which makes the forecast better.
    """
    due = later.due
    day = _calendar(later, entered)
    item = Forecast(by_date=day, hours=due.hours if due else None)
    distance, unit = _distance(due, odometer) if due else (None, "")
    if distance is not None and distance >= 0:
        item = replace(item, due_odometer=_due_odometer(distance, unit, odometer))
        left, start = convert(distance, unit, rate.unit), entered
        driven = _driven(odometer, latest[1], rate.unit) if latest and odometer else None
        if left is not None and latest and driven is not None and driven >= 0 and latest[0] >= entered:
            left, start = max(Fraction(0), left - driven), latest[0]
        if left is not None:
            item = _by_distance(item, left, start, rate)
    if item.by_distance and (day is None or item.by_distance < day):
        item = replace(item, binding="distance")
    elif day:
        item = replace(item, binding="date")
    return replace(item, remind=_remind(item, later))


def _distance(due: Due, odometer: Quantity | None) -> tuple[Fraction | None, str]:
    """The distance from the entry on, with its unit: as typed, or what is left to a typed reading of the odometer."""
    if due.distance:
        return number(due.distance.number), due.distance.unit
    aim = number(due.odometer.number) if due.odometer else None
    now = number(odometer.number) if odometer else None
    if due.odometer is None or odometer is None or aim is None or now is None:
        return None, ""
    here = convert(now, odometer.unit, due.odometer.unit)
    return (None if here is None else aim - here), due.odometer.unit


def _calendar(later: Later, entered: date) -> date | None:
    days = [add_time(entered, later.due.time)] if later.due and later.due.time else []
    if later.date:
        days.append(calendar_day(later.date))
    return min((day for day in days if day), default=None)


def _by_distance(item: Forecast, left: Fraction, start: date, rate: Rate) -> Forecast:
    days = float(left / rate.per_day)
    early, late = span(days, rate)
    reached = _after(start, days)
    if reached is None:
        return replace(item, basis=rate.basis)
    interval = (_after(start, early) or reached, _after(start, min(late, _FURTHEST)) or reached)
    return replace(item, by_distance=reached, interval=interval, basis=rate.basis)


def span(days: float, rate: Rate, extra: float = 0.0) -> tuple[float, float]:
    """The 90 % interval of a number of days until a distance is driven.

    What a slope's own interval leaves out is how unevenly a vehicle is driven in the short run; the constants come
    from simulated drivers, see :mod:`ticket.followups.rate`.

    Args:
        days: the forecast itself.
        rate: the rate it was made with.
        extra: relative variance of the distance, where that is a forecast too.
    """
    if days <= 0:
        return 0.0, 0.0
    variance = rate.spread**2 / rate.rates + 0.05 * min(1, 30 / days) + 0.10 * min(1, 7 / days) + 0.5 / days + extra
    factor = exp(min(_Z * sqrt(variance), 50.0))
    return days / factor, days * factor


def limit_reached(wear: Wear, read_on: date, rate: Rate) -> tuple[date, date, date] | None:
    """The day a worn part will reach its limit, with the first and last day of the 90 % interval.

    Args:
        wear: the trend, its distances in the unit of ``rate``.
        read_on: day of the later reading.
        rate: the vehicle's usual distance a day.
    """
    if wear.state != WEARS or wear.left is None or wear.earliest is None or wear.latest is None:
        return None
    distance = float(wear.left)
    half = (wear.latest - wear.earliest) / (2 * 1.96 * distance)
    days = distance / float(rate.per_day)
    early, late = span(days, rate, half**2)
    first, likely, last = _after(read_on, early), _after(read_on, days), _after(read_on, late)
    return (likely, first, last) if first and likely and last else None


def _after(start: date, days: float) -> date | None:
    """The day so many days later, rounded down to the early side; ``None`` beyond any sensible forecast."""
    if days > _FURTHEST:
        return None
    try:
        return start + timedelta(days=floor(days))
    except OverflowError:
        return None


def _due_odometer(distance: Fraction, unit: str, odometer: Quantity | None) -> Quantity | None:
    """Whole units, rounded down: early rather than late."""
    reading = number(odometer.number) if odometer else None
    more = convert(distance, unit, odometer.unit) if odometer else None
    if odometer is None or reading is None or more is None:
        return None
    return Quantity(f"{floor(reading + more):,}", odometer.unit)


def _driven(then: Quantity, now: Quantity, unit: str) -> Fraction | None:
    before, after = number(then.number), number(now.number)
    start = None if before is None else convert(before, then.unit, unit)
    end = None if after is None else convert(after, now.unit, unit)
    return None if start is None or end is None else end - start


def _remind(item: Forecast, later: Later) -> date | None:
    risky = bool(later.risk) or later.judgement in _PRESSING
    days = [item.by_date, item.interval[0] if risky and item.interval else item.by_distance]
    return min((day for day in days if day), default=None)
