"""Labour time: punches kept raw, tenths of an hour for billing, and the measures of a workshop's day.

Names of the measures clash between authors, so each function says its formula.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from fractions import Fraction
from itertools import product

from ticket.job.regex import Regex
from ticket.job.values import Clock
from ticket.job.wall import moments
from ticket.money.amount import half_up

_DAY = timedelta(days=1)
_TIME = Regex(r"([0-9]{1,2}):([0-9]{2})")


def minute_of_day(typed: str) -> int | None:
    """``14:10`` as minutes since midnight, ``24:00`` included; ``None`` for anything else."""
    match = _TIME.fullmatch(typed.strip())
    if match is None:
        return None
    hour, minute = int(match.group(1)), int(match.group(2))
    total = hour * 60 + minute
    return total if minute < 60 and total <= 24 * 60 else None


def clocked(spans: Iterable[Clock], typed: datetime, zone: tzinfo | None = None) -> int | None:
    """Whole minutes of some spans together, as they passed; one that ends before it starts runs past midnight.

    ``None`` where a span cannot be read, or where the clocks were changed and it fits several lengths. The spans
    themselves are never rounded (29 CFR 785.48(b) lets the sum be rounded to tenths, if that evens out over time).

    Args:
        spans: times on the wall.
        typed: when they were typed; they are times of that day.
        zone: of the wall; ``None`` for the one of this process.
    """
    lengths = [minutes_of(span, typed, zone) for span in spans]
    known = [one.pop() for one in lengths if len(one) == 1]
    return sum(known) if len(known) == len(lengths) else None


def minutes_of(span: Clock, typed: datetime, zone: tzinfo | None = None) -> set[int]:
    """The whole minutes that may have passed between the times of a span; see :func:`clocked`.

    One number, as a rule; several where one of its times came twice because the clocks went back; none where it
    cannot be read, or one of its times never came because they went forward.
    """
    start, end = minute_of_day(span.start), minute_of_day(span.end)
    if start is None or end is None:
        return set()
    if start == end:
        return {0}
    try:
        local = typed.astimezone(zone)
        day = local.date()
        days = [(day, day)]  # where the clocks go back, 1:50 to 1:10 may be twenty minutes of one day
        if end < start:
            # Past midnight, it began on the day it was typed or ended on it, whichever is nearer to the typing.
            minute = local.hour * 60 + local.minute
            ended = abs(minute - end) < abs(minute - start)
            days.append((day - _DAY, day) if ended else (day, day + _DAY))
        pairs = [pair for one, two in days for pair in product(moments(one, start, zone), moments(two, end, zone))]
        return {int((after - before).total_seconds()) // 60 for before, after in pairs if after > before}
    except (OverflowError, ValueError, OSError):  # a day before or behind all calendars
        return {end - start if end > start else end - start + 24 * 60}


def doubt_of(spans: Iterable[Clock], typed: datetime, zone: tzinfo | None = None) -> str:
    """Why :func:`clocked` knows no minutes, as a sentence; empty where it does."""
    for span in spans:
        if not readable(span):
            return "The clock times cannot be read."
        lengths = sorted(minutes_of(span, typed, zone))
        if len(lengths) != 1:
            passed = f"{' or '.join(map(str, lengths))} minutes passed" if lengths else "one of the times never came"
            return f"The clocks were changed about {span.start}-{span.end}, and {passed}: write the hours."
    return ""


def readable(span: Clock) -> bool:
    """Whether both ends of a span are times of day."""
    return minute_of_day(span.start) is not None and minute_of_day(span.end) is not None


def tenths(minutes: int) -> Fraction:
    """Minutes as hours in tenths, half up: 2 -> 0, 3 -> 0.1, 8 -> 0.1, 9 -> 0.2."""
    return Fraction(half_up(Fraction(minutes, 6)), 10)


@dataclass(frozen=True, slots=True)
class Net:
    """Book time and what is left of it: hours by the book, hours cut for shared steps, hours billed, why."""

    book: Fraction
    cut: Fraction
    billed: Fraction
    reason: str


def net(book: Fraction, cut: Fraction, reason: str) -> Net:
    """Book hours less the hours cut for shared steps, never below zero."""
    taken = min(book, cut)
    return Net(book, taken, book - taken, reason)


def utilisation(clocked_hours: Fraction, attended: Fraction) -> Fraction:
    """Hours clocked on jobs / hours attended. Raises ``ZeroDivisionError`` for nobody attending."""
    return clocked_hours / attended


def efficiency(sold: Fraction, clocked_hours: Fraction) -> Fraction:
    """Hours sold / hours clocked on jobs."""
    return sold / clocked_hours


def proficiency(sold: Fraction, attended: Fraction) -> Fraction:
    """Hours sold / hours attended, which is utilisation x efficiency."""
    return sold / attended


def effective_rate(sales_cents: int, sold: Fraction) -> Fraction:
    """Labour sales in cents / hours sold: cents for each hour sold."""
    return sales_cents / sold
