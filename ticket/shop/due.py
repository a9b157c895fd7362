"""Deferred work that still waits, with the day and the odometer reading at which it falls due."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from ticket.followups.forecast import forecast
from ticket.followups.rate import rate
from ticket.job.entry import Entry
from ticket.job.kinds import Later
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity
from ticket.readings.units import convert
from ticket.shop.place import local_day
from ticket.shop.shop import Shop


@dataclass(frozen=True, slots=True)
class DueItem:
    """One deferred piece of work.

    Attributes:
        day: the calendar limit, or the day the distance is probably driven, whichever comes first.
        odometer: reading at which it is due, in the shop's distance unit.
        basis: what a forecast rests on, in words; empty where the day is a plain date.
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
        }


def due_items(shop: Shop) -> list[DueItem]:
    """Deferred work that nothing has settled, earliest first; items without a day come last."""
    items = []
    for row in shop.store.due():
        ticket = shop.ticket(row.number)
        entry = ticket.entry(row.no)
        if entry is not None and isinstance(entry.fact, Later):
            items.append(_item(shop, ticket, entry, entry.fact))
    return sorted(items, key=lambda item: (item.day is None, item.day or date.max, item.ticket, item.entry))


def _item(shop: Shop, ticket: Ticket, entry: Entry, fact: Later) -> DueItem:
    header = ticket.header
    visits = [ticket, *(shop.ticket(number) for number in shop.store.of_vehicle(ticket.number))]
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
        day=falls.due,
        odometer=falls.due_odometer,
        basis=falls.basis if falls.binding == "distance" else "",
    )


def _in_unit(reading: Quantity | None, unit: str) -> Fraction | None:
    value = reading.value if reading else None
    return None if reading is None or value is None else convert(value, reading.unit, unit)
