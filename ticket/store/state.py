"""A ticket as rows: what an action changes, what the tables hold, what a replay of the journal arrives at."""

import json
from collections.abc import Container, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, fields
from datetime import datetime
from operator import attrgetter
from typing import Any

from sqlite_utils import Database

from ticket.job.codec import Json, decode, read_instant
from ticket.job.entry import Entry
from ticket.job.errors import DamagedError, DataError, NotFoundError
from ticket.job.reworded_sentence import Rewording
from ticket.job.ticket import Elsewhere, Ticket
from ticket.store import driver
from ticket.store.canonical import canonical_text
from ticket.store.erasable import MASK
from ticket.store.stored_values import Reveal, reveal_correction, reveal_fact, reveal_header


@dataclass(slots=True)
class EntryState:
    """One row of ``entry``; field names are its columns, ``data`` is parsed."""

    no: int
    kind: str
    person_id: int
    at: str
    data: Json
    concern: str = ""
    shop_only: bool = False
    struck: bool = False
    replaces: int | None = None
    amend: int | None = None
    reason: str = ""
    masked: int = 0


@dataclass(slots=True)
class TicketState:
    """One row of ``ticket`` with its rows of ``entry``, ``follow``, ``rewording`` and ``correction``."""

    id: int
    number: int
    opened: str
    updated: str
    header: Json
    status: str = "open"
    closed: str | None = None
    signed_by: int | None = None
    seal: str = ""
    rev: int = 1
    masked: int = 0
    was_seal: str = ""
    was_fits: str = ""
    was_proof: str = ""
    entries: dict[int, EntryState] = field(default_factory=dict)
    follows: dict[int, Json] = field(default_factory=dict)
    wordings: dict[int, Json] = field(default_factory=dict)
    corrections: dict[int, Json] = field(default_factory=dict)

    def values(self, but: Container[int] = ()) -> list[object]:
        """Everything stored of it that may point at a customer's value, some entries left out."""
        entries = (entry.data for no, entry in self.entries.items() if no not in but)
        return [self.header, *self.corrections.values(), *entries]

    @property
    def signed(self) -> bool:
        """Whether only amendments may be added."""
        return self.status == "signed"


@dataclass(slots=True)
class Touched:
    """Which entries an action gave birth to, changed, or followed up; which slots of rewordings, which corrections."""

    born: set[int] = field(default_factory=set)
    changed: set[int] = field(default_factory=set)
    followed: set[int] = field(default_factory=set)
    reworded: set[int] = field(default_factory=set)
    corrected: set[int] = field(default_factory=set)


ENTRY = tuple(item.name for item in fields(EntryState))
_BESIDE = ("entries", "follows", "wordings", "corrections")  # rows of their own
TICKET = tuple(item.name for item in fields(TicketState) if item.name not in _BESIDE)
_FLAGS = ("shop_only", "struck")
INSERT_TICKET = f"INSERT INTO ticket({', '.join(TICKET)}) VALUES({', '.join('?' * len(TICKET))})"
INSERT_ENTRY = f"INSERT INTO entry(ticket_id, {', '.join(ENTRY)}) VALUES(?{', ?' * len(ENTRY)})"
cells_of_entry = attrgetter(*ENTRY)
"""The cells of an entry's row, in the order of :data:`ENTRY`."""


def load(db: Database, number: int) -> TicketState:
    """The ticket with that number.

    Raises:
        NotFoundError: there is none.
        DamagedError: its rows are no ticket.
    """
    with damage_of(number):
        return _loaded(db, _row(db, number, ", ".join(TICKET)))


@contextmanager
def damage_of(number: int) -> Iterator[None]:
    """Reading the rows of one ticket. Raises :class:`DamagedError` where they are none."""
    try:
        yield
    except (ValueError, TypeError) as error:
        raise DamagedError(number, str(error)) from error
    except driver.Error as error:
        if "decode to UTF-8" not in str(error):
            raise
        raise DamagedError(number, "a text of it is no UTF-8") from error


def id_of(db: Database, number: int) -> int:
    """The key of the ticket with that number. Raises :class:`NotFoundError`."""
    return int(_row(db, number, "id")[0])


def _row(db: Database, number: int, columns: str) -> tuple[Any, ...]:
    row: tuple[Any, ...] | None = None
    if 0 < number < 2**53:
        row = db.execute(f"SELECT {columns} FROM ticket WHERE number = ?", [number]).fetchone()  # noqa: S608
    if row is None:
        raise NotFoundError(f"there is no ticket {number}")
    return row


def _loaded(db: Database, row: tuple[Any, ...]) -> TicketState:
    state = ticket_row(row)
    entries = db.execute(f"SELECT {', '.join(ENTRY)} FROM entry WHERE ticket_id = ? ORDER BY no", [state.id])  # noqa: S608
    state.entries = {entry.no: entry for entry in map(entry_row, entries.fetchall())}
    follows = db.execute("SELECT no, data FROM follow WHERE ticket_id = ? ORDER BY no", [state.id]).fetchall()
    state.follows = {no: json.loads(data) for no, data in follows}
    wordings = db.execute("SELECT slot, data FROM rewording WHERE ticket_id = ? ORDER BY slot", [state.id]).fetchall()
    state.wordings = {slot: json.loads(data) for slot, data in wordings}
    if state.signed:
        held = db.execute("SELECT no, data FROM correction WHERE ticket_id = ? ORDER BY no", [state.id]).fetchall()
        state.corrections = {no: json.loads(data) for no, data in held}
    return state


def ticket_row(row: tuple[Any, ...]) -> TicketState:
    """A row of ``ticket`` with the columns of :data:`TICKET`; its entries are not in it."""
    values = dict(zip(TICKET, row, strict=True))
    return TicketState(**values | {"header": json.loads(values["header"])})


