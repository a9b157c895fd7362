"""The entries on the shop’s own copy, in the columns of the screens: what, reading, against, result."""

from collections.abc import Iterator, Sequence

from ticket.grid.cells import Cells, typographic
from ticket.grid.entries import cells_of
from ticket.grid.rows import Span
from ticket.grid.sight import Sight
from ticket.job.entry import Entry
from ticket.papers.copy_contents import CopyContents
from ticket.papers.sheet import Block, Column, Heading, Table

_SPOKEN = "en"
"""The words of the results are those of the shop's screens, which speak one language."""


def entry_table(contents: CopyContents) -> tuple[Block, ...]:
    """Every entry that stands, a row for each reading; nothing on other readers' copies and in other languages."""
    entries = contents.case.ticket.living
    if contents.reader != "shop" or contents.language != _SPOKEN or not entries:
        return ()
    label = contents.label
    columns = (
        Column(label("entries.no"), figures=True), Column(label("entries.kind")), Column(label("entries.what")),
        Column(label("entries.value"), figures=True), Column(label("entries.against")),
        Column(label("entries.result"), figures=True),
    )  # fmt: skip
    sight = Sight(contents.case, typed_only=True)  # what things cost stands in the table of work and parts
    rows = tuple(row for entry in entries for row in _rows(sight, entry))
    return Heading(label("entries")), Table(label("entries.caption"), columns, rows)


def _rows(sight: Sight, entry: Entry) -> Iterator[tuple[str, ...]]:
    for at, row in enumerate(cells_of(sight, entry)):
        yield _row(row, str(entry.no) if not at else "", entry.kind if not at else "")


def _row(row: Cells, no: str, kind: str) -> tuple[str, ...]:
    value = " ".join(part for part in (typographic(row.value), row.unit) if part)
    against = "; ".join(text for text in row.against if text)
    return f"{row.sign} {no}".strip(), kind, _text(row.what), value, against, _text(row.result, "; ")


def _text(spans: Sequence[Span], glue: str = "") -> str:
    return glue.join(span.text for span in spans)
