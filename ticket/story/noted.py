"""The notes of a story: lines that are told as typed because nobody can be certain of them, worst first."""

from collections.abc import Iterator
from dataclasses import dataclass

from ticket.job.case import Case
from ticket.job.kinds import Fact, Later, Offer
from ticket.language.fields import FIELDS
from ticket.language.spans import spans
from ticket.story.places import places
from ticket.story.sentence import NOTE, Sentence, Story, Val

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
    """

    no: int
    field: str
    where: str
    line: str
    place: str
    sentence: Sentence
    rank: int
    unlisted: tuple[str, ...]


def notes(case: Case, story: Story) -> tuple[Noted, ...]:
    """The notes that nobody put in other words, what a driver needs most first; unlisted words last among equals."""
    return tuple(sorted(_notes(case, story), key=lambda one: (one.rank, bool(one.unlisted))))


def note_of(case: Case, story: Story, sentence: Sentence) -> Noted | None:
    """The note that a sentence is, put in other words or not; ``None`` for a sentence that is none."""
    return next((one for one in _notes(case, story, reworded=True) if one.sentence is sentence), None)


def _notes(case: Case, story: Story, *, reworded: bool = False) -> Iterator[Noted]:
    for place, sentence in places(story):
        if sentence.form != NOTE or (sentence.reworded and not reworded):
            continue
        for part in sentence.generated:
            entry = case.ticket.entry(part.no.no) if isinstance(part, Val) and not part.no.ticket else None
            if entry is None or not isinstance(part, Val):
                continue
            where = dict(FIELDS.get(type(entry.fact), ())).get(part.field)
            line = getattr(entry.fact, part.field, "") if where else ""
            if where and isinstance(line, str) and line:
                held = spans(line, where)
                unlisted = tuple(span.text for span in held if span.cls == "unknown")
                yield Noted(entry.no, part.field, where, line, place, sentence, _rank(entry.fact, where), unlisted)
                break


def _rank(fact: Fact, where: str) -> int:
    if isinstance(fact, Later | Offer) and fact.judgement in _PRESSING:
        return 0
    order = ("risk", "cause", "did", "found")
    where = "found" if where == "proof" else where
    return order.index(where) + 1 if where in order else len(order) + 1
