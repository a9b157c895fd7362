"""The entries of a ticket as lines of plain text, on the same grid: below each row what it has no room for."""

from collections.abc import Iterator

from ticket.grid.columns import columns_for
from ticket.grid.entries import rows_of
from ticket.grid.entry_words import beside_words
from ticket.grid.rows import Span, wrap
from ticket.grid.sight import Sight
from ticket.grid.signs import LETTERS


def table_lines(sight: Sight, width: int, *, letters: bool = False) -> Iterator[str]:
    """The lines of the table, struck entries among them.

    Args:
        sight: the ticket.
        width: cells of a line.
        letters: no sign but plain characters may be used.
    """
    grid = columns_for(width)
    lead = " " * (grid.what.start - 1)
    kind = ""
    for entry in sight.case.ticket.entries:
        words = "; ".join(beside_words(sight, entry, grid))
        told = wrap((Span(words),), grid.width - 2, first=lead, rest=lead) if words else []
        for row in (*rows_of(sight, entry, grid, shown=entry.kind != kind), *told):
            line = f" {row.text}".rstrip()
            yield line.translate(LETTERS) if letters else line
        kind = entry.kind
