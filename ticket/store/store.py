"""The shop's database: every action is one transaction that holds its journal row and the state it leads to."""

import secrets
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime, time
from pathlib import Path
from types import MappingProxyType, TracebackType
from typing import ClassVar, Self

from ticket import __version__
from ticket.job.book_entry import BookEntry
from ticket.job.codec import instant
from ticket.job.entry import Entry
from ticket.job.errors import DamagedError, StoreError
from ticket.job.follow import FollowUp
from ticket.job.kinds import Fact
from ticket.job.picture import Picture
from ticket.job.reworded_sentence import Rewording
from ticket.job.text import fold
from ticket.job.ticket import Correction, Header, Person, Ticket
from ticket.job.values import Ref
from ticket.store import (
    additions,
    audit,
    briefs,
    bulk_loading,
    changes,
    clock_rows,
    corrections,
    deferred_rows,
    early_references,
    journal,
    partial_tickets,
    phrase_history,
    phrasebook_rows,
    picture_rows,
    rewording_rows,
    search,
    setting_then,
    state,
    ticket_list,
    upkeep,
)
from ticket.store.additions import NewEntry
from ticket.store.asked import Query
from ticket.store.briefs import Brief
from ticket.store.deferred_rows import Waiting
from ticket.store.driver import damaged, plain_errors
from ticket.store.event_words import in_words
from ticket.store.index_rows import Indexer, IndexRows, JobIndexer, Phrase, VehicleIndexer, VehicleRows, no_job, no_rows
from ticket.store.journal import Event
from ticket.store.overruled_gaps import Overruled, overruled
from ticket.store.past_jobs import PastJobs
from ticket.store.proof.finding import Audit
from ticket.store.proofs import Proofs
from ticket.store.same_vehicle import same_vehicle
from ticket.store.sealing import PLAIN, Signing
from ticket.store.search import FoundTickets
from ticket.store.session import Session
from ticket.store.ticket_list import TicketRow

__all__ = [
    "Audit",
    "Event",
    "FoundTickets",
    "IndexRows",
    "Indexer",
    "NewEntry",
    "Phrase",
    "Query",
    "Store",
    "Ticket",
    "TicketRow",
    "VehicleIndexer",
    "VehicleRows",
]  # fmt: skip


