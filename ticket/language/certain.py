"""Whether a typed line has exactly one reading, and that reading."""

from ticket.language.phrasebook import NO_BOOK, Phrases
from ticket.language.records import Meaning, Unsure
from ticket.language.spans import spans


def read(text: str, where: str, book: Phrases = NO_BOOK) -> Meaning | Unsure:
    """What a line means, or why nobody can be certain of it."""
    booked = book.match(spans(text, where), where, "en")
    return Meaning((booked,)) if booked is not None else Unsure("no clause reads this yet", 0, len(text))
