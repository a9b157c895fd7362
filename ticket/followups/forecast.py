"""When deferred work falls due: by date, by distance, by running hours, whichever comes first."""

from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from ticket.followups.calendar import add_time
from ticket.followups.driving import Driving
from ticket.followups.habit import Habit
from ticket.followups.priors import HOURS
from ticket.followups.reach import AHEAD, FURTHEST, Reach, reach
from ticket.job.kinds import Later
from ticket.job.values import Due, Quantity
from ticket.job.wall import LAST_DAY, calendar_day
from ticket.readings.digits import number
from ticket.readings.units import convert
from ticket.readings.wear import WEARS, Wear

PRESSING = ("do soon", "do now", "do not drive")
DATE, DISTANCE, RUNNING = "date", "distance", "hours"
_FARTHEST = 10**9  # miles or hours; more is no limit


@dataclass(frozen=True, slots=True)
class Terms:
    """When an item is due by its own words, before anything is known of the driving.

    Attributes:
        by_date: the calendar limit: the typed date or the typed time from the entry, the earlier of both.
        distance: what may be driven from the entry on, with its unit; ``None`` where none was typed.
        due_odometer: reading at which it is due, in the instrument's own unit.
        hours: running hours from the entry on.
        event: a thing that comes anyway, as typed.
        risky: it is risky or pressing to leave: called for at the early end.
        entered: day the terms count from.
        agreed: the calendar limit is a day agreed on with the customer: it decides, whatever may be driven by then.
    """

    by_date: date | None = None
    distance: tuple[Fraction, str] | None = None
    due_odometer: Quantity | None = None
    hours: Quantity | None = None
    event: str = ""
    risky: bool = False
    entered: date | None = None
    agreed: bool = False


@dataclass(frozen=True, slots=True)
class Forecast:
    """When one piece of deferred work falls due.

    Attributes:
        by_date: the calendar limit.
        by_driving: the day the distance, or the hours, will probably have been run.
        earliest: 5 of 100 such vehicles are there before.
        latest: 5 of 100 are there later; ``None`` for a vehicle that stands, or without a forecast.
        binding: ``date``, ``distance`` or ``hours``, whichever comes first; empty when none is known.
        call: when to call: the day one driver in four has passed; for risky work a week before ``earliest``.
        start: the day the forecast counts from: that of the latest reading.
    """

    by_date: date | None = None
    by_driving: date | None = None
    earliest: date | None = None
    latest: date | None = None
    binding: str = ""
    call: date | None = None
    start: date | None = None

    @property
    def due(self) -> date | None:
        """The day that binds."""
        return self.by_date if self.binding == DATE else self.by_driving

    def news_due(self, today: date) -> bool:
        """Whether nobody has seen the vehicle though it is late: then no date is moved, and one asks for it."""
        return self.latest is not None and self.binding != DATE and self.latest < today


def terms_of(later: Later, entered: date, odometer: Quantity | None) -> Terms:
    """What an item says itself.

    Args:
        later: the item.
        entered: local day it was entered; times and distances count from here.
        odometer: reading on that day.
    """
    due = later.due or Due()
    distance = _distance(due, odometer)
    return Terms(
        by_date=_calendar(later, entered),
        distance=distance,
        due_odometer=_due_odometer(*distance, odometer) if distance and distance[0] >= 0 else None,
        hours=due.hours,
        event=due.event,
        risky=bool(later.risk.strip()) or later.judgement in PRESSING,
        entered=entered,
    )


def left_of(terms: Terms, driving: Driving) -> float | None:
    """What is left to run at the latest reading, in the unit of the driving; ``None`` where that measure is not due."""
    if driving.unit == HOURS:
        typed = terms.hours
        value = number(typed.number) if typed else None
        whole = None if typed is None or value is None else convert(value, typed.unit, HOURS)
    else:
        whole = convert(*terms.distance, driving.unit) if terms.distance else None
    if whole is None or not 0 <= whole <= _FARTHEST:
        return None
    run = driving.driven_since(terms.entered) if terms.entered else 0.0
    return max(0.0, float(whole) - run)


def start_of(terms: Terms, driving: Driving) -> date | None:
    """The day a forecast counts from: the latest reading, or the entry where that is later."""
    return max((day for day in (terms.entered, driving.day) if day), default=None)


