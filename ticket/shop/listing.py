"""The list of tickets for the shell and the first screen, on the store's light path."""

from pathlib import Path
from typing import Any

from ticket.shop.place import use_zone
from ticket.store.light import TicketRow, open_tickets, setting


def read_list(path: Path, *, every: bool = False) -> list[TicketRow]:
    """Open tickets, or every one, newest first. Raises :class:`~ticket.job.errors.NoShopError` where there is no shop.

    From then on every day is told in the zone of the shop.
    """
    rows = open_tickets(path, every)
    if rows:
        use_zone(setting(path, "zone"))
    return rows


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
