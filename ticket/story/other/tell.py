"""A job told in another language than English."""

from ticket.story.context import Job
from ticket.story.other.files import load
from ticket.story.other.talk import Talk
from ticket.story.sentence import Section


def sections(job: Job, language: str) -> tuple[Section, ...]:
    """All sections for the reader of the job.

    Raises:
        InputError: for a language without a catalogue.
    """
    talk = Talk(job, load(language))
    if job.reader == "customer":
        from ticket.story.other.customer import sections as customer

        return customer(talk)
    from ticket.story.other.record import sections as record

    return record(talk)
