"""Deferred work that still waits, with the day and the odometer reading at which it falls due."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from ticket.followups.forecast import forecast
from ticket.followups.rate import rate
from ticket.job.kinds import Later
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity
from ticket.readings.units import convert
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
    for due in shop.store.due():
        ticket = shop.ticket(due.ticket)
        entry = ticket.entry(due.no)
        if entry is not None and isinstance(entry.fact, Later):
            items.append(_item(shop, ticket, entry, entry.fact, due.due_date, due.due_metres))
    return sorted(items, key=lambda item: (item.day is None, item.day or date.max, item.ticket, item.entry))
