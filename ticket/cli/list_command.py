"""The list of tickets: the one command asked all day, so it reads the database directly and imports little."""

import argparse
import shlex
from typing import Any

from ticket.cli.output import say, say_json
from ticket.job.errors import NoShopError
from ticket.job.text import one_line
from ticket.job.wall import local_day
from ticket.machine.environment import database_path, person_name
from ticket.machine.job_list import read_list
from ticket.store.ticket_list import TicketRow


def list_tickets(options: argparse.Namespace) -> None:
    """Open tickets, newest first; all of them with ``--all``."""
    path = database_path(options.db)
    try:
        found = read_list(path, every=options.all)
    except NoShopError:
        raise NoShopError(path, f" --db {shlex.quote(str(path))}" if options.db else "") from None
    rows = found.rows
    if found.auditors and person_name(options.by) in found.auditors and not _asked(options, rows):
        from ticket.shop.opening import without_names  # heavy, and rarely asked for

        rows = without_names(rows)
    if options.json:
        say_json([_as_json(row) for row in rows])
        return
    if not rows:
        say("No open tickets. Open one: ticket new" if not options.all else "No tickets yet. Open one: ticket new")
        return
    for line in table(rows):
        say(line)


def _asked(options: argparse.Namespace, rows: list[TicketRow]) -> bool:
    """Whether an auditor asked for names, which opens the shop: it is journaled."""
    if not options.names:
        return False
    from ticket.cli.open_shop import open_to_show

    with open_to_show(options, [row.number for row in rows], "list"):
        return True


def table(rows: list[TicketRow]) -> list[str]:
    """The list as aligned lines."""
    cells = [_cells(row) for row in rows]
    counted = [[cell for cell, row in zip(cells, rows, strict=True) if not (i and row.damaged)] for i in range(5)]
    widths = [max((len(cell[i]) for cell in counted[i]), default=0) for i in range(5)]
    return [
        f"{cell[0]:>{widths[0]}}  "
        + "  ".join(text.ljust(width) for text, width in zip(cell[1:], widths[1:], strict=True)).rstrip()
        for cell in cells
    ]


def _cells(row: TicketRow) -> tuple[str, ...]:
    if row.damaged:
        return (str(row.number), f"cannot be read: ticket show {row.number} says why", "", "", "")
    return (
        str(row.number),
        row.status,
        local_day(row.opened).isoformat(),
        one_line(row.vehicle or "vehicle not named")[:34],
        one_line(row.customer or "customer not named")[:24],
    )


def _as_json(row: TicketRow) -> dict[str, Any]:
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
