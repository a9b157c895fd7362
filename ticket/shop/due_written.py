"""The list of deferred work for other programs: a table that no spreadsheet takes for a formula, and a calendar.

A calendar event has one name for good (its UID) and a number that rises with the journal (its SEQUENCE), so that a
calendar that takes the file in again changes its events instead of doubling them; work that is settled is cancelled.
RFC 5545 is written by the icalendar library.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from ticket.job.csv_table import csv_table
from ticket.job.text import one_line, visible
from ticket.shop.due_items import DueItem, due_items
from ticket.shop.opening import Shop

COLUMNS = (
    "ticket", "entry", "vehicle", "customer", "phone", "text", "judgement", "because", "risk", "estimate", "date",
    "odometer", "hours", "overdue", "state", "forecast", "earliest", "latest", "call", "basis", "followed", "visits",
)  # fmt: skip
_SETTLED_AGO = 366  # days for which settled work is still cancelled in the calendar


@dataclass(frozen=True, slots=True)
class Stamp:
    """What names the events of one shop and tells their newest state.

    Attributes:
        shop: what names the shop's file for good.
        number: rises with every action.
        at: when the calendar was made.
    """

    shop: str
    number: int
    at: datetime


def due_table(items: Iterable[DueItem], today: date) -> str:
    """The items as CSV (RFC 4180), a head line first; a cell that would begin a formula begins with an apostrophe."""
    facts = (item.as_json(today) | {"visits": len(item.looks)} for item in items)
    return csv_table(COLUMNS, ([one[name] for name in COLUMNS] for one in facts))


def due_calendar(items: Iterable[DueItem], settled: Sequence[tuple[int, int, date]], stamp: Stamp) -> bytes:
    """The items as a calendar: one event a piece of work, on the day to call about it.

    Args:
        items: what waits; one without any day is left out.
        settled: ticket, entry and day of work that no longer waits: its event is cancelled.
        stamp: of the shop.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//job ticket//deferred work//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    for item in items:
        day = item.call or item.day
        if day is not None:
            event = _event(item.ticket, item.entry, day, stamp)
            event.add("summary", one_line(" · ".join(filter(None, (_summary(item), item.vehicle)))))
            event.add("description", _description(item))
            calendar.add_component(event)
    for ticket, entry, day in settled:
        event = _event(ticket, entry, day, stamp)
        event.add("summary", f"settled: {ticket}/{entry}")
        event.add("status", "CANCELLED")
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _event(ticket: int, entry: int, day: date, stamp: Stamp):  # type: ignore[no-untyped-def]
    from icalendar import Event

    event = Event()
    event.add("uid", f"{ticket}-{entry}-{stamp.shop}")
    event.add("dtstamp", stamp.at)
    event.add("sequence", stamp.number)
    event.add("dtstart", day)
    event.add("dtend", day + timedelta(days=1))
    event.add("transp", "TRANSPARENT")
    return event


def _summary(item: DueItem) -> str:
    return f"Call {item.customer or item.phone or 'the customer'}: {item.text}"


def _description(item: DueItem) -> str:
    due = [f"due {item.day}"] if item.day else []
    due += [f"at {item.odometer}"] if item.odometer else []
    due += [item.forecast] if item.forecast else []
    lines = [
        f"{item.name}: {item.text}" + (f" ({item.judgement})" if item.judgement else ""),
        "; ".join(due),
        item.phone and f"phone {item.phone}",
        item.because and f"because {item.because}",
        item.risk and f"risk: {item.risk}",
        item.cost,
        item.basis,
        item.followed,
    ]
    return "\n".join(visible(one_line(line)) for line in lines if line)


def calendar_of(shop: Shop, until: date | None = None) -> bytes:
    """The shop's calendar of what waits, or of what falls due or is to be called about by a day."""
    uid, number = shop.store.identity()
    since = shop.today - timedelta(days=_SETTLED_AGO)
    items = due_items(shop, until, to_call=True)
    return due_calendar(items, shop.store.waiting.settled(since), Stamp(uid, number, shop.now()))
