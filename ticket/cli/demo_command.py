"""The demo: a scratch shop that never touches the user's own, gone with the program unless it is kept somewhere."""

import argparse
import shlex
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from ticket.cli.output import remark, say, say_json, screen_columns
from ticket.cli.screens_command import run_screens
from ticket.cli.ticket_commands import head_line
from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.job.ticket_document import to_document as ticket_document
from ticket.machine.environment import named
from ticket.papers.plain_text import as_text
from ticket.scratch_shop import DATABASE, fill
from ticket.shop.opening import Shop
from ticket.shop.reading import story_of, ticket_of
from ticket.store.driver import is_shop
from ticket.store.session import remove_new
from ticket.story.document import to_document

TOLD = 1020  # the ticket whose story the plain form prints


def demo(options: argparse.Namespace) -> int:
    """Fill a scratch shop from the demo jobs; open it, or print its list and one story."""
    if options.db:
        raise InputError("The demo has a scratch shop of its own: leave --db out, or keep it: ticket demo --keep FILE.")
    drawn = not (options.no_screen or options.json)
    if drawn and not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise InputError("The screens need a terminal; ticket demo --no-screen prints the jobs and one story instead.")
    with _shop(options) as (shop, path):
        if drawn:
            shop.close()
            code = run_screens(path, shop.person)
        else:
            code = _told(options, shop)
    if options.keep and not options.json:
        word = shlex.quote(options.keep)
        say(
            f"This practice shop is kept in {path.absolute()}. Go on in it with ticket --db {word}, its commands with"
            f" --db {word} too; ticket demo --keep {word} opens it again."
        )
    return code


@contextmanager
def _shop(options: argparse.Namespace) -> Iterator[tuple[Shop, Path]]:
    """The filled shop and its file: in a folder that vanishes, or where it is to be kept."""
    if not options.keep:
        with TemporaryDirectory(prefix="ticket-demo-") as folder:
            path = Path(folder) / DATABASE
            with _filled(path, options.by or "") as shop:
                yield shop, path
        return
    if options.keep == "-":
        raise InputError("A shop cannot be put on standard output: name a file.")
    path = named(options.keep)
    if not is_shop(path):
        with _filled(path, options.by or "") as shop:
            yield shop, path
        return
    with Shop.open(path, options.by or "", create=False) as shop:
        if not shop.scratch:
            raise InputError(f"{one_line(str(path))} is a real shop: name another file for the demo's.")
        remark("It is the practice shop that was kept there before.")
        yield shop, path


@contextmanager
def _filled(path: Path, person: str) -> Iterator[Shop]:
    with Shop.open(path, person, scratch=True) as shop:
        try:
            fill(shop)
        except BaseException:  # half a demo is none
            shop.close()
            remove_new(path)
            raise
        yield shop


def _told(options: argparse.Namespace, shop: Shop) -> int:
    """The list of its tickets and one story."""
    tickets = [ticket_of(shop, number) for number in shop.store.numbers()]
    told = story_of(shop, TOLD)
    if options.json:
        kept = {"kept": str(shop.store.path.absolute())} if options.keep else {}
        say_json({"tickets": [ticket_document(ticket) for ticket in tickets], "story": to_document(told)} | kept)
        return 0
    for ticket in tickets:
        say(head_line(ticket))
    say(f"\nThe story of ticket {TOLD}, as the customer reads it:\n")
    say(as_text(told, width=screen_columns()))
    return 0
