"""One connection with its lock: transactions, people, identities, and the one way an action is written."""

import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlite_utils import Database

from ticket.job.codec import Json, instant
from ticket.job.entry import Entry
from ticket.job.errors import InputError, NoShopError, StoreError
from ticket.job.roles import OWNER
from ticket.job.text import clean
from ticket.job.ticket import Ticket
from ticket.store import clock_back, driver, index, journal, kept_jobs, sealing, signed_heads, state, vehicles
from ticket.store.canonical import CANON, promise
from ticket.store.derived import assembled
from ticket.store.driver import is_shop, plain_errors
from ticket.store.erasable import Words, salted
from ticket.store.file_modes import file_id, make_file, make_folder, set_right
from ticket.store.index_rows import Indexer, JobIndexer, VehicleIndexer
from ticket.store.journal import Record, TokenBytes
from ticket.store.lock import FileLock
from ticket.store.migrate import migrate
from ticket.store.sealing import PLAIN, Signing
from ticket.store.signed_heads import Signer
from ticket.store.state import TicketState, Touched
from ticket.store.table_version import newest
from ticket.store.transition import CORRECTED, apply_row
from ticket.store.views import remake_views

LOOKS_ONLY = "Nothing was written: an auditor looks at this shop and changes nothing in it."


class Session:
    """An open database. One per thread; any number per process and machine.

    Attributes:
        path: the file.
        sitting: random name of this run; undo is per sitting.
        migrated: the tables were brought to a newer version at this opening.
        db: the connection.
        token_bytes: where salts come from.
        now: the clock.
        indexer: computes what makes an entry quick to find.
        of_job: computes the row kept of a job.
        looks_only: nothing is changed: what is shown was masked, and must not come back as it was shown.
        own_key: finds the key of this login that signed for the shop before.
        kept: tickets that were asked for together, each with its newest journal row.
        notices: what a person should be told about the opening, such as where the copy from before an update is.
    """

    def __init__(
        self, path: Path, db: Database, lock: FileLock, *, indexer: Indexer, of_vehicle: VehicleIndexer,
        of_job: JobIndexer, now: Callable[[], datetime], token_bytes: TokenBytes, notices: tuple[str, ...],
    ) -> None:  # fmt: skip
        self.path = path
        self.sitting = token_bytes(8).hex()
        self.notices = notices
        self.db = db
        self._lock = lock
        self.indexer = indexer
        self.of_vehicle = of_vehicle
        self.of_job = of_job
        self._stale: set[int] = set()  # tickets of this action whose vehicles are kept anew at its end
        self._left: set[str] = set()  # vehicles one of them was of before
        self._staff: dict[str, int] = {}  # whom this action looked up already
        self._made: dict[int, tuple[int, Ticket]] = {}  # tickets as this action leaves them
        self.now = now
        self.token_bytes = token_bytes
        self._closed = False
        self.looks_only = False
        self.own_key: Callable[[], Signer | None] = _no_key
        self._file = file_id(path)
        self.kept: dict[int, tuple[int, Ticket]] = {}
        self.migrated = False

    @classmethod
    def open(
        cls, path: Path, *, indexer: Indexer, of_vehicle: VehicleIndexer, of_job: JobIndexer,
        now: Callable[[], datetime], token_bytes: TokenBytes, create: bool, version: str, began: Mapping[str, object],
    ) -> Self:  # fmt: skip
        """Open a database; arguments as for :meth:`ticket.store.store.Store.open`."""
        driver.check_version()
        fresh = not driver.is_there(path)
        if not create and not is_shop(path):
            raise NoShopError(path)
        try:
            make_folder(path.parent)
        except (OSError, ValueError) as error:
            why = (getattr(error, "strerror", None) or str(error)).lower()
            raise StoreError(f"{path} cannot be made: {why} ({path.parent})") from error
        lock = FileLock(path)
        try:
            with lock, plain_errors(path):
                if fresh:
                    _make(path)
                right = set_right(path)
                connection = driver.connect(path)
                try:
                    before = migrate(connection, path)
                    db = Database(connection, execute_plugins=False)
                    updated = f"{path} was brought up to date; it is kept as it was in {before}" if before else ""
                    notices = tuple(notice for notice in (right, updated) if notice)
                    session = cls(
                        path, db, lock, indexer=indexer, of_vehicle=of_vehicle, of_job=of_job, now=now,
                        token_bytes=token_bytes, notices=notices,
                    )  # fmt: skip
                    session._begin(version, began)
                except BaseException:
                    connection.close()
                    if fresh:
                        remove_new(path)
                    raise
                return session
        except BaseException:
            lock.close()
            raise

    def _begin(self, version: str, began: Mapping[str, object]) -> None:
        """What a new or migrated database still lacks. The caller holds the lock."""
        with self._transaction() as db:
            known = dict(db.execute("SELECT key, value FROM shop WHERE key = 'schema'").fetchall())
            schema = str(newest())
            if not known:
                uid = self.token_bytes(16).hex()
                body: Json = {**began, "uid": uid, "canon": CANON, "version": version, "schema": schema}
                self.append("shop.start", body)
                for key in ("uid", "canon", "schema"):
                    db.execute("INSERT INTO shop VALUES(?, ?)", [key, body[key]])
            elif known["schema"] != schema:
                self.migrated = True  # journaled together with what is made anew, so that no cut leaves it half done
            remake_views(db, version)

    def note_migration(self, version: str) -> bool:
        """Journal, within an action, that the tables are of a newer version now; whether nobody did so meanwhile."""
        (found,) = self.db.execute("SELECT value FROM shop WHERE key = 'schema'").fetchone()
        schema = str(newest())
        if found == schema:
            return False
        self.append("shop.migrate", {"from": found, "to": schema, "version": version})
        self.db.execute("UPDATE shop SET value = ? WHERE key = 'schema'", [schema])
        return True

    def close(self) -> None:
        """Close the file, once or more often. The last one out folds the write-ahead log in, under the lock."""
        if self._closed:
            return
        self._closed = True
        try:
            with plain_errors(self.path):
                try:
                    with self._lock:
                        self.db.close()
                except StoreError:
                    self.db.close()  # who holds the lock has the file open, so this is not the last close
        finally:
            self._lock.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    @contextmanager
    def reading(self) -> Iterator[Database]:
        """Several reads that see one moment: their own, or that of the action they are part of."""
        with plain_errors(self.path):
            if self.db.conn.in_transaction:
                yield self.db
                return
            self.db.execute("BEGIN")
            try:
                yield self.db
            finally:
                self.db.rollback()

    @contextmanager
    def writing(self, *, of_looks: bool = False) -> Iterator[Database]:
        """All or nothing, one at a time; ``of_looks`` for what is written though somebody may only look.

        Raises:
            InputError: whoever opened it may only look.
        """
        if self.looks_only and not of_looks:
            raise InputError(LOOKS_ONLY)
        with plain_errors(self.path), self._lock:
            if file_id(self.path) != self._file:
                raise StoreError(
                    f"{self.path} is gone or another file by now: nothing was written; open the shop again"
                )
            self._stale, self._left, self._staff, self._made = set(), set(), {}, {}
            with self._transaction() as db:
                yield db
                if self._stale or self._left:
                    now_of = vehicles.vehicles_of(db, self._stale)
                    vehicles.keep(db, now_of | self._left, self._stale, self.of_vehicle)
            self.kept |= self._made  # only now: what is rolled back gives its row's number to somebody else

    @contextmanager
    def _transaction(self) -> Iterator[Database]:
        self.db.execute("BEGIN IMMEDIATE")
        try:
            yield self.db
            self.db.execute("COMMIT")
        except BaseException:
            self.db.rollback()
            raise

    def moment(self) -> str:
        """Now, as it is stored."""
        return instant(self.now())

    def append(
        self, verb: str, body: Json, *, person: int = 0, ticket: int | None = None, of: int | None = None, at: str = "",
    ) -> Record:  # fmt: skip
        """Write a row of the journal; one whose clock is behind says so."""
        at = at or self.moment()
        body = body | clock_back.BACK if clock_back.behind(self.db, at) else body
        return journal.append(
            self.db, at=at, person=person, sitting=self.sitting, ticket=ticket, verb=verb, body=body,
            of=of, token_bytes=self.token_bytes,
        )  # fmt: skip

    def append_signed(self, verb: str, body: Json, *, person: int = 0, ticket: int | None = None) -> Record:
        """Write a row that this login's key signs, where it has one that signed for the shop before."""
        own = self.own_key()
        record = self.append(verb, body | ({"key": own.id} if own else {}), person=person, ticket=ticket)
        if own is not None:
            self.sign_row(record.seq, own)
        return record

    def act(
        self, now_state: TicketState | None, verb: str, body: Json, by: str, *, ticket: int | None = None,
        of: int | None = None, sealed: bool = False, signing: Signing = PLAIN,
    ) -> tuple[TicketState, Record]:  # fmt: skip
        """Write one action: its journal row, what it changes, and what makes that quick to find."""
        ticket = now_state.id if now_state else ticket
        person, at = self.person(by), self.moment()
        if (signer := signing.signer) is not None:
            self._know_key(signer, person, by, signing.who)
            body = body | {"key": signer.id}
        if sealed and now_state is not None:
            body = self._sealed_body(now_state, verb, body | {"by": by, "who": signing.who}, person, at, signing)
        known = {} if now_state is None else self._known_entries(now_state)
        record = self.append(verb, body, person=person, ticket=ticket, of=of, at=at)
        if signer is not None:
            self.sign_row(record.seq, signer)
        moves = _moves(verb, body) and now_state is not None
        if moves and now_state is not None:
            self._left |= vehicles.vehicles_of(self.db, [now_state.id])
        after, touched = apply_row(now_state, record)
        if moves or verb in _ALWAYS or _concerns_vehicle(after, touched):
            self._stale.add(after.id)
        state.save(self.db, after, touched, fresh=now_state is None)
        still = {no: known[no] for no in known.keys() - touched.born - touched.changed}
        ticket_now = assembled(self.db, after, still)
        if verb != "sign":
            index.write_side_rows(
                self.db, ticket_now, after, index.affected(after, touched), self.indexer, fresh=touched.born
            )
        kept_jobs.keep_one(self.db, after.id, ticket_now, self.of_job)
        self._made[ticket_now.number] = record.seq, ticket_now
        return after, record

    def _sealed_body(
        self, now_state: TicketState, verb: str, body: Json, person: int, at: str, signing: Signing
    ) -> Json:  # fmt: skip
        """What a row that signs or amends holds beside what it does; a clock that is behind needs its reason."""
        if not signing.clock:
            clock_back.refuse(self.db, at)
        elif clock_back.behind(self.db, at):
            body = body | {"clock_why": Words(clean(signing.clock))}
        return sealing.sealed(
            self.db, now_state, verb, salted(body, self.token_bytes), person=person, at=at, sitting=self.sitting,
            keeper=signing.keeper, salts=self.token_bytes,
        )  # fmt: skip

    def _known_entries(self, of: TicketState) -> dict[int, Entry]:
        """The entries of a ticket by their numbers, where nobody wrote to it since they were read."""
        seq, ticket = self.kept.get(of.number, (0, None))
        if ticket is None or journal.newest(self.db, [of.number]).get(of.number) != seq:
            return {}
        return {entry.no: entry for entry in ticket.entries}

    def _know_key(self, signer: Signer, person: int, by: str, who: str) -> None:
        """Journal the public half of a key before its first signature; an owner's PIN vouches for it."""
        known = signed_heads.public_keys(self.db)
        if signer.id not in known:
            role = self.db.execute("SELECT role FROM person WHERE id = ?", [person]).fetchone()[0]
            vouched = {"pin": by} if who == sealing.ASKED and role == OWNER else None
            self.know_key(signer, person, by, "added" if known else "first", vouched)

    def know_key(self, signer: Signer, person: int, by: str, how: str, vouched: Json | None) -> None:
        """Journal the public half of a key: ``how`` it came, and who or what vouches for it."""
        body = {"id": signer.id, "public": signer.public, "login": signer.login, "for": by}
        self.append(signed_heads.KEY, body | {"how": how, "vouched": vouched}, person=person)

    def sign_row(self, seq: int, signer: Signer) -> None:
        """Sign a row that was just written; it cannot hold its own signature."""
        head = signed_heads.head_of(self.db, seq)
        if head is not None:
            sig = signer.sign(head.signed)
            self.db.execute("INSERT INTO signature(seq, key, sig) VALUES(?, ?, ?)", [seq, signer.id, sig])

    def touch_vehicles(self, tickets: Iterable[int]) -> None:
        """At the end of this action, keep anew what is kept of the vehicles of some tickets."""
        self._stale.update(tickets)

    def leave_vehicle(self, ticket: int) -> None:
        """At the end of this action, keep anew what is kept of the vehicle a ticket is of, and of the one it was of."""
        self._left |= vehicles.vehicles_of(self.db, [ticket])
        self._stale.add(ticket)

    def compact(self) -> None:
        """Write the file anew without what was freed, and fold the log in."""
        with plain_errors(self.path), self._lock:
            self.db.execute("VACUUM")
            self.db.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()

    def known(self, number: int, newest: int) -> tuple[int, Ticket]:
        """A ticket with its newest row of the journal, kept from before where that is still the newest."""
        known = self.kept.get(number)
        if known is None or known[0] != newest:
            known = newest, self.assembled(state.load(self.db, number))
        return known

    def assembled(self, of: TicketState) -> Ticket:
        """The ticket of the job model that some rows stand for."""
        return assembled(self.db, of)

    def identify(self, part: str, value: str) -> Json:
        """Put a customer's value into its own row."""
        salt = self.token_bytes(16)
        kept = promise(salt, value.encode()).hex()
        cursor = self.db.execute(
            "INSERT INTO identity(part, salt, value, promise) VALUES(?, ?, ?, ?)", [part, salt, value, kept]
        )
        return {"identity": cursor.lastrowid, "promise": kept}

    def person(self, name: str, role: str | None = None, at: str = "") -> int:
        """The id of somebody of the shop, who is added when new, at a moment. ``role`` changes what the person is."""
        name = clean(name).strip()
        if not name:
            raise InputError("say who is doing this: the name is empty")
        if role is None and name in self._staff:
            return self._staff[name]
        row = self.db.execute("SELECT id, role FROM person WHERE name = ?", [name]).fetchone()
        if row and role in (None, row[1]):
            self._staff[name] = int(row[0])
            return int(row[0])
        role = role or "technician"
        number = row[0] if row else self.db.execute("SELECT coalesce(max(id), 0) + 1 FROM person").fetchone()[0]
        self.append("shop.person", {"id": number, "name": name, "role": role}, person=number, at=at)
        if row:
            self.db.execute("UPDATE person SET role = ? WHERE id = ?", [role, number])
        else:
            self.db.execute("INSERT INTO person VALUES(?, ?, ?)", [number, name, role])
        return int(number)


