"""Measures told a second time in brackets, in the unit of the other system: right, or no bracket at all.

A bracket that was declared as worked out is held against the figures just before it, and then taken out of the text:
the other rules look at what was typed.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from ticket.job.numbers import step
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.readings.units import NAMES, convert, convert_gap, find
from ticket.story.faithful.figures import QUANTITY, Figure, scan
from ticket.story.faithful.finding import Finding
from ticket.story.faithful.language import Language

_BRACKET = Regex(r" \(([^()]{1,60})\)")
_BEFORE = 60  # letters in which the typed figures stand


@dataclass(frozen=True)
class Plain:
    """A text without its declared conversions.

    Attributes:
        text: what the other rules look at.
        found: conversions that are wrong.
        moved: a place in it as a place of the whole text.
    """

    text: str
    found: tuple[Finding, ...]
    moved: Callable[[int], int]


def without_converted(text: str, derived: Sequence[str], lists: Language) -> Plain:
    """The text without brackets that hold declared conversions; those that are wrong are found."""
    declared = {fold(one) for one in derived}
    found: list[Finding] = []
    cuts: list[tuple[int, int]] = []
    kept, at = "", 0
    for match in _BRACKET.finditer(text):
        if fold(match[1]) not in declared:
            continue
        told = [figure for figure in scan(match[1], lists) if figure.kind == QUANTITY]
        if not told:
            continue
        before = text[max(0, match.start() - _BEFORE) : match.start()]
        typed = [figure for figure in scan(before, lists) if figure.value is not None]
        if not all(any(_right(one, other) for other in typed) for one in told):
            found.append(Finding("F3", "It is not the figure before it in another unit.", *match.span()))
        kept += text[at : match.start()]
        cuts.append((len(kept), match.end() - match.start()))
        at = match.end()

    def moved(place: int) -> int:
        return place + sum(width for start, width in cuts if start <= place and start > 0)

    return Plain(kept + text[at:], tuple(found), moved)


def _right(told: Figure, typed: Figure) -> bool:
    """Whether a figure is another in a different unit, rounded; a bare figure may be of any unit of that measure."""
    sizes = [typed.unit] if typed.kind == QUANTITY else _units(told.dimension)
    near = _last_place(told.digits) / 2
    value, signed = typed.value, typed.signed
    if value is None or signed is None or told.value is None:
        return False
    for unit in sizes:
        for change in (convert, convert_gap):
            exactly = (change(one, unit, told.unit) for one in {value, signed})
            if unit != told.unit and any(one is not None and abs(abs(one) - told.value) <= near for one in exactly):
                return True
    return False


@cache
def _units(dimension: str) -> list[str]:
    known = {unit.name: unit for name in NAMES if (unit := find(name)) is not None}
    return [name for name, unit in known.items() if unit.dimension == dimension]


def _last_place(digits: str) -> Fraction:
    """The last digit that counts: a whole figure may end in round zeros."""
    plain = digits.replace(",", "")
    zeros = len(plain) - len(plain.rstrip("0")) if plain.isdigit() else 0
    return (step(plain) or Fraction(1)) * Fraction(10) ** zeros
