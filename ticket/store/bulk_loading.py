"""Many tickets taken in at once: each has its row of the journal, and rows are written by the hundred."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from ticket.job.codec import instant
from ticket.job.picture import Picture
from ticket.job.progress import counted
from ticket.job.ticket import Ticket
from ticket.store import clock_back, derived_rows, journal, kept_jobs, picture_rows, state
from ticket.store.additions import free_number, last_key, next_key
from ticket.store.arrivals import AMEND, DATA, PERSON, SEED, Arrival, Making, arrival, filled
from ticket.store.canonical import row_hash, seal_text
from ticket.store.index_rows import JOB_SETTING
from ticket.store.session import Session
from ticket.store.setting_then import text_now, zone_now

_AT_ONCE = 500  # tickets in memory
_VERB = "shop.load"
_CLOSING = ("status", "closed", "signed_by", "seal")
_UNSIGNED: dict[str, Any] = {"status": "open", "closed": None, "signed_by": None, "seal": ""}


Arriving = Callable[[Making, Callable[[], bytes]], Iterable[Arrival]]
"""Makes the rows of tickets with what is at hand for all of them and a seed for each."""


def take_in(session: Session, arriving: Arriving, by: str, source: str) -> tuple[int, ...]:
    """Take tickets in, all or none, with their numbers; signed ones are sealed again by this shop.

    Those that come signed are priced by the list of today.

    Raises:
        ConflictError: a number is taken, here or twice among them.
    """
    with session.writing() as db:
        now = session.now()
        made_with = Making(
            by=by, source=source, at=now, late=bool(clock_back.behind(db, instant(now))),
            prices=text_now(db, JOB_SETTING), zone=zone_now(db), indexer=session.indexer, of_job=session.of_job,
        )  # fmt: skip
        loading = _Loading(session, made_with)
        for one in arriving(made_with, lambda: session.token_bytes(SEED)):
            loading.take(one)
        loading.end()
    return tuple(loading.numbers)


def whole_tickets(tickets: Sequence[Ticket], held: Sequence[Picture]) -> Arriving:
    """Tickets of the job model that arrive; ``held`` are the pictures their entries name."""

    def arriving(made_with: Making, seed: Callable[[], bytes]) -> Iterator[Arrival]:
        for i, ticket in enumerate(counted(tickets, "load", len(tickets))):
            yield arrival(ticket, made_with, seed(), () if i else held)

    return arriving


class _Loading:
    """One load inside one action: nothing of it is there before :meth:`end`."""

    def __init__(self, session: Session, made_with: Making) -> None:
        self._session, self._db = session, session.db
        self._at = instant(made_with.at)
        self._person = session.person(made_with.by, at=self._at)
        self._staff: dict[str, int] = {}
        self._waiting: list[tuple[int, Arrival]] = []
        self._last: dict[int, int] = {}
        self._keys: list[int] = []
        self._identity = int(self._db.execute("SELECT coalesce(max(id), 0) FROM identity").fetchone()[0])
        self.numbers: dict[int, None] = {}

    def take(self, one: Arrival) -> None:
        """Take a ticket; its rows follow with those of others."""
        picture_rows.keep(self._db, one.pictures)
        picture_rows.check_named(self._db, one.named)
        free_number(self._session, one.number, self.numbers)
        for name in one.staff:
            if name not in self._staff:
                self._staff[name] = self._session.person(name, at=self._at)
        last = self._last.get(one.first)
        key = next_key(one.first, last_key(self._session, one.first) if last is None else last)
        self._last[one.first] = key
        self._waiting.append((key, one))
        self._keys.append(key)
        self.numbers[one.number] = None
        if len(self._waiting) == _AT_ONCE:
            self._write()

    def end(self) -> None:
        """Write what waits, and what hangs on several tickets."""
        self._write()
        kept_jobs.link(self._db, kept_jobs.group(self._db, self._keys))
        self._session.touch_vehicles(self._keys)

    def _write(self) -> None:
        """Identities first, then the journal, then the tickets, unsigned, and what closes them."""
        identities: list[tuple[Any, ...]] = []
        rows: list[tuple[Any, ...]] = []
        tickets: list[dict[str, Any]] = []
        entries: list[tuple[Any, ...]] = []
        wordings: list[tuple[Any, ...]] = []
        corrections: list[tuple[Any, ...]] = []
        seq, previous = journal.head(self._db)
        for key, one in self._waiting:
            ids = {-1 - i: self._staff[name] for i, name in enumerate(one.staff)}
            for i, cells in enumerate(one.identities):
                self._identity += 1
                ids[i] = self._identity
                identities.append((self._identity, *cells))
            seq += 1
            row, previous = self._journal_row(seq, previous, key, one, ids)
            rows.append(row)
            signer = one.ticket["signed_by"]
            tickets.append(
                one.ticket
                | {
                    "id": key, "header": filled(one.ticket["header"], ids),
                    "signed_by": ids[int(signer[1:])] if signer else None,
                    "seal": seal_text(seq, previous) if one.ticket["status"] == "signed" else "",
                }
            )  # fmt: skip
            entries += ((key, *cells) for cells in _entry_rows(one, ids, seq))
            wordings += ((key, slot, filled(data, ids)) for slot, data in one.wordings)
            corrections += ((key, no, filled(data, ids)) for no, data in one.corrections)
        many = self._db.conn.executemany
        many("INSERT INTO identity(id, part, salt, value, promise) VALUES(?, ?, ?, ?, ?)", identities)
        many(journal.INSERT, rows)
        many(state.INSERT_TICKET, [tuple((row | _UNSIGNED).values()) for row in tickets])
        many(state.INSERT_ENTRY, entries)
        many("INSERT INTO rewording(ticket_id, slot, data) VALUES(?, ?, ?)", wordings)
        many("INSERT INTO correction(ticket_id, no, data) VALUES(?, ?, ?)", corrections)
        many(
            f"UPDATE ticket SET {', '.join(f'{name} = ?' for name in _CLOSING)} WHERE id = ?",  # noqa: S608
            [(*(row[name] for name in _CLOSING), row["id"]) for row in tickets if row["status"] != "open"],
        )
        derived_rows.write(self._db, {key: one.rows for key, one in self._waiting})
        self._waiting = []

    def _journal_row(
        self, seq: int, previous: bytes, key: int, one: Arrival, ids: dict[int, int]
    ) -> tuple[tuple[Any, ...], bytes]:  # fmt: skip
        body, sitting = filled(one.body, ids), self._session.sitting
        digest = row_hash(
            previous, seq, self._at.encode(), self._person, sitting.encode(), key, _VERB.encode(), None, body.encode(),
            one.promise,
        )  # fmt: skip
        return (
            (seq, self._at, self._person, sitting, key, _VERB, None, body, one.words, one.promise, digest), digest
        )  # fmt: skip


def _entry_rows(one: Arrival, ids: dict[int, int], seq: int) -> Iterator[list[Any]]:
    for cells in one.entries:
        row = list(cells)
        row[PERSON] = ids[int(row[PERSON][1:])]
        row[AMEND] = None if row[AMEND] is None else seq
        row[DATA] = filled(row[DATA], ids)
        yield row