# Verbs that may give a ticket to another vehicle, and those that change what is kept of a vehicle whatever they touch.
_MOVING = ("ticket.set", "undo", "redo")
_ALWAYS = ("ticket.open", "shop.load", "sign", "follow")
_TELLING = ("did", "offer", "told", "proof")  # kinds that speak of deferred work by its number


def _moves(verb: str, body: Json) -> bool:
    """Whether an action may give a ticket to another vehicle."""
    return verb in _MOVING or CORRECTED in body


def _concerns_vehicle(after: TicketState, touched: Touched) -> bool:
    """Whether an action may change what waits on the vehicle: it put work off, or speaks of other entries."""
    for no in touched.born | touched.changed | touched.followed:
        entry = after.entries[no]
        if entry.kind == "later" or entry.replaces:
            return True
        if entry.kind in _TELLING and any(entry.data.get(name) for name in ("refs", "of", "answers")):
            return True
    return bool(touched.changed)


def _no_key() -> None:
    """Nobody told how keys are found."""


def _make(path: Path) -> None:
    """An empty file, unless another terminal made one while this one waited for the lock."""
    try:
        os.close(make_file(path))
    except FileExistsError:
        if not path.exists():
            raise StoreError(f"{path} is a link that leads nowhere: name the file itself") from None
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or str(error)).lower()
        raise StoreError(f"{path} cannot be made: {why}") from error


def remove_new(path: Path) -> None:
    """Take away a new file whose making or filling failed, so that nothing half-made is found next time."""
    for ending in ("", "-wal", "-shm"):
        path.with_name(path.name + ending).unlink(missing_ok=True)
