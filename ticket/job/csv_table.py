"""Tables for spreadsheets: CSV as RFC 4180 has it; no cell can begin a formula."""

import csv
import io
from collections.abc import Iterable

from ticket.job.regex import Regex
from ticket.job.text import one_line, visible

_FIGURE = Regex(r"-[0-9][0-9,]*(?:\.[0-9]+)?\Z")  # below zero: nothing a formula could be
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def csv_table(columns: Iterable[str], rows: Iterable[Iterable[object]]) -> str:
    """A table as CSV, a head line first; a cell that would begin a formula begins with an apostrophe."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow([_cell(value) for value in row])
    return out.getvalue()


def _cell(value: object) -> str:
    text = "" if value is None else ("yes" if value else "no") if isinstance(value, bool) else str(value)
    text = visible(one_line(text))
    return f"'{text}" if text.startswith(_FORMULA) and not _FIGURE.match(text) else text
