"""The shop for other Python programs: entries, stories and past jobs.

What stands here keeps its meaning within a version of the program; everything else of the package may change at any
time. A line is typed as at the terminal, every change is journaled under the name that is given, and whatever cannot
be done raises a :class:`TicketError` with one sentence.

What a line means by itself, without a shop:

    >>> from ticket.api import open_shop, read_line
    >>> read_line("LF pad 1.9 mm (min 3.0 per maker)")
    ReadLine(kind='found', line='found: LF pad 1.9 mm (min 3.0 per maker)', remarks=())
    >>> for remark in read_line("told: Bo by phone, yes ok 14").remarks:
    ...     print(remark)


A ticket (``folder`` is a path of yours):

    >>> with open_shop(folder / "shop.db", "K. Orlo", create=True) as shop:
    ...     number = shop.new_ticket(vehicle="2019 Corvane Alder", plate="FEN-204", odometer="91,804 mi")
    ...     for entry in shop.add(number, "says: grinding noise", "LF pad 1.9 mm (min 3.0 per maker)"):
    ...         print(entry.no, entry.kind, entry.line)
    1 says A says: grinding noise
    2 found A found: LF pad 1.9 mm (min 3.0 per maker)

Its story, each sentence with the entries it rests on; what is still asked; and past jobs by the words of a search:

    >>> with open_shop(folder / "shop.db", "K. Orlo") as shop:
    ...     for sentence in shop.story(number):
    ...         if "2" in sentence.sources:
    ...             print(sentence.section, "|", sentence.text.replace(chr(160), " "))
    ...     [question.id for question in shop.questions(number) if question.blocks]
    ...     shop.search("grinding plate:FEN-204")
    In short | We have not found the cause yet.
    What we found | The left front brake pad was 1.9 mm thick, which is too thin; at least 3.0 mm is needed.
    ['finding-unanswered']
    [1]

What cannot be done is one sentence:

    >>> with open_shop(folder / "shop.db", "K. Orlo") as shop:
    ...     shop.add(7, "found: nothing")
    Traceback (most recent call last):
        ...
    ticket.job.errors.NotFoundError: there is no ticket 7
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from ticket.assist.typed_header import changed_header
from ticket.job.entry import Entry
from ticket.job.errors import InputError, TicketError
from ticket.job.header_fields import HEADER_FIELDS
from ticket.job.text import one_line
from ticket.job.ticket import Header
from ticket.notes.read import read
from ticket.notes.write import write_plainly
from ticket.shop import changing, past, reading
from ticket.shop.opening import Shop

__all__ = ["OpenShop", "Question", "ReadLine", "Sentence", "TicketError", "TicketLine", "open_shop", "read_line"]


@dataclass(frozen=True, slots=True)
class ReadLine:
    """What a typed line means by itself: its kind, the line as the notation writes it, and what to look at."""

    kind: str
    line: str
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TicketLine:
    """One entry of a ticket: its number, kind, concern, the line, who typed it, and whether it was struck."""

    no: int
    kind: str
    concern: str
    line: str
    person: str
    struck: bool = False
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence of a story: the title of its section, its text, and the entries it rests on."""

    section: str
    text: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Question:
    """What is missing or contradicts itself; ``blocks`` keeps the ticket from being signed."""

    id: str
    text: str
    entry: int | None
    blocks: bool


def read_line(text: str) -> ReadLine:
    """What one line means by itself; what only a ticket knows is not asked.

    Raises:
        InputError: the text holds no line, or more than one.
    """
    drafts = read(text)
    if len(drafts) != 1:
        raise InputError(f"{one_line(text)[:60]!r} is not one line: it holds {len(drafts)}.")
    (draft,) = drafts
    return ReadLine(
        draft.fact.kind, write_plainly(draft.fact, concern=draft.concern, shop_only=draft.shop_only),
        tuple(one.text for one in draft.remarks),
    )  # fmt: skip


@contextmanager
def open_shop(path: Path, person: str, *, create: bool = False) -> Iterator["OpenShop"]:
    """The shop in a database file, open for one person; ``create`` makes one where there is none.

    Raises:
        TicketError: it cannot be opened, and why.
    """
    with Shop.open(path, person, create=create) as shop:
        yield OpenShop(shop)


class OpenShop:
    """An open shop. Each call that changes something is one durable action, or raises and changes nothing."""

    def __init__(self, shop: Shop) -> None:
        self._shop = shop

    def new_ticket(self, **header: str) -> int:
        """Open a ticket and give its number.

        Args:
            header: typed values by the names of ``ticket new``, an underscore for each dash: ``vehicle``, ``plate``,
                ``vin``, ``odometer``, ``customer``, ``phone``, ``email``, ``address``, ``ready_by`` and the rest.

        Raises:
            InputError: there is no such field, or its value cannot be read.
        """
        typed = {name.replace("_", "-"): text for name, text in header.items()}
        if unknown := typed.keys() - HEADER_FIELDS.keys():
            raise InputError(f"There is no field {sorted(unknown)[0]!r}: {', '.join(HEADER_FIELDS)}.")
        return changing.new_ticket(self._shop, changed_header(Header(), typed, self._shop.settings.distance))

    def add(self, number: int, *lines: str) -> tuple[TicketLine, ...]:
        """Add lines to an open ticket, as one action. Raises :class:`TicketError`."""
        added = changing.add_lines(self._shop, number, "\n".join(lines))
        return tuple(_line(one.entry, *(note.text for note in one.settled.draft.remarks)) for one in added)

    def entries(self, number: int) -> tuple[TicketLine, ...]:
        """Every entry of a ticket, struck ones among them. Raises :class:`TicketError`."""
        return tuple(map(_line, reading.ticket_of(self._shop, number).entries))

    def story(self, number: int, reader: str = "customer", language: str = "") -> tuple[Sentence, ...]:
        """The story of a ticket for ``customer``, ``payer`` or ``shop``. Raises :class:`TicketError`."""
        told = reading.story_of(self._shop, number, reader, language)
        return tuple(
            Sentence(section.title, sentence.text, tuple(map(str, sentence.sources)))
            for section in told.sections
            for sentence in section.sentences
        )

    def questions(self, number: int) -> tuple[Question, ...]:
        """What a careful foreman would ask before signing. Raises :class:`TicketError`."""
        found = reading.open_gaps(self._shop, number)
        return tuple(Question(gap.id, gap.question, gap.entry, gap.level == "blocking") for gap in found)

    def search(self, query: str, limit: int = 50) -> list[int]:
        """Numbers of the tickets that fit, newest first; a query as ``ticket past`` takes it."""
        return list(past.find_jobs(self._shop, query, limit=limit)[0].numbers)


def _line(entry: Entry, *remarks: str) -> TicketLine:
    line = one_line(write_plainly(entry.fact, concern=entry.concern, shop_only=entry.shop_only))
    return TicketLine(entry.no, entry.kind, entry.concern, line, entry.person, entry.struck, remarks)