def project(terms: Terms, driving: Driving, widen: float = 1.0) -> Forecast:
    """The forecast of one item of a vehicle; ``widen`` is the shop's own factor."""
    left, start = left_of(terms, driving), start_of(terms, driving)
    unit = RUNNING if driving.unit == HOURS else DISTANCE
    return falls(
        terms.by_date, left, start, driving.habit, unit=unit, risky=terms.risky, widen=widen, agreed=terms.agreed
    )  # fmt: skip


def falls(
    by_date: date | None, left: float | None, start: date | None, habit: Habit | None, *, unit: str = DISTANCE,
    risky: bool = False, widen: float = 1.0, agreed: bool = False,
) -> Forecast:  # fmt: skip
    """The same from plain figures, as they are kept for each thread of a vehicle."""
    run = reach(habit, left, widen) if habit is not None and left is not None else None
    if run is None or start is None or (middle := after(start, run.middle)) is None:
        early = timedelta(days=AHEAD if risky and not agreed else 0)
        return Forecast(by_date, binding=DATE if by_date else "", call=by_date and by_date - early, start=start)
    latest = None if run.late is None else after(start, run.late)
    return Forecast(
        by_date=by_date,
        by_driving=middle,
        earliest=after(start, run.early),
        latest=latest,
        binding=DATE if by_date and (agreed or by_date <= middle) else unit,
        call=by_date if agreed else _call(by_date, start, run, risky=risky),
        start=start,
    )


def limit_reached(wear: Wear, read_on: date, habit: Habit, widen: float = 1.0) -> tuple[date, date, date | None] | None:
    """The day a worn part will reach its limit, with the first and last day of the 90 % interval.

    Args:
        wear: the trend, its distances in the unit of the habit.
        read_on: day of the later reading.
        habit: how the vehicle is driven.
        widen: the shop's own factor.
    """
    if wear.state != WEARS or wear.left is None or wear.earliest is None or wear.latest is None:
        return None
    distance = float(wear.left)
    half = (wear.latest - wear.earliest) / (2 * 1.96 * distance)
    run = reach(habit, distance, widen, half**2)
    likely, first = (after(read_on, run.middle), after(read_on, run.early)) if run else (None, None)
    last = after(read_on, run.late) if run and run.late is not None else None
    return (likely, first, last) if likely and first else None


def after(start: date, days: int) -> date | None:
    """The day so many days later; ``None`` beyond any sensible forecast."""
    if days > FURTHEST:
        return None
    try:
        day = start + timedelta(days=days)
    except OverflowError:
        return None
    return day if day <= LAST_DAY else None


def _call(by_date: date | None, start: date, run: Reach, *, risky: bool) -> date | None:
    early = by_date and by_date - timedelta(days=AHEAD if risky else 0)
    return min((day for day in (after(start, run.call_days(risky=risky)), early) if day), default=None)


def _distance(due: Due, odometer: Quantity | None) -> tuple[Fraction, str] | None:
    """The distance from the entry on, with its unit: as typed, or what is left to a typed reading of the odometer."""
    if due.distance:
        value = number(due.distance.number)
        return None if value is None else (value, due.distance.unit)
    aim = number(due.odometer.number) if due.odometer else None
    now = number(odometer.number) if odometer else None
    if due.odometer is None or odometer is None or aim is None or now is None:
        return None
    here = convert(now, odometer.unit, due.odometer.unit)
    return None if here is None else (max(Fraction(0), aim - here), due.odometer.unit)


def _calendar(later: Later, entered: date) -> date | None:
    days = [add_time(entered, later.due.time)] if later.due and later.due.time else []
    if later.date:
        days.append(calendar_day(later.date))
    return min((day for day in days if day), default=None)


def _due_odometer(distance: Fraction, unit: str, odometer: Quantity | None) -> Quantity | None:
    """Whole units, rounded down: early rather than late."""
    reading = number(odometer.number) if odometer else None
    more = convert(distance, unit, odometer.unit) if odometer else None
    if odometer is None or reading is None or more is None:
        return None
    return Quantity(f"{floor(reading + more):,}", odometer.unit)
