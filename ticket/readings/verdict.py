"""Is a reading within its limits? Exact comparison of what was typed; in doubt no verdict, but the reason."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from ticket.job.values import Run, Value
from ticket.readings.conformity import SURE, chance_within
from ticket.readings.digits import number
from ticket.readings.limit_bounds import Bracket, as_limits
from ticket.readings.span import Span, span_of
from ticket.readings.spread import Spread, spread_of

_RECTANGULAR = Fraction("0.57735026919")  # one over the square root of three


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer for one reading, or for the spread of a run.

    Attributes:
        word: ``low``, ``in``, ``high``, ``undecided``, or ``none`` where no limits were given.
        reason: one sentence for ``low``, ``high`` and ``undecided``; empty otherwise.
        by: how far beyond the limit for ``low`` and ``high``, how far inside the nearest one for ``in``, in the
            run's unit; ``None`` where no figure says so.
        limit: the limit it was held against, with the digits typed, such as ``22.0`` or ``25 %``.
    """

    word: str
    reason: str = ""
    by: Fraction | None = None
    limit: str = ""


@lru_cache(maxsize=1024)  # story, gaps and screens ask the same of one reading
def judge(run: Run, *, resolution: Fraction | None = None, uncertainty: Fraction | None = None) -> tuple[Verdict, ...]:
    """One verdict for each reading of a run.

    A value equal to a limit is within it. A value that says itself how far its gauge may be off is judged as with
    ``uncertainty``. A limit on the spread counts against the readings furthest off, unless
    they are out of their own limits already.

    Args:
        run: the readings and their limits.
        resolution: step of the instrument in the run's unit, where it is known: a value within half a step of a
            limit is then undecided (GUM F.2.2.1: the true value lies anywhere in the step).
        uncertainty: standard uncertainty of the instrument in the run's unit, from its certificate: a value is then
            undecided unless it is within, or outside, with 95 % probability (JCGM 106).
    """
    bracket = as_limits(run.limits, run.unit)
    spans = [_blurred(span_of(value.number, run.unit), resolution) for value in run.values]
    spread = spread_of([span_of(value.number, run.unit) for value in run.values], run.unit, run.limits, resolution)
    own = (
        _doubted(_held_against(span, bracket), span, bracket, uncertainty or _standard(value))
        for span, value in zip(spans, run.values, strict=True)
    )
    return tuple(_with_spread(verdict, spread, i) for i, verdict in enumerate(own))


def _standard(value: Value) -> Fraction | None:
    """The standard uncertainty of a gauge that may be off by so much, any error up to there as likely (GUM 4.3.7)."""
    most = number(value.uncertainty) if value.uncertainty else None
    return None if most is None else abs(most) * _RECTANGULAR


def _blurred(span: Span | str, resolution: Fraction | None) -> Span | str:
    return span if isinstance(span, str) or resolution is None else span.blurred(resolution)


def _held_against(span: Span | str, bracket: Bracket) -> Verdict:
    if bracket.problem:
        return Verdict("undecided", bracket.problem)
    if bracket.low is None and bracket.high is None:
        return Verdict("none")
    if isinstance(span, str):
        return Verdict("undecided", span)
    verdict = _compared(span, bracket)
    if verdict.word not in ("undecided", *span.decides):
        return Verdict("undecided", span.why, limit=verdict.limit)
    return verdict


def _doubted(verdict: Verdict, span: Span | str, bracket: Bracket, u: Fraction | None) -> Verdict:
    at = None if isinstance(span, str) else span.figure
    if not u or at is None or verdict.word in ("undecided", "none"):
        return verdict
    within = chance_within(at, bracket.low, bracket.high, abs(u))
    if max(within, 1 - within) >= SURE:
        return verdict
    return Verdict(
        "undecided", f"The instrument is too uncertain to judge against {verdict.limit}.", None, verdict.limit
    )


def _compared(span: Span, bracket: Bracket) -> Verdict:
    low, high, at = bracket.low, bracket.high, span.figure
    if low is not None and (span.high < low or (span.high == low and span.high_open)):
        by = None if at is None else low - at
        return Verdict(
            "low", f"The reading is below {bracket.named(bracket.low_text)}.", by, bracket.named(bracket.low_text)
        )
    if high is not None and (span.low > high or (span.low == high and span.low_open)):
        by = None if at is None else at - high
        return Verdict(
            "high", f"The reading is above {bracket.named(bracket.high_text)}.", by, bracket.named(bracket.high_text)
        )
    room, nearest, by = min(_sides(span, bracket))
    if room >= 0:
        return Verdict("in", "", None if at is None else by, nearest)
    return Verdict("undecided", span.why or f"The instrument is too coarse to judge against {nearest}.", limit=nearest)


def _sides(span: Span, bracket: Bracket) -> Iterator[tuple[Fraction | float, str, Fraction]]:
    """For each limit the room the span leaves to it, its text, and the room of the figure itself."""
    at = span.figure or Fraction(0)
    if bracket.low is not None:
        yield span.low - bracket.low, bracket.named(bracket.low_text), at - bracket.low
    if bracket.high is not None:
        yield bracket.high - span.high, bracket.named(bracket.high_text), bracket.high - at


def _with_spread(own: Verdict, spread: Spread, place: int) -> Verdict:
    if spread.word == "none" or own.word in ("low", "high", "undecided"):
        return own
    if place in spread.off:
        return Verdict(spread.off[place], spread.reason, None, spread.limit)
    if own.word == "none":
        word = "undecided" if spread.word == "undecided" else "in"
        return Verdict(word, spread.reason if word == "undecided" else "", None, spread.limit)
    return own
