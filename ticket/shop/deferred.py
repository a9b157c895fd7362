"""Deferred work: what falls due when, and what becomes of it: a call, a new day, a ticket of its own."""

from dataclasses import replace
from datetime import date

from ticket.followups.calendar import add_time
from ticket.job.errors import ConflictError, InputError, NotFoundError
from ticket.job.kinds import Later, Offer
from ticket.job.regex import Regex
from ticket.job.text import clean
from ticket.job.ticket import Header
from ticket.job.values import Quantity, Ref
from ticket.job.wall import calendar_day
from ticket.notes.write import write
from ticket.shop.changing import new_ticket
from ticket.shop.due_items import DueItem, item_of, may_fall_due
from ticket.shop.opening import Shop
from ticket.shop.readable import readable
from ticket.shop.reading import ticket_of
from ticket.store.store import NewEntry

__all__ = ["DueItem", "agreed_day", "due_items", "due_now", "follow_up", "named", "open_from"]

_NAMED = Regex(r"(\d{1,15})/(\d{1,15})\Z")


def due_items(shop: Shop, until: date | None = None, most: int | None = None) -> list[DueItem]:
    """Deferred work that nothing has settled, earliest first; items without a day come last.

    Args:
        shop: the open shop.
        until: only what falls due by this day; then far fewer tickets are read.
        most: stop looking after so many; those with the earliest calendar limits are looked at first.
    """
    items: list[DueItem] = []
    for row in shop.store.due():
        if until is not None and not may_fall_due(row, until):
            continue
        ticket = next(iter(readable(shop, [row.number])), None)
        entry = ticket.entry(row.no) if ticket else None
        if ticket is not None and entry is not None and isinstance(entry.fact, Later):
            followed = next((word for word in shop.store.followed(row.number) if word.no == row.no), None)
            found = item_of(shop, ticket, entry, entry.fact, followed)
            if until is None or (found.day is not None and found.day <= until):
                items.append(found)
        if len(items) == most:
            break
    return sorted(items, key=lambda item: (item.day is None, item.day or date.max, item.ticket, item.entry))


def due_now(shop: Shop, most: int | None = None) -> list[DueItem]:
    """Deferred work whose day has come."""
    return due_items(shop, shop.today, most)


def named(text: str) -> tuple[int, int]:
    """Ticket and entry of ``2107/12``. Raises :class:`InputError` for anything else."""
    match = _NAMED.match(text.strip())
    if match is None:
        raise InputError(f"{text!r} names no deferred work: write ticket and entry, such as 2107/12.")
    return int(match[1]), int(match[2])


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
        day = next((word.date for word in shop.store.followed(number) if word.no == no), "")
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
        raise NotFoundError(f"There is no entry {no} on ticket {number}.")
    later = entry.fact
    if not isinstance(later, Later):
        raise ConflictError(f"Entry {no} of ticket {number} is no deferred work.")
    header = replace(Header(), vehicle=before.header.vehicle, customer=before.header.customer)
    offer = Offer(text=later.text, refs=(Ref(no, number),), judgement=later.judgement, estimate=later.estimate)
    opened = new_ticket(shop, header)
    shop.store.add(opened, [NewEntry(offer, raw=write(offer))], shop.person)
    return opened


def agreed_day(text: str, today: date) -> str:
    """A day as typed: a date, or ``in 3 weeks``; empty for nothing. Raises :class:`InputError` for anything else."""
    words = text.strip().casefold().removeprefix("in ").split()
    if not words:
        return ""
    if len(words) == 2 and words[0].isascii() and words[0].isdigit() and len(words[0]) < 4:
        day = add_time(today, Quantity(words[0], words[1]))
        if day is not None:
            return day.isoformat()
    if calendar_day(text.strip()) is None:
        raise InputError(f"{text.strip()[:40]!r} is no day: write it as 2026-03-02, or as in 3 weeks.")
    return text.strip()
