"""A vehicle's readings, visit by visit, made into one scale: what was driven between two days, and its habit.

An instrument that was replaced starts again, one with five digits rolls over: the visit says so
(:data:`ticket.job.ticket.ODOMETER_REASONS`). Both are lawful; what was driven before still counts.
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from ticket.followups.habit import Habit, Reading, habit, settled, steps
from ticket.followups.priors import AVERAGE_DRIVER, HOURS, MACHINE, MILES, Prior, of_age
from ticket.job.regex import Regex
from ticket.job.ticket import ROLLED_OVER, Ticket, Vehicle
from ticket.job.values import Quantity
from ticket.job.vin import check
from ticket.job.wall import local_day
from ticket.readings.units import convert

_MOST = 10**9  # of miles, kilometres or hours: no instrument shows more
_ROLLOVER = 100_000  # a five-digit odometer starts again here
_YEAR = Regex(r"(?:19[5-9]|20\d)\d")


@dataclass(frozen=True, slots=True)
class Visit:
    """A reading as typed on its day, and what is to be said of the instrument."""

    day: date
    reading: Quantity
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Driving:
    """How a vehicle is driven, and where it stood last.

    Attributes:
        unit: of everything here: ``mi`` for a vehicle, ``h`` for a machine that counts hours.
        habit: how it is driven; ``None`` where nothing can be told.
        day: of the latest reading; ``None`` without one.
        prior: what was known without its own readings.
        readings: the settled readings on one scale that never falls.
        raw: the readings as the instruments showed them, rolled over or replaced ones among them.
    """

    unit: str
    habit: Habit | None
    day: date | None
    prior: Prior
    readings: tuple[Reading, ...] = ()
    raw: tuple[Reading, ...] = ()

    def at(self, day: date) -> float | None:
        """Where it stood on a day, on the one scale: at the last reading until then, else at the first."""
        if not self.readings:
            return None
        return self.readings[max(0, bisect_right(self.readings, day, key=lambda reading: reading[0]) - 1)][1]

    def driven_since(self, day: date) -> float:
        """What was driven from a day to the latest reading; before the first reading as far as the habit tells."""
        then = self.at(day)
        if then is None:
            return 0.0
        unread = max(0, (self.readings[0][0] - day).days) * self.habit.per_day if self.habit else 0.0
        return self.readings[-1][1] - then + unread


def visit_of(ticket: Ticket) -> Visit | None:
    """The reading of one visit: at return where that was typed, else at arrival."""
    header = ticket.header
    reading = header.odometer_out or header.odometer_in
    return Visit(local_day(ticket.opened), reading, header.odometer_reason) if reading else None


def visits_of(tickets: Iterable[Ticket]) -> list[Visit]:
    """The readings of some tickets, oldest first."""
    found = [visit for ticket in tickets if (visit := visit_of(ticket)) is not None]
    return sorted(found, key=lambda visit: visit.day)


def model_year(vehicle: Vehicle) -> int | None:
    """The model year people call it by, else the one its identification number tells."""
    first = vehicle.label.split(maxsplit=1)[:1]
    if first and _YEAR.fullmatch(first[0]):
        return int(first[0])
    return check(vehicle.vin).year if vehicle.vin else None


def driving(visits: Sequence[Visit], *, year: int | None = None, mates: Prior | None = None) -> Driving:
    """The driving behind some visits of one vehicle.

    Args:
        visits: oldest first; those in another measure than the newest are left aside.
        year: the model year; helps while there is one reading only.
        mates: what the other vehicles of the fleet tell, where there are enough.
    """
    unit = HOURS if visits and in_unit(visits[-1].reading, MILES) is None else MILES
    raw = tuple(sorted(_raw(visits, unit)))
    day = raw[-1][0] if raw else None
    prior = mates or _alone(raw, year) if unit == MILES else MACHINE
    known = prior if unit == HOURS or not steps(raw) else AVERAGE_DRIVER
    return Driving(unit, habit(raw, known), day, prior, tuple(_scale(settled(raw))), raw)


def _alone(raw: Sequence[Reading], year: int | None) -> Prior:
    if not raw or year is None:
        return AVERAGE_DRIVER
    return of_age(raw[-1][1], (raw[-1][0] - date(year, 1, 1)).days)  # sold from the summer before to the next winter


def _raw(visits: Sequence[Visit], unit: str) -> Iterable[Reading]:
    """Each day's greatest reading; behind a rollover everything is as much higher as the instrument can show."""
    turned = 0.0
    found: dict[date, float] = {}
    for visit in visits:
        value = in_unit(visit.reading, unit)
        if value is None:
            continue
        if visit.reason == ROLLED_OVER:
            turned += in_unit(Quantity(str(_ROLLOVER), visit.reading.unit), unit) or 0.0
        found[visit.day] = max(found.get(visit.day, 0.0), value + turned)
    return found.items()


def _scale(readings: Sequence[Reading]) -> Iterable[Reading]:
    """The same readings with each fall taken for a new instrument, whose first figure says nothing of the way."""
    total = readings[0][1] if readings else 0.0
    yield from readings[:1]
    for (_, before), (day, after) in pairwise(readings):
        total += max(0.0, after - before)
        yield day, total


def in_unit(reading: Quantity, unit: str) -> float | None:
    """A reading as a number of another unit; ``None`` where it is none or cannot be converted."""
    value = reading.value
    found = None if value is None else convert(value, reading.unit, unit)
    return None if found is None or abs(found) > _MOST else float(found)
