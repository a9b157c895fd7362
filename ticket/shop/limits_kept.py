"""The limits book of a shop: the rows that come with the program, the shop's own, and taking rows in."""

import json
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from ticket.job.errors import DataError, InputError
from ticket.job.kinds import Found, Proof
from ticket.job.regex import Regex
from ticket.job.values import Limits
from ticket.money import shapes
from ticket.notes.limits import write_limits
from ticket.notes.pen import Pen
from ticket.notes.read import read
from ticket.readings import limits_book
from ticket.readings.groups import groups
from ticket.readings.limits import as_limits
from ticket.readings.limits_book import FORMAT, Book, Row, Shelf
from ticket.readings.limits_typed import Proposal, Typed, proposals
from ticket.rules.pack import packaged
from ticket.shop.kept import LIMITS
from ticket.shop.shop import Shop

_ROW = Regex(r"limits/(\d+)(?:/(.+))?\Z")


def read_book(text: str, name: str = "limits book") -> Book:
    """A limits book from its JSON text. Raises :class:`DataError` naming file, place and reason."""
    return shapes.read(Book, text, name, FORMAT)


def book_document(book: Book) -> dict[str, Any]:
    """A limits book as its document."""
    return shapes.document(book, FORMAT)


def book_schema() -> dict[str, Any]:
    """The JSON Schema of a limits book."""
    return shapes.schema(Book, FORMAT, "Limits book of a shop")


@cache
def base_book() -> Book:
    """What comes with the program: what law and standards publish, each row with its citation and standing."""
    return read_book(Path(limits_book.__file__).with_suffix(".json").read_text(encoding="utf-8"))


_read_book = lru_cache(maxsize=8)(read_book)


def own_book(shop: Shop) -> Book:
    """The shop's own rows; an empty book where none were taken in."""
    text = shop.document(LIMITS)
    return Book() if text is None else _read_book(text)


@lru_cache(maxsize=8)
def _shelf(text: str | None) -> Shelf:
    own = Book() if text is None else _read_book(text)
    return Shelf((*own.limits, *base_book().limits))


def shelf_of(shop: Shop) -> Shelf:
    """Both books, ready to be asked; the shop's own rows go first."""
    return _shelf(shop.document(LIMITS))


def law_of(rules: str) -> str:
    """Where the law of the shop's rules holds: ``US`` for ``US-FL``; empty for rules of the shop's own or none."""
    return rules.partition("-")[0] if rules in packaged() and rules[:2].isupper() else ""


def set_limits(shop: Shop, text: str, name: str = "limits book") -> Book:
    """Take the shop's own book in, whole or not at all.

    Raises:
        InputError: naming file, row, field and reason; nothing is changed.
    """
    try:
        book = read_book(text, name)
    except DataError as error:
        raise InputError(f"{_named(error.path, name)}: {error.reason}; nothing was changed.") from None
    for i, row in enumerate(book.limits):
        if not _reads_back(row):
            where = _named(f"{name}: limits/{i}/source", name)
            raise InputError(
                f"{where}: per {row.source!r} cannot be read behind a reading; take plain words such as maker, shop or"
                " law, and put the rest into the citation; nothing was changed."
            )
    shop.set_setting(LIMITS, text)
    return book


def keep_row(shop: Shop, row: Row) -> Book:
    """Add a row to the shop's own book, as one journaled change."""
    book = Book(limits=(*own_book(shop).limits, row))
    return set_limits(shop, json.dumps(book_document(book), ensure_ascii=False, indent=1))


def proposed(shop: Shop) -> tuple[Proposal, ...]:
    """Limits that stand on the shop's tickets twice or more for a thing of a vehicle, and in no book yet."""
    typed = (
        Typed(ticket.number, entry.no, ticket.header.vehicle.label, group)
        for ticket in map(shop.ticket, shop.store.numbers())
        for entry in ticket.living
        if isinstance(entry.fact, Found | Proof)
        for group in groups(entry.fact)
    )
    return proposals(typed, (*own_book(shop).limits, *base_book().limits))


def keep_proposed(shop: Shop, number: int) -> Row:
    """Take a proposal into the shop's own book by its number in the list; the row that was kept.

    Raises:
        InputError: there is no such proposal, or the book cannot hold it; nothing is changed.
    """
    found = proposed(shop)
    if not 0 < number <= len(found):
        there = f"there are {len(found)}" if found else "there is none"
        raise InputError(f"There is no proposal {number}, {there}: ticket shop limits --proposed lists them.")
    row = found[number - 1].row
    keep_row(shop, row)
    return row


def bracket(row: Row) -> str:
    """The limits of a row as they stand behind a reading: ``(min 1.6 mm per law)``."""
    return f"({limit_words(row)})"


def limit_words(row: Row) -> str:
    """The same without the brackets."""
    return write_limits(row.limits, row.unit, Pen())


def holds(limits: Limits | None, unit: str, row: Row) -> bool:
    """Whether limits that were read behind a reading of a unit are those of a row."""
    if limits is None or limits.source != row.source:
        return False
    one, other = as_limits(limits, unit), as_limits(row.limits, unit)
    return (one.low, one.high, one.problem) == (other.low, other.high, other.problem)


def _reads_back(row: Row) -> bool:
    """Whether the notation reads the limits of a row as they are meant, with their source."""
    (draft, *more) = read(f"gauge shows 1 {row.unit} {bracket(row)}")
    fact = draft.fact
    return (
        not more
        and not draft.remarks
        and isinstance(fact, Found)
        and len(fact.measurements) == 1
        and holds(fact.measurements[0].limits, fact.measurements[0].unit, row)
    )


def _named(path: str, name: str) -> str:
    """A place in the document as a person counts: row 3, low."""
    file, _, spot = path.partition(f"{name}: ")
    match = _ROW.match(spot)
    if file or match is None:
        return path
    return f"{name}: row {int(match[1]) + 1}" + (f", {match[2]}" if match[2] else "")
