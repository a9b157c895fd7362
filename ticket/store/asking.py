"""Everything that only reads."""

from collections.abc import Iterable
from datetime import date, datetime

from ticket.job.errors import DamagedError, StoreError
from ticket.job.text import fold
from ticket.job.ticket import Person, Ticket
from ticket.store import briefs, clocks, due, journal, light, phrases, search, slim, state
from ticket.store.audit import audit
from ticket.store.briefs import Brief
from ticket.store.describe import told
from ticket.store.driver import damaged, plain_errors
from ticket.store.due import DueRow, FollowUp
from ticket.store.indexing import Phrase
from ticket.store.journal import Event
from ticket.store.keeping import Keeping
from ticket.store.overruled import Overruled, overruled
from ticket.store.proof.finding import Audit
from ticket.store.search import Found, Query


class Asking(Keeping):
    """The questions one may put to the shop's record."""

    def data_version(self) -> int:
        """A number that differs once another connection has written."""
        with plain_errors(self.path):
            return int(self._db.execute("PRAGMA data_version").fetchone()[0])

    def ticket(self, number: int) -> Ticket:
        """The whole ticket. Raises :class:`~ticket.job.errors.NotFoundError`."""
        with self._reading() as db:
            return self._assembled(state.load(db, number))

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
        with self._reading() as db:
            newest = journal.newest(db, wanted)
            kept = {}
            for number in wanted:
                known = self._kept.get(number)
                try:
                    if known is None or known[0] != newest.get(number):
                        known = newest.get(number, 0), self._assembled(state.load(db, number))
                    kept[number] = known
                except DamagedError as error:
                    if damaged is None:
                        raise
                    damaged.append(error)
        self._kept = kept
        return tuple(kept[number][1] for number in wanted if number in kept)

    def numbers(self) -> list[int]:
        """Every ticket's number, rising."""
        with self._reading() as db:
            return [row[0] for row in db.execute("SELECT number FROM ticket ORDER BY number").fetchall()]

    def rows(self, *, signed: bool | None = None) -> list[light.TicketRow]:
        """The list of tickets, newest first; only signed or only unsigned ones where asked."""
        with self._reading() as db:
            return light.read_rows(db.conn, signed)

    def people(self) -> tuple[Person, ...]:
        """Who works here, in the order they came."""
        with self._reading() as db:
            return tuple(Person(*row) for row in db.execute("SELECT name, role FROM person ORDER BY id").fetchall())

    def settings(self) -> dict[str, str]:
        """The shop's settings by their key, as JSON; bytes that are no UTF-8 show as U+FFFD, which JSON escapes."""
        with self._reading() as db:
            rows = db.execute(
                "SELECT CAST(key AS BLOB), CAST(value AS BLOB) FROM shop"
                " WHERE key NOT IN ('uid', 'canon', 'schema') ORDER BY key"
            )
            return {key.decode("utf-8", "replace"): value.decode("utf-8", "replace") for key, value in rows.fetchall()}

    def of_vehicle(self, number: int) -> tuple[int, ...]:
        """Numbers of the other tickets of the same vehicle, newest first: by identification number, else by plate."""
        with self._reading() as db:
            return search.same_vehicle(db, state.id_of(db, number))

    def visits(self, vin: str = "", plate: str = "") -> tuple[int, ...]:
        """Numbers of the tickets of a vehicle known by number (whole, or its last 8 or 6) or plate, newest first."""
        with self._reading() as db:
            return briefs.visits(db, vin, plate)

    def of_vehicles(self, numbers: Iterable[int]) -> set[int]:
        """Numbers of every ticket of the vehicles of some tickets, those tickets among them."""
        with self._reading() as db:
            return briefs.of_vehicles(db, numbers)

    def with_code(self, code: str, sub: str = "") -> tuple[int, ...]:
        """Numbers of all tickets with a fault code, or with that very sub-code, newest first."""
        with self._reading() as db:
            return slim.of_code(db, code, sub)

    def slim(
        self, numbers: Iterable[int], fields: slim.Fields, damaged: list[DamagedError] | None = None
    ) -> tuple[Ticket, ...]:  # fmt: skip
        """Tickets, newest first, with some fields of some kinds of entries only; for counting.

        ``damaged`` and errors as for :meth:`tickets`.
        """
        with self._reading() as db:
            return tuple(slim.tickets(db, numbers, fields, damaged))

    def briefs(self, numbers: Iterable[int]) -> list[Brief]:
        """Jobs in a few words each, newest first; much cheaper than their tickets."""
        with self._reading() as db:
            return briefs.briefs(db, numbers)

    def history(self, number: int | None = None) -> list[Event]:
        """What was done, oldest first: on one ticket, or everywhere."""
        with self._reading() as db:
            where, values = ("1", []) if number is None else ("ticket_id = ?", [state.id_of(db, number)])
            names = state.people(db)
            numbers = dict(db.execute("SELECT id, number FROM ticket").fetchall()) if number is None else {}
            return [
                Event(
                    record.seq, state.moment(record.at), names.get(record.person, ""), record.verb,
                    numbers.get(record.ticket) if number is None else number, told(record),
                )
                for record in journal.read(db, where, values)
            ]  # fmt: skip

    def shop_changes(self) -> list[tuple[str, str, datetime]]:
        """Every change of a setting, oldest first: its key, who changed it, and when."""
        with self._reading() as db:
            names = state.people(db)
            return [
                (str(record.body["key"]), names.get(record.person, ""), state.moment(record.at))
                for record in journal.read(db, "ticket_id IS NULL AND verb = 'shop.set'")
            ]

    def values_of(self, key: str) -> list[tuple[int, str]]:
        """Every value a setting had, oldest first, each behind the journal row that set it; empty: unset."""
        with self._reading() as db:
            rows = db.execute(
                "SELECT seq, coalesce(json_extract(body, '$.new'), '') FROM journal"
                " WHERE ticket_id IS NULL AND verb = 'shop.set' AND json_extract(body, '$.key') = ? ORDER BY seq",
                [key],
            )
            return [(row[0], row[1]) for row in rows.fetchall()]

    def signing_rows(self, number: int | None = None) -> dict[int, int]:
        """For each signed ticket, or one of them, the journal row that signed it or took it in signed."""
        where, values = ("", []) if number is None else (" AND t.number = ?", [number])
        with self._reading() as db:
            rows = db.execute(
                "SELECT t.number, min(j.seq) FROM ticket AS t JOIN journal AS j ON j.ticket_id = t.id"  # noqa: S608
                f" WHERE t.status = 'signed' AND j.verb IN ('sign', 'shop.load'){where} GROUP BY t.number",
                values,
            )
            return {row[0]: row[1] for row in rows.fetchall()}

    def overruled(self, number: int) -> tuple[Overruled, ...]:
        """What a ticket was signed in spite of, with the reasons."""
        with self._reading() as db:
            return overruled(db, state.id_of(db, number))

    def followed(self, number: int) -> tuple[FollowUp, ...]:
        """The newest word on each piece of deferred work of a ticket that was followed up."""
        with self._reading() as db:
            return due.follow_ups(db, number)

    def due(self, numbers: Iterable[int] | None = None) -> list[DueRow]:
        """Deferred work that still waits, soonest date first; on some tickets only, where numbers are given."""
        with self._reading() as db:
            return due.open_items(db, numbers)

    def clocked_between(self, number: int, first: date, last: date) -> tuple[tuple[int, int], ...]:
        """Labour with clock times on other tickets, typed on these days or the ones beside them: ticket and entry."""
        with self._reading() as db:
            return tuple(clocks.spans_of(db, number, first, last))

    def worked_between(self, first: date | None, last: date | None) -> tuple[int, ...]:
        """Tickets with labour typed on these days or the ones beside them; no bound for ``None``."""
        with self._reading() as db:
            return clocks.worked(db, first, last)

    def clock_changes(self, number: int) -> list[tuple[int, tuple[clocks.Span, ...], tuple[clocks.Span, ...], str]]:
        """Clock times that were changed: entry, the first times, the present ones, and who changed them last."""
        with self._reading() as db:
            return clocks.changes(db, number)

    def find(self, query: Query) -> Found:
        """Tickets that fit everything asked, newest first; the last actions' words are indexed first."""
        try:
            while self.refresh_words():
                pass
            with self._reading() as db:
                return search.find(db, query)
        except StoreError as error:
            if not damaged(error):
                raise
            raise StoreError(
                f"what makes the tickets of {self.path} quick to find is damaged; the tickets themselves may be whole:"
                " run ticket audit, then ticket index --rebuild"
            ) from error

    def phrases(self, kind: str, beginning: str) -> list[Phrase]:
        """What was typed before in such a place and begins so, folded; most used first, a dozen at most."""
        with self._reading() as db:
            return phrases.beginning(db, kind, fold(beginning))

    def met(self, pieces: Iterable[str], least: int) -> dict[str, tuple[tuple[int, int], ...]]:
        """The phrases among these that stand on so many living entries: the newest of them, as ticket and entry."""
        found: dict[str, tuple[tuple[int, int], ...]] = {}
        with self._reading() as db:
            for piece in dict.fromkeys(pieces):
                rows = db.execute(
                    "SELECT t.number, p.no FROM (SELECT ticket_id, no FROM entry_piece WHERE piece = ?"
                    " GROUP BY ticket_id, no ORDER BY ticket_id DESC, no DESC LIMIT ?) AS p"
                    " JOIN ticket AS t ON t.id = p.ticket_id ORDER BY t.id DESC, p.no DESC",
                    [piece, least],
                ).fetchall()
                if len(rows) == least:
                    found[piece] = tuple((number, no) for number, no in rows)
        return found

    def phrases_beside(self, code: str, sub: str = "") -> list[Phrase]:
        """What was typed on the newest tickets with that code, most often first."""
        with self._reading() as db:
            return phrases.beside_code(db, code, sub)

    def audit(self, *, deep: bool = False) -> Audit:
        """Prove or disprove that nothing was altered; ``deep`` also proves every seal and looks at all indexes."""
        with plain_errors(self.path):
            return audit(self._db, self._indexer, deep=deep)
