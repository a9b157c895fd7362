"""One open shop. Every verb here is one user action or one question; nothing here knows a screen or a flag."""

import json
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.job.book_entry import NO_ENTRIES, Phrasebook
from ticket.job.case import Case, Settings
from ticket.job.document import from_document, pictures_of
from ticket.job.entry import Draft, Entry
from ticket.job.errors import ConflictError, DamagedError, DataError, InputError, NotFoundError, SealedError, StoreError
from ticket.job.kinds import Fact, Used
from ticket.job.picture import Picture
from ticket.job.read_json import read_json
from ticket.job.ticket import Header, Person, Ticket
from ticket.job.wall import local_day
from ticket.notes.file import looks_like_ticket
from ticket.notes.read import read
from ticket.past.query import parse_query
from ticket.shop import place
from ticket.shop.drafts import Settled, settle
from ticket.shop.indexing import index_rows
from ticket.shop.kept import BROKEN, CODES, read_kept
from ticket.shop.pictures import no_file, raw, take
from ticket.store.search import Found, Query
from ticket.store.store import Audit, Birth, Store

if TYPE_CHECKING:
    from ticket.faults.table import Merge, Table
    from ticket.gaps.gap import Gap
    from ticket.rules.account import Account
    from ticket.story.sentence import Story

_EARLIER = 20  # earlier visits that a story or a gap may look at


@dataclass(frozen=True, slots=True)
class Added:
    """An entry that was made, with what its typist should see."""

    entry: Entry
    settled: Settled


