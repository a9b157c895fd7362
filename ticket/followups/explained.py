"""A thread and what its newest look says, line by line with the arithmetic, for whoever wants to check it."""

from collections.abc import Iterator, Sequence

from ticket.followups.recheck import STAYED, Again, Recheck, recheck
from ticket.followups.thread import Look, Thread
from ticket.job.ticket import Ticket
from ticket.readings.trend import Trend
from ticket.readings.wear import AWAY, REACHED, TOO_SMALL, WEARS, Z

_CARE = "A level is read only after the system was bled as the maker says; the maker's procedure comes first."
_NO_END = 1e7  # a distance that nothing drives


def thread_lines(thread: Thread, tickets: Sequence[Ticket], *, explain: bool = False) -> Iterator[str]:
    """The visits of a thread, who decided, and what was read again; with ``explain`` how each figure was made."""
    yield f"{thread.ref.ticket}/{thread.ref.no}: {thread.fact.text} ({thread.state})"
    for look in thread.looks:
        yield "  " + "; ".join(part for part in (_visit(look), *_figures(look)) if part)
    decided = thread.decided
    yield f"  decided: {decided.how}, {decided.who}, {decided.day}"
    found = recheck(thread, tickets, _newest(thread))
    if found is not None:
        yield from recheck_lines(found, explain=explain)


def _newest(thread: Thread) -> int:
    measured = [look.ref.ticket for look in thread.looks if look.came]
    return measured[-1] if measured else thread.last.ref.ticket


def _visit(look: Look) -> str:
    return f"{look.day} {look.ref.ticket}/{look.ref.no} {look.what}" + (f" at {look.odometer}" if look.odometer else "")


def _figures(look: Look) -> Iterator[str]:
    for came in look.came:
        left = next((one for one in look.left if (one.what, one.label) == (came.what, came.label)), came)
        name = " ".join(part for part in (came.what, came.label) if part)
        yield f"{name} {came.typed}" + (f", left at {left.typed}" if left.typed != came.typed else "")


def recheck_lines(found: Recheck, *, explain: bool = False) -> Iterator[str]:
    """What a look says: each reading, the suspicions, when to look again."""
    for one in found.again:
        yield from _moved(one, explain=explain)
    if found.giver is not None and found.taker is not None:
        yield f"  {found.giver.now.what} fell while {found.taker.now.what} rose: that is where it went"
    for suspicion, word in found.says:
        yield f"  {suspicion}: {word}"
    if found.says:
        yield f"  {_CARE}"
    yield f"  proposed: look again after {found.next}" if found.next else "  proposed: do not wait for another look"


def _moved(one: Again, *, explain: bool) -> Iterator[str]:
    unit = one.now.typed.unit
    name = " ".join(part for part in (one.now.what, one.now.label) if part)
    said = "not more than the gauge can show" if one.moved == STAYED else one.moved
    yield f"  {name}: {one.before.typed} then {one.now.typed}, {said}"
    if explain:
        yield (
            f"    {one.now.typed.number} - ({one.before.typed.number}) = {float(one.by):+g} {unit};"
            f" the gauges alone make up to {one.room:.2g} {unit} ({Z:.2f} x the square root of both steps squared / 12)"
        )
    if one.trend is not None:
        yield from _trend(one, one.trend, explain=explain)


def _trend(one: Again, trend: Trend, *, explain: bool) -> Iterator[str]:
    wear, way, unit = trend.wear, trend.distance_unit, one.now.typed.unit
    driven = f"{float(trend.distance):,.0f} {way}"
    if wear.state in (WEARS, REACHED):
        rate, half = float(wear.per_thousand), Z * wear.uncertainty
        ends = f"{rate - half:.3g} to {rate + half:.3g}"
        yield f"    toward its limit of {trend.limit}: {rate:.3g} {unit} per 1,000 {way} ({ends})"
        if explain:
            lost = f"{float(abs(one.by)):g} {unit}"
            yield f"    = {lost} x 1,000 / {driven}; give or take {Z:.2f} x {wear.uncertainty:.2g}"
    plain = {
        REACHED: "    the limit is reached",
        TOO_SMALL: f"    over {driven}: not larger than the gauge can show, no projection",
        AWAY: f"    over {driven}: away from its limit",
    }
    if wear.state in plain:
        yield plain[wear.state]
    elif wear.left is not None and wear.earliest is not None and wear.latest is not None:
        latest = f"{wear.latest:,.0f}" if wear.latest < _NO_END else "no end"
        yield f"    the limit in {float(wear.left):,.0f} {way} ({wear.earliest:,.0f} to {latest}; Fieller)"
        if one.reached is not None:
            likely, first, last = one.reached
            yield f"    if driving stays as it is, on {likely} ({first} to {last or 'no end'})"
