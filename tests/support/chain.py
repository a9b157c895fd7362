"""Invented jobs of a chain of shops, as its archive takes them in."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from support.tickets import ticket_of
from ticket.job.ticket import Customer, Header, Ticket, Vehicle

MORNING = datetime(2025, 3, 3, 8, tzinfo=UTC)
NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)
KEY = b"k" * 32
TEXTS = (
    ("worn belt", "did: 0.4 h replace belt; by Kaia"), ("corroded ground cable", "did: 1 h clean cable"),
    ("loose plug", "used: 1 x 4410-77 plug @ 12.00"), ("worn belt", "offer: replace belt; est 80"),
)  # fmt: skip


def job(number: int, day: int, i: int, plate: str) -> Ticket:
    """A signed job of a day after the first morning; what was found and done goes by ``i``."""
    cause, line = TEXTS[i % len(TEXTS)]
    more = ["told: Maren Oastley by phone 555-0112, no 4"] if line.startswith("offer") else []
    opened = MORNING + timedelta(days=day)
    said = ["says: lamps dim, Oastley says", "code: P0562-16", f"cause: {cause}", line, *more]
    made = ticket_of(said, number=number, opened=opened, vehicle=Vehicle("2019 Corvane Alder", "", plate))
    header = Header(vehicle=made.header.vehicle, customer=Customer("Maren Oastley", "555-0112"))
    return replace(made, header=header, status="signed", closed=opened + timedelta(hours=3), signed_by="Kaia")
