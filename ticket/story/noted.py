"""The notes of a story: lines that are told as typed because nobody can be certain of them, worst first."""

from collections.abc import Iterator
from dataclasses import dataclass

from ticket.job.case import Case
from ticket.job.kinds import Fact, Later, Offer
from ticket.job.text import one_line
from ticket.language.book import book_of
from ticket.language.fields import FIELDS
from ticket.language.lexicon import TYPED
from ticket.language.shortforms import spell
from ticket.language.spans import spans
from ticket.story.places import places
from ticket.story.sentence import LISTED, NOTE, Part, Sentence, Story, Val, text_of

_CLOSING = (".", ",", ";", ":")
_PRESSING = frozenset({"do now", "do not drive"})


@dataclass(frozen=True, slots=True)
class Noted:
    """A note of a story.

    Attributes:
        no: the entry it was typed in.
        field: the field of it.
        where: the kind of line that reading takes it for.
        line: as typed.
        place: of the sentence, such as ``3.2``.
        sentence: as it is told.
        rank: the lower, the more a driver needs it.
        unlisted: words in it that nobody listed.
        before: what the sentence says in front of the typed line, such as a label.
        behind: what it says behind it.
    """

    no: int
    field: str
    where: str
    line: str
    place: str
    sentence: Sentence
    rank: int
    unlisted: tuple[str, ...]
    before: str = ""
    behind: str = ""

    def whole(self, wording: str) -> str:
        """The sentence with these words in place of the typed line."""
        wording = wording.strip()
        if self.behind:
            wording = wording.removesuffix(".") if self.behind.startswith(_CLOSING) else wording
        elif not wording.endswith((".", "!", "?")):
            wording += "."
        return f"{self.before}{wording}{self.behind}"

    def wording(self, sentence: str) -> str:
        """The words in place of the typed line, of a sentence that says the same around it; else all of it."""
        inside = sentence.startswith(self.before) and sentence.endswith(self.behind)
        end = len(sentence) - len(self.behind)
        return sentence[len(self.before) : end] if inside and len(self.before) < end else sentence


def notes(case: Case, story: Story) -> tuple[Noted, ...]:
    """The notes that nobody put in other words, what a driver needs most first; unlisted words last among equals."""
    return tuple(sorted(_notes(case, story), key=lambda one: (one.rank, bool(one.unlisted))))


def note_of(case: Case, story: Story, sentence: Sentence) -> Noted | None:
    """The note that a sentence is, put in other words or not; ``None`` for a sentence that is none."""
    return next((one for one in _notes(case, story, reworded=True) if one.sentence is sentence), None)


def _notes(case: Case, story: Story, *, reworded: bool = False) -> Iterator[Noted]:
    for place, sentence in places(story):
        if reworded if sentence.reworded else sentence.form in (NOTE, LISTED):  # put in other words it is no note now
            for i, part in enumerate(sentence.generated):
                found = _note(case, place, sentence, i, part)
                if found is not None:
                    yield found


def _note(case: Case, place: str, sentence: Sentence, at: int, part: Part) -> Noted | None:
    """The note that one part of a sentence is: a whole field as it was typed."""
    if not isinstance(part, Val) or part.no.ticket or part.op != "typed":
        return None
    entry = case.ticket.entry(part.no.no)
    where = dict(FIELDS.get(type(entry.fact), ())).get(part.field) if entry else None
    if entry is None or where is None:
        return None
    line = str(getattr(entry.fact, part.field))
    if _bare(part.text) != _bare(spell(one_line(line), where)):
        return None
    book = book_of(case.book)
    unlisted = tuple(
        span.text
        for span in spans(line, where)
        if span.cls == "unknown" and book.word(span.base, TYPED) is None
    )  # fmt: skip
    before, behind = text_of(sentence.generated[:at]), text_of(sentence.generated[at + 1 :])
    rank = _rank(entry.fact, where)
    return Noted(entry.no, part.field, where, line, place, sentence, rank, unlisted, before, behind)


def _bare(text: str) -> str:
    return text.strip().rstrip(".").casefold()


def _rank(fact: Fact, where: str) -> int:
    if isinstance(fact, Later | Offer) and fact.judgement in _PRESSING:
        return 0
    order = ("risk", "cause", "did", "found")
    where = "found" if where == "proof" else where
    return order.index(where) + 1 if where in order else len(order) + 1
