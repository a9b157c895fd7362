"""Opening the screens from the shell. Nothing of the shop is loaded here: the first paint comes first."""

import os
import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.job.errors import InputError
from ticket.job.progress import told_to
from ticket.machine.environment import PERSON, database_path, person_name, told_look
from ticket.machine.terminal_ground import GroundQuestion

if TYPE_CHECKING:
    import argparse

    from ticket.shop.opening import Shop


SERVED = "TICKET_SERVED"
"""Set by ``ticket serve`` for the screens it runs; another wrapper would let any page of the browser read along."""
_PLAIN = ("dumb",)
"""Terminals that show what they are sent, and know no escapes."""


def open_screens(options: "argparse.Namespace") -> int:
    """The screens on the user's own shop."""
    return run_screens(database_path(options.db), person_name(options.by))


def run_screens(database: Path, person: str) -> int:
    """The screens on a database, until they are left; the exit code."""
    if os.environ.get("TEXTUAL_DRIVER", "").endswith("WebDriver"):
        if not os.environ.get(SERVED):
            raise InputError("A browser gets the screens by ticket serve, which asks for a PIN and checks who asks.")
    elif not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise InputError("The screens need a terminal; try ticket list, or ticket --help.")
    elif os.environ.get("TERM", "") in _PLAIN:
        raise InputError(
            "This terminal (TERM=dumb) cannot draw: ticket talk takes a ticket line by line, ticket list lists."
        )
    question = GroundQuestion(told_look() | dict(os.environ))
    from ticket.screens.app import run

    os.environ[PERSON] = person  # whoever was named for this command works at these screens
    door, first_door = (partial(_open, database, person, create=made) for made in (False, True))
    with told_to(None):  # the screens have a row of their own for it
        return run(database, door, first_door, question.answer(), person)


def _open(database: Path, person: str, *, create: bool) -> "Shop":
    from ticket.shop.opening import Shop

    shop = Shop.open(database, person, create=create)
    shop.hide_from_auditor()
    return shop
