"""The limits book from the shell: list it, take one in, and keep what was typed again and again."""

import argparse
import textwrap
from typing import Any

from ticket.assist.limits_shelf import base_book, limit_words
from ticket.cli.open_shop import open_shop
from ticket.cli.output import read_text, say, say_json, say_taken
from ticket.job.codec import encode
from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.readings.limits_book import LimitRow
from ticket.readings.limits_typed import Proposal
from ticket.shop import settings


def limits(options: argparse.Namespace) -> None:
    """List the books, take the shop's own in from a file, list what is proposed for it, or keep one of these."""
    given = " ".join(options.value)
    if sum((bool(given), options.proposed, options.keep is not None)) > 1:
        raise InputError("Name one thing: a file to take in, --proposed, or --keep with a number.")
    with open_shop(options) as shop:
        if given:
            book = settings.set_limits(shop, read_text(given, short=True), given)
            told = f"The limits book is taken in: {_rows(len(book.limits))}. It offers, and judges nothing by itself."
            say_taken(options, "limits", given, told)
        elif options.keep is not None:
            row = settings.keep_proposed(shop, options.keep)
            say_taken(options, "limits", "", f"Kept in the limits book: {_words(row)}.")
        elif options.proposed:
            _say_proposed(settings.proposed(shop), as_json=options.json)
        else:
            _say_books(settings.own_book(shop).limits, base_book().limits, as_json=options.json)


def _say_books(own: tuple[LimitRow, ...], base: tuple[LimitRow, ...], *, as_json: bool) -> None:
    if as_json:
        books = (("shop", own), ("base", base))
        say_json({"limits": [{"book": name} | _json(row) for name, rows in books for row in rows]})
        return
    say("The shop's own:" if own else "The shop has no limits of its own yet: ticket shop limits FILE")
    for row in own:
        _paragraph(_words(row))
    say("\nWhat law and standards publish (compare it with the law itself; a stricter limit of the maker goes first):")
    for row in base:
        _paragraph(_words(row))


def _say_proposed(found: tuple[Proposal, ...], *, as_json: bool) -> None:
    if as_json:
        said = [
            {"number": i, "row": _json(one.row), "stands": [f"{ticket}/{no}" for ticket, no in one.stands]}
            for i, one in enumerate(found, 1)
        ]
        say_json({"proposed": said})
        return
    for i, one in enumerate(found, 1):
        stands = ", ".join(f"{ticket}/{no}" for ticket, no in one.stands)
        _paragraph(f"{i}  {_words(one.row)}; typed in {stands}")
    say("Keep one: ticket shop limits --keep N" if found else "No limits were typed twice for a thing of a vehicle.")


def _json(row: LimitRow) -> dict[str, Any]:
    said: dict[str, Any] = encode(row)
    return said


def _words(row: LimitRow) -> str:
    """A row as a line: thing, place, vehicle, limits, citation and standing."""
    thing = ", ".join(part for part in (row.thing, " or ".join(row.position), row.vehicle) if part)
    source = ", ".join(part for part in (row.citation, row.standing) if part)
    return one_line(f"{thing}: {limit_words(row)}" + (f" ({source})" if source else ""))


def _rows(count: int) -> str:
    return "1 row" if count == 1 else f"{count} rows"


def _paragraph(text: str) -> None:
    say(textwrap.fill(text, 78, initial_indent="  ", subsequent_indent=" " * 6, break_long_words=False))
