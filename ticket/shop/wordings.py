"""The shop's phrasebook: wordings taken on a ticket and kept for all, words taught, books traded with other shops."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ticket.assist.suggestions import Asked, Command, Offers, Suggester, from_book, from_reading, offers
from ticket.job.book_entry import WORD_CLASSES, BookEntry
from ticket.job.errors import ConflictError, InputError, NotFoundError
from ticket.job.text import clean, fold
from ticket.shop.reading import case_of

if TYPE_CHECKING:
    from ticket.job.reworded_sentence import Rewording
    from ticket.shop.opening import Shop
    from ticket.story.noted import Noted

READER = "customer"  # whose notes are put in other words; what is kept serves every reader
LINE, CLAUSE = "line", "clause"


@dataclass(frozen=True, slots=True)
class Taken:
    """A wording that was taken: how the ticket tells it now, and what was kept of it for every ticket."""

    rewording: "Rewording"
    kept: BookEntry | None = None


def spoken_in(shop: "Shop", language: str) -> str:
    """The language that was named, else the shop's. Raises :class:`InputError` for one without words."""
    from ticket.language.tables import languages

    if language and language not in languages():
        raise InputError(f"There is no language {language!r}: {', '.join(languages())}.")
    return language or shop.settings.language


def note_at(shop: "Shop", number: int, no: int, field: str = "", language: str = "") -> "Noted":
    """The note that rests on an entry.

    Raises:
        NotFoundError: the story tells nothing of the entry as it was typed, or several things and none is named.
    """
    from ticket.story.build import build
    from ticket.story.noted import notes

    case = case_of(shop, number)
    spoken = spoken_in(shop, language)
    found = [one for one in notes(case, build(case, READER, spoken)) if one.no == no and field in ("", one.field)]
    if not found:
        raise NotFoundError(
            f"Ticket {number} tells nothing of entry {no} as it was typed: ticket phrases {number} lists its notes."
        )
    if len(found) > 1:
        names = ", ".join(f"{number}/{no}/{one.field}" for one in found)
        raise NotFoundError(f"Entry {no} of ticket {number} has several notes: name one of {names}.")
    return found[0]


def widths_of(shop: "Shop", number: int, note: "Noted", wording: str, language: str = "") -> tuple[BookEntry, ...]:
    """What of a wording may be kept for other lines, widest first; each names the ticket it comes from."""
    from ticket.language.book import book_of
    from ticket.language.widths import widths

    spoken = spoken_in(shop, language)
    found = widths(note.line, note.where, clean(wording), spoken, book_of(shop.book))
    return tuple(replace(one, ticket=number) for one in found)


def take(
    shop: "Shop", number: int, no: int, wording: str, *, field: str = "", size: str = "", language: str = "",
    unproved: bool = False,
) -> Taken:  # fmt: skip
    """Tell a note of a ticket in these words, and keep them for other tickets where a size is given.

    Args:
        shop: the open shop; its person is the writer.
        number: the ticket.
        no: the entry the note rests on.
        wording: the words.
        field: which field of the entry, where it has several notes.
        size: ``clause`` or ``line`` to keep it; empty to tell it on this ticket only.
        language: of the story; the shop's where left out.
        unproved: keep words that the entries do not prove.

    Raises:
        NotFoundError: there is no such note.
        UnprovedError: the entries do not prove the words, and ``unproved`` is not set; nothing is written.
        InputError: the judge refuses the words, or nothing of them can be kept; nothing is written.
        ConflictError: another entry tells that phrase otherwise; nothing is written.
    """
    from ticket.assist.rewording_ground import Wording
    from ticket.shop.own_words import reword

    spoken = spoken_in(shop, language)
    note = note_at(shop, number, no, field, spoken)
    chosen: BookEntry | None = None
    if size:
        fits = [one for one in widths_of(shop, number, note, wording, spoken) if one.size == size]
        if not fits and size == LINE:  # a line of one phrase is that phrase
            fits = list(widths_of(shop, number, note, wording, spoken))
        if not fits:
            raise InputError(
                f"Nothing of this wording can be kept as a {size} of “{note.line}”: each figure and side of the line"
                " stands once in it, and it says no other; nothing was written."
            )
        chosen = fits[0]
        _refuse_rival(shop, chosen)
    made = reword(shop, number, Wording(READER, note.sentence.original, note.whole(wording), spoken, keep=unproved))
    return Taken(made, keep(shop, chosen) if chosen else None)


def keep(shop: "Shop", entry: BookEntry, *, instead_of: int = 0) -> BookEntry:
    """Keep an entry in the shop's book; the one that says so already, where there is one.

    Raises:
        InputError: it says more or less than its phrase.
        ConflictError: another entry tells that phrase otherwise.
    """
    from ticket.language.slots import flaw, tidied

    entry = tidied(entry)
    if why := flaw(entry):
        raise InputError(f"“{entry.typed}” cannot be told as “{entry.told}”: {why}; nothing was kept.")
    made = shop.store.keep_phrases([entry], shop.person, instead_of=instead_of)
    shop.refresh()
    if made:
        return made[0]
    return next(one for one in shop.book.entries if (one.key, one.says) == (entry.key, entry.says))


