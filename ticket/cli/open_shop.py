"""Opening the shop for one command; a path that is not there is refused unless the command may begin a shop."""

import argparse
import shlex
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from ticket.cli.ask_pin import make_able_to_ask
from ticket.cli.output import remark
from ticket.job.errors import InputError, NoShopError
from ticket.machine.environment import database_path
from ticket.shop.opening import Shop
from ticket.store.driver import is_shop


@contextmanager
def open_shop(options: argparse.Namespace) -> Iterator[Shop]:
    """The shop the command works on, opened for the person who types; what in it cannot be read is said behind.

    An auditor is shown no customer in it and changes nothing.

    Raises:
        NoShopError: there is none, such as where the path was mistyped; nothing is made.
    """
    with _opened(options, create=False) as shop:
        yield shop


@contextmanager
def open_to_show(options: argparse.Namespace, numbers: Sequence[int], what: str) -> Iterator[Shop]:
    """The shop for a command that shows tickets; an auditor sees no names unless asked for, which is journaled."""
    with open_shop(options) as shop:
        shop.hide(not shop.gate.may_see(shop.person, numbers, what, asked=options.names))
        yield shop


@contextmanager
def open_to_hand_out(options: argparse.Namespace) -> Iterator[Shop]:
    """The shop for a paper that names the customer. Raises :class:`InputError` for an auditor."""
    with open_shop(options) as shop:
        if shop.hidden:
            raise InputError(
                "This names the customer, and an auditor hands out nothing: ticket paper shows a copy without names."
            )
        yield shop


@contextmanager
def open_or_make(options: argparse.Namespace, *, tell: bool = True) -> Iterator[tuple[Shop, dict[str, str]]]:
    """The shop, made where there is none, which is said in one line; for JSON, what to add to the answer instead."""
    path = database_path(options.db)
    make = not is_shop(path)
    with _opened(options, create=make) as shop:
        if make and tell and not options.json:
            remark(made_words(path))
        yield shop, {"made_shop": str(path.absolute())} if make and options.json else {}


def no_shop(options: argparse.Namespace) -> bool:
    """Whether the command would have to make its shop first."""
    return not is_shop(database_path(options.db))


def made_words(path: Path) -> str:
    """Where a new shop is kept."""
    return f"A new shop was made. It is kept in {path.absolute()}."


@contextmanager
def _opened(options: argparse.Namespace, *, create: bool) -> Iterator[Shop]:
    path = database_path(options.db)
    try:
        opened = Shop.open(path, options.by or "", create=create)
    except NoShopError:
        raise NoShopError(path, f" --db {shlex.quote(str(path))}" if options.db else "") from None
    with opened as shop:
        make_able_to_ask(shop, options)
        shop.hide_from_auditor()
        for notice in shop.store.notices:
            remark(notice)
        _ = shop.kept  # it holds the zone: every day and time the command tells is the shop's
        for told in (shop.gate.reset_words(), shop.clock_words()):
            if told:
                remark(told)
        for doubt in shop.kept.doubts:
            remark(f"Mind: {doubt}.")
        yield shop
        for told in shop.told:
            remark(told)
        for number in shop.damaged:
            remark(f"Ticket {number} cannot be read and is left out here; ticket show {number} says why.")
