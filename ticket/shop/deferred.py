"""Deferred work: what falls due when, and what becomes of it: a call, a new day, a ticket of its own."""

from dataclasses import replace
from datetime import date

from ticket.followups.calendar import add_time
from ticket.followups.thread import Thread
from ticket.followups.threads import threads
from ticket.job.errors import ConflictError, InputError, NotFoundError
from ticket.job.kinds import Later, Offer
from ticket.job.regex import Regex
from ticket.job.text import clean
from ticket.job.ticket import Header, Ticket
from ticket.job.values import Quantity, Ref
from ticket.job.wall import calendar_day
from ticket.notes.write import write
from ticket.shop.changing import new_ticket
from ticket.shop.due_board import calibration, centre
from ticket.shop.due_items import DueItem, due_items, due_within
from ticket.shop.due_written import calendar_of, due_table
from ticket.shop.opening import Shop
from ticket.shop.readable import readable
from ticket.shop.reading import ticket_of
from ticket.store.store import NewEntry

__all__ = [
    "DueItem", "agreed_day", "calendar_of", "calibration", "centre", "days_ahead", "due_items", "due_table",
    "due_within",
    "follow_up", "named", "open_from", "thread_of",
]  # fmt: skip

_AHEAD = Regex(r"(\d{1,4}) ?([a-z]+)\Z")
_SHORT_UNITS = {"d": "days", "w": "weeks", "m": "months", "y": "years"}
_NAMED = Regex(r"(\d{1,15})/(\d{1,15})\Z")


def named(text: str) -> tuple[int, int]:
    """Ticket and entry of ``2107/12``. Raises :class:`InputError` for anything else."""
    match = _NAMED.match(text.strip())
    if match is None:
        raise InputError(f"{text!r} names no deferred work: write ticket and entry, such as 2107/12.")
    return int(match[1]), int(match[2])


def thread_of(shop: Shop, number: int, no: int) -> tuple[Thread, tuple[Ticket, ...]]:
    """The thread an entry of deferred work belongs to, and the tickets of its vehicle.

    Raises:
        NotFoundError: no such ticket.
        ConflictError: the entry is no deferred work that stands.
    """
    tickets = (ticket_of(shop, number), *readable(shop, shop.store.of_vehicle(number)))
    follows = shop.store.followed(*(ticket.number for ticket in tickets))
    for thread in threads(tickets, follows):
        if Ref(no, number) in (thread.ref, *thread.entries):
            return thread, tickets
    raise ConflictError(f"Entry {no} of ticket {number} is no deferred work.")


def follow_up(shop: Shop, number: int, no: int, what: str, *, note: str = "", day: str = "") -> None:
    """Record what became of deferred work; allowed after signing.

    Args:
        shop: the open shop.
        number: the ticket.
        no: the entry of deferred work on it.
        what: ``call``, ``new date``, ``done`` or ``declined``.
        note: what was said, in the shop's own words.
        day: the agreed day as ``2026-03-02``; needed for a new date. A call keeps a day that was agreed before.

    Raises:
        InputError: no such word, or a date that is none.
        ConflictError: the entry is no deferred work.
    """
    if what == "call" and not day:
        known = shop.store.followed(number).get(Ref(no, number))
        day = known.date if known else ""
    shop.store.follow(number, no, what, shop.person, note=clean(note).strip(), date=day.strip())


def open_from(shop: Shop, number: int, no: int) -> int:
    """Open a ticket for deferred work: vehicle and customer come along, and the work is proposed for ``N/ENTRY``.

    The earlier item stays open until a line of the new ticket says what became of it.

    Raises:
        NotFoundError: no such entry.
        ConflictError: the entry is no deferred work.
    """
    before = ticket_of(shop, number)
    entry = before.entry(no)
    if entry is None:
        raise NotFoundError(f"ticket {number} has no entry {no}")
    later = entry.fact
    if not isinstance(later, Later):
        raise ConflictError(f"Entry {no} of ticket {number} is no deferred work.")
    header = replace(Header(), vehicle=before.header.vehicle, customer=before.header.customer)
    offer = Offer(text=later.text, refs=(Ref(no, number),), judgement=later.judgement, estimate=later.estimate)
    opened = new_ticket(shop, header)
    shop.store.add(opened, [NewEntry(offer, raw=write(offer))], shop.person)
    return opened


def days_ahead(text: str, today: date) -> date:
    """The day so far ahead as typed: ``30d``, ``6w``, ``3 months``. Raises :class:`InputError` for anything else."""
    match = _AHEAD.match(text.strip().casefold())
    unit = _SHORT_UNITS.get(match[2], match[2]) if match else ""
    day = add_time(today, Quantity(match[1], unit)) if match else None
    if day is None:
        raise InputError(f"{text.strip()[:40]!r} is no time ahead: write it as 30d, 6w or 3 months.")
    return day


def agreed_day(text: str, today: date) -> str:
    """A day as typed: a date, or ``in 3 weeks``; empty for nothing. Raises :class:`InputError` for anything else."""
    words = text.strip().casefold().removeprefix("in ").split()
    if not words:
        return ""
    if len(words) == 2 and words[0].isascii() and words[0].isdecimal() and len(words[0]) < 4:
        day = add_time(today, Quantity(words[0], words[1]))
        if day is not None:
            return day.isoformat()
    if calendar_day(text.strip()) is None:
        raise InputError(f"{text.strip()[:40]!r} is no day: write it as 2026-03-02, or as in 3 weeks.")
    return text.strip()
