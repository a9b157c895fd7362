"""The phrasebook that comes with the program: one PO file a language, of the same form that shops trade."""

from functools import cache
from pathlib import Path

from ticket.job.book_entry import BookEntry
from ticket.language.po_entry import read_shipped

FOLDER = Path(__file__).parent


@cache
def shipped() -> tuple[BookEntry, ...]:
    """Every entry of every language, read once."""
    found: list[BookEntry] = []
    for file in sorted(FOLDER.glob("*/phrases.po")):
        found += read_shipped(file.read_text(encoding="utf-8"), file.parent.name, file.name)
    return tuple(found)
