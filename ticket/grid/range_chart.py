"""Shares as small charts of one line: the best value on its range, all on one scale. Pure."""

from collections.abc import Sequence

from ticket.grid.rows import Span

FEWEST = 5
"""From fewer jobs only the fraction is told: a range of nearly everything says nothing."""
_DOT, _LINE, _LOW, _HIGH, _BEST = "·", "─", "├", "┤", "●"


def range_chart(low: float, best: float, high: float, width: int, *, late: bool = False) -> tuple[Span, ...]:
    """``··├──●─┤···``: where a share lies between 0 and 1, and how far it may lie from there.

    Args:
        low: lower end of the range.
        best: the value itself.
        high: upper end.
        width: cells of the whole scale.
        late: the value is one to worry about.
    """
    last = width - 1
    at = min(max(round(best * last), 0), last)
    left, right = min(max(int(low * last), 0), at), max(min(-int(-high * last // 1), last), at)
    inside = [_LINE] * (right - left + 1)
    inside[0], inside[-1] = _LOW, _HIGH
    inside[at - left] = _BEST
    ink = "bad" if late else "fact"
    pieces = (Span(_DOT * left, "rule"), Span("".join(inside), ink), Span(_DOT * (last - right), "rule"))
    return tuple(span for span in pieces if span.text)


def scale(width: int, ends: Sequence[str] = ("0", "50", "100 %")) -> str:
    """The figures under the charts: the first at their left end, the middle one, the last at their right end."""
    first, middle, last = ends
    half = first.ljust(width // 2 - len(middle) // 2) + middle
    return half.ljust(width - len(last)) + last