class Store:
    """One shop's tickets. Every method that changes something is one durable action, or raises and changes nothing.

    Besides what each method names, all raise :class:`~ticket.job.errors.StoreError` when the file cannot be used,
    :class:`~ticket.job.errors.NotFoundError` for a ticket or entry that is not there, and
    :class:`~ticket.job.errors.SealedError` for a change to a signed ticket. ``by`` is the name of who does it,
    added to the shop's people when new. A store belongs to the thread that opened it.

    Attributes:
        path: the file.
        sitting: random name of this run; undo is per sitting.
        waiting: the questions about deferred work and how vehicles are driven.
        jobs: the questions about past jobs.
        notices: what a person should be told about the opening, such as where the copy from before an update is.
    """

    PHRASES: ClassVar[int] = phrase_history.MOST
    """How many phrases :meth:`phrases` tells at most."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self.waiting, self.proofs, self.jobs = Waiting(session), Proofs(session), PastJobs(session)
        self.path, self.sitting, self.notices = session.path, session.sitting, session.notices

    @classmethod
    def open(
        cls, path: Path, *, indexer: Indexer, of_vehicle: VehicleIndexer = no_rows, of_job: JobIndexer = no_job,
        now: Callable[[], datetime],
        token_bytes: Callable[[int], bytes] = secrets.token_bytes, create: bool = True, version: str = __version__,
        began: Mapping[str, object] = MappingProxyType({}),
    ) -> Self:  # fmt: skip
        """Open a database, make it where there is none, and bring it up to date where it is older.

        Args:
            path: the file; its folder is made too.
            indexer: computes what makes an entry quick to find.
            of_vehicle: computes what is kept of a vehicle over all its tickets.
            of_job: computes the row kept of a job.
            now: the clock; its times carry a zone.
            token_bytes: where salts and the name of the sitting come from.
            create: whether a missing file is made.
            version: the program's version; the views are remade when it differs.
            began: what the first row of a new file says beside its name, such as that its clock is no real one.
        """
        session = Session.open(
            path, indexer=indexer, of_vehicle=of_vehicle, of_job=of_job, now=now, token_bytes=token_bytes,
            create=create, version=version, began=began,
        )  # fmt: skip
        store = cls(session)
        if session.migrated:
            upkeep.finish_migration(session, version)
        return store

    def look_only(self, looks: bool) -> None:
        """From now on nothing is changed through this opening, or it is again."""
        self._session.looks_only = looks

    def close(self) -> None:
        """Close the file, once or more often."""
        self._session.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    # -- doing -------------------------------------------------------------------------------------------------

    def open_ticket(
        self, header: Header, by: str, *, number: int | None = None, opened: datetime | None = None
    ) -> int:  # fmt: skip
        """Open a ticket and give its number.

        Args:
            header: what is known so far.
            by: who opens it.
            number: what people will type; the next free one where not given.
            opened: when, in the shop's own zone: its calendar day there sorts the ticket. Now where not given.

        Raises:
            ConflictError: the number is taken.
        """
        return additions.open_ticket(self._session, header, by, number=number, opened=opened)

    def add(
        self, number: int, births: Sequence[NewEntry], by: str, held: Sequence[Picture] = ()
    ) -> tuple[Entry, ...]:  # fmt: skip
        """Add entries as one action, with the pictures they name; they get the next numbers.

        Raises:
            NotFoundError: no such ticket.
            SealedError: it is signed.
            InputError: a fact breaks its declaration, a concern is no letter, a picture is not there.
        """
        return additions.add_entries(self._session, number, births, by, held)

    def amend(
        self, number: int, births: Sequence[NewEntry], reason: str, by: str, held: Sequence[Picture] = (),
        signing: Signing = PLAIN,
    ) -> tuple[Entry, ...]:  # fmt: skip
        """Add entries to a signed ticket, openly: they say what they replace and why, and are sealed at once.

        ``signing`` is what is kept with it.

        Raises:
            ConflictError: the ticket is not signed, or an entry to replace is not there.
        """
        return additions.amend_ticket(self._session, number, births, reason, by, held, signing)

    def correct_header(self, number: int, new: Header, reason: str, by: str, signing: Signing = PLAIN) -> Correction:
        """As :func:`ticket.store.corrections.correct_header`."""
        return corrections.correct_header(self._session, number, new, reason, by, signing)

    def sign(
        self, number: int, rev: int, by: str, overruled: Mapping[str, str] | None = None, signing: Signing = PLAIN
    ) -> str:  # fmt: skip
        """Close a ticket for good.

        Args:
            number: the ticket.
            rev: the revision the signer has read.
            by: who signs.
            overruled: reasons by the id of each blocking gap that is overruled.
            signing: what is kept with the signature, and the key that signs its row.

        Returns:
            The seal, ``sequence-hex16``, to print.

        Raises:
            ConflictError: it changed since it was read.
            SealedError: it is signed already.
        """
        return additions.sign_ticket(self._session, number, rev, by, overruled, signing)

    def load(
        self, tickets: Sequence[Ticket], by: str, source: str, held: Sequence[Picture] = ()
    ) -> tuple[int, ...]:  # fmt: skip
        """Take whole tickets in; ``held`` are the pictures their entries name, else as :meth:`take_in`."""
        return self.take_in(bulk_loading.whole_tickets(tickets, held), by, source)

    def take_in(self, arriving: bulk_loading.Arriving, by: str, source: str) -> tuple[int, ...]:
        """Take whole tickets in, all or none, with their numbers; signed ones are sealed again by this shop.

        Args:
            arriving: makes their rows one by one, so that any number of them needs little memory.
            by: who loads them.
            source: where they come from, such as a file name.

        Raises:
            ConflictError: a number is taken, here or twice among the given.
            InputError: a number or a time cannot be stored.
        """
        return bulk_loading.take_in(self._session, arriving, by, source)

    def set_header(self, number: int, new: Header, by: str, *, expected_rev: int | None = None) -> None:
        """Change the header; the journal holds each changed field with what it was.

        Raises:
            ConflictError: ``expected_rev`` is given and the ticket has changed since.
        """
        changes.set_header(self._session, number, new, by, expected_rev=expected_rev)

    def set_status(self, number: int, status: str, by: str) -> None:
        """Say where the ticket stands; signing is :meth:`~ticket.store.store.Store.sign`."""
        changes.set_status(self._session, number, status, by)

    def edit(
        self, number: int, no: int, new: Fact, by: str, *, expected: Fact | None = None, held: Sequence[Picture] = ()
    ) -> Entry:  # fmt: skip
        """Change an entry; only changed fields are written, so two people can change different ones.

        Args:
            number: the ticket.
            no: the entry.
            new: the fact as it should be; of another kind, the whole fact is replaced.
            by: who changes it.
            expected: the fact the change was made from, where another terminal may have changed it since.
            held: the pictures it names, as far as they are not here already.

        Raises:
            ConflictError: somebody changed the same field since, or the entry is struck.
        """
        return changes.edit(self._session, number, no, new, by, expected=expected, held=held)

    def move(self, number: int, no: int, concern: str, by: str) -> None:
        """Put an entry under another concern; it keeps its number."""
        changes.move(self._session, number, no, concern, by)

    def mark_shop_only(self, number: int, no: int, by: str, *, shop_only: bool = True) -> None:
        """Keep an entry from the customer's copy, or let it on again."""
        changes.mark_shop_only(self._session, number, no, by, shop_only=shop_only)

    def strike(self, number: int, no: int, by: str) -> None:
        """Take an entry back; it stays, shown struck. Raises :class:`ConflictError` where it is struck already."""
        changes.strike(self._session, number, no, by)

    def unstrike(self, number: int, no: int, by: str) -> None:
        """Let a struck entry stand again."""
        changes.unstrike(self._session, number, no, by)

    def follow(self, number: int, no: int, what: str, by: str, *, note: str = "", date: str = "") -> None:
        """Record what became of deferred work: ``call``, ``new date``, ``done`` or ``declined``. Allowed after signing.

        Raises:
            InputError: another word, or a new date that is no date.
            ConflictError: the entry is not living deferred work.
        """
        changes.follow(self._session, number, no, what, by, note=note, date=date)

    def undo(self, number: int, by: str) -> str:
        """Take back the newest action of this sitting on this ticket.

        Returns:
            What was taken back, in words.

        Raises:
            ConflictError: there is none, something changed since, or a living entry rests on what would vanish.
        """
        return changes.back_and_forth(self._session, number, by, "undo")

    def redo(self, number: int, by: str) -> str:
        """Do again what was taken back last; open until the sitting's next action on this ticket."""
        return changes.back_and_forth(self._session, number, by, "redo")

    def set_shop(self, key: str, value: str, by: str) -> None:
        """Change a setting of the shop."""
        changes.set_shop(self._session, key, value, by)

    def add_person(self, person: Person, by: str) -> None:
        """Add somebody of the shop, or change their role."""
        changes.add_person(self._session, person, by)

    def reword(self, number: int, new: Rewording, by: str, *, expected: Rewording | None = None) -> Rewording:
        """Keep somebody's own words for one sentence.

        Args:
            number: the ticket.
            new: the words and the sentence they stand in for; who and when are put in here.
            by: who wrote them.
            expected: the rewording of that sentence which the writer has seen, ``None`` where there was none.

        Raises:
            ConflictError: somebody else reworded that sentence since; both wordings are shown.
            SealedError: the ticket is signed.
        """
        return rewording_rows.reword(self._session, number, new, by, expected=expected)

    def unreword(self, number: int, old: Rewording, by: str) -> None:
        """Take a rewording back; the story's own sentence stands again.

        Raises:
            NotFoundError: there is no such rewording, or it was changed since.
            SealedError: the ticket is signed.
        """
        rewording_rows.unreword(self._session, number, old, by)

    def phrasebook(self) -> tuple[BookEntry, ...]:
        """Every entry there ever was, oldest first."""
        return phrasebook_rows.phrasebook(self._session)

    def keep_phrases(
        self, entries: Sequence[BookEntry], by: str, *, instead_of: int = 0
    ) -> tuple[BookEntry, ...]:  # fmt: skip
        """Add entries as one action; one that says what a living entry says already is left out.

        Args:
            entries: new ones; number, who and when are put in here.
            by: who takes them in.
            instead_of: an entry to take back along with it, whose phrase gets another wording.

        Returns:
            The entries that were added.

        Raises:
            ConflictError: a living entry says something else of the same phrase; both wordings are shown.
        """
        return phrasebook_rows.keep_phrases(self._session, entries, by, instead_of=instead_of)

    def look_phrase(self, no: int, new: str, by: str) -> BookEntry:
        """Let an imported entry in (``kept``), or take one back (``back``).

        Raises:
            NotFoundError: the shop's book has no such entry.
            ConflictError: it is taken back already, let in already, or another entry tells its phrase.
        """
        return phrasebook_rows.look_phrase(self._session, no, new, by)

    def picture(self, digest: str) -> Picture:
        """A picture by its digest.

        Raises:
            NotFoundError: it is not here, or its content is not what the digest promises.
        """
        return picture_rows.picture(self._session, digest)

    def picture_named(self, name: str) -> str:
        """The digest that begins so. Raises :class:`NotFoundError` where none does, or several do."""
        return picture_rows.picture_named(self._session, name)

    def refresh_words(self, limit: int = upkeep.BATCH) -> int:
        """Bring the words of up to ``limit`` changed tickets into the word index; how many were brought in.

        Not part of an action: the index now and then merges its pieces, and nobody typing should wait for that.
        """
        return upkeep.refresh_words(self._session, limit)

    def catch_up(self) -> None:
        """Bring the words of all changed tickets into the word index."""
        upkeep.catch_up(self._session)

    def rebuild(self) -> None:
        """Throw away and rebuild all that is derived from the entries: side tables and the word index."""
        upkeep.rebuild(self._session)

    def count_in_new_zone(self) -> None:
        """Keep anew what hangs on the shop's zone: the days of vehicles, and the minutes of clock times."""
        upkeep.count_in_new_zone(self._session)

    def rebuild_vehicles(self) -> None:
        """Keep anew how vehicles are driven and what waits on them."""
        upkeep.rebuild_vehicles(self._session)

    def check_index(self) -> list[str]:
        """Compare what is derived with what the entries say; one sentence per difference, none if all is well."""
        return upkeep.check_index(self._session)

    def backup(self, target: Path) -> None:
        """Write a checked copy while everybody keeps working. It is one file, readable from read-only media.

        Raises:
            InputError: there is a file already, the name may not be used, or it cannot be written.
            StoreError: the copy does not prove itself; nothing is left behind.
        """
        upkeep.backup(self._session, target)

    # -- asking ------------------------------------------------------------------------------------------------

    def identity(self) -> tuple[str, int]:
        """What names this file for good, and the number of its newest action."""
        with self._session.reading() as db:
            return str(db.execute("SELECT value FROM shop WHERE key = 'uid'").fetchone()[0]), journal.head(db)[0]

    def data_version(self) -> int:
        """A number that differs once another connection has written."""
        with plain_errors(self.path):
            return int(self._session.db.execute("PRAGMA data_version").fetchone()[0])

    def ticket(self, number: int) -> Ticket:
        """The whole ticket. Raises :class:`~ticket.job.errors.NotFoundError`.

        What no action touched since it was last read is not read again.
        """
        with self._session.reading() as db:
            known = self._session.known(number, journal.newest(db, [number]).get(number, 0))
        self._session.kept[number] = known
        return known[1]

    def tickets(self, numbers: Iterable[int], damaged: list[DamagedError] | None = None) -> tuple[Ticket, ...]:
        """Whole tickets, in that order; one that no action touched since the last such question is not read again.

        Args:
            numbers: of the tickets.
            damaged: takes what is wrong with tickets that cannot be read, which are left out then.

        Raises:
            NotFoundError: there is no such ticket.
            DamagedError: one cannot be read, and ``damaged`` is not given.
        """
        wanted = list(numbers)
        with self._session.reading() as db:
            newest = journal.newest(db, wanted)
            kept = {}
            for number in wanted:
                try:
                    kept[number] = self._session.known(number, newest.get(number, 0))
                except DamagedError as error:
                    if damaged is None:
                        raise
                    damaged.append(error)
        self._session.kept = kept
        return tuple(kept[number][1] for number in wanted if number in kept)

    def numbers(self, since: date | None = None) -> list[int]:
        """Every ticket's number, rising; or of those changed on a day or later."""
        begun = "" if since is None else instant(datetime.combine(since, time()).astimezone())
        with self._session.reading() as db:
            rows = db.execute("SELECT number FROM ticket WHERE updated >= ? ORDER BY number", [begun])
            return [row[0] for row in rows.fetchall()]

    def rows(self, *, signed: bool | None = None) -> list[ticket_list.TicketRow]:
        """The list of tickets, newest first; only signed or only unsigned ones where asked."""
        with self._session.reading() as db:
            return ticket_list.read_rows(db.conn, signed)

    def people(self) -> tuple[Person, ...]:
        """Who works here, in the order they came."""
        with self._session.reading() as db:
            return tuple(Person(*row) for row in db.execute("SELECT name, role FROM person ORDER BY id").fetchall())

    def settings(self) -> dict[str, str]:
        """The shop's settings by their key, as JSON; bytes that are no UTF-8 show as U+FFFD, which JSON escapes."""
        with self._session.reading() as db:
            rows = db.execute(
                "SELECT CAST(key AS BLOB), CAST(value AS BLOB) FROM shop"
                " WHERE key NOT IN ('uid', 'canon', 'schema') AND key NOT GLOB 'issued *' ORDER BY key"
            )
            return {key.decode("utf-8", "replace"): value.decode("utf-8", "replace") for key, value in rows.fetchall()}

    def of_vehicle(self, number: int) -> tuple[int, ...]:
        """Numbers of the other tickets of the same vehicle, newest first: by identification number, else by plate."""
        with self._session.reading() as db:
            return same_vehicle(db, state.id_of(db, number))

    def visits(self, vin: str = "", plate: str = "") -> tuple[int, ...]:
        """Numbers of the tickets of a vehicle known by number (whole, or its last 8 or 6) or plate, newest first."""
        with self._session.reading() as db:
            return briefs.visits(db, vin, plate)

    def slim(
        self, numbers: Iterable[int], fields: partial_tickets.Fields, damaged: list[DamagedError] | None = None
    ) -> tuple[Ticket, ...]:  # fmt: skip
        """Tickets, newest first, with some fields of some kinds of entries only; for counting.

        ``damaged`` and errors as for :meth:`tickets`.
        """
        with self._session.reading() as db:
            return tuple(partial_tickets.tickets(db, numbers, fields, damaged))

    def briefs(self, numbers: Iterable[int], days: int = briefs.NEVER) -> list[Brief]:
        """Jobs in a few words each, newest first; one comes back within so many days, or somebody said so."""
        with self._session.reading() as db:
            return briefs.briefs(db, numbers, days)

    def history(self, number: int | None = None) -> list[Event]:
        """What was done, oldest first: on one ticket, or everywhere."""
        with self._session.reading() as db:
            where, values = ("1", []) if number is None else ("ticket_id = ?", [state.id_of(db, number)])
            names = state.people(db)
            numbers = dict(db.execute("SELECT id, number FROM ticket").fetchall()) if number is None else {}
            return [
                Event(
                    record.seq, state.moment(record.at), names.get(record.person, ""), record.verb,
                    numbers.get(record.ticket) if number is None else number, in_words(record),
                )
                for record in journal.read(db, where, values)
            ]  # fmt: skip

    def shop_changes(self) -> list[tuple[str, str, datetime]]:
        """Every change of a setting, oldest first: its key, who changed it, and when."""
        with self._session.reading() as db:
            names = state.people(db)
            return [
                (str(record.body["key"]), names.get(record.person, ""), state.moment(record.at))
                for record in journal.read(db, "ticket_id IS NULL AND verb = 'shop.set'")
            ]

    def values_of(self, key: str) -> list[tuple[int, str]]:
        """Every value a setting had, oldest first, each behind the journal row that set it; empty: unset."""
        with self._session.reading() as db:
            return setting_then.values(db, key)

    def overruled(self, number: int) -> tuple[Overruled, ...]:
        """What a ticket was signed in spite of, with the reasons."""
        with self._session.reading() as db:
            return overruled(db, state.id_of(db, number))

    def followed(self, *numbers: int) -> dict[Ref, FollowUp]:
        """The newest word on each piece of deferred work of some tickets that was followed up, by entry and ticket."""
        with self._session.reading() as db:
            return deferred_rows.follow_ups(db, numbers)

    def clocked_between(self, number: int, first: date, last: date) -> tuple[tuple[int, int], ...]:
        """Labour with clock times on other tickets, typed on these days or the ones beside them: ticket and entry."""
        with self._session.reading() as db:
            return tuple(clock_rows.spans_of(db, number, first, last))

    def clock_changes(self, number: int) -> list[clock_rows.Changed]:
        """Clock times that were changed: entry, the first times, the present ones, and who changed them last."""
        with self._session.reading() as db:
            return clock_rows.changes(db, number)

    def typed_ahead(self, number: int, pairs: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
        """Those references of an entry to a later one that were typed before it was there."""
        with self._session.reading() as db:
            return early_references.typed_ahead(db, number, pairs)

    def find(self, query: Query) -> FoundTickets:
        """Tickets that fit everything asked, newest first; the last actions' words are indexed first."""
        try:
            upkeep.catch_up(self._session)
            with self._session.reading() as db:
                return search.find(db, query)
        except StoreError as error:
            if not damaged(error):
                raise
            raise StoreError(
                f"what makes the tickets of {self.path} quick to find is damaged; the tickets themselves may be whole:"
                " run ticket audit, then ticket index --rebuild"
            ) from error

    def phrases(self, kind: str, beginning: str) -> list[Phrase]:
        """What was typed before in such a place and begins so, folded; most used first, :data:`PHRASES` at most."""
        with self._session.reading() as db:
            return phrase_history.beginning(db, kind, fold(beginning))

    def met(self, pieces: Iterable[str], least: int) -> dict[str, tuple[tuple[int, int], ...]]:
        """The phrases among these that stand on so many living entries: the newest of them, as ticket and entry."""
        with self._session.reading() as db:
            return phrase_history.met(db, pieces, least)

    def phrases_beside(self, code: str, sub: str = "") -> list[Phrase]:
        """What was typed on the newest tickets with that code, most often first."""
        with self._session.reading() as db:
            return phrase_history.beside_code(db, code, sub)

    def audit(self, *, deep: bool = False) -> Audit:
        """Prove or disprove that nothing was altered; ``deep`` also proves every seal and looks at all indexes."""
        with plain_errors(self.path):
            of = self._session
            return audit.audit(of.db, of.indexer, of.of_vehicle, of.of_job, deep=deep)
