"""Who is on the clock: a span of labour whose end is its start is still running. Pure."""

from ticket.job.entry import Entry
from ticket.job.kinds import Did
from ticket.job.ticket import Ticket
from ticket.job.values import Clock


def running(fact: Did) -> Clock | None:
    """The span that has begun and not ended, or ``None``."""
    return next((span for span in fact.clock if span.start == span.end), None)


def on_the_clock(ticket: Ticket) -> tuple[tuple[str, Entry, Clock], ...]:
    """Who is clocked on, on which labour, and since when."""
    return tuple(
        (entry.fact.by or entry.person, entry, span)
        for entry in ticket.living
        if isinstance(entry.fact, Did) and (span := running(entry.fact)) is not None
    )