def _refuse_rival(shop: "Shop", entry: BookEntry) -> None:
    for other in shop.book.told:
        if other.key == entry.key and other.says != entry.says:
            raise ConflictError(
                f"Entry {other.no} of the phrasebook tells “{other.typed}” as “{other.told}” already: take it back "
                f"first with ticket phrases back {other.no}; nothing was written."
            )


def teach(
    shop: "Shop", typed: str, cls: str, *, told: str = "", plural: str = "", told_plural: str = "", past: str = "",
    gender: str = "", language: str = "", ticket: int = 0,
) -> BookEntry:  # fmt: skip
    """Say what a word is, and how it is told where it is not told as typed.

    Raises:
        InputError: no such class, or what is given is no word.
    """
    if cls not in WORD_CLASSES:
        raise InputError(f"{cls!r} is nothing a word may be: {', '.join(WORD_CLASSES)}.")
    from ticket.language.forms import plural as regular

    spoken = spoken_in(shop, language)
    typed = clean(typed).strip()
    if cls == "thing" and not plural and typed:
        plural = regular(typed)
    if spoken == "en":
        told, told_plural = told or typed, told_plural or plural
    entry = BookEntry(
        spoken, "word", cls, typed, clean(told).strip(), clean(plural), clean(told_plural), clean(past), gender,
        ticket=ticket,
    )  # fmt: skip
    return keep(shop, entry)


def let_in(shop: "Shop", no: int) -> BookEntry:
    """Let an imported entry in: somebody has looked at it."""
    made = shop.store.look_phrase(no, "kept", shop.person)
    shop.refresh()
    return made


def take_back(shop: "Shop", no: int) -> BookEntry:
    """Take an entry back: later tellings have their notes again, signed tickets keep what they were signed with."""
    made = shop.store.look_phrase(no, "back", shop.person)
    shop.refresh()
    return made


def search(shop: "Shop", words: str, language: str = "") -> tuple[BookEntry, ...]:
    """Entries with these words on either side, in every language unless one is named; the shop's own first."""
    from ticket.language.shipped import shipped

    if language:
        spoken_in(shop, language)
    wanted = fold(words)
    return tuple(
        one
        for one in (*shop.book.entries, *shipped())
        if language in ("", one.language) and wanted in fold(f"{one.typed} {one.told} {one.plural} {one.told_plural}")
    )


def clashing(shop: "Shop", language: str = "") -> tuple[tuple[BookEntry, BookEntry], ...]:
    """Pairs of which neither is told, because both fit the same phrase as well."""
    from ticket.language.book import book_of

    return book_of(shop.book).clashes(spoken_in(shop, language))


def exported(shop: "Shop", language: str = "") -> str:
    """The shop's own entries of one language as a PO file; what waits is marked fuzzy."""
    from ticket.language.po import write_book

    return write_book(shop.book.entries, spoken_in(shop, language), shop.now())


def imported(shop: "Shop", text: str, name: str) -> tuple[tuple[BookEntry, ...], int]:
    """Take another book in, whole or not at all: nothing of it is told until somebody looks at it.

    Returns:
        The entries that are new here, and how many the file holds.

    Raises:
        InputError: naming file, line and reason.
    """
    from ticket.language.po import as_imported, read_book

    found = read_book(text, name)
    made = shop.store.keep_phrases(as_imported(found), shop.person)
    shop.refresh()
    return made, len(found)


@dataclass(frozen=True, slots=True)
class Waiting:
    """A note of a ticket."""

    ticket: int
    note: "Noted"


def waiting(shop: "Shop", number: int | None = None, language: str = "") -> tuple[Waiting, ...]:
    """The notes that wait, what a driver needs most first; of all open tickets where no number is given.

    Raises:
        NotFoundError: no such ticket.
    """
    numbers = [row.number for row in shop.store.rows(signed=False)] if number is None else [number]
    found = list(_waiting(shop, numbers, spoken_in(shop, language), one=number is not None))
    return tuple(sorted(found, key=lambda item: (item.note.rank, bool(item.note.unlisted), -item.ticket)))


def _waiting(shop: "Shop", numbers: Iterable[int], language: str, *, one: bool) -> Iterator[Waiting]:
    from ticket.job.errors import DamagedError
    from ticket.story.build import build
    from ticket.story.noted import notes

    for number in numbers:
        try:
            case = case_of(shop, number)
        except DamagedError as error:
            if one:
                raise
            shop.damaged[number] = str(error)
            continue
        yield from (Waiting(number, note) for note in notes(case, build(case, READER, language)))


def sources(shop: "Shop") -> tuple[Suggester, ...]:
    """Whom this shop asks, in this order."""
    command = shop.settings.suggest.strip()
    return (from_book, from_reading, *([Command(command)] if command else []))


def offers_for(shop: "Shop", number: int, note: "Noted", language: str = "") -> Offers:
    """What everybody this shop asks offers for a note."""
    return offers(Asked(case_of(shop, number), note, language or shop.settings.language), sources(shop))
