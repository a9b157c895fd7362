"""Opening the shop for one command."""

import argparse

from ticket.shop.place import database_path
from ticket.shop.shop import Shop


def open_shop(options: argparse.Namespace) -> Shop:
    """The shop the command works on, opened for the person who types."""
    shop = Shop.open(database_path(options.db), options.by or "")
    _ = shop.settings  # they hold the zone: every day and time the command tells is the shop's
    return shop
