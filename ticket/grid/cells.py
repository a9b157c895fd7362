"""One row of the table before it is laid out: its sign, its columns, and the lines it takes on a grid."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from ticket.grid.columns import Columns
from ticket.grid.rows import Row, Span, wrap
from ticket.grid.signs import INK_OF
from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.job.width import cells

_LEAST = 8
"""Cells that what it is about has at least."""
_MINUS = Regex(r"\A-(?=[0-9.])")
_TAIL = Regex(r"[.][0-9]+\Z")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """What stands in the columns of one row.

    Attributes:
        sign: one of ``signs.WORST``, or empty.
        what: what it is about; runs on over empty columns, else it wraps.
        value: a reading or a count, right-aligned, on the decimal point of the other rows of its entry.
        ink: of the value.
        against: what it is held against, one text a line.
        result: what came of it, one text a line, right-aligned.
        flag: one of ``signs.QUIET``, or empty.
        flag_ink: of the flag.
    """

    sign: str = ""
    what: tuple[Span, ...] = ()
    value: str = ""
    ink: str = "value"
    unit: str = ""
    against: tuple[str, ...] = ()
    result: tuple[Span, ...] = ()
    flag: str = ""
    flag_ink: str = "quiet"


@dataclass(frozen=True, slots=True)
class Head:
    """The left edge of an entry.

    Attributes:
        no: its number.
        kind: its word.
        key: what the pointer selects.
        shown: whether the kind is written; on the pointed row it always is.
    """

    no: str = ""
    kind: str = ""
    key: int | str | None = None
    shown: bool = True


def typographic(number: str) -> str:
    """A typed number with a minus that is as wide as a plus."""
    return _MINUS.sub("−", number)


def tail_of(number: str) -> int:
    """The cells a number takes from its decimal point on."""
    match = _TAIL.search(number)
    return len(match[0]) if match else 0


def lay(rows: Sequence[Cells], head: Head, grid: Columns) -> list[Row]:
    """The rows of one entry on a grid, its number on the first."""
    return list(_lay(tuple(rows), head, grid))


@lru_cache(maxsize=2048)  # a ticket is drawn again at each Enter, and nearly all of its entries are as they were
def _lay(rows: tuple[Cells, ...], head: Head, grid: Columns) -> tuple[Row, ...]:
    tail = max((tail_of(row.value) for row in rows), default=0)
    laid: list[Row] = []
    for at, row in enumerate(rows):
        laid += _laid(row, head if at == 0 else Head(key=head.key), grid, tail)
    return tuple(laid)


def _laid(row: Cells, head: Head, grid: Columns, tail: int) -> list[Row]:
    row = _with_value_said(row, grid)
    value = typographic(row.value)
    gap = max(tail - tail_of(row.value), 0) if row.value else 0
    value_at = grid.value.end - gap - cells(value) + 1
    result_at = [grid.result.end - cells(span.text) + 1 for span in row.result]
    against_at, against = _against(row, grid, result_at)
    starts = ((value, value_at), (row.unit, grid.unit.start), (against, against_at), (result_at, grid.result.start))
    used = [*(start for held, start in starts if held), *result_at]
    beside = max(grid.unit.start + cells(row.unit) if row.unit else 0, grid.value.end + 1 if value else 0)
    drop = int(bool(result_at) and result_at[0] <= beside)  # the result has its own line where the unit is in its way
    room = min(used, default=grid.result.end + 2) - 1 - grid.what.start
    texts = [one.spans for one in wrap(row.what, max(room, _LEAST))] if row.what else []
    lines = [_Line() for _ in range(max(len(texts), len(row.result) + drop, len(against), 1))]
    first = lines[0]
    for line, text in zip(lines, texts, strict=False):
        line.put(grid.what.start, *text)
    first.put(value_at, Span(value, row.ink))
    first.put(grid.unit.start, Span(row.unit))
    for line, words in zip(lines, against, strict=False):
        line.put(against_at, Span(words, "quiet"))
    for line, column, span in zip(lines[drop:], result_at, row.result, strict=False):
        line.put(column, span)
    first.put(grid.flag, Span(row.flag, row.flag_ink))
    return [_top(row.sign, head, grid, first.spans), *(Row(line.spans, head.key) for line in lines[1:])]


def _with_value_said(row: Cells, grid: Columns) -> Cells:
    """The row with a value that no column holds said behind what it is about."""
    value = typographic(row.value)
    if cells(value) <= grid.value.end - grid.what.start - _LEAST:
        return row
    said = Span(f"{value} {row.unit}".strip(), row.ink)
    return replace(row, what=(*row.what, Span(" "), said), value="", unit="")


def _top(sign: str, head: Head, grid: Columns, body: tuple[Span, ...]) -> Row:
    """The first line of an entry, as it stands and as it is pointed at."""
    pointed = _edge(sign, head, grid, body, "strong") if head.no else ()
    return Row(_edge(sign, head, grid, body), head.key, pointed)


def _edge(sign: str, head: Head, grid: Columns, body: tuple[Span, ...], ink: str = "quiet") -> tuple[Span, ...]:
    """The row with its left edge: sign, number, kind; while it is pointed at the last two stand out."""
    edge = _Line()
    edge.put(1, Span(sign, INK_OF.get(sign, "quiet")))
    edge.put(max(grid.no.end - len(head.no) + 1, 1), Span(head.no, ink))
    edge.put(grid.kind.start, Span(head.kind if head.shown or ink == "strong" else "", ink))
    lead = body[0] if body and not body[0].text.strip() else Span("")
    edge.put(1 + cells(lead.text), *(body[1:] if lead.text else body))
    return edge.spans


def _against(row: Cells, grid: Columns, result_at: Sequence[int]) -> tuple[int, list[str]]:
    """What a reading is held against, in lines that keep clear of the result, and where they begin."""
    texts = [text for text in row.against if text]
    if grid.against is None or not texts:
        return 0, []
    end = min([grid.against.end, *(at - 2 for at in result_at)])
    left = grid.unit.start + cells(row.unit) + 2 if row.unit or row.value else grid.against.start
    start = max(min(grid.against.start, end + 1 - max(map(cells, texts))), min(left, grid.against.start))
    return start, [line.text for text in texts for line in wrap((Span(text),), max(end + 1 - start, 8))]


class _Line:
    """A line that is filled from the left; what would overlap moves right, so nothing is lost."""

    def __init__(self) -> None:
        self._spans: list[Span] = []
        self._at = 1  # column 0 is the pointer's, and no part of the row

    def put(self, column: int, *spans: Span) -> None:
        """Text from a column on."""
        if not any(span.text for span in spans):
            return
        blank = column - self._at if column >= self._at else 1
        if blank:
            self._spans.append(Span(" " * blank))
            self._at += blank
        for span in spans:
            if span.text:
                shown = one_line(span.text)
                self._spans.append(span if shown == span.text else Span(shown, span.style))
                self._at += cells(shown)

    @property
    def spans(self) -> tuple[Span, ...]:
        """What was put."""
        return tuple(self._spans)
