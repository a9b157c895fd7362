"""A job told to its reader in one language."""

from dataclasses import replace

from ticket.job.case import AS_TYPED
from ticket.job.regex import Regex
from ticket.language.lexicon import look
from ticket.readings.units import find
from ticket.story.amended import mark
from ticket.story.context import Job
from ticket.story.sections.files import load
from ticket.story.sections.talk import Talk
from ticket.story.sentence import NOTE, Section, Sentence, Val

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
    """No sentence of another language holds a typed word: what would is told whole in the typed one, as a note.

    A sentence that the typed language tells otherwise stays whole, mixed as it is: no figure, verdict or answer may go
    with the words around it.
    """
    under = talk.title("under.noted")
    mixed = any(_is_mixed(one) for section in told for one in section.sentences)
    typed = _sections(talk.as_typed) if mixed else ()
    out = []
    for section in told:
        own = [one for other in typed if other.id == section.id for one in other.sentences]
        out.append(_notes_last(section, [_whole(one, own, under) for one in section.sentences]))
    return tuple(out)


def _whole(sentence: Sentence, typed: list[Sentence], under: str) -> Sentence:
    if _is_mixed(sentence):
        same = [one for one in typed if one.sources == sentence.sources]
        return replace(same[0] if len(same) == 1 else sentence, form=NOTE, under=under)
    return replace(sentence, under=under) if sentence.form == NOTE and not sentence.under else sentence


def _notes_last(section: Section, held: list[Sentence]) -> Section:
    """A section with its notes behind; of a list, in which everything has its place, the order stays."""
    if not section.items:
        held.sort(key=lambda one: one.form == NOTE)
    return replace(section, sentences=tuple(held))


def _is_mixed(sentence: Sentence) -> bool:
    return sentence.form != NOTE and any(isinstance(part, Val) and is_typed(part) for part in sentence.parts)


def is_typed(part: Val) -> bool:
    """Whether a part holds words of the language of the typed lines: no number, code, sign of a unit, no name."""
    if part.op not in ("typed", "quoted") or (part.field == "run" and find(part.text)):
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
