"""Labour time: punches kept raw, tenths of an hour for billing, and the measures of a workshop's day.

Names of the measures clash between authors, so each function says its formula.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from ticket.job.values import Clock
from ticket.money.amount import half_up

_TIME = re.compile(r"([0-9]{1,2}):([0-9]{2})")


def minute_of_day(typed: str) -> int | None:
    """``14:10`` as minutes since midnight, ``24:00`` included; ``None`` for anything else."""
    match = _TIME.fullmatch(typed.strip())
    if match is None:
        return None
    hour, minute = int(match.group(1)), int(match.group(2))
    total = hour * 60 + minute
    return total if minute < 60 and total <= 24 * 60 else None


def clocked(spans: Iterable[Clock]) -> int | None:
    """Whole minutes of some spans together; one that ends before it starts runs past midnight.

    ``None`` where a span cannot be read. The spans themselves are never rounded (29 CFR 785.48(b) lets the sum
    be rounded to tenths, if that evens out over time).
    """
    total = 0
    for span in spans:
        start, end = minute_of_day(span.start), minute_of_day(span.end)
        if start is None or end is None:
            return None
        total += end - start if end >= start else end - start + 24 * 60
    return total


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


def overlap(one: Fraction, other: Fraction, shared: Fraction, reason: str) -> tuple[Net, Net]:
    """Two jobs that share steps: the longer is billed in full, the other without the shared hours.

    Source: an open course on estimating; equal times cut the second.
    """
    if other > one:
        return net(one, shared, reason), net(other, Fraction(0), "")
    return net(one, Fraction(0), ""), net(other, shared, reason)


def utilisation(clocked_hours: Fraction, attended: Fraction) -> Fraction:
    """Hours clocked on jobs / hours attended. Raises ``ZeroDivisionError`` for nobody attending."""
    return clocked_hours / attended


def efficiency(sold: Fraction, clocked_hours: Fraction) -> Fraction:
    """Hours sold / hours clocked on jobs."""
    return sold / clocked_hours


def proficiency(sold: Fraction, attended: Fraction) -> Fraction:
    """Hours sold / hours attended, which is utilisation x efficiency."""
    return sold / attended


def potential_hours(people: int, shift: Fraction, used: Fraction, efficient: Fraction) -> Fraction:
    """Hours a shop could sell: people x shift x utilisation x efficiency."""
    return people * shift * used * efficient


def effective_rate(sales_cents: int, sold: Fraction) -> Fraction:
    """Labour sales in cents / hours sold: cents for each hour sold."""
    return sales_cents / sold
