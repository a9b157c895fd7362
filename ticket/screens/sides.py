"""Lines with two ends: the left edge states, the right edge results, and what gives way where both do not fit. Pure."""

from collections.abc import Sequence

from ticket.grid.rows import Span, cut
from ticket.job.width import cells

_LEAST = 4
"""Cells of a cut piece; fewer would tell nothing."""


def length(spans: Sequence[Span]) -> int:
    """The cells of some spans."""
    return sum(cells(span.text) for span in spans)


def ends(left: Sequence[Span], right: Sequence[Span], width: int) -> tuple[Span, ...]:
    """The two ends of a line; the right one stays whole, the left one is cut where both do not fit."""
    room = width - length(right) - (2 if right else 0)
    kept = clipped(left, max(room, 0))
    blank = width - length(kept) - length(right)
    return (*kept, *((Span(" " * blank), *right) if right and blank > 0 else ()))


def clipped(spans: Sequence[Span], width: int) -> tuple[Span, ...]:
    """Spans on so many cells, cut with ``…``."""
    kept: list[Span] = []
    left = width
    for at, span in enumerate(spans):
        size = cells(span.text)
        rest = length(spans[at + 1 :])
        if size > left or (size == left and rest):
            if left >= _LEAST:
                kept.append(Span(cut(f"{span.text} " if size <= left else span.text, left), span.style))
            break
        kept.append(span)
        left -= size
    while kept and not kept[-1].text.strip():
        kept.pop()
    return tuple(kept)


def spaced(pieces: Sequence[Sequence[Span]], gap: int = 2) -> tuple[Span, ...]:
    """Pieces one behind the other, parted by blanks."""
    made: list[Span] = []
    for piece in pieces:
        if piece:
            made += [*([Span(" " * gap)] if made else []), *piece]
    return tuple(made)
