"""Lists in columns: which cells a column has, heads over them, and what gives way where a text is too long. Pure."""

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from ticket.grid.rows import Row, Span, cut, wrap
from ticket.grid.signs import RULE
from ticket.job.width import cells

UP, DOWN = "↑", "↓"
"""Smallest or soonest first, and newest first."""


class ListColumn(NamedTuple):
    """One column of a list; column 0 is the pointer's and column 1 the sign's.

    Attributes:
        name: under which the list knows it; the sort is named so too.
        head: what stands over it.
        start: its first cell.
        end: its last cell.
        right: its texts stand at its right edge.
    """

    name: str
    head: str
    start: int
    end: int
    right: bool = False

    @property
    def width(self) -> int:
        """Its cells."""
        return self.end - self.start + 1


Cells = Mapping[str, Sequence[Span]]
"""The spans of each column by its name; a column without any stays blank."""


def laid(columns: Sequence[ListColumn], told: Cells, sign: Span | None = None) -> tuple[Span, ...]:
    """A row from cell 1 on, each column in its cells; names are cut with ``…``, the pointer's cell is the page's."""
    spans: list[Span] = [sign or Span(" ")]
    at = 2
    for column in columns:
        shown = _fitted(told.get(column.name, ()), column.width)
        size = sum(cells(span.text) for span in shown)
        start = column.end + 1 - size if column.right else column.start
        spans += [Span(" " * max(start - at, 0)), *shown]
        at = max(start, at) + size
    return tuple(span for span in spans if span.text)


def _fitted(spans: Sequence[Span], width: int) -> list[Span]:
    kept: list[Span] = []
    room = width
    for span in spans:
        text = cut(span.text, room) if room > 0 else ""
        room -= cells(text)
        kept += [Span(text, span.style)] if text else []
    return kept


def head_rows(columns: Sequence[ListColumn], sorted_by: str, width: int, arrow: str = UP) -> list[Row]:
    """The heads, an arrow at the one the list is sorted by, and the rule under them."""
    shown = [
        _with_arrow(column, arrow) if column.name == sorted_by else (column, (Span(column.head, "strong"),))
        for column in columns
    ]
    told = {column.name: spans for column, spans in shown}
    return [Row((Span(" "), *laid([column for column, _ in shown], told))), Row((Span(RULE * width, "rule"),))]


def _with_arrow(column: ListColumn, sign: str) -> tuple[ListColumn, tuple[Span, ...]]:
    """A head with its arrow; where the column is too narrow, the arrow takes the blank cell beside it."""
    head, arrow = Span(column.head.strip(), "strong"), Span(sign, "quiet")
    if len(head.text) + 2 <= column.width:
        return column, (head, Span(" "), arrow)
    if column.right:
        return column._replace(start=column.start - 1), (arrow, Span(column.head, "strong"))
    return column._replace(end=column.end + 1), (head, arrow)


def column_at(columns: Sequence[ListColumn], cell: int) -> str:
    """The name of the column over a cell; empty where none stands."""
    return next((column.name for column in columns if column.start <= cell <= column.end), "")


def told_lines(
    told: Sequence[tuple[str, str]],
    rows: int,
    width: int,
    lead: int,
    drawn: Callable[[str], Sequence[Span]] | None = None,
) -> list[Row]:
    """What is told of the pointed thing: a word and its text on as many rows as there are, never more, never fewer.

    Args:
        told: pairs of a word and a text; one without a text is left out.
        rows: how many rows.
        width: in cells.
        lead: cells of the longest word.
        drawn: how a text is drawn; in ink where left out.
    """
    made: list[Row] = []
    kept = [(word, text) for word, text in told if text][:rows]
    spare = rows - len(kept)
    for word, text in kept:
        lines = [line.text for line in wrap([Span(text)], max(width - lead - 6, 8))]
        shown = lines[: 1 + spare]
        if len(shown) < len(lines):
            shown[-1] = cut(" ".join(lines[len(shown) - 1 :]), max(width - lead - 6, 8))
        spare -= len(shown) - 1
        for i, line in enumerate(shown):
            spans = drawn(line) if drawn else (Span(line),)
            made.append(Row((Span(f"  {'' if i else word:<{lead}}  ", "quiet"), *spans)))
    return [*made, *[Row()] * (rows - len(made))]
