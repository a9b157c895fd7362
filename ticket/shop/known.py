"""What the shop knows of a vehicle that has just come in: earlier visits, last odometer, work that waits."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from ticket.job.kinds import Cause, Code, Did, Later, Says
from ticket.job.ticket import Customer, Ticket, Vehicle
from ticket.job.values import Quantity, Ref
from ticket.job.wall import local_day
from ticket.shop.shop import Shop

_LOOKED_AT = 20  # earlier visits that are read


@dataclass(frozen=True, slots=True)
class Visit:
    """One earlier visit in a few words."""

    number: int
    day: date
    odometer: Quantity | None
    words: str


@dataclass(frozen=True, slots=True)
class Known:
    """A vehicle the shop has seen.

    Attributes:
        vehicle: as written on its newest ticket.
        customer: the one of its newest ticket.
        visits: newest first.
        waiting: deferred work nothing has answered, as (ticket/entry, text).
        total: how many visits there were.
        open: number of a ticket of it that is not signed yet; 0 where there is none.
    """

    vehicle: Vehicle
    customer: Customer
    visits: tuple[Visit, ...]
    waiting: tuple[tuple[str, str], ...]
    total: int
    open: int = 0

    @property
    def last_reading(self) -> tuple[Quantity, date] | None:
        """The newest odometer reading and its day."""
        return next(((visit.odometer, visit.day) for visit in self.visits if visit.odometer), None)


def known_vehicle(shop: Shop, vin: str = "", plate: str = "") -> Known | None:
    """The vehicle with that identification number (whole, or its last 8 or 6) or plate; ``None`` for a stranger."""
    numbers = shop.store.visits(vin, plate)
    if not numbers:
        return None
    tickets = tuple(shop.readable(numbers[:_LOOKED_AT]))
    if not tickets:
        return None
    newest = tickets[0]
    header = newest.header
    vehicle = Vehicle(
        _first(ticket.header.vehicle.label for ticket in tickets),
        _first(ticket.header.vehicle.vin for ticket in tickets),
        header.vehicle.plate,
    )
    due = {(row.number, row.no) for row in shop.store.due(numbers)}
    waiting = [
        (str(Ref(entry.no, ticket.number)), entry.fact.text)
        for ticket in tickets
        for entry in ticket.living
        if isinstance(entry.fact, Later) and (ticket.number, entry.no) in due
    ]
    still = next((ticket.number for ticket in tickets if ticket.status != "signed"), 0)
    return Known(
        vehicle, header.customer, tuple(map(_visit, tickets)), tuple(waiting), len(numbers), still
    )  # fmt: skip


def _first(texts: Iterable[str]) -> str:
    return next((text for text in texts if text), "")


def _visit(ticket: Ticket) -> Visit:
    facts = [entry.fact for entry in ticket.living]
    codes = dict.fromkeys(
        f"{fact.code}-{fact.sub}" if fact.sub else fact.code
        for fact in facts
        if isinstance(fact, Code) and fact.code != "none"
    )
    told = [fact.text for fact in facts if isinstance(fact, Cause)]
    told = told or [fact.text for fact in facts if isinstance(fact, Did)][:2]
    told = told or [fact.text for fact in facts if isinstance(fact, Says)][:1]
    header = ticket.header
    words = "; ".join((*codes, *told)) or "nothing recorded"
    return Visit(ticket.number, local_day(ticket.opened), header.odometer_out or header.odometer_in, words)
