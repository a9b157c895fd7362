"""Lines of text on a screen as plain values: spans, rows, wrapping in cells. Nothing here knows a running app."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from rich.cells import cell_len, chop_cells

from ticket.job.text import one_line

STYLES = ("plain", "quiet", "strong", "flag", "doubt", "title")


@dataclass(frozen=True, slots=True)
class Span:
    """A piece of text in one of the named styles; the style only stresses, it never says anything alone."""

    text: str
    style: str = "plain"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the screen.

    Attributes:
        key: what the cursor selects here, such as an entry number; rows of one thing share it.
    """

    spans: tuple[Span, ...] = ()
    key: int | str | None = None

    @property
    def text(self) -> str:
        """The line without styles."""
        return "".join(span.text for span in self.spans)


def row(text: str, style: str = "plain", key: int | str | None = None) -> Row:
    """A line in one style."""
    return Row((Span(one_line(text), style),), key)


def wrap(
    spans: Sequence[Span], width: int, *, first: str = "", rest: str = "", key: int | str | None = None
) -> list[Row]:
    """Break spans into rows of at most ``width`` cells at spaces; a word that is too long is cut.

    Args:
        spans: the text; each may hold anything, control characters show as marks.
        width: cells of a row, indents included; at least 8 are used.
        first: put before the first row.
        rest: put before every other row.
        key: what the cursor selects on these rows.
    """
    return list(_wrapped(tuple(spans), max(width, 8), first, rest, key))


@lru_cache(maxsize=2048)  # a ticket is drawn again at each Enter, and nearly all of its lines are as they were
def _wrapped(spans: tuple[Span, ...], width: int, first: str, rest: str, key: int | str | None) -> tuple[Row, ...]:
    rows: list[Row] = []
    line: list[Span] = []
    indent = first
    room = width - cell_len(first)

    def flush() -> None:
        nonlocal line, indent, room
        rows.append(Row(tuple(_joined([Span(indent), *line])), key))
        line, indent, room = [], rest, width - cell_len(rest)

    for word, style in _words(spans, width - max(cell_len(first), cell_len(rest))):
        size = cell_len(word)
        if word == " ":
            if line and room > 0:
                line.append(Span(" ", style))
                room -= 1
            continue
        if size > room and line:
            while line and line[-1].text == " ":
                line.pop()
            flush()
        line.append(Span(word, style))
        room -= size
    if line or not rows:
        flush()
    return tuple(rows)


def _joined(spans: Iterable[Span]) -> Iterable[Span]:
    """Neighbours of one style as one span: fewer escape sequences go to the terminal."""
    last: Span | None = None
    for span in spans:
        if last is None:
            last = span
        elif last.style == span.style:
            last = Span(last.text + span.text, last.style)
        else:
            if last.text:
                yield last
            last = span
    if last is not None:
        yield last


def _words(spans: Iterable[Span], longest: int) -> Iterable[tuple[str, str]]:
    """Words and single spaces in order; a word longer than a row comes in pieces."""
    for span in spans:
        for i, word in enumerate(one_line(span.text).split(" ")):
            if i:
                yield " ", span.style
            if cell_len(word) > longest:
                yield from ((piece, span.style) for piece in chop_cells(word, max(longest, 1)))
            elif word:
                yield word, span.style


def cut(text: str, width: int) -> str:
    """Text on one line of at most ``width`` cells, with ``…`` where it was cut."""
    text = one_line(text)
    if cell_len(text) <= width:
        return text
    return (chop_cells(text, max(width - 1, 1)) or [""])[0] + "…"


def columns(cells: Sequence[str], widths: Sequence[int]) -> str:
    """Cells side by side, each cut and padded to its width, two spaces between."""
    padded = []
    for text, width in zip(cells, widths, strict=True):
        shown = cut(text, width)
        padded.append(shown + " " * (width - cell_len(shown)))
    return "  ".join(padded).rstrip()
