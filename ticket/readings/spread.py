"""The gap between readings taken together, and which of them is furthest off."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from statistics import median

from ticket.job.values import Limits
from ticket.readings.digits import number
from ticket.readings.span import Span
from ticket.readings.units import convert_gap, same


@dataclass(frozen=True, slots=True)
class Spread:
    """What the spread limit says about a whole run.

    Attributes:
        word: ``in``, ``high`` (further apart than allowed), ``undecided`` or ``none`` (no such limit).
        reason: one sentence, empty for ``in`` and ``none``.
        gap: largest less smallest reading, in the run's unit.
        allowed: the largest allowed gap, in the run's unit.
        limit: the limit as typed, such as ``25 %``.
        off: ``low`` or ``high`` by position for the readings furthest off.
    """

    word: str
    reason: str = ""
    gap: Fraction | None = None
    allowed: Fraction | None = None
    limit: str = ""
    off: Mapping[int, str] = field(default_factory=dict)


def spread_of(
    spans: Sequence[Span | str], unit: str, limits: Limits | None, resolution: Fraction | None = None
) -> Spread:
    """Judge the gap between readings.

    The readings furthest from the median are off, and after them the next ones, until the rest keep the limit; where
    two lie equally far to either side the gap cannot tell them apart and both count as off.

    Args:
        spans: what each reading says.
        unit: unit of the run.
        limits: the limits of the run; ``%`` means per cent of the largest reading, except where the run itself is
            in per cent.
        resolution: step of the instrument; two readings together may be off by one whole step.
    """
    if limits is None or not limits.spread:
        return Spread("none")
    text = f"{limits.spread} {limits.spread_unit or unit}".strip()
    figures = ((i, span.figure) for i, span in enumerate(spans) if isinstance(span, Span))
    known = {i: figure for i, figure in figures if figure is not None}
    if len(known) < 2:
        return Spread("undecided", "A spread needs two readings with figures.", limit=text)
    allowed = _allowed(limits, unit, max(known.values()))
    if isinstance(allowed, str):
        return Spread("undecided", allowed, limit=text)
    gap = max(known.values()) - min(known.values())
    step = abs(resolution or Fraction(0))
    if gap > allowed and gap - step >= allowed:
        reason = f"The readings are further apart than {text}."
        return Spread("high", reason, gap, allowed, text, _furthest_off(known, allowed))
    if gap + step > allowed:
        return Spread("undecided", "The instrument is too coarse to judge the spread.", gap, allowed, text)
    if len(known) < len(spans):
        return Spread("undecided", "Not every reading is a figure, so the spread may be larger.", gap, allowed, text)
    return Spread("in", "", gap, allowed, text)


def _allowed(limits: Limits, unit: str, largest: Fraction) -> Fraction | str:
    typed = number(limits.spread)
    if typed is None or typed < 0:
        return f"The spread limit {limits.spread[:40]!r} is not a number."
    if same(limits.spread_unit, "%") and not same(unit, "%"):
        if largest <= 0:
            return "A spread in per cent needs readings above nought."
        return typed / 100 * largest
    moved = convert_gap(typed, limits.spread_unit or unit, unit)
    return "The spread limit is in a unit that does not convert." if moved is None else moved


def _furthest_off(known: Mapping[int, Fraction], allowed: Fraction) -> dict[int, str]:
    rest = dict(known)
    off: dict[int, str] = {}
    while rest and max(rest.values()) - min(rest.values()) > allowed:
        middle = median(rest.values())
        furthest = max(abs(value - middle) for value in rest.values())
        for i in [i for i, value in rest.items() if abs(value - middle) == furthest]:
            off[i] = "low" if rest.pop(i) < middle else "high"
    return off
