"""What a line would say if the one word in doubt were this or that: offered to a person, never told."""

from collections.abc import Iterator
from dataclasses import dataclass

from ticket.language.certain import read
from ticket.language.phrasebook import Phrases, Taught
from ticket.language.records import Booked, Meaning, Span
from ticket.language.sentences import sentences
from ticket.language.spans import spans
from ticket.language.tell import Gap

_ENDINGS = (("ed", ("state",)), ("ing", ("state",)), ("", ("thing", "matter")))
"""What a word of an ending may be taken for. A word that is no state by its ending is not offered as one."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One telling, what the word in doubt was taken for, and where it stands in the typed line."""

    told: str
    kind: str
    start: int
    end: int


class _Supposing:
    """A book in which one unlisted word is known."""

    def __init__(self, book: Phrases, base: str, kind: str) -> None:
        self._book, self._base, self._kind = book, base, kind

    def match(self, spans: tuple[Span, ...], where: str, language: str) -> Booked | None:
        return self._book.match(spans, where, language)

    def word(self, base: str, language: str) -> Taught | None:
        if base == self._base:
            return Taught(self._kind, base)
        return self._book.word(base, language)


def readings(line: str, where: str, language: str, book: Phrases) -> Iterator[Reading]:
    """The tellings of a line in which exactly one word is in doubt, one for each thing that word may be."""
    unlisted = [span for span in spans(line, where) if span.cls == "unknown" and book.word(span.base, "en") is None]
    if len({span.base for span in unlisted}) != 1:
        return
    word = unlisted[0]
    for kind in next(kinds for ending, kinds in _ENDINGS if word.base.endswith(ending)):
        supposed = _Supposing(book, word.base, kind)
        meaning = read(line, where, supposed)
        told = _told(meaning, language, supposed) if isinstance(meaning, Meaning) else ""
        if told:
            yield Reading(told, kind, word.start, word.end)


def _told(meaning: Meaning, language: str, book: Phrases) -> str:
    told = sentences(meaning, language, book=book)
    return "" if isinstance(told, Gap) else " ".join(told)
