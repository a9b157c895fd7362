"""A forecast as it is told: whole weeks outward, a part of a month in the middle, never one day. In no language."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

WEEK = 7
SOON, TRUSTED, PART_OF_MONTH, OPEN_END = 14, 150, 60, 730  # days
_FARTHEST = 4  # a late end more than so many times the early one leaves no middle worth telling

BETWEEN, ABOUT, SOME_TIME, SOON_WORD, NOT_BEFORE = "between", "about", "some time", "within two weeks", "not before"


@dataclass(frozen=True, slots=True)
class Told:
    """What may be told of a forecast.

    Attributes:
        form: ``about`` (a middle and both ends), ``some time`` (the ends alone: they lie too far apart), ``within two
            weeks`` or ``not before`` (the early end alone).
        first: Monday of the week of the early end, never before the day the forecast counts from.
        last: Sunday of the week of the late end; ``None`` with ``not before``.
        month: a day in the month of the middle, with ``about``.
        part: ``early``, ``mid`` or ``late`` in that month; empty where the ends lie too far apart for it.
    """

    form: str
    first: date
    last: date | None = None
    month: date | None = None
    part: str = ""


@dataclass(frozen=True, slots=True)
class Weeks:
    """The same as weeks from a day on: early end rounded down, middle to the nearest, late end up."""

    about: int
    least: int
    most: int | None


def told(start: date, early: date, middle: date, late: date | None, limit: date | None = None) -> Told:
    """What to tell of a forecast that counts from a day; nothing of it lies behind the calendar limit."""
    first = max(start, early - timedelta(days=early.weekday()))
    if limit is not None and (late is None or limit < late):
        late, middle = limit, min(limit, middle)
    if late is None or (late - start).days > OPEN_END:
        return Told(NOT_BEFORE, first)
    last = late + timedelta(days=6 - late.weekday())
    last = min(last, limit) if limit is not None else last
    if (late - start).days <= SOON:
        return Told(SOON_WORD, first, last)
    apart = (late - early).days
    if apart > TRUSTED or (late - start).days > _FARTHEST * (early - start).days:
        return Told(SOME_TIME, first, last)
    part = "" if apart > PART_OF_MONTH else "early" if middle.day <= 10 else "mid" if middle.day <= 20 else "late"
    return Told(ABOUT, first, last, middle, part)


def in_weeks(early: int, middle: int, late: int | None) -> Weeks:
    """Days as weeks."""
    return Weeks(round(middle / WEEK), early // WEEK, None if late is None else ceil(late / WEEK))
