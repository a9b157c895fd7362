"""Commands that write papers: the whole copy for a reader, and the story as a page."""

import argparse
import sys

from ticket.cli.open_shop import open_to_show
from ticket.cli.output import as_json, columns, hand_out, say, say_bytes, say_json, to_file, write
from ticket.cli.shop_only_remarks import remark_inside
from ticket.job.errors import InputError, NotFoundError
from ticket.papers.formats import written
from ticket.papers.mail import mail
from ticket.papers.paper_document import to_document
from ticket.papers.sheet import Sheet
from ticket.shop import papers
from ticket.shop.opening import Shop
from ticket.shop.papers import held_by, view_picture
from ticket.shop.reading import ticket_of


def paper(options: argparse.Namespace) -> None:
    """The copy of a ticket for one reader."""
    with open_to_show(options, [options.number], "paper") as shop:
        made = papers.sheet(
            shop, options.number, options.reader,
            language=options.language, sources=options.sources, today=options.today,
        )  # fmt: skip
        put_sheet(options, shop, made)
    remark_inside(options)


def picture(options: argparse.Namespace) -> None:
    """The picture of an entry, shown or written to a file."""
    with open_to_show(options, [options.number], "picture") as shop:
        if shop.hidden:
            raise InputError("A picture may tell whose vehicle it is: an auditor is shown none without --names.")
        entry = ticket_of(shop, options.number).entry(options.no)
        if entry is None:
            raise NotFoundError(f"ticket {options.number} has no entry {options.no}")
        found = next((picture for _, picture in held_by(shop, (entry,))), None)
        if found is None:
            raise InputError(f"Entry {entry.no} of ticket {options.number} holds no picture.")
        if to_file(options):
            hand_out(options, found.content)
        elif options.json:
            say_json({"ticket": options.number, "entry": entry.no, "digest": found.digest, "bytes": len(found.content)})
        else:
            say(view_picture(shop, options.number, entry))


def story_page(options: argparse.Namespace) -> None:
    """The story alone as HTML or PDF."""
    refuse_binary(options)
    with open_to_show(options, [options.number], "story") as shop:
        made = papers.story(
            shop, options.number, options.reader, options.form, language=options.language, sources=options.sources
        )
    put(options, made)
    remark_inside(options)


def refuse_binary(options: argparse.Namespace) -> None:
    """Send no PDF to a terminal. Raises :class:`InputError`."""
    if options.form == "pdf" and not to_file(options) and sys.stdout.isatty():
        raise InputError("A PDF is nothing for a terminal: name a file with -o FILE, or send it through a pipe.")


def put_sheet(options: argparse.Namespace, shop: Shop, made: Sheet) -> None:
    """A paper in the form that is asked for: as text, as a page, as a message to be sent, or its blocks as JSON."""
    if options.json:
        write(options, as_json(to_document(made)))
    elif options.form == "eml":
        put(options, mail(made, papers.desk.letterhead(shop, options.number)))
    else:
        refuse_binary(options)
        put(options, written(made, options.form, columns(options)))


def put(options: argparse.Namespace, made: str | bytes) -> None:
    """A paper to ``--output`` where one is named, else to standard output."""
    if isinstance(made, str):
        write(options, made)
    elif to_file(options):
        hand_out(options, made)
    else:
        say_bytes(made)
