"""How many cells of a terminal a text takes, and lines that fit.

Wide and full-width characters of Unicode Standard Annex 11 take two cells, combining marks none; letters that are
joined to one picture take two together.
"""

import unicodedata
from collections.abc import Iterator
from functools import lru_cache


def cells(text: str) -> int:
    """The cells a text takes."""
    return len(text) if text.isascii() else _counted(text)


@lru_cache(maxsize=4096)  # hairlines and the words of a row are measured at every key
def _counted(text: str) -> int:
    width = last = 0
    joins = False
    for char in text:
        if char == _JOINER:
            joins = last == 2
        elif char == _AS_PICTURE:
            width, last = width + (last == 1), 2
        elif joins or (last == 2 and char in _SKIN):  # goes on with the picture before it
            joins = False
        elif size := _cell(char):
            width, last = width + size, size
    return width


_JOINER, _AS_PICTURE = "\u200d", "\ufe0f"
_SKIN = "\U0001f3fb\U0001f3fc\U0001f3fd\U0001f3fe\U0001f3ff"


def _cell(char: str) -> int:
    if unicodedata.category(char) in ("Mn", "Me", "Mc") or char == "\u200b":
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def padded(text: str, width: int, *, right: bool = False) -> str:
    """A text filled up with spaces to a width; one that is longer stays."""
    space = " " * (width - cells(text))
    return space + text if right else text + space


def wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Lines no wider than ``width``, broken at spaces, within a word only where it is longer than a line.

    A no-break space keeps its two neighbours together and is written as a space.

    Args:
        text: a text on one line.
        width: in cells; more than the indents by at least two.
        first: what the first line begins with.
        rest: what the other lines begin with.
    """
    lines: list[str] = []
    line, room, empty = first, width - cells(first), True
    for word in (piece for piece in text.split(" ") if piece):
        for part in parts(word, width - max(cells(first), cells(rest))):
            size = cells(part)
            if not empty and size + 1 > room:
                lines.append(line)
                line, room, empty = rest, width - cells(rest), True
            line, room, empty = (
                (line + part, room - size, False) if empty else (f"{line} {part}", room - size - 1, False)
            )
    return [one.replace("\u00a0", " ") for one in ([*lines, line] if not empty or not lines else lines)]


def parts(word: str, width: int) -> Iterator[str]:
    """A word, in pieces no wider than ``width`` where it is too long; a mark stays with its letter."""
    if cells(word) <= width:
        yield word
        return
    piece, size = "", 0
    for char in word:
        wide = _cell(char)
        if piece and size + wide > width:
            yield piece
            piece, size = "", 0
        piece, size = piece + char, size + wide
    yield piece
