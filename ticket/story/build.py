"""The story of a ticket for one reader."""

from ticket.job.case import AS_TYPED, Case
from ticket.job.errors import InputError
from ticket.story.context import Job
from ticket.story.sentence import READERS, Section, Story


def build(case: Case, reader: str = "customer", language: str = "en") -> Story:
    """What one reader is told: sentences, each with the entries it rests on.

    Pure: the same case gives the same story.

    Args:
        case: the ticket with what surrounds it.
        reader: ``customer`` (plain words), ``payer`` (complete and terse) or ``shop`` (the next technician).
        language: ``en``, or another with a catalogue.

    Raises:
        InputError: for an unknown reader or language.
    """
    if reader not in READERS:
        raise InputError(f"There is no reader {reader!r}: choose one of {', '.join(READERS)}.")
    sections = _in_language(Job(case, reader), language)
    if not case.ticket.rewordings:
        return Story(case.ticket, reader, sections, language=language)
    from ticket.story.rewording import apply

    return Story(case.ticket, reader, *apply(case, reader, language, sections), language=language)


def _in_language(job: Job, language: str) -> tuple[Section, ...]:
    """The sections, with the measures of the shop's own system beside those typed in another."""
    if language != "en":
        from ticket.story.other.tell import sections

        return sections(job, language)
    told = _sections(job)
    if job.case.settings.units == AS_TYPED:
        return told
    from ticket.story.units import english, in_both

    return in_both(job.case, told, english())


def _sections(job: Job) -> tuple[Section, ...]:
    told = _told(job)
    if not any(entry.amended for entry in job.entries):
        return told
    from ticket.story.amended import mark

    return mark(job, told)


def _told(job: Job) -> tuple[Section, ...]:
    if job.reader == "payer":
        from ticket.story.payer import sections as payer

        return payer(job)
    if job.reader == "shop":
        from ticket.story.shop import sections as shop

        return shop(job)
    from ticket.story.customer.story import sections as customer
    from ticket.story.glossing import explain

    return explain(job, customer(job))
