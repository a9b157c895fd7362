"""A phrasebook as a gettext PO file, the form in which shops may trade them; Babel reads and writes it.

One message an entry: ``msgctxt`` is the kind of line (or what the word is) and the size, ``msgid`` the typed phrase,
``msgstr`` the wording, with the typed and the told plural as gettext has them. Who took it, when and on which ticket
stands in an extracted comment. What is marked ``fuzzy`` was looked at by nobody yet. English has both texts too.
"""

import io
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime

from babel.core import UnknownLocaleError
from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import PoFileError, PoFileParser, write_po

from ticket.job.book_entry import BookEntry
from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.job.wall import local_day
from ticket.language.po_entry import GENDER, PAST, entry_of, refused

_UNWRAPPED = 10**6  # columns: a phrase is one line, so that a difference of two books reads as one
_TAKEN = "taken by "
_MONTHS = (
    "January February March April May June July August September October November December"
).split()  # fmt: skip


def write_book(entries: Iterable[BookEntry], language: str, at: datetime) -> str:
    """The entries of one language as the text of a PO file; of two with one phrase, the first that is kept.

    Args:
        entries: those that were taken back are left out.
        language: whose wordings.
        at: the time to put into its head.
    """
    catalog = Catalog(
        locale=language, project="phrasebook", version="1", fuzzy=False, header_comment="# A phrasebook.",
        msgid_bugs_address="none", last_translator="the shop", language_team=language, creation_date=at,
        revision_date=at,
    )  # fmt: skip
    held: dict[tuple[str, ...], BookEntry] = {}
    for entry in sorted(entries, key=lambda one: one.state != "kept"):
        if entry.language == language and entry.state != "back":
            held.setdefault((entry.where, entry.size, entry.typed), entry)
    for (where, size, typed), entry in held.items():
        several = bool(entry.plural)
        catalog.add(
            (typed, entry.plural) if several else typed,
            (entry.told, *[entry.told_plural or entry.plural] * (catalog.num_plurals - 1)) if several else entry.told,
            context=f"{where}|{size}",
            auto_comments=list(_comments(entry)),
            flags=["fuzzy"] if entry.state == "waiting" else [],
        )
    for message in catalog:
        message.flags -= {"python-format", "python-brace-format"}  # guesses from the braces of the slots
    out = io.BytesIO()
    write_po(out, catalog, width=_UNWRAPPED)
    return out.getvalue().decode("utf-8")


def _comments(entry: BookEntry) -> Iterator[str]:
    if entry.by and entry.at:
        day = local_day(entry.at)
        on = f", ticket {entry.ticket}" if entry.ticket else ""
        yield one_line(f"{_TAKEN}{entry.by}, {day.day} {_MONTHS[day.month - 1]} {day.year}{on}")
    elif entry.origin:
        yield one_line(entry.origin)
    if entry.past:
        yield f"{PAST}{entry.past}"
    if entry.gender:
        yield f"{GENDER}{entry.gender}"


def read_book(text: str, name: str) -> tuple[BookEntry, ...]:
    """The entries of a PO file; whoever took them is their origin, and who takes them in is put in by the store.

    Raises:
        InputError: the file is no PO file, or one entry cannot be used; naming file and line.
    """
    catalog = _Whole(name)
    try:
        PoFileParser(catalog, abort_invalid=True).parse(text.replace("\r\n", "\n").split("\n"))
    except PoFileError as error:
        raise refused(name, error.lineno + 1, "it is no PO file there") from None
    except _Twice as error:
        raise refused(name, error.line, f"“{one_line(error.phrase)}” stands there a second time") from None
    except (UnknownLocaleError, ValueError, TypeError, LookupError) as error:
        raise InputError(
            f"{name}: it cannot be read as a PO file ({one_line(str(error))}); nothing was taken in."
        ) from None
    language = str(catalog.locale_identifier or "").partition("_")[0]
    if not language:
        raise InputError(f"{name}: its head names no Language; nothing was taken in.")
    found = [entry_of(message, language, name) for message in catalog if message.id]
    if not found and text.strip() and not len(catalog.mime_headers):
        raise InputError(f"{name}: it holds no entry; nothing was taken in.")
    return tuple(found)


def as_imported(entries: Iterable[BookEntry]) -> tuple[BookEntry, ...]:
    """Entries as they are taken in from another book: nobody has looked at them here."""
    return tuple(replace(one, state="waiting") for one in entries)


class _Twice(Exception):
    """A message stands in a file twice; gettext would silently join the two."""

    def __init__(self, phrase: str, line: int) -> None:
        super().__init__(phrase)
        self.phrase = phrase
        self.line = line


class _Whole(Catalog):
    """A catalog that refuses what it would otherwise join."""

    def __init__(self, name: str) -> None:
        super().__init__(fuzzy=False)
        self.name = name

    def __setitem__(self, key: str | tuple[str, ...] | list[str], message: Message) -> None:
        if message.id and self.get(message.id, message.context) is not None:
            phrase = message.id[0] if isinstance(message.id, tuple | list) else message.id
            raise _Twice(str(phrase), message.lineno or 0)
        super().__setitem__(key, message)
