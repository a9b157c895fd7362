"""What a generated line means, apart from how it is typed."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from generated_words import SIZES

MARK, END = 0xE010, "\ue000"
Bound = tuple[Fraction, str]


@dataclass(frozen=True, slots=True)
class Meaning:
    """One reading a line holds. `unit` "" is a bare number; `judged` is false where people differ about its limits."""

    of: str
    at: frozenset[str]
    value: Fraction
    unit: str
    mark: int
    to: Fraction | None = None
    than: str = "="
    when: str = ""
    low: Bound | None = None
    high: Bound | None = None
    judged: bool = True
    change: bool = False
    start: int = 0
    end: int = 0

    def verdict(self) -> str:
        """What the limits say about every value the reading may stand for."""
        if self.low is None and self.high is None:
            return "none"
        least, most = self._ends()
        low, high = (self._base(bound) if bound else None for bound in (self.low, self.high))
        below = low is not None and (least < low if self.than != "<" else most <= low)
        above = high is not None and (most > high if self.than not in {">", ">="} else self._over(least, high))
        if self.than == "~":
            below, above = low is not None and most < low, high is not None and least > high
        if below or above:
            return "undecided" if below and above else "low" if below else "high"
        inside = self.than != "<" or low is None
        inside = inside and (self.than not in {">", ">="} or high is None)
        if self.than == "<":
            inside = inside and high is not None and most <= high
        if self.than in {">", ">="}:
            inside = inside and low is not None and least >= low
        if self.than == "~":
            inside = (low is None or least >= low) and (high is None or most <= high)
        return "in" if inside else "undecided"

    def _over(self, least: Fraction, high: Fraction) -> bool:
        return least >= high if self.than == ">" else least > high

    def _ends(self) -> tuple[Fraction, Fraction]:
        least, most = self.value, self.to if self.to is not None else self.value
        if self.than == "~":
            least, most = least * Fraction(9, 10), most * Fraction(11, 10)
        return self._base((least, self.unit)), self._base((most, self.unit))

    @staticmethod
    def _base(amount: Bound) -> Fraction:
        return in_base(*amount)


def in_base(value: Fraction, unit: str) -> Fraction:
    """A value in the first unit of its dimension; a bare number as it stands."""
    if not unit:
        return value
    _dimension, size, zero = SIZES[unit]
    return value * size + zero


@dataclass(frozen=True, slots=True)
class Line:
    """A typed line, its readings, the classes of the grammar it uses; `ask` names what nobody could know about it."""

    text: str
    meanings: tuple[Meaning, ...]
    classes: tuple[str, ...]
    ask: str = ""
    clauses: tuple[str, ...] = ()


@dataclass(slots=True)
class Clause:
    """One clause while it is built."""

    text: str
    meanings: list[Meaning]
    classes: list[str]
    ask: str = ""
    alone: bool = False
    placed: bool = False


@dataclass(slots=True)
class Unit:
    """How one clause types its unit."""

    name: str
    typed: str
    glue: str

    def behind(self, number: str) -> str:
        return f"{number}{self.glue}{self.typed}" if self.typed else number


def unmarked(text: str) -> tuple[str, dict[int, tuple[int, int]]]:
    """The text as typed, and where each marked value stands in it."""
    out: list[str] = []
    spans: dict[int, tuple[int, int]] = {}
    opened: int = 0
    for char in text:
        if char == END:
            spans[opened] = (spans[opened][0], len(out))
        elif MARK <= ord(char) < 0xF000:
            opened = ord(char) - MARK
            spans[opened] = (len(out), len(out))
        else:
            out.append(char)
    return "".join(out), spans
