"""What reading and telling ask of a phrasebook; the book itself stands elsewhere."""

from dataclasses import dataclass
from typing import Protocol

from ticket.language.records import Booked, Span


@dataclass(frozen=True, slots=True)
class Taught:
    """A word somebody entered: its class (thing, matter, state, doing) and how it is told.

    Attributes:
        told: in the language asked for; ``many`` its plural, ``cls`` its class of nouns where the language has some.
    """

    kind: str
    told: str
    many: str = ""
    cls: str = ""


class Phrases(Protocol):
    """A book of wordings in three sizes."""

    def match(self, spans: tuple[Span, ...], where: str, language: str) -> Booked | None:
        """The one wording that fits all these spans, a whole line or a clause; ``None`` for none or two."""

    def word(self, base: str, language: str) -> Taught | None:
        """What somebody entered for a word nobody listed."""


class _Empty:
    """A book with nothing in it."""

    def match(self, spans: tuple[Span, ...], where: str, language: str) -> Booked | None:
        return None

    def word(self, base: str, language: str) -> Taught | None:
        return None


NO_BOOK: Phrases = _Empty()
"""The empty book."""
