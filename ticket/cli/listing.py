"""The list of tickets: the one command asked all day, so it reads the database directly and imports little."""

import argparse
import shlex

from ticket.job.errors import NoShopError
from ticket.job.text import one_line
from ticket.job.wall import local_day
from ticket.shop.listing import as_json, read_list
from ticket.shop.place import database_path
from ticket.store.light import TicketRow


def list_tickets(options: argparse.Namespace) -> None:
    """Open tickets, newest first; all of them with ``--all``."""
    path = database_path(options.db)
    try:
        rows = read_list(path, every=options.all)
    except NoShopError:
        raise NoShopError(path, f" --db {shlex.quote(str(path))}" if options.db else "") from None
    if options.json:
        from ticket.cli.output import say_json

        say_json([as_json(row) for row in rows])
        return
    if not rows:
        print("No open tickets. Open one: ticket new" if not options.all else "No tickets yet. Open one: ticket new")  # noqa: T201
        return
    for line in table(rows):
        print(line)  # noqa: T201


def table(rows: list[TicketRow]) -> list[str]:
    """The list as aligned lines."""
    cells = [
        (
            str(row.number),
            row.status,
            local_day(row.opened).isoformat(),
            one_line(row.vehicle or "vehicle not named")[:34],
            one_line(row.customer or "customer not named")[:24],
        )
        for row in rows
    ]
    widths = [max(len(cell[i]) for cell in cells) for i in range(5)]
    return [
        f"{cell[0]:>{widths[0]}}  "
        + "  ".join(text.ljust(width) for text, width in zip(cell[1:], widths[1:], strict=True)).rstrip()
        for cell in cells
    ]