class Shop:
    """One shop's tickets, opened for one person at one terminal.

    Args:
        store: the open database.
        person: name under which everything is journaled.
        now: the clock.

    Attributes:
        doubts: what of the settings could not be read and stands at its default; known once a setting was asked.
        damaged: tickets that a question had to leave out because their rows cannot be read, and what is wrong.
    """

    def __init__(self, store: Store, person: str, now: Callable[[], datetime] = place.now) -> None:
        self.store = store
        self.person = person
        self.now = now
        self._about: tuple[Settings, tuple[Person, ...]] | None = None
        self._codes: tuple[tuple[str, ...], ...] = ()
        self._terms: tuple[tuple[str, str], ...] = ()
        self._documents: Mapping[str, str] = {}
        self._book: Phrasebook = NO_ENTRIES
        self._book_read = False
        self.doubts: tuple[str, ...] = ()
        self.damaged: dict[int, str] = {}

    @classmethod
    def open(
        cls, path: Path, person: str = "", *, now: Callable[[], datetime] = place.now, create: bool = True
    ) -> "Shop":
        """Open the shop in a database file. Raises :class:`ticket.job.errors.StoreError` with the reason."""
        return cls(Store.open(path, indexer=index_rows, now=now, create=create), place.person_name(person), now)

    def close(self) -> None:
        """Close the database; words typed today become searchable."""
        self.store.refresh_words()
        self.store.close()

    def __enter__(self) -> "Shop":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # -- asking ------------------------------------------------------------------------------------------------

    @property
    def settings(self) -> Settings:
        """The shop's settings; a value nobody set is the default."""
        return self._read_about()[0]

    @property
    def people(self) -> tuple[Person, ...]:
        """The staff."""
        return self._read_about()[1]

    def _read_about(self) -> tuple[Settings, tuple[Person, ...]]:
        """Settings and staff, read once: they are asked at every key and change a few times a year."""
        if self._about is None:
            kept = read_kept(self.store.settings())
            self._codes, self._terms, self._documents = kept.codes, kept.terms, kept.documents
            self.doubts = kept.doubts
            self._about = kept.settings, self.store.people()
            place.use_zone(kept.settings.zone)
        return self._about

    @property
    def terms(self) -> tuple[tuple[str, str], ...]:
        """The shop's own words: a term, and what it means in plain words."""
        self._read_about()
        return self._terms

    def document(self, key: str) -> str | None:
        """The text of a document kept beside the settings, such as the price list; ``None`` where there is none.

        Its key begins with one of :data:`ticket.shop.kept.DOCUMENTS`; :meth:`set_setting` keeps it.
        """
        self._read_about()
        found = self._documents.get(key)
        if found == BROKEN:
            raise StoreError(
                f"{key.strip()} as kept in {self.store.path} cannot be read: take it in again from its file"
            )
        return found

    def documents(self, lead: str) -> dict[str, str]:
        """The documents whose keys begin with a lead."""
        self._read_about()
        return {key: text for key, text in self._documents.items() if key.startswith(lead) and text != BROKEN}

    @property
    def codes(self) -> "Table":
        """The code table: what ships with the program, and the shop's own rows."""
        from ticket.faults.table import with_own

        self._read_about()
        return with_own(self._codes)

    def import_codes(self, text: str, accept: Collection[str] = ()) -> "Merge":
        """Take in the shop's own list of codes; a row that contradicts one that is there stays out.

        Args:
            text: CSV as ``schemas/code-table.json`` describes its rows.
            accept: codes whose new row may replace the one that is there.

        Raises:
            DataError: naming line and column; nothing is taken in.
        """
        from ticket.faults.table import load_csv, merge

        merged = merge(self.codes, load_csv(text), accept)
        if merged.added:
            own = {row[0]: row for row in self._codes}
            own |= {row.code: (row.code, row.plain, row.trade, row.area, row.source) for row in merged.added}
            self.set_setting(CODES, list(own.values()))
        return merged

    def refresh(self) -> None:
        """Read settings and staff anew: another terminal has changed something."""
        self._about = None
        self._book_read = False

    @property
    def book(self) -> Phrasebook:
        """The shop's phrasebook with what was taken back, read once; empty where nobody kept a phrase yet."""
        if not self._book_read:
            entries = self.store.phrasebook()
            if entries != self._book.entries:  # else what was worked out for it holds
                self._book = Phrasebook(entries)
            self._book_read = True
        return self._book

    @property
    def today(self) -> date:
        """The day on the shop's wall, in its zone."""
        self._read_about()
        return local_day(self.now())

    def ticket(self, number: int) -> Ticket:
        """A ticket. Raises :class:`NotFoundError`."""
        return self.store.ticket(number)

    def readable(self, numbers: Iterable[int]) -> Iterator[Ticket]:
        """The tickets with these numbers; one whose rows cannot be read is left out and noted in ``damaged``."""
        for number in numbers:
            try:
                yield self.store.ticket(number)
            except DamagedError as error:
                self.damaged[number] = str(error)

    def readable_slim(self, numbers: Iterable[int], fields: Mapping[str, Collection[str]]) -> tuple[Ticket, ...]:
        """The same for counts over thousands: newest first, only these fields by kind of entry are in them."""
        damaged: list[DamagedError] = []
        found = self.store.slim(numbers, fields, damaged)
        self.damaged |= {error.number: str(error) for error in damaged}
        return found

    def case(self, number: int) -> Case:
        """A ticket with what surrounds it: settings, staff, the day, earlier visits of the vehicle."""
        from ticket.shop.phrases_kept import book_for
        from ticket.shop.signed_prices import list_for

        damaged: list[DamagedError] = []
        read = self.store.tickets([number, *self.store.of_vehicle(number)[:_EARLIER]], damaged)
        for error in damaged:
            if error.number == number:
                raise error
            self.damaged[error.number] = str(error)
        ticket, *others = read
        earlier = tuple(other for other in others if other.opened <= ticket.opened and other.number != number)
        before_tax = list_for(self, ticket).quotes == "before tax"
        return Case(
            ticket, self.settings, self.today, earlier, self.people, self._codes, self.terms, before_tax=before_tax,
            book=book_for(self, ticket),
        )  # fmt: skip

    def story(self, number: int, reader: str = "customer", language: str = "") -> "Story":
        """The story of a ticket for one reader; without a language, in the shop's."""
        from ticket.story.build import build

        return build(self.case(number), reader, language or self.settings.language)

    def gaps(self, number: int) -> "tuple[Gap, ...]":
        """What a careful foreman would ask before signing."""
        return self.gaps_of(self.case(number))

    def gaps_of(self, case: Case, account: "Account | None" = None) -> "tuple[Gap, ...]":
        """The same of a case that is at hand; its account is worked out where it is not."""
        from ticket.gaps.find import find_gaps
        from ticket.shop.billing import account_of
        from ticket.shop.clocks import with_clocks
        from ticket.shop.phrases_met import with_met

        around = with_met(self.store, with_clocks(self.store, case))
        return find_gaps(around, account or account_of(self, case.ticket))

    def past(self, words: str, *, limit: int = 50) -> tuple[Found, tuple[Ticket, ...]]:
        """Past and open jobs that fit a query, newest first, with their tickets."""
        self.store.refresh_words()
        found = self.store.find(parse_query(words, limit=limit))
        return found, tuple(self.readable(found.numbers))

    def audit(self, *, deep: bool = False) -> Audit:
        """Recompute the chain of the journal."""
        return self.store.audit(deep=deep)

    # -- reading a line ----------------------------------------------------------------------------------------

    def understand(self, ticket: Ticket, text: str, sticky: str = "", *, live: bool = False) -> tuple[Settled, ...]:
        """What typed text would become on a ticket; writes nothing.

        Args:
            ticket: as it stands.
            text: one or several lines.
            sticky: the concern in the prompt; empty means the last opened.
            live: the text is still being typed: what is only unfinished is no mistake yet.
        """
        from ticket.shop.limits_kept import law_of, shelf_of
        from ticket.shop.limits_offered import with_limits_offered

        names = tuple(person.name for person in self.people)
        drafts = read(text, people=names, rates=self.settings.rates, live=live)
        shelf, vehicle, law = shelf_of(self), ticket.header.vehicle.label, law_of(self.settings.rules)
        return tuple(
            replace(item, draft=with_limits_offered(item.draft, shelf, vehicle, law))
            for item in self._settle(ticket, drafts, sticky)
        )

    def _settle(self, ticket: Ticket, drafts: Sequence[Draft], sticky: str) -> tuple[Settled, ...]:
        from ticket.gaps.look import bad_values

        return settle(drafts, ticket, sticky, self._part_known, lambda entry: bool(bad_values(ticket, entry)))

    def _part_known(self, part: str) -> str | None:
        if not any(char.isdigit() for char in part):
            return None
        for ticket in self.readable(self.store.find(Query(parts=(part,), limit=1)).numbers):
            for entry in ticket.entries:
                if isinstance(entry.fact, Used) and entry.fact.part == part:
                    return entry.fact.text
        return None

    # -- doing -------------------------------------------------------------------------------------------------

    def new(self, header: Header | None = None) -> int:
        """Open a ticket; its number."""
        return self.store.open_ticket(header or Header(), self.person)

    def set_setting(self, key: str, value: object) -> None:
        """Change one of the shop's settings. Raises :class:`InputError` for a language without a catalogue."""
        if key == "language":
            from ticket.story.sections.files import known

            known(str(value))
        self.store.set_shop(key, json.dumps(value), self.person)
        self.refresh()

    def add_person(self, person: Person) -> None:
        """Add somebody who works here, or change their role."""
        self.store.add_person(person, self.person)
        self.refresh()

    def add(self, number: int, text: str, sticky: str = "", *, accept: bool = False) -> tuple[Added, ...]:
        """Add one typed line or a pasted block, as one action.

        Args:
            number: the ticket.
            text: one or several lines.
            sticky: the concern in the prompt.
            accept: adopt the proposed references.

        Raises:
            SealedError: the ticket is signed.
            InputError: the text holds no entry.
        """
        ticket = self._open_ticket(number)
        return self.add_settled(ticket, self.understand(ticket, text, sticky), accept=accept)

    def add_settled(self, ticket: Ticket, settled: Sequence[Settled], *, accept: bool) -> tuple[Added, ...]:
        """Add what :meth:`understand` understood, as one action."""
        if not settled:
            raise InputError("Nothing to add: the text holds no line.")
        facts, held = take(self, [item.accepted if accept else item.draft.fact for item in settled])
        births = [
            Birth(fact, concern=item.draft.concern, shop_only=item.draft.shop_only, raw=raw(fact, item.draft.line))
            for fact, item in zip(facts, settled, strict=True)
        ]
        entries = self.store.add(ticket.number, births, self.person, held)
        return tuple(Added(entry, item) for entry, item in zip(entries, settled, strict=True))

    def edit(self, number: int, no: int, new: Fact, expected: Fact | None = None) -> Entry:
        """Change an entry of an open ticket; ``expected`` is what the editor saw before."""
        self._open_ticket(number)
        (taken,), held = take(self, [new])
        return self.store.edit(number, no, taken, self.person, expected=expected, held=held)

    def move(self, number: int, no: int, concern: str) -> None:
        """Give an entry to another concern."""
        self._open_ticket(number)
        self.store.move(number, no, concern, self.person)

    def strike(self, number: int, no: int) -> None:
        """Take an entry back; it stays visible, struck."""
        self._open_ticket(number)
        self.store.strike(number, no, self.person)

    def set_header(self, number: int, header: Header) -> None:
        """Set what is known about vehicle, customer, odometer and promise."""
        self._open_ticket(number)
        self.store.set_header(number, header, self.person)

    def set_status(self, number: int, status: str) -> None:
        """Say what the ticket waits for."""
        self._open_ticket(number)
        self.store.set_status(number, status, self.person)

    def undo(self, number: int) -> str:
        """Take back this terminal's latest action on a ticket; says what was undone."""
        return self.store.undo(number, self.person)

    def redo(self, number: int) -> str:
        """Do again what was undone last."""
        return self.store.redo(number, self.person)

    def sign(self, number: int, *, rev: int | None = None, overruled: Mapping[str, str] | None = None) -> str:
        """Close a ticket for good; its seal.

        Args:
            number: the ticket.
            rev: the state the signer read; the present one if left out.
            overruled: a typed reason for each blocking gap that stands, by gap id.

        Raises:
            ConflictError: blocking gaps without a reason, or the ticket changed while it was read.
        """
        ticket = self._open_ticket(number)
        reasons = {gap_id: reason.strip() for gap_id, reason in (overruled or {}).items() if reason.strip()}
        from ticket.shop.signing import standing

        left = [gap for gap in standing(self, number) if gap.id not in reasons]
        if left:
            first = f"{left[0].question} [{left[0].id}]"
            more = f" and {len(left) - 1} more" if len(left) > 1 else ""
            raise ConflictError(f"Ticket {number} cannot be signed yet: {first}{more}; see ticket gaps {number}.")
        seal = self.store.sign(number, ticket.rev if rev is None else rev, self.person, reasons)
        self.store.refresh_words()
        return seal

    def amend(self, number: int, text: str, reason: str, *, replaces: int | None = None) -> tuple[Added, ...]:
        """Correct a signed ticket openly: new entries that say why, and what they replace.

        Raises:
            InputError: no reason, no line, or more than one line replacing one entry.
            ConflictError: the ticket is not signed.
        """
        ticket = self.ticket(number)
        if ticket.status != "signed":
            raise ConflictError(f"Ticket {number} is not signed: add to it with ticket add {number}.")
        if not reason.strip():
            raise InputError("An amendment needs its reason: --reason TEXT.")
        settled = self.understand(ticket, text)
        if not settled:
            raise InputError("Nothing to add: the text holds no line.")
        if replaces is not None:
            self._replaceable(ticket, replaces, settled)
        facts, held = take(self, [item.draft.fact for item in settled])
        births = [
            Birth(fact, item.draft.concern, item.draft.shop_only, replaces, raw(fact, item.draft.line))
            for fact, item in zip(facts, settled, strict=True)
        ]
        entries = self.store.amend(number, births, reason.strip(), self.person, held)
        self.store.refresh_words()
        return tuple(Added(entry, item) for entry, item in zip(entries, settled, strict=True))

    def _replaceable(self, ticket: Ticket, no: int, settled: Sequence[Settled]) -> None:
        if ticket.entry(no) is None:
            raise NotFoundError(f"There is no entry {no} on ticket {ticket.number}.")
        if len(settled) != 1:
            raise InputError("One entry is replaced by one line.")

    # -- in and out --------------------------------------------------------------------------------------------

    def load(self, documents: Sequence[tuple[str, str]]) -> tuple[int, ...]:
        """Take tickets in from texts: all of them, or none.

        Args:
            documents: (file name, text); a text that begins with ``{`` or ``[`` is a JSON document, else a plain
                ticket file.

        Raises:
            InputError: naming file, place and reason.
        """
        tickets: list[Ticket] = []
        held: list[Picture] = []
        plain: list[tuple[str, str]] = []
        for name, text in documents:
            if text.lstrip()[:1] in ("{", "["):
                for ticket, pictures in _tickets(name, text):
                    tickets.append(ticket)
                    held += pictures
            else:
                if "\x00" in text:
                    raise InputError(f"{name}: this is no text; nothing was loaded.")
                if not looks_like_ticket(text):
                    raise InputError(
                        f"{name}: this is no ticket file; nothing was loaded. Lines of one begin with words such as"
                        " vehicle: says: found: did:"
                    )
                plain.append((name, text))
        if tickets and plain:
            raise InputError("Load JSON documents and plain ticket files one after the other, not together.")
        if tickets:
            names = ", ".join(name for name, _ in documents)
            return self.store.load(tickets, self.person, names, held)
        numbers = tuple(self._load_plain(name, text) for name, text in plain)
        self.store.refresh_words()
        return numbers

    def _load_plain(self, name: str, text: str) -> int:
        from ticket.notes.file import read_file

        people = tuple(person.name for person in self.people)
        sheet = read_file(text, people=people, rates=self.settings.rates)
        if not sheet.drafts:
            raise InputError(f"{name}: the file holds no entry.")
        for draft in sheet.drafts:
            no_file(self, draft.fact, name)
        number = self.store.open_ticket(sheet.header, self.person)
        self.add_settled(self.ticket(number), self._settle(self.ticket(number), sheet.drafts, ""), accept=False)
        return number

    def _open_ticket(self, number: int) -> Ticket:
        ticket = self.ticket(number)
        if ticket.status == "signed":
            raise SealedError(f"Ticket {number} is signed: correct it with ticket amend {number}.")
        return ticket


def _tickets(name: str, text: str) -> list[tuple[Ticket, tuple[Picture, ...]]]:
    from ticket.shop.picture_file import checked

    try:
        data = read_json(text)
    except DataError as error:
        raise InputError(f"{name}: {error}; nothing was loaded.") from None
    tickets = []
    for i, document in enumerate(data if isinstance(data, list) else [data]):
        try:
            ticket = from_document(document)
            tickets.append((ticket, tuple(checked(one) for one in pictures_of(document))))
        except DataError as error:
            place_of = f"{name} (document {i + 1})" if isinstance(data, list) else name
            raise InputError(f"{place_of}: {error}; nothing was loaded.") from None
    return tickets
