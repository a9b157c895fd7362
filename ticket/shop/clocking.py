"""On and off the clock: a span whose end is its start is still running."""

from dataclasses import replace
from datetime import datetime

from ticket.job.entry import Entry
from ticket.job.errors import ConflictError, InputError
from ticket.job.kinds import Did
from ticket.job.ticket import Ticket
from ticket.job.values import Clock
from ticket.shop.shop import Shop


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


def clock(shop: Shop, number: int, no: int) -> str:
    """Clock the person at the terminal on or off a labour line; what was done, in words.

    Times are wall times of the shop to the minute, as typed ones are.

    Raises:
        InputError: the entry is no labour.
        ConflictError: somebody else performs this labour.
    """
    ticket = shop.ticket(number)
    entry = ticket.entry(no)
    if entry is None or not isinstance(entry.fact, Did):
        raise InputError("Only labour runs on the clock: move the pointer to a line of work done.")
    fact = entry.fact
    performer = fact.by or entry.person
    span = running(fact)
    if performer != shop.person and (fact.by or fact.clock):
        raise ConflictError(f"Entry {no} is {performer}'s labour: add a line of your own for your time.")
    now = _wall(shop.now())
    by = fact.by or ("" if entry.person == shop.person else shop.person)
    if span is None:
        new = replace(fact, by=by, clock=(*fact.clock, Clock(now, now)))
        said = f"{shop.person} is on the clock since {now}"
    else:
        new = replace(fact, clock=tuple(Clock(item.start, now) if item == span else item for item in fact.clock))
        said = f"{shop.person} was on the clock from {span.start} to {now}"
    if new == fact:
        return f"{said}; not a minute has passed"
    shop.edit(number, no, new, fact)
    return said


def _wall(at: datetime) -> str:
    local = at.astimezone()
    return f"{local.hour}:{local.minute:02}"
