"""The entries of a ticket as the rows of one table. Pure: facts in, rows out."""

from collections.abc import Collection, Sequence
from dataclasses import replace

from ticket.grid.cells import Cells, Head, lay
from ticket.grid.columns import Columns
from ticket.grid.measured_rows import measured_cells, with_open_pieces
from ticket.grid.rows import Row, Span
from ticket.grid.sight import Sight
from ticket.grid.signs import AMENDED, BACK, INSIDE, PICTURE, QUIET, STRUCK, WAITS
from ticket.grid.worded import worded_cells
from ticket.job.entry import Entry
from ticket.job.kinds import Found, Photo, Proof, Says

STRUCK_KEY = "struck"
"""What the pointer selects on the row of the struck entries."""


def entry_rows(sight: Sight, entries: Sequence[Entry], grid: Columns, *, struck: Collection[int] = ()) -> list[Row]:
    """The rows of some entries in their order.

    A kind is written where it changes; the runs of one kind make the rhythm.

    Args:
        sight: the ticket with what the rows look at.
        entries: of it.
        grid: the columns.
        struck: numbers of struck entries that have rows too, instead of being counted at the end.
    """
    rows: list[Row] = []
    kind = ""
    for entry in entries:
        if entry.struck and entry.no not in struck:
            continue
        rows += rows_of(sight, entry, grid, shown=entry.kind != kind)
        kind = entry.kind
    folded = sum(entry.struck and entry.no not in struck for entry in entries)
    if folded:
        rows += lay([Cells(sign=STRUCK, what=(Span(f"{folded} struck, folded", "quiet"),))], Head(key=STRUCK_KEY), grid)
    return rows


def rows_of(sight: Sight, entry: Entry, grid: Columns, *, shown: bool = True) -> list[Row]:
    """The rows of one entry."""
    return lay(cells_of(sight, entry), Head(str(entry.no), entry.kind, entry.no, shown), grid)


def cells_of(sight: Sight, entry: Entry) -> list[Cells]:
    """The rows of one entry before they are laid out."""
    fact = entry.fact
    rows = measured_cells(sight, entry, fact) if isinstance(fact, Found | Proof) else worded_cells(sight, entry)
    rows = rows or [Cells()]
    if entry.struck:
        quiet = [replace(row, what=tuple(Span(span.text, "quiet") for span in row.what), ink="quiet") for row in rows]
        return [replace(row, sign=STRUCK if not at else "", result=(), flag="") for at, row in enumerate(quiet)]
    rows = with_open_pieces(rows, sight.open_pieces(entry.no))
    flags = flags_of(sight, entry, rows[0])
    if flags:
        first = rows[0]
        rows[0] = replace(first, flag=flags[0], flag_ink=first.flag_ink if flags[0] == first.flag else "quiet")
    return rows


def flags_of(sight: Sight, entry: Entry, first: Cells) -> tuple[str, ...]:
    """The quiet signs of an entry, the one that is drawn first."""
    fact = entry.fact
    signs = {
        BACK: isinstance(fact, Says) and bool(fact.back_from),
        AMENDED: bool(entry.amended or entry.reason or entry.replaces or entry.no in sight.replaced),
        PICTURE: isinstance(fact, Photo) or entry.no in sight.pictured,
        WAITS: first.flag == WAITS,
        INSIDE: entry.shop_only or fact.inside,
    }
    return tuple(sign for sign in QUIET if signs[sign])
