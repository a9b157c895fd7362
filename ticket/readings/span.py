"""What a typed value says about the true one: a figure, a bound such as ``<5``, a range, or a word such as ``OL``."""

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from math import inf
from pathlib import Path

from ticket.readings.digits import number
from ticket.readings.inexact import Parts, parts
from ticket.readings.units import find

Bound = Fraction | float
"""An exact figure, or an infinity where there is none."""

ABOUT = Fraction(1, 10)
"""How far the true value may lie from one typed as about, as a share of it: an assumption of this program."""

ALL = frozenset({"low", "in", "high"})

# Quantities that cannot be below nought, so that "<1 ohm" lies within "0 to 1".
_NEVER_NEGATIVE = frozenset({"resistance", "capacitance", "volume", "mass", "time", "frequency", "rotation", "speed"})


@dataclass(frozen=True, slots=True)
class Span:
    """Where the true value lies.

    Attributes:
        low: nothing below this.
        high: nothing above this.
        low_open: the value is above ``low``, not equal to it.
        high_open: the value is below ``high``, not equal to it.
        decides: the verdicts this kind of value is sure enough for.
        why: one sentence on what it cannot decide, empty for a plain figure.
        figure: the value itself, for a plain figure.
    """

    low: Bound
    high: Bound
    low_open: bool = False
    high_open: bool = False
    decides: frozenset[str] = ALL
    why: str = ""
    figure: Fraction | None = None

    def blurred(self, step: Fraction) -> "Span":
        """The span when the instrument shows steps of this size: half a step more to either side."""
        half = abs(step) / 2
        return replace(self, low=self.low - half, high=self.high + half)


@dataclass(frozen=True, slots=True)
class _Word:
    dimensions: frozenset[str]
    over: bool
    decides: frozenset[str]
    meaning: str


@cache
def _words() -> dict[str, _Word]:
    text = Path(__file__).with_name("value_words.tsv").read_text(encoding="utf-8")
    rows = [line.split("\t") for line in text.split("\n") if line and not line.startswith("#")][1:]
    return {
        word.casefold(): _Word(frozenset(where.split(", ")), counts == "over", frozenset(decides.split(", ")), meaning)
        for word, where, counts, decides, meaning in rows
    }


def span_of(typed: str, unit: str) -> Span | str:
    """What a value as typed says about the true one; a sentence when it says nothing a limit can use."""
    typed = typed.strip()
    known = find(unit)
    dimension = known.dimension if known else ""
    said = parts(typed)
    if said.to:
        return _range(said)
    value = said.value
    if value is None:
        return _word(typed, dimension)
    if said.than in (">", ">="):
        only = "above" if said.than == ">" else "at least"
        why = f"The reading is only known to be {only} {said.number}."
        return Span(value, inf, low_open=said.than == ">", why=why)
    if said.than == "<":
        floor = Fraction(0) if dimension in _NEVER_NEGATIVE and value > 0 else -inf
        return Span(floor, value, high_open=True, why=f"The reading is only known to be below {said.number}.")
    if said.than == "~":
        low, high = sorted((value * (1 - ABOUT), value * (1 + ABOUT)))
        return Span(low, high, why=f"The reading is only known to be about {said.number}.")
    return Span(value, value, figure=value)


def is_nothing(typed: str) -> bool:
    """Whether a word means nought of whatever was measured: "none" is neither thin nor low."""
    word = _words().get(typed.strip().casefold())
    return word is not None and not word.over and "*" in word.dimensions


def _range(said: Parts) -> Span | str:
    low, high = number(said.number), number(said.to)
    if low is None or high is None:
        return f"{f'{said.number}-{said.to}'[:40]!r} is not a figure that limits can judge."
    why = f"The readings run from {said.number} to {said.to}: part of them is beyond a limit."
    return Span(min(low, high), max(low, high), why=why)


def _word(typed: str, dimension: str) -> Span | str:
    word = _words().get(typed.casefold())
    if word is None:
        return f"{typed[:40]!r} is not a figure that limits can judge."
    if not word.dimensions & {"*", dimension}:
        return f"{typed!r} says nothing about a limit in this unit."
    at: Bound = inf if word.over else Fraction(0)
    return Span(at, at, decides=word.decides, why=f"{typed!r} means: {word.meaning}.")
