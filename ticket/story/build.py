"""The story of a ticket for one reader."""

from ticket.job.case import Case
from ticket.job.errors import InputError
from ticket.story.context import Job
from ticket.story.sections.tell import sections
from ticket.story.sentence import READERS, Story


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
    told = sections(Job(case, reader), language)
    if not case.ticket.rewordings:
        return Story(case.ticket, reader, told, language=language)
    from ticket.story.rewording import apply

    return Story(case.ticket, reader, *apply(case, reader, language, told), language=language)
