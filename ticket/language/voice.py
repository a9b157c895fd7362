"""What telling asks of a language: nouns, states, doings, places, work, and the templates of its records."""

from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from ticket.language.tables import rows

PAST, PRESENT = "past", "present"


@dataclass(frozen=True, slots=True)
class Noun:
    """A noun as it is told: its class of nouns there, and whether it stands without an article of number."""

    text: str
    cls: str
    uncounted: bool = False


class Voice(ABC):
    """What telling asks of a language. Every answer is ``None`` where its files have no word."""

    behind: bool
    """Whether qualities stand behind their noun, and a noun in front of another becomes "of" it."""

    def __init__(self, language: str) -> None:
        self.language = language

    @cached_property
    def _templates(self) -> Mapping[tuple[str, str, str], str]:
        return {(record, when, number): text for record, when, number, text in rows(self.language, "templates")}

    def template(self, record: str, when: str = "", *, many: bool = False) -> str | None:
        """The text of a record: the row of its time and number, else the one for both."""
        number = "many" if many else "one"
        for key in ((record, when, number), (record, when, ""), (record, "", number), (record, "", "")):
            if key in self._templates:
                return self._templates[key]
        return None

    def word(self, record: str) -> str:
        """A word between groups and clauses (and, or, but)."""
        return self.template(record) or ""

    @abstractmethod
    def noun(self, typed: str) -> Noun | None:
        """The noun for typed words, in the number they were typed in."""

    def together(self, nouns: "list[Noun]") -> Noun:
        """What a state of several nouns agrees with."""
        return nouns[-1]

    def single(self, cls: str) -> str:
        """The class of one thing of a class of several."""
        return cls

    @abstractmethod
    def quality(self, typed: str, cls: str) -> str | None:
        """A quality, state or side as it stands beside a noun of a class."""

    @abstractmethod
    def state(self, typed: str, cls: str) -> str | None:
        """A state behind "was"."""

    @abstractmethod
    def degree(self, typed: str) -> str | None:
        """A word that colours a state."""

    @abstractmethod
    def doing(self, base: str, tense: str, *, many: bool, negated: bool, modal: str, particles: str) -> str | None:
        """The finite form of a doing."""

    @abstractmethod
    def put(self, form: str, noun: Noun) -> str:
        """A noun with what ``the``, ``a``, ``of``, ``to`` or ``in`` wants in front of it."""

    @abstractmethod
    def after(self, form: str, text: str) -> str:
        """What already has its determiner or its count, behind ``of``, ``to`` or ``in``."""

    @abstractmethod
    def rated(self, number: str, unit: str) -> str | None:
        """A rating in front of its part: a 12-volt battery."""

    @abstractmethod
    def determined(self, word: str, noun: Noun) -> str | None:
        """A noun behind a determiner (both, all, other)."""

    @abstractmethod
    def counted(self, number: str, noun: Noun) -> str | None:
        """A noun behind a count."""

    @abstractmethod
    def place(self, word: str, noun: Noun) -> str | None:
        """A place word with its noun; ``noun`` is told bare."""

    @abstractmethod
    def place_of_figure(self, word: str, figure: str) -> str | None:
        """A place word with a figure: at 5 V."""

    @abstractmethod
    def place_of_side(self, word: str, side: str) -> str | None:
        """A place word with a side alone: to the right."""

    @abstractmethod
    def condition(self, typed: str) -> str | None:
        """A circumstance or a set ending."""

    @abstractmethod
    def work(self, name: str, form: str) -> str | None:
        """Work as told, with ``{x}`` for its things; form is past, base, participle, gerund or alone."""

    @abstractmethod
    def joined(self, items: "list[str]", link: str) -> str:
        """A list with its link."""

    @abstractmethod
    def unlisted(self, typed: str) -> str | None:
        """A word that no list holds: as typed in the language of the lines, a gap in any other."""
