"""Limits in every typed form, brought to one: a least and a largest allowed value."""

from dataclasses import dataclass, replace
from fractions import Fraction

from ticket.job.values import Limits
from ticket.readings.digits import finite, number, written_like
from ticket.readings.units import convert, convert_gap, same


@dataclass(frozen=True, slots=True)
class Bracket:
    """The bounds of a single value, in the unit of the run.

    Attributes:
        low: least allowed value; a value equal to it is allowed.
        high: largest allowed value.
        low_text: the low bound with the digits that were typed; ``9.6 +/- 0.2`` gives ``9.4``.
        high_text: the same for the high bound.
        problem: one sentence when the limits cannot be used, else empty.
        unit: unit of the texts; the bounds themselves are in the unit asked for.
    """

    low: Fraction | None = None
    high: Fraction | None = None
    low_text: str = ""
    high_text: str = ""
    problem: str = ""
    unit: str = ""

    def named(self, text: str) -> str:
        """One of the texts with its unit, where that is not the reading's."""
        return f"{text} {self.unit}" if self.unit else text


Side = tuple[Fraction, str]


def as_limits(limits: Limits | None, unit: str = "") -> Bracket:
    """The bounds that written limits put on each value; where two forms were written, both count.

    Args:
        limits: as typed.
        unit: unit of the reading; bounds of limits that name another are brought to it exactly.
    """
    if limits is None:
        return Bracket()
    bracket = _bracket(limits)
    if not limits.unit or bracket.problem or same(limits.unit, unit):
        return bracket
    ends = [None if end is None else convert(end, limits.unit, unit) for end in (bracket.low, bracket.high)]
    if any(moved is None and end is not None for moved, end in zip(ends, (bracket.low, bracket.high), strict=True)):
        return Bracket(problem=f"The limits are in {limits.unit}, which does not convert to {unit or 'no unit'}.")
    return replace(bracket, low=ends[0], high=ends[1], unit=limits.unit)


def _bracket(limits: Limits) -> Bracket:
    """The bounds in the unit the limits were typed in."""
    lows: list[Side] = []
    highs: list[Side] = []
    for side, text in ((lows, limits.low), (highs, limits.high)):
        if text:
            value = number(text)
            if value is None:
                return Bracket(problem=_unreadable(text))
            side.append((value, text))
    if limits.nominal and limits.tol:  # alone it is what was aimed at, which bounds nothing
        around = _around(limits.nominal, limits.tol)
        if around is None:
            return Bracket(problem=_unreadable(f"{limits.nominal} +/- {limits.tol}"))
        lows.append(around[0])
        highs.append(around[1])
    low, low_text = max(lows, default=(None, ""), key=_by_value)
    high, high_text = min(highs, default=(None, ""), key=_by_value)
    if low is not None and high is not None and low > high:
        return Bracket(problem=f"The low limit {low_text} is above the high limit {high_text}.")
    return Bracket(low, high, low_text, high_text)


def _by_value(side: Side) -> Fraction:
    return side[0]


def _unreadable(text: str) -> str:
    return f"The limit {text[:40]!r} is not a number."


def _around(nominal: str, tol: str) -> tuple[Side, Side] | None:
    middle, half = number(nominal), number(tol)
    if middle is None or half is None:
        return None
    low, high = middle - abs(half), middle + abs(half)
    return (low, written_like(low, nominal, tol)), (high, written_like(high, nominal, tol))


def _converted_spread(limits: Limits, from_unit: str, to_unit: str) -> tuple[str, str] | None:
    """The spread with its unit for a reading in another unit; ``None`` where it does not convert."""
    if not limits.spread or same(limits.spread_unit, "%"):
        return limits.spread, limits.spread_unit
    gap, unit = number(limits.spread), limits.spread_unit or from_unit
    moved = None if gap is None else convert_gap(gap, unit, to_unit)
    if moved is None:
        return None
    # A spread names its own unit, so that one which no decimal holds exactly stays as typed.
    return (text, to_unit) if (text := finite(moved)) else (limits.spread, unit)


def convert_limits(limits: Limits, from_unit: str, to_unit: str) -> Limits | None:
    """The same limits for a reading in another unit; ``None`` when the units do not convert or they cannot be read.

    A tolerance becomes its two bounds. Bounds that no decimal holds exactly stay as typed, with the unit they name:
    nothing is rounded.
    """
    typed = limits.unit or from_unit
    if same(typed, to_unit):
        return replace(limits, unit="")
    bracket = as_limits(limits, to_unit) if limits.unit else as_limits(replace(limits, unit=from_unit), to_unit)
    if bracket.problem:
        return None
    moved = _converted_spread(limits, from_unit, to_unit)
    if moved is None:
        return None
    spread, spread_unit = moved
    low, high = (None if end is None else finite(end) for end in (bracket.low, bracket.high))
    if "" in (low, high):
        return replace(limits, unit=typed, spread=spread, spread_unit=spread_unit)
    return Limits(low=low or "", high=high or "", spread=spread, spread_unit=spread_unit, source=limits.source)
