"""Days a local rule counts: terms, warranty on the repair, how long papers are kept."""

from calendar import monthrange
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from ticket.rules.pack import Pack, Source, first, source


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """A day that a rule leads to; ``None`` where the law that was read sets none."""

    day: date | None
    source: Source


def months_after(start: date, months: int) -> date:
    """The same day so many months later, or the last of a shorter month."""
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1]))


def working_days_after(start: date, days: int, holidays: Collection[date] = ()) -> date:
    """The last of so many days after ``start``, not counting Saturdays, Sundays and holidays."""
    day = start
    while days > 0:
        day += timedelta(days=1)
        if day.weekday() < 5 and day not in holidays:
            days -= 1
    return day


def last_day(pack: Pack, topic: str, start: date, holidays: Collection[date] = ()) -> Day | None:
    """The last day of a term that began on ``start``: to tell of a delay, to ask for a bill, of free storage.

    ``None`` where neither the pack nor those it inherits from has a term for the topic.
    """
    found = first(pack, "terms", fits=lambda row: row.topic == topic)
    if found is None:
        return None
    where, row = found
    count = int(row.number)
    if row.unit == "working days":
        end = working_days_after(start, count, holidays)
    elif row.unit == "months":
        end = months_after(start, count)
    else:
        end = start + timedelta(days=count)
    return Day(day=end, source=source(where, row))


def storage_from(pack: Pack, ready: date, holidays: Collection[date] = ()) -> Day | None:
    """The first day storage may be charged for, when the customer was told on ``ready``; ``None`` without a rule."""
    free = last_day(pack, "storage", ready, holidays)
    return None if free is None or free.day is None else Day(day=free.day + timedelta(days=1), source=free.source)


def keep_until(
    pack: Pack,
    finished: date,
    *,
    warranty_ends: date | None = None,
    complaint_ends: date | None = None,
    what: str = "repair records",
) -> Day:
    """The day until which papers must be kept: the term of the law, or a longer obligation where it counts.

    A warranty or an open complaint always keeps them, whatever the law says: nobody throws away what may be
    asked about.
    """
    found = first(pack, "retention", fits=lambda row: row.what == what)
    if found is None:
        raise ValueError(f"unknown kind of record {what!r}")
    where, row = found
    end = None if row.none else months_after(finished, int(row.years or 0) * 12 + int(row.months or 0))
    days = [day for day in (end, warranty_ends, complaint_ends) if day is not None]
    return Day(day=max(days, default=None), source=source(where, row))


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """Whether the warranty a law gives on a repair still holds; ``None`` where it gives none."""

    holds: bool | None
    words: str
    source: Source | None = None


def repair_warranty(pack: Pack, repaired: date, today: date, distance: int = 0) -> Cover:
    """Whether the implied warranty on a repair holds; the first limit reached ends it.

    Args:
        pack: the local rules.
        repaired: the day of the repair.
        today: the day asked about.
        distance: driven since, in the row's own unit.
    """
    found = first(pack, "warranty", fits=lambda row: row.kind == "implied")
    if found is None:
        return Cover(holds=None, words="no warranty by law was read")
    where, row = found
    ends = months_after(repaired, int(row.months)) if row.months else repaired + timedelta(days=int(row.days or 0))
    timed = bool(row.months or row.days)
    holds = (not timed or today <= ends) and (not row.distance or distance <= int(row.distance))
    term = f"{row.months} months" if row.months else f"{row.days} days" if row.days else ""
    words = " or ".join(part for part in (term, f"{row.distance} {row.unit}".strip()) if part)
    return Cover(holds=holds, words=f"{words}, whichever is first", source=source(where, row))
