"""What a language must be able to tell of typed words and figures; ``None`` wherever it is not certain."""

import datetime
from dataclasses import dataclass
from typing import Protocol

from ticket.story.readings import Reading
from ticket.story.sentence import Phrase


@dataclass(frozen=True, slots=True)
class Named:
    """What was measured.

    Attributes:
        text: its name with the article.
        many: the name is a plural.
        shapes: ways to say what it measured, the closest first (``thickness``, then ``was``).
        held: the conditions it was taken under, or empty.
        tail: what stands behind the figure (" in 15 seconds").
        cls: class of its noun, where the language has such.
    """

    text: str
    many: bool = False
    shapes: tuple[str, ...] = ("was",)
    held: str = ""
    tail: str = ""
    cls: str = ""


@dataclass(frozen=True, slots=True)
class Clause:
    """A clause without capital and stop; ``trial`` where it says what we tried and results follow.

    ``good`` where it says that something was as it should be; ``link`` is the word typed in front of it (but), if any.
    """

    text: str
    trial: bool = False
    good: bool = False
    link: str = ""


@dataclass(frozen=True, slots=True)
class Labour:
    """One piece of labour: what we did ("replaced the pads"), and as something to do ("replace the pads")."""

    done: str
    todo: str


class Leaves(Protocol):
    """One language's words for typed words, figures, dates and lists."""

    def thing(self, text: str, kind: str) -> str | None:
        """A text that is one thing, behind ``the``, ``a``, ``of``, ``to`` or ``in``, or ``bare``."""

    def many(self, text: str) -> bool:
        """Whether a text that is one thing is a plural."""

    def part(self, text: str, *, several: bool, condition: str) -> tuple[str, str] | None:
        """A part's description with its condition, and the class of its noun."""

    def name(self, reading: Reading) -> Named | None:
        """What one reading was taken of, with its position."""

    def names(self, reading: Reading) -> Named | None:
        """What several readings side by side were taken of."""

    def place(self, reading: Reading, cls: str, at: int) -> str | None:
        """The position of a value among those beside it."""

    def clauses(self, text: str, where: str) -> tuple[Clause, ...] | None:
        """The clauses of a text, all of them certain."""

    def labour(self, text: str, parts: tuple[str, ...] = ()) -> tuple[Labour, ...] | None:
        """Labour piece by piece, all of it certain."""

    def term(self, text: str) -> str | None:
        """A word of the notation: a status, a payer, a judgement."""

    def unit_of_time(self, unit: str, count: int) -> tuple[str, str]:
        """ "weeks", and the class of the noun."""

    def count(self, count: int, cls: str = "") -> str:
        """A count in words as far as the language has them."""

    def meaning(self, words: str) -> str | None:
        """What the tables of codes say."""

    def measure(self, number: str, unit: str) -> str:
        """A figure with its unit."""

    def number(self, text: str, *, grouping: bool = False) -> str:
        """A bare figure."""

    def day(self, when: datetime.date, style: str) -> str:
        """A date; ``style`` is the shop's own for English."""

    def listed(self, items: list[Phrase]) -> Phrase:
        """Phrases as a list."""

    def unit_words(self) -> list[tuple[str, str]]:
        """The words of units, each with the unit it stands for."""

    def glosses(self) -> list[tuple[str, str]]:
        """Hard terms of the language, each with its explanation."""
