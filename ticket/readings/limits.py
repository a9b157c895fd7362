"""Limits in every typed form, brought to one: a least and a largest allowed value."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from ticket.job.values import Limits
from ticket.readings.digits import inward, number, written_like
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
    """

    low: Fraction | None = None
    high: Fraction | None = None
    low_text: str = ""
    high_text: str = ""
    problem: str = ""


Side = tuple[Fraction, str]


def as_limits(limits: Limits | None) -> Bracket:
    """The bounds that written limits put on each value; where two forms were written, both count."""
    if limits is None:
        return Bracket()
    lows: list[Side] = []
    highs: list[Side] = []
    for side, text in ((lows, limits.low), (highs, limits.high)):
        if text:
            value = number(text)
            if value is None:
                return Bracket(problem=_unreadable(text))
            side.append((value, text))
    if limits.nominal:
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
    middle, half = number(nominal), number(tol or "0")
    if middle is None or half is None:
        return None
    low, high = middle - abs(half), middle + abs(half)
    return (low, written_like(low, nominal, tol)), (high, written_like(high, nominal, tol))


def convert_limits(limits: Limits, from_unit: str, to_unit: str) -> Limits | None:
    """The same limits in another unit; ``None`` when the units do not convert or the limits cannot be read.

    Decimal text holds a converted bound exactly or, where it has no end, rounded to the strict side in the sixth
    figure. A tolerance becomes its two bounds.
    """
    if same(from_unit, to_unit):
        return limits
    bracket = as_limits(limits)
    if bracket.problem:
        return None
    spread, spread_unit = limits.spread, limits.spread_unit
    if spread and not same(spread_unit, "%"):
        spread, spread_unit = _moved(number(spread), spread_unit or from_unit, to_unit, convert_gap, up=False), to_unit
    low = _moved(bracket.low, from_unit, to_unit, convert, up=True)
    high = _moved(bracket.high, from_unit, to_unit, convert, up=False)
    lost = (
        (bracket.low is not None and not low)
        or (bracket.high is not None and not high)
        or (limits.spread and not spread)
    )
    return None if lost else Limits(low=low, high=high, spread=spread, spread_unit=spread_unit, source=limits.source)


def _moved(
    value: Fraction | None,
    from_unit: str,
    to_unit: str,
    how: Callable[[Fraction, str, str], Fraction | None],
    *,
    up: bool,
) -> str:
    moved = None if value is None else how(value, from_unit, to_unit)
    return "" if moved is None else inward(moved, up=up)