def entry_row(row: tuple[Any, ...]) -> EntryState:
    """A row of ``entry`` with the columns of :data:`ENTRY`."""
    values = dict(zip(ENTRY, row, strict=True))
    flags = {name: bool(values[name]) for name in _FLAGS}
    return EntryState(**values | flags | {"data": json.loads(values["data"])})


def save(db: Database, state: TicketState, touched: Touched, *, fresh: bool = False) -> None:
    """Write what an action changed. ``fresh`` adds the ticket's own row, unsigned, before its entries."""
    values = {name: getattr(state, name) for name in TICKET} | {"header": canonical_text(state.header)}
    if fresh:
        _insert(db, "ticket", values | {"status": "open", "closed": None, "signed_by": None, "seal": ""})
    for no in sorted(touched.born):
        _insert(db, "entry", {"ticket_id": state.id} | _columns(state.entries[no]))
    for no in sorted(touched.changed - touched.born):
        _update(db, "entry", _columns(state.entries[no]), {"ticket_id": state.id, "no": no})
    for slot in sorted(touched.reworded):
        db.execute("DELETE FROM rewording WHERE ticket_id = ? AND slot = ?", [state.id, slot])
        if slot in state.wordings:
            data = canonical_text(state.wordings[slot])
            _insert(db, "rewording", {"ticket_id": state.id, "slot": slot, "data": data})
    for no in sorted(touched.corrected):
        _insert(db, "correction", {"ticket_id": state.id, "no": no, "data": canonical_text(state.corrections[no])})
    _update(db, "ticket", values, {"id": state.id})
    for no in sorted(touched.followed):
        db.execute("DELETE FROM follow WHERE ticket_id = ? AND no = ?", [state.id, no])
        if no in state.follows:
            _insert(db, "follow", {"ticket_id": state.id, "no": no, "data": canonical_text(state.follows[no])})


def _columns(entry: EntryState) -> dict[str, Any]:
    return {name: getattr(entry, name) for name in ENTRY} | {"data": canonical_text(entry.data)}


def _insert(db: Database, table: str, values: Mapping[str, Any]) -> None:
    marks = ", ".join("?" * len(values))
    db.execute(f"INSERT INTO {table}({', '.join(values)}) VALUES({marks})", list(values.values()))


def _update(db: Database, table: str, values: Mapping[str, Any], where: Mapping[str, Any]) -> None:
    changes = ", ".join(f"{name} = ?" for name in values)
    key = " AND ".join(f"{name} = ?" for name in where)
    db.execute(f"UPDATE {table} SET {changes} WHERE {key}", [*values.values(), *where.values()])  # noqa: S608


def people(db: Database) -> dict[int, str]:
    """Names of the staff by their id."""
    return dict(db.execute("SELECT id, name FROM person").fetchall())


def revealer(db: Database, ids: Iterable[int]) -> Reveal:
    """Looks identities up; erased or missing ones show the mask."""
    wanted = json.dumps(sorted(ids))
    rows = db.execute("SELECT id, value FROM identity WHERE id IN (SELECT value FROM json_each(?))", [wanted])
    values = {number: value for number, value in rows.fetchall() if value is not None}
    return lambda number: values.get(number, MASK)


def assemble(
    state: TicketState, names: Mapping[int, str], reveal: Reveal, known: Mapping[int, Entry] | None = None
) -> Ticket:
    """The ticket of the job model; ``known`` holds entries that were made from these very rows before.

    Raises:
        DamagedError: a row does not hold what its kind declares, so the file was damaged or changed by hand.
    """
    try:
        return Ticket(
            number=state.number,
            opened=moment(state.opened),
            status=state.status,
            header=reveal_header(state.header, reveal),
            entries=tuple(
                known[no] if known and no in known else _assembled(state.entries[no], names, reveal)
                for no in sorted(state.entries)
            ),
            closed=moment(state.closed) if state.closed else None,
            signed_by=names[state.signed_by] if state.signed_by else "",
            seal=state.seal,
            rev=state.rev,
            elsewhere=_elsewhere(state),
            rewordings=tuple(reworded(state.wordings[slot], names) for slot in sorted(state.wordings)),
            corrections=tuple(
                reveal_correction(state.corrections[no], reveal, names) for no in sorted(state.corrections)
            ),
        )
    except (DataError, ValueError, KeyError, AttributeError, TypeError) as error:
        raise DamagedError(state.number, str(error)) from error


def _elsewhere(state: TicketState) -> Elsewhere | None:
    if not (state.was_seal or state.was_proof):
        return None
    return Elsewhere(state.was_seal, state.was_fits or "unknown", state.was_proof)


def _assembled(entry: EntryState, names: Mapping[int, str], reveal: Reveal) -> Entry:
    return Entry(
        no=entry.no,
        fact=reveal_fact(entry.kind, entry.data, reveal),
        person=names[entry.person_id],
        at=moment(entry.at),
        concern=entry.concern,
        shop_only=entry.shop_only,
        struck=entry.struck,
        replaces=entry.replaces,
        reason=entry.reason,
        amended=entry.amend is not None,
    )


def reworded(data: Json, names: Mapping[int, str]) -> Rewording:
    """A stored rewording as the job model has it."""
    plain = {name: item for name, item in data.items() if name != "person"}
    return decode(Rewording, plain | {"by": names[data["person"]]}, "rewordings")


def moment(text: str) -> datetime:
    """A stored time. Raises :class:`DataError` for a text that is none, or is far from any day of work."""
    return read_instant(text, "a time")
