"""A job told to its reader in one language."""

from dataclasses import replace

from ticket.job.case import AS_TYPED
from ticket.job.regex import Regex
from ticket.language.lexicon import look
from ticket.story.amended import mark
from ticket.story.context import Job
from ticket.story.sections.files import load
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sentence import NOTE, Section, Sentence, Val, capital

_NAMES = frozenset({"who", "by"})
_WORD = Regex(r"(?<![A-Za-z0-9-])[a-z]{3,}")


def sections(job: Job, language: str) -> tuple[Section, ...]:
    """All sections for the reader of the job, the measures of the shop's own system beside those typed in another.

    Raises:
        InputError: for a language without a catalogue.
    """
    talk = Talk(job, load(language))
    told = _sections(talk)
    if any(entry.amended for entry in job.entries):
        told = mark(job, told, talk.amendment, None if talk.english else talk.as_typed.amendment)
    told = told if talk.english else _kept_apart(talk, told)
    if job.case.settings.units == AS_TYPED:
        return told
    from ticket.story.units import in_both, measures

    return in_both(job.case, told, measures(talk.language))


def _kept_apart(talk: Talk, told: tuple[Section, ...]) -> tuple[Section, ...]:
    """No sentence of another language holds a typed word: one that would is its typed words alone, as a note."""
    under = talk.title("under.noted")
    return tuple(_notes_last(section, [_typed_alone(one, under) for one in section.sentences]) for section in told)


def _notes_last(section: Section, held: list[Sentence]) -> Section:
    """A section with its notes behind; of a list, in which everything has its place, the order stays."""
    if not section.items:
        held.sort(key=lambda one: one.form == NOTE)
    return replace(section, sentences=tuple(held))


def _typed_alone(sentence: Sentence, under: str) -> Sentence:
    typed = [part for part in sentence.parts if isinstance(part, Val) and is_typed(part)]
    if sentence.form == NOTE:
        return sentence if sentence.under else replace(sentence, under=under)
    if not typed:
        return sentence
    words = capital(stop(joined([(part,) for part in typed], "; ")))
    return replace(sentence, parts=words, form=NOTE, under=under, label="", cells=())


def is_typed(part: Val) -> bool:
    """Whether a part holds words of the language of the typed lines: no number, no code, no name of a person."""
    if part.op not in ("typed", "quoted"):
        return False
    small = _WORD.findall(part.text)
    return any(map(look, small)) if part.field in _NAMES else bool(small)


def _sections(talk: Talk) -> tuple[Section, ...]:
    if talk.job.reader != "customer":
        from ticket.story.sections.record import sections as record

        return record(talk)
    from ticket.story.sections.customer import sections as customer

    told = customer(talk)
    if talk.english:
        from ticket.story.glossing import explain

        return explain(talk.job, told)
    from ticket.story.sections.glossed import explain as explain_other

    return explain_other(talk, told)
