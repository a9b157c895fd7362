"""The limits book of a shop as a document, and with the rows that come with the program as a shelf to ask. Pure."""

from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from ticket.job.kinds import Found
from ticket.job.regex import Regex
from ticket.job.values import Limits
from ticket.money import json_shapes
from ticket.notes.limits import write_limits
from ticket.notes.pen import Pen
from ticket.notes.read import read
from ticket.readings import limits_book
from ticket.readings.limit_bounds import as_limits
from ticket.readings.limits_book import FORMAT, LimitRow, LimitsBook, Shelf
from ticket.rules.pack import packaged

_ROW = Regex(r"limits/(\d+)(?:/(.+))?\Z")


def read_book(text: str, name: str = "limits book") -> LimitsBook:
    """A limits book from its JSON text. Raises :class:`DataError` naming file, place and reason."""
    return json_shapes.read(LimitsBook, text, name, FORMAT)


def book_document(book: LimitsBook) -> dict[str, Any]:
    """A limits book as its document."""
    return json_shapes.document(book, FORMAT)


def book_schema() -> dict[str, Any]:
    """The JSON Schema of a limits book."""
    return json_shapes.schema(LimitsBook, FORMAT, "Limits book of a shop")


@cache
def base_book() -> LimitsBook:
    """What comes with the program: what law and standards publish, each row with its citation and standing."""
    return read_book(Path(limits_book.__file__).with_suffix(".json").read_text(encoding="utf-8"))


read_own = lru_cache(maxsize=8)(read_book)


@lru_cache(maxsize=8)
def shelf(text: str | None) -> Shelf:
    """Both books, ready to be asked; the rows of the shop's own text go first."""
    own = LimitsBook() if text is None else read_own(text)
    return Shelf((*own.limits, *base_book().limits))


def law_of(rules: str) -> str:
    """Where the law of the shop's rules holds: ``US`` for ``US-FL``; empty for rules of the shop's own or none."""
    return rules.partition("-")[0] if rules in packaged() and rules[:2].isupper() else ""


def bracket(row: LimitRow) -> str:
    """The limits of a row as they stand behind a reading: ``(min 1.6 mm per law)``."""
    return f"({limit_words(row)})"


def limit_words(row: LimitRow) -> str:
    """The same without the brackets."""
    return write_limits(row.limits, row.unit, Pen())


def holds(limits: Limits | None, unit: str, row: LimitRow) -> bool:
    """Whether limits that were read behind a reading of a unit are those of a row."""
    if limits is None or limits.source != row.source:
        return False
    one, other = as_limits(limits, unit), as_limits(row.limits, unit)
    return (one.low, one.high, one.problem) == (other.low, other.high, other.problem)


def reads_back(row: LimitRow) -> bool:
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


def named_place(path: str, name: str) -> str:
    """A place in the document as a person counts: row 3, low."""
    file, _, spot = path.partition(f"{name}: ")
    match = _ROW.match(spot)
    if file or match is None:
        return path
    return f"{name}: row {int(match[1]) + 1}" + (f", {match[2]}" if match[2] else "")
