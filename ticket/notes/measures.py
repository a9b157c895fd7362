"""Every figure with a unit in a text, and the unit that stands at a place."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache

from ticket.notes.series import Tokens, value_start
from ticket.readings import units

_PIECE = re.compile(r"[^\s\0]{1,24}")
_STOPS = ",;()@=<>"
_TAIL = ".,;:!?"
_LEFT, _RIGHT = frozenset({"L", "l"}), frozenset({"R", "r", "R:", "r:"})
_WORDS_OF_A_UNIT = 3  # "imp fl oz"


@dataclass(frozen=True, slots=True)
class Measure:
    """A value with a unit right behind it.

    Attributes:
        token: index of the value's last token.
        end: position behind the unit.
        unit: the unit as typed.
        name: the unit's own name, under which different spellings are equal.
        dimension: what the unit measures.
    """

    token: int
    end: int
    unit: str
    name: str
    dimension: str


@cache
def _openers() -> frozenset[str]:
    """First words of the units that are written in more than one word."""
    return frozenset(name.split()[0].casefold() for name in units.NAMES if " " in name)


def _cut(piece: str) -> int:
    """Length of the piece up to the first character no unit goes on with."""
    return next((i for i, char in enumerate(piece) if char in _STOPS), len(piece))


@lru_cache(maxsize=4096)
def _length(piece: str) -> int:
    """How many characters at the start of a piece without spaces are a unit."""
    ends = [len(piece), len(piece.rstrip(_TAIL)), len(piece.rstrip(_TAIL + ")"))]
    ends.append(_cut(piece))
    ends.append(len(piece[: ends[-1]].rstrip(_TAIL)))  # dB(A) has a bracket of its own, mm(min 3) has not
    return next((end for end in ends if end and units.find(piece[:end]) is not None), 0)


def unit_end(text: str, at: int) -> int:
    """Position behind the unit that starts at ``at``, or ``at`` itself where none does."""
    match = _PIECE.match(text, at)
    if match is None:
        return at
    end = at + _length(match[0])
    if match[0].casefold() not in _openers():
        return end
    stop = match.end()
    for _ in range(_WORDS_OF_A_UNIT - 1):
        match = _PIECE.match(text, stop + 1) if text[stop : stop + 1] == " " else None
        if match is None:
            break
        last = match[0]
        for length in (len(last), len(last.rstrip(_TAIL + ")")), _cut(last)):
            if length and units.find(text[at : match.start() + length]) is not None:
                end = match.start() + length
                break
        stop = match.end()
    return end


def measures(text: str, tokens: Tokens) -> Iterator[Measure]:
    """All values with units, in order. A unit glued to its figure is split off in ``tokens``.

    An ``L`` on a line that also holds an ``R`` is the left side, no liter.
    """
    sided = not _RIGHT.isdisjoint(tokens.texts)
    for i, token in enumerate(tokens.texts):
        length = value_start(token)
        if not length:
            continue
        start = tokens.starts[i] + length
        glued = length < len(token)
        after = start if glued else start + _gap(text, start)
        if not glued and after == start:
            continue
        end = unit_end(text, after)
        if end == after or (sided and text[after:end] in _LEFT):
            continue
        if glued:
            tokens.texts[i], tokens.ends[i] = token[:length], start
        unit = " ".join(text[after:end].split())
        known = units.find(unit)
        yield Measure(i, end, unit, known.name if known else unit, known.dimension if known else "")


def _gap(text: str, at: int) -> int:
    """One or two spaces between figure and unit."""
    if text[at : at + 1] != " ":
        return 0
    return 2 if text[at + 1 : at + 2] == " " else 1
