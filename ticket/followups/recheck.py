"""What a second look says: how fast it goes, how far the limit is, what two neighbours say, and when to look again.

A level is compared with what it was when the vehicle left, not with how it was found first. What a level read again
says of a suspicion is common practice, no source: one that fell again speaks for fluid getting out, one that stayed
for a short fill before; a neighbour that rose tells where it went. A level is read only after the system was bled as
the maker says.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from math import sqrt

from ticket.followups.driving import driving, in_unit, model_year, visits_of
from ticket.followups.forecast import limit_reached
from ticket.followups.priors import MILES
from ticket.followups.thread import Seen, Thread
from ticket.job.numbers import step
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity
from ticket.readings.trend import Trend, trends
from ticket.readings.units import convert, convert_gap
from ticket.readings.wear import REACHED, TOO_SMALL, WEARS, Z

FELL, STAYED, ROSE = "fell", "stayed", "rose"
FOR, AGAINST, OPEN = "speaks for it", "speaks against it", "does not decide it"
PASSING, SHORT_FILL, LEAK = "passing seal", "earlier short fill", "outside leak"
_ROUND = 50  # of the distance proposed for the next look
_DOWNWARD = frozenset(
    "below under beneath low short down".split()
)  # "14 mm below": the more of it, the lower it stands


@dataclass(frozen=True, slots=True)
class Again:
    """One reading of the thread taken again.

    Attributes:
        before: the last one of the visit before.
        now: the first one of this visit.
        moved: ``fell``, ``stayed`` (no more than the gauge can show) or ``rose``.
        by: the difference, in the unit of ``now``.
        room: what the gauges alone can make of it, 95 of 100 times.
        trend: its loss per distance and projection to the limit, where a distance and a limit are known.
        reached: the day it reaches its limit: likely, first and last of 90 of 100; ``None`` where nothing tells.
    """

    before: Seen
    now: Seen
    moved: str
    by: Fraction
    room: float
    trend: Trend | None = None
    reached: tuple[date, date, date | None] | None = None

    @property
    def is_level(self) -> bool:
        """Whether it is the level of a reservoir."""
        return "level" in fold(self.now.what)


@dataclass(frozen=True, slots=True)
class Recheck:
    """What this visit's look at a thread says.

    Attributes:
        again: each reading that was taken at both visits.
        says: each suspicion and what the levels say of it; empty without levels.
        giver: the level that fell while ``taker`` rose.
        next: a distance after which to look again, proposed; ``None`` where it is due now or nothing tells.
    """

    again: tuple[Again, ...]
    says: tuple[tuple[str, str], ...] = ()
    giver: Again | None = None
    taker: Again | None = None
    next: Quantity | None = None


def recheck(thread: Thread, tickets: Sequence[Ticket], number: int) -> Recheck | None:
    """What the look at a thread on one ticket says; ``None`` where it measured nothing again."""
    mine = next((look for look in reversed(thread.looks) if look.ref.ticket == number and look.came), None)
    before = [look for look in thread.looks if look.ref.ticket != number and look.left]
    if mine is None or not before:
        return None
    earlier = [look for look in before if look.day <= mine.day]
    if not earlier:
        return None
    found = tuple(_again(earlier[-1].left, mine.came, tickets, number, mine.day))
    if not found:
        return None
    says, giver, taker = levels([one for one in found if one.is_level])
    return Recheck(found, says, giver, taker, _next(found, thread))


def levels(
    found: Sequence[Again],
) -> tuple[tuple[tuple[str, str], ...], Again | None, Again | None]:
    """What one level, or two neighbouring ones, say of each suspicion; which fell while which rose."""
    fell = next((one for one in found if one.moved == FELL), None)
    rose = next((one for one in found if one.moved == ROSE), None)
    if fell is not None and rose is not None:
        return _said(FOR, AGAINST, OPEN), fell, rose
    if fell is not None and len(found) > 1:  # a wide neighbour may have taken what the gauge does not show
        return _said(OPEN, AGAINST, FOR), None, None
    if fell is not None:
        return _said(FOR, AGAINST, OPEN), None, None
    return (_said(AGAINST, FOR, AGAINST) if found and rose is None else ()), None, None


def _said(passing: str, short_fill: str, leak: str) -> tuple[tuple[str, str], ...]:
    return (PASSING, passing), (SHORT_FILL, short_fill), (LEAK, leak)


def _again(
    before: Sequence[Seen], now: Sequence[Seen], tickets: Sequence[Ticket], number: int, day: date
) -> Iterator[Again]:
    ticket = next(one for one in tickets if one.number == number)
    earlier = sorted((one for one in tickets if one.number != number), key=lambda one: one.opened, reverse=True)
    known = {(fold(trend.what), trend.label): trend for trend in trends(ticket, earlier)}
    for seen in now:
        old = next((one for one in before if (one.what, one.label) == (seen.what, seen.label)), None)
        if old is not None and (found := compared(old, seen)) is not None:
            moved, by, room = found
            trend = known.get((fold(seen.what), seen.label))
            reached = _reached(trend, tickets, ticket, day) if trend else None
            yield Again(old, seen, moved, by, room, trend, reached)


def compared(before: Seen, now: Seen) -> tuple[str, Fraction, float] | None:
    """How a reading moved, by how much, and what the gauges can make of it alone."""
    then = before.typed.value
    start = None if then is None else convert(then, before.typed.unit, now.typed.unit)
    end = now.typed.value
    if start is None or end is None:
        return None
    steps = (
        convert_gap(step(before.typed.number) or Fraction(0), before.typed.unit, now.typed.unit) or Fraction(0),
        step(now.typed.number) or Fraction(0),
    )
    room = Z * sqrt(sum(float(one) ** 2 for one in steps) / 12)
    by = end - start
    downward = start >= 0 and end >= 0 and not _DOWNWARD.isdisjoint(fold(now.what).split())  # a sign tells it already
    return (STAYED if abs(float(by)) <= room else FELL if (by < 0) != downward else ROSE), by, room


def _reached(
    trend: Trend, tickets: Sequence[Ticket], ticket: Ticket, day: date
) -> tuple[date, date, date | None] | None:
    driven = driving(visits_of(tickets), year=model_year(ticket.header.vehicle))
    factor = in_unit(Quantity("1", trend.distance_unit), MILES)
    if trend.wear.state != WEARS or driven.habit is None or driven.unit != MILES or factor is None:
        return None
    wear = trend.wear
    if wear.left is None or wear.earliest is None or wear.latest is None:
        return None
    miles = replace(
        wear, left=wear.left * Fraction(factor), earliest=wear.earliest * factor, latest=wear.latest * factor
    )  # fmt: skip
    return limit_reached(miles, day, driven.habit)


def _next(found: Sequence[Again], thread: Thread) -> Quantity | None:
    """Half of the way to the limit at its early end where it goes on; else twice the distance it held for."""
    known = [one.trend for one in found if one.trend is not None]
    if any(trend.wear.state == REACHED for trend in known):
        return None
    wears = [
        (Fraction(trend.wear.earliest or 0.0), trend.distance_unit) for trend in known if trend.wear.state == WEARS
    ]
    if wears:
        early, unit = min(wears)
        return _rounded(early / 2, unit)
    held = next((trend for trend in known if trend.wear.state == TOO_SMALL), None)
    if held is not None and all(one.moved == STAYED for one in found):
        return _rounded(held.distance * 2, held.distance_unit)
    return thread.fact.due.distance if thread.fact.due is not None else None


def _rounded(distance: Fraction, unit: str) -> Quantity | None:
    whole = int(distance) // _ROUND * _ROUND if distance >= _ROUND else int(distance)
    return Quantity(f"{whole:,}", unit) if whole else None
