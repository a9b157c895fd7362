"""Opening the shop for one command."""

import argparse
from collections.abc import Iterator
from contextlib import contextmanager

from ticket.cli.output import remark
from ticket.shop.place import database_path
from ticket.shop.shop import Shop


@contextmanager
def open_shop(options: argparse.Namespace) -> Iterator[Shop]:
    """The shop the command works on, opened for the person who types; what in it cannot be read is said behind."""
    with Shop.open(database_path(options.db), options.by or "") as shop:
        _ = shop.settings  # they hold the zone: every day and time the command tells is the shop's
        for doubt in shop.doubts:
            remark(f"Mind: {doubt}.")
        yield shop
        for number in shop.damaged:
            remark(f"Ticket {number} cannot be read and is left out here; ticket show {number} says why.")
