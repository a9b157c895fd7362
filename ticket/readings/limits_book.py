"""The limits book: which limits are known for a thing that was measured. It offers; it never judges a reading.

A book is a list of rows. What law and standards publish travels with the program; a shop adds rows of its own. A row
fits a reading where its words, place, vehicle and dimension do, and nothing of the words is left that could make it
another thing.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from ticket.job.text import fold
from ticket.job.values import Limits
from ticket.readings.digits import number
from ticket.readings.limit_bounds import as_limits
from ticket.readings.positions import places
from ticket.readings.units import find, same

FORMAT = "limits-book-1"
STANDINGS = ("read in the source", "one text", "from memory")
_LONGEST_WORDS = 80
_WORDS: dict[str, Any] = {"shape": "words"}
_FIGURE: dict[str, Any] = {"shape": "figure"}

# Words that tell how or where something was measured and never make it another thing.
_HOW = frozenset("a all at depth is measured of on reading reads still the thickness was".split())
# Words of place by direction: two words of one direction exclude each other.
_ENDS = frozenset("front rear steer steering drive drives trailer tandem tag pusher spare".split())
_DIRECTIONS = (
    _ENDS,
    frozenset("left right near off".split()),
    frozenset("inner middle outer".split()),
    frozenset("upper lower top bottom".split()),
    frozenset("intake exhaust".split()),
)
_PLACE = frozenset().union(*_DIRECTIONS) | frozenset("axle side wheel wheels cylinder".split())


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRow:
    """One row of a limits book.

    Attributes:
        thing: the words of what is measured, such as ``brake lining``.
        also: other words for it.
        position: places the row holds for, any of them, such as ``front``; none for everywhere.
        vehicle: words of the vehicle's name; empty for all vehicles.
        unit: unit of its numbers.
        low: least allowed value.
        high: largest allowed value.
        nominal: with ``tol``, instead of the two, what is aimed at.
        tol: how far off it may be.
        source: who says so, as it stands behind ``per`` in a line: ``law``, ``maker``, ``shop``.
        citation: where it is said.
        standing: how it was taken from there.
        where: where a law holds, as the identities of local rules begin; empty for everywhere.
    """

    thing: str = field(metadata=_WORDS)
    also: tuple[str, ...] = field(default=(), metadata=_WORDS)
    position: tuple[str, ...] = field(default=(), metadata=_WORDS)
    vehicle: str = ""
    unit: str = field(metadata=_WORDS)
    low: str = field(default="", metadata=_FIGURE)
    high: str = field(default="", metadata=_FIGURE)
    nominal: str = field(default="", metadata=_FIGURE)
    tol: str = field(default="", metadata=_FIGURE)
    source: str = field(metadata=_WORDS)
    citation: str = ""
    standing: str = field(default="", metadata={"choices": STANDINGS})
    where: str = ""

    @property
    def limits(self) -> Limits:
        """Its limits, in its own unit."""
        return Limits(
            low=self.low, high=self.high, nominal=self.nominal, tol=self.tol, source=self.source, unit=self.unit
        )

    def faults(self) -> Iterator[tuple[str, str]]:
        """What makes the row unusable, with the field it stands in."""
        for name, words in (("thing", self.thing), *((f"also/{i}", text) for i, text in enumerate(self.also))):
            if not words_of(words) or len(words) > _LONGEST_WORDS:
                yield name, f"expected the words of a thing, {_LONGEST_WORDS} characters at most"
        if find(self.unit) is None:
            yield "unit", f"{self.unit!r} is no unit the program knows"
        if bool(self.nominal) != bool(self.tol):
            yield ("tol" if self.nominal else "nominal"), "a nominal value and its tolerance go together"
        elif bool(self.nominal) == bool(self.low or self.high):
            yield "low", "give low, high or both, or a nominal value with its tolerance"
        for name in ("low", "high", "nominal", "tol"):
            if (text := getattr(self, name)) and number(text) is None:
                yield name, f"{text!r} is no number"
        if problem := as_limits(Limits(low=self.low, high=self.high)).problem:
            yield "low", problem.rstrip(".")


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitsBook:
    """The rows of a book, in its own order."""

    limits: tuple[LimitRow, ...] = ()

    def faults(self) -> Iterator[tuple[str, str]]:
        """Rows that stand twice."""
        seen: dict[object, int] = {}
        for i, row in enumerate(self.limits):
            key = (words_of(row.thing), row.position, fold(row.vehicle), row.limits, row.citation)
            if key in seen:
                yield f"limits/{i}/thing", f"says again what row {seen[key] + 1} says"
            seen.setdefault(key, i)


@dataclass(frozen=True, slots=True)
class Asked:
    """A reading without limits, as far as the book needs it.

    Attributes:
        what: the words of what was measured.
        labels: the positions of its values.
        unit: of its values.
        vehicle: the vehicle's name.
        law: the beginning of the identity of the local rules; empty where they say nothing of the place.
    """

    what: str
    labels: tuple[str, ...]
    unit: str
    vehicle: str = ""
    law: str = ""


@dataclass(frozen=True, slots=True)
class Fit:
    """A row that fits a reading; ``whole`` where it may hold for all of its values, else for some positions only."""

    row: LimitRow
    whole: bool


class Shelf:
    """Books ready to be asked: their rows by the first word of what they are about.

    Args:
        rows: the rows, those that go first in front.
    """

    def __init__(self, rows: Iterable[LimitRow]) -> None:
        self._by_word: dict[str, list[tuple[tuple[str, ...], int, LimitRow]]] = {}
        for at, row in enumerate(rows):
            for words in dict.fromkeys(words_of(text) for text in (row.thing, *row.also)):
                self._by_word.setdefault(words[0], []).append((words, at, row))

    def fitting(self, asked: Asked) -> tuple[Fit, ...]:
        """The rows that fit, each once: those for this vehicle first, then those for this place, then the rest."""
        said = words_of(asked.what)
        unit = find(asked.unit)
        if unit is None:
            return ()
        found: dict[int, tuple[tuple[bool, bool, int], Fit]] = {}
        for start, word in enumerate(said):
            for words, at, row in self._by_word.get(word, ()):
                if said[start : start + len(words)] != words or at in found or not _holds(row, asked, unit.dimension):
                    continue
                rest = said[:start] + said[start + len(words) :]
                if not all(left in _HOW or left in _PLACE or left.isdecimal() for left in rest):
                    continue
                where = [_place(row, label, rest) for label in asked.labels]
                if any(where):
                    ahead = (not row.vehicle, "said" not in where, at)
                    found[at] = (ahead, Fit(row, all(where)))
        return _in_one_unit([fit for _, fit in sorted(found.values(), key=lambda pair: pair[0])], asked.unit)


def _holds(row: LimitRow, asked: Asked, dimension: str) -> bool:
    """Whether dimension, vehicle and the place of the law allow the row."""
    own = find(row.unit)
    vehicle = set(fold(row.vehicle).split())
    law = not row.where or not asked.law or row.where == asked.law
    return law and own is not None and own.dimension == dimension and vehicle <= set(fold(asked.vehicle).split())


def _place(row: LimitRow, label: str, rest: tuple[str, ...]) -> str:
    """Whether a row holds at a place: ``said`` where the reading names it, ``open`` where it does not contradict."""
    if not row.position:
        return "said"
    here = {word for place in places(label) for word in place.split()} | {word for word in rest if word in _PLACE}
    here |= {word for word in rest if word.isdecimal()}
    answers = {_one_place(words_of(place), here) for place in row.position}
    return next((answer for answer in ("said", "open") if answer in answers), "")


def _one_place(wanted: Sequence[str], here: set[str]) -> str:
    missing = [word for word in wanted if word not in here]
    if not missing:
        return "said"
    return "" if any(_contradicts(word, here) for word in missing) else "open"


def _contradicts(word: str, here: set[str]) -> bool:
    """Whether a reading names another place of the direction of a word: rear where front is wanted."""
    numbered = any(other.isdecimal() for other in here)
    if word.isdecimal() or word == "axle":  # an axle by its number is no end by its word, nor the other way round
        return numbered or not here.isdisjoint(_ENDS)
    direction = next((words for words in _DIRECTIONS if word in words), frozenset())
    return not here.isdisjoint(direction) or (direction is _ENDS and numbered and "axle" in here)


def _in_one_unit(fits: Sequence[Fit], unit: str) -> tuple[Fit, ...]:
    """Of a limit that its source states in several units only the one that the reading has, where there is one."""
    own = {_said(fit.row) for fit in fits if fit.row.citation and same(fit.row.unit, unit)}
    return tuple(fit for fit in fits if same(fit.row.unit, unit) or _said(fit.row) not in own)


def _said(row: LimitRow) -> tuple[object, ...]:
    return words_of(row.thing), row.position, fold(row.vehicle), row.citation


@lru_cache(maxsize=4096)
def words_of(text: str) -> tuple[str, ...]:
    """The words of a thing as they are compared: in any case, without a plural's s."""
    bare = "".join(char if char.isalnum() else " " for char in fold(text))
    return tuple(word[:-1] if _plural(word) else word for word in bare.split())


def _plural(word: str) -> bool:
    return len(word) > 3 and word.endswith("s") and not word.endswith("ss") and word not in _PLACE
