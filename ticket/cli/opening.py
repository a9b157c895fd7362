"""Opening the shop for one command; a path that is not there is refused unless the command may begin a shop."""

import argparse
import shlex
from pathlib import Path

from ticket.cli.output import remark
from ticket.job.errors import NoShopError
from ticket.shop.place import database_path
from ticket.shop.shop import Shop
from ticket.store.driver import is_shop


def open_shop(options: argparse.Namespace) -> Shop:
    """The shop the command works on, opened for the person who types.

    Raises:
        NoShopError: there is none, such as where the path was mistyped; nothing is made.
    """
    return _opened(options, create=False)


def open_or_make(options: argparse.Namespace, *, tell: bool = True) -> tuple[Shop, dict[str, str]]:
    """The shop, made where there is none, which is said in one line; for JSON, what to add to the answer instead."""
    path = database_path(options.db)
    if is_shop(path):
        return _opened(options, create=False), {}
    shop = _opened(options, create=True)
    if options.json:
        return shop, {"made_shop": str(path.absolute())}
    if tell:
        remark(made_words(path))
    return shop, {}


def no_shop(options: argparse.Namespace) -> bool:
    """Whether the command would have to make its shop first."""
    return not is_shop(database_path(options.db))


def made_words(path: Path) -> str:
    """Where a new shop is kept."""
    return f"A new shop was made. It is kept in {path.absolute()}."


def _opened(options: argparse.Namespace, *, create: bool) -> Shop:
    try:
        shop = Shop.open(database_path(options.db), options.by or "", create=create)
    except NoShopError as error:
        raise NoShopError(error.path, f" --db {shlex.quote(str(error.path))}" if options.db else "") from None
    for notice in shop.store.notices:
        remark(notice)
    _ = shop.settings  # they hold the zone: every day and time the command tells is the shop's
    return shop
