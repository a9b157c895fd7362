"""Deferred work that still waits, with the day and the odometer reading at which it falls due."""

from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from ticket.followups.forecast import forecast
from ticket.followups.rate import average, rate
from ticket.job.codec import read_instant
from ticket.job.entry import Entry
from ticket.job.errors import DataError
from ticket.job.kinds import Later
from ticket.job.numbers import exact
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity
from ticket.job.wall import calendar_day, local_day
from ticket.readings.units import convert
from ticket.shop.opening import Shop
from ticket.shop.readable import readable
from ticket.store.deferred_rows import DueRow, FollowUp

_HURRIED = 5  # a vehicle is hardly driven more than so many times the average


@dataclass(frozen=True, slots=True)
class DueItem:
    """One deferred piece of work.

    Attributes:
        day: the calendar limit, or the day the distance is probably driven, whichever comes first.
        odometer: reading at which it is due, in the shop's distance unit.
        basis: what a forecast rests on, in words; empty where the day is a plain date.
        followed: the newest follow-up in words; empty while nobody followed it up.
        free: the estimate is nothing at all.
    """

    ticket: int
    entry: int
    text: str
    judgement: str
    because: str
    risk: str
    estimate: str
    vehicle: str
    customer: str
    phone: str
    day: date | None
    odometer: Quantity | None
    basis: str
    followed: str = ""
    free: bool = False

    @property
    def cost(self) -> str:
        """What it will cost in words; empty where nothing was estimated."""
        if self.free:
            return "free of charge"
        return f"about {self.estimate}" if self.estimate else ""

    def as_json(self, today: date) -> dict[str, Any]:
        """The item as the command prints it."""
        return {
            "ticket": self.ticket,
            "entry": self.entry,
            "text": self.text,
            "judgement": self.judgement,
            "because": self.because,
            "risk": self.risk,
            "estimate": self.estimate,
            "vehicle": self.vehicle,
            "customer": self.customer,
            "phone": self.phone,
            "date": self.day.isoformat() if self.day else None,
            "odometer": str(self.odometer) if self.odometer else None,
            "overdue": self.day is not None and self.day < today,
            "basis": self.basis,
            "followed": self.followed,
        }


def may_fall_due(row: DueRow, until: date) -> bool:
    """Whether an item can be due by a day, told without reading its ticket: never ``False`` for one that is."""
    if row.due_date and row.due_date <= until.isoformat():
        return True
    if row.due_metres is None:
        return False
    reading = _in_unit(Quantity(*row.reading), "m")
    if reading is None:
        return True
    days = float((row.due_metres - reading) / (average("m").per_day * _HURRIED))
    try:
        entered = local_day(read_instant(row.entered, "entered"))
    except DataError:
        return True  # reading its ticket tells what is wrong
    return entered + timedelta(days=int(min(max(days, 0.0), 36525.0))) <= until


def item_of(shop: Shop, ticket: Ticket, entry: Entry, fact: Later, followed: FollowUp | None) -> DueItem:
    """One deferred item with the day it falls due."""
    header = ticket.header
    visits = [ticket, *readable(shop, shop.store.of_vehicle(ticket.number))]
    readings = sorted(
        (local_day(visit.opened), reading)
        for visit in visits
        for reading in (_in_unit(visit.header.odometer_in, shop.settings.distance),)
        if reading is not None
    )
    usual = rate(readings, shop.settings.distance)
    entered = local_day(entry.at)
    odometer = header.odometer_out or header.odometer_in
    falls = forecast(fact, entered, odometer, usual)
    agreed = calendar_day(followed.date) if followed and followed.date else None
    return DueItem(
        ticket=ticket.number,
        entry=entry.no,
        text=fact.text,
        judgement=fact.judgement,
        because=fact.because,
        risk=fact.risk,
        estimate=f"{shop.settings.currency}{fact.estimate}" if fact.estimate else "",
        vehicle=header.vehicle.name,
        customer=header.customer.name,
        phone=header.customer.phone,
        day=agreed or falls.due,
        odometer=None if agreed else falls.due_odometer,
        basis=falls.basis if falls.binding == "distance" and not agreed else "",
        followed=_followed(followed) if followed else "",
        free=exact(fact.estimate) == 0,
    )


def _followed(word: FollowUp) -> str:
    what = {"call": "called", "new date": f"new date {word.date}"}.get(word.what, word.what)
    note = f": {word.note}" if word.note else ""
    return f"{what} ({local_day(word.at).isoformat()} by {word.person}){note}"


def _in_unit(reading: Quantity | None, unit: str) -> Fraction | None:
    value = reading.value if reading else None
    return None if reading is None or value is None else convert(value, reading.unit, unit)
