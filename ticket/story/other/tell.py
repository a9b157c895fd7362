"""A job told in another language than English."""

from typing import TYPE_CHECKING

from ticket.job.case import AS_TYPED
from ticket.story.amended import mark
from ticket.story.context import Job
from ticket.story.other.figures import number
from ticket.story.other.files import load
from ticket.story.other.talk import Talk
from ticket.story.sentence import Section

if TYPE_CHECKING:
    from ticket.story.units import Shown


def sections(job: Job, language: str) -> tuple[Section, ...]:
    """All sections for the reader of the job.

    Raises:
        InputError: for a language without a catalogue.
    """
    talk = Talk(job, load(language))
    told = mark(job, _sections(talk), talk.amendment)
    if job.case.settings.units == AS_TYPED:
        return told
    from ticket.story.units import in_both

    return in_both(job.case, told, _measures(talk))


def _sections(talk: Talk) -> tuple[Section, ...]:
    if talk.job.reader == "customer":
        from ticket.story.other.customer import sections as customer
        from ticket.story.other.glossing import explain

        return explain(talk, customer(talk))
    from ticket.story.other.record import sections as record

    return record(talk)


def _measures(talk: Talk) -> "Shown":
    """How the language writes measures."""
    from ticket.readings.units import NAMES, find
    from ticket.story.units import Shown, names_of

    known = [unit for name in NAMES if (unit := find(name)) is not None]
    spelled = [(word, unit.name) for unit in known for word in (unit.name, unit.sign)]
    spelled += [(word, row.typed) for row in talk.language.terms.rows.get("unit", ()) for word in row.told.split("/")]
    patterns = (talk.title(name) for name in ("limit.range", "line.range"))
    links = frozenset(pattern.partition("{low}")[2].partition("{high}")[0] for pattern in patterns)
    return Shown(names_of(spelled), links, lambda digits, group: number(digits, talk.locale, grouping=group))
