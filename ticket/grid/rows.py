"""Lines of text on a screen as plain values: spans, rows, wrapping in cells. Nothing here knows a running app."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from ticket.job.text import one_line
from ticket.job.width import cells, parts

HELD = "\u00a0"
"""A space at which no row is broken: a figure stays with its word."""


class Span(NamedTuple):
    """A piece of text in the ink of a named token; an ink only stresses, it never says anything alone.

    What the first paint needs is a named tuple: making a dataclass takes four times as long, and is paid at each start.
    """

    text: str
    style: str = "ink"


class Row(NamedTuple):
    """One line of the screen.

    Attributes:
        key: what the cursor selects here, such as an entry number; rows of one thing share it.
        here: the same while the cursor is on it, where that differs.
    """

    spans: tuple[Span, ...] = ()
    key: int | str | None = None
    here: tuple[Span, ...] = ()

    @property
    def text(self) -> str:
        """The line without styles."""
        return "".join(span.text for span in self.spans)


def row(text: str, style: str = "ink", key: int | str | None = None) -> Row:
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
    line = [Span(first)]
    room = width - cells(first)
    empty = True
    blanks: list[Span] = []  # before the next word
    for word in _words(spans, width - max(cells(first), cells(rest))):
        size = sum(cells(span.text) for span in word)
        if not size:
            blanks.append(Span(" ", word[0].style))
            continue
        if not empty and size + len(blanks) > room:
            rows.append(Row(tuple(_joined(line)), key))
            line, room, empty = [Span(rest)], width - cells(rest), True
        if not empty:
            line += blanks
            room -= len(blanks)
        line += word
        room, empty, blanks = room - size, False, []
    rows.append(Row(tuple(_joined(line)), key))
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


def _words(spans: Iterable[Span], longest: int) -> Iterable[list[Span]]:
    """Words in order, each with its inks, and an empty one for every space; a word longer than a row comes in pieces.

    What touches stays together, also where the ink changes; so does what :data:`HELD` parts.
    """
    word: list[Span] = []
    for span in spans:
        for i, text in enumerate(one_line(span.text).split(" ")):
            if i:
                yield from _in_rows(word, longest)
                word = []
                yield [Span("", span.style)]
            if text:
                word.append(Span(text.replace(HELD, " "), span.style))
    yield from _in_rows(word, longest)


def _in_rows(word: list[Span], longest: int) -> Iterable[list[Span]]:
    if sum(cells(span.text) for span in word) <= longest:
        if word:
            yield word
        return
    for span in word:
        yield from ([Span(piece, span.style)] for piece in parts(span.text, max(longest, 1)))


def cut(text: str, width: int) -> str:
    """Text on one line of at most ``width`` cells, with ``…`` where it was cut."""
    text = one_line(text)
    if cells(text) <= width:
        return text
    return next(parts(text, max(width - 1, 1)), "") + "…"


def columns(texts: Sequence[str], widths: Sequence[int]) -> str:
    """Cells side by side, each cut and padded to its width, two spaces between."""
    padded = []
    for text, width in zip(texts, widths, strict=True):
        shown = cut(text, width)
        padded.append(shown + " " * (width - cells(shown)))
    return "  ".join(padded).rstrip()
