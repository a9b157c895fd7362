"""The demo: a scratch shop that never touches the user's own."""

import argparse
import sys
import tempfile
from pathlib import Path

from ticket.cli.output import say, say_json, screen_columns
from ticket.cli.screens_command import run_screens
from ticket.cli.ticket_commands import head_line
from ticket.job.errors import InputError
from ticket.job.ticket_document import to_document as ticket_document
from ticket.papers.plain_text import as_text
from ticket.scratch_shop import fill
from ticket.shop.opening import Shop
from ticket.shop.reading import story_of, ticket_of
from ticket.story.document import to_document

TOLD = 1020  # the ticket whose story the plain form prints


def demo(options: argparse.Namespace) -> int:
    """Fill a scratch shop from the demo jobs; open it, or print its list and one story."""
    if options.db:
        raise InputError("The demo has a scratch shop of its own: leave --db out.")
    drawn = not (options.no_screen or options.json)
    if drawn and not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise InputError("The screens need a terminal; ticket demo --no-screen prints the jobs and one story instead.")
    with tempfile.TemporaryDirectory(prefix="ticket-demo-") as folder:
        shop = Shop.open(Path(folder) / "demo.db", options.by or "", scratch=True)
        fill(shop)
        if drawn:
            shop.close()
            return run_screens(shop.store.path, shop.person)
        with shop:
            tickets = [ticket_of(shop, number) for number in shop.store.numbers()]
            told = story_of(shop, TOLD)
        if options.json:
            say_json({"tickets": [ticket_document(ticket) for ticket in tickets], "story": to_document(told)})
            return 0
        for ticket in tickets:
            say(head_line(ticket))
        say(f"\nThe story of ticket {TOLD}, as the customer reads it:\n")
        say(as_text(told, width=screen_columns()))
    return 0
