"""A job told to its reader in one language."""

from ticket.job.case import AS_TYPED
from ticket.story.amended import mark
from ticket.story.context import Job
from ticket.story.sections.files import load
from ticket.story.sections.talk import Talk
from ticket.story.sentence import Section


def sections(job: Job, language: str) -> tuple[Section, ...]:
    """All sections for the reader of the job, the measures of the shop's own system beside those typed in another.

    Raises:
        InputError: for a language without a catalogue.
    """
    talk = Talk(job, load(language))
    told = _sections(talk)
    if any(entry.amended for entry in job.entries):
        told = mark(job, told, talk.amendment)
    if job.case.settings.units == AS_TYPED:
        return told
    from ticket.story.units import in_both, measures

    return in_both(job.case, told, measures(talk.language))


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
