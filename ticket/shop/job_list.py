"""The list of jobs as it is shown before the shop is opened: nothing heavy is loaded for it."""

from pathlib import Path
from typing import Any

from ticket.machine import environment
from ticket.store.ticket_list import TicketList, TicketRow, open_tickets


def read_list(path: Path, *, every: bool = False) -> TicketList:
    """Open tickets, or every one, newest first. Raises :class:`~ticket.job.errors.NoShopError` where there is no shop.

    From then on every day is told in the zone of the shop.
    """
    found = open_tickets(path, every)
    environment.use_zone(found.zone)
    return found


def without_names(rows: list[TicketRow]) -> list[TicketRow]:
    """The list as an auditor sees it."""
    from ticket.store.erasable import MASK  # it needs what the first paint does without

    return [row._replace(customer=MASK if row.customer else "") for row in rows]


def haystack(row: TicketRow) -> str:
    """What the list is narrowed by."""
    return f"{row.number} {row.status} {row.vehicle} {row.plate} {row.customer} {row.odometer} {row.codes}"


def as_json(row: TicketRow) -> dict[str, Any]:
    """A line of the list as ``ticket list --json`` prints it; times in UTC, none where the row is damaged."""
    return ({"damaged": True} if row.damaged else {}) | {
        "number": row.number,
        "status": row.status,
        "vehicle": row.vehicle,
        "plate": row.plate,
        "customer": row.customer,
        "opened": None if row.damaged else row.opened.isoformat(timespec="milliseconds").replace("+00:00", "Z"),
        "odometer": row.odometer,
        "entries": row.entries,
        "ready_by": row.ready_by,
        "codes": row.codes.split(),
    }
