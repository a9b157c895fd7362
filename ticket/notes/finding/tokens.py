"""The tokens of a finding: one letter a class, so that the grammar is a regular expression over letters.

| letter | class |
|---|---|
| q | an amount, with or without unit |
| p | a position |
| c | a condition in words |
| l h s d | words for a least, a largest, a specified value, a wear limit |
| b B | below, above a mark |
| @ k | "at", and other words that say under which condition |
| i t r a o | inequality, "to", before and after, plus or minus, "of" |
| v | another state: "was", "new", "instead of"; a number behind it is no reading of today |
| g | a thing that is named by its rating: "15 A fuse" |
| e j | "others", "both"; "and" |
| n | a name with digits, such as G101 or 5W-30: never a fact |
| x | a number nobody can be sure of |
| w y | a word; a word that says how it is, such as "ok" |
| L C H X | made by the grammar: limits, a condition, a condition of the whole line, a bracket nobody understands |
| , ; : ( ) / = - | themselves |
"""

from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any


@dataclass(frozen=True, slots=True)
class Amount:
    """A number as it was read.

    Attributes:
        text: normalised, as :func:`ticket.job.numbers.exact` reads it; a word for values such as ``OL``.
        value: the same exactly; ``None`` for a word.
        unit: the unit as typed, empty where none stands.
        dimension: what the unit measures; empty where unknown or none.
        to: text of the other end of a range, else empty.
        to_value: the same exactly.
        than: ``<``, ``>``, ``~``, ``>=``, or empty for exactly.
        signed: a plus or minus sign was typed.
        shape: ``whole``, ``decimal`` (point or comma), ``fraction``, ``32nds`` (the unit lies in the notation),
            ``k`` or ``word``.
        bare: no unit was typed behind it; it may still have been carried over.
        asked: a question where the unit may mean two things.
        pm: how far the gauge may be off on either side, in its unit.
    """

    text: str
    value: Fraction | None = None
    unit: str = ""
    dimension: str = ""
    to: str = ""
    to_value: Fraction | None = None
    than: str = ""
    signed: bool = False
    shape: str = "whole"
    bare: bool = True
    asked: str = ""
    pm: str = ""


@dataclass(frozen=True, slots=True)
class Token:
    """A piece of the line.

    Attributes:
        letter: its class.
        start: position of its first character.
        end: position behind its last one.
        text: as typed, folded to lower case for words.
        held: an :class:`Amount`, the directions of a position, limits, or whatever its class carries.
        gap: white space stands before it.
    """

    letter: str
    start: int
    end: int
    text: str
    held: Any = None
    gap: bool = True

    @property
    def amount(self) -> Amount:
        """The amount of a ``q``."""
        assert isinstance(self.held, Amount)  # noqa: S101  a slip of the grammar, not of the typist
        return self.held

    def with_amount(self, **changes: Any) -> "Token":
        """The same place with another amount."""
        return replace(self, held=replace(self.amount, **changes))


DISTANCES = frozenset({"km", "mi", "mile", "miles", "kms", "kilometers", "kilometres"})
"""Units of how far a vehicle went, in lower case."""
Places = tuple[tuple[str, str], ...]
"""Directions and their words: ``(("side", "left"), ("end", "front"))``."""


Source = str | tuple[int, int]
"""Whose limits: a word, or the place of the words in the text."""


@dataclass(frozen=True, slots=True)
class GivenLimits:
    """Limits as they stand on the line.

    Attributes:
        low: least allowed.
        high: largest allowed.
        nominal: the value in the middle of a tolerance, or one specified value alone.
        tolerance: what may be missing or too much on either side of ``nominal``.
        wear: one figure whose side the thing decides: a lining wears down, a gap wears up.
        needed: the words for that figure are that it needs so much.
        spread: the largest allowed gap between the readings.
        source: whose limits these are: ``maker``, ``law``, or the place of other words that say so;
            empty where not said.
        own: words that stand with the limits and say which reading they are for.
        at: the positions they hold at, empty where none is said.
        when: the condition the limits hold under, empty where none.
        bracketed: they stood in a bracket.
        doubt: more limits stand beside them than can be told apart.
        more: further limits in the same piece, each for a reading of its own, in the order of the readings.
    """

    low: Amount | None = None
    high: Amount | None = None
    nominal: Amount | None = None
    tolerance: Amount | None = None
    wear: Amount | None = None
    needed: bool = False
    spread: Amount | None = None
    source: Source = ""
    own: tuple[str, ...] = ()
    at: Places = ()
    when: str = ""
    bracketed: bool = False
    doubt: bool = False
    more: tuple["GivenLimits", ...] = ()

    @property
    def amounts(self) -> tuple[Amount, ...]:
        """All its figures but the spread."""
        every = (self.low, self.high, self.nominal, self.tolerance, self.wear)
        return tuple(amount for amount in every if amount is not None)

    @property
    def dimension(self) -> str:
        """What its figures measure, as far as a unit stands with them."""
        figures = (one for one in self.amounts if not (one is self.tolerance and one.unit == "%"))
        return next((amount.dimension for amount in figures if not amount.bare), "")


@dataclass(slots=True)
class Line:
    """The tokens of a piece of text, rewritten step by step."""

    text: str
    tokens: list[Token] = field(default_factory=list)
    whole: bool = True  # all of the text was cut into tokens

    def said(self, start: int, end: int) -> str:
        """A piece of the text in lower case: capitals mean nothing."""
        return self.text[start:end].casefold()

    @property
    def letters(self) -> str:
        """The classes of the tokens as one text."""
        return "".join([token.letter for token in self.tokens])  # asked at every rule: a list is quicker here
