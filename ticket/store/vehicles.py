"""What is kept of a vehicle over all its tickets: how it is driven, and what waits on it.

Both depend on several tickets, so an action keeps them at its end, in its own transaction, for every vehicle one of its
tickets belonged to before or belongs to now.
"""

import json
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import astuple, dataclass, fields

from sqlite_utils import Database

from ticket.job.errors import DamagedError, DataError
from ticket.job.follow import FollowUp
from ticket.job.progress import counted
from ticket.job.values import Ref
from ticket.store import journal, partial_tickets, state
from ticket.store.index_rows import HabitRow, ThreadRow, VehicleIndexer, VehicleRows
from ticket.store.same_vehicle import same_vehicle, vehicle_key
from ticket.store.setting_then import zone_now

HABIT = tuple(item.name for item in fields(HabitRow))
THREAD = tuple(item.name for item in fields(ThreadRow) if item.name != "ref")
_KINDS = ("later", "did", "offer", "told", "proof", "found")
_VIN, _PLATE = f"coalesce({vehicle_key('vin')}, '')", f"coalesce({vehicle_key('plate')}, '')"
KEY = f"CASE WHEN {_VIN} <> '' THEN 'V' || {_VIN} WHEN {_PLATE} <> '' THEN 'P' || {_PLATE} ELSE '#' || t.number END"
"""The vehicle of a ticket ``t``, by one name."""


@dataclass(frozen=True, slots=True)
class Kept:
    """The rows of one vehicle as they should be, each without its vehicle; ``newest`` is its newest ticket."""

    newest: int
    customer: int | None
    rows: VehicleRows
    ids: dict[int, int]


def vehicles_of(db: Database, ids: Iterable[int]) -> set[str]:
    """The vehicles whose tickets are counted together with some tickets, by their names."""
    found: set[str] = set()
    for ticket in ids:
        row = db.execute(f"SELECT {_VIN}, {_PLATE}, {KEY} FROM ticket AS t WHERE t.id = ?", [ticket]).fetchone()  # noqa: S608
        if row is None:
            continue
        vin, plate, key = row
        found.add(key)
        if plate:  # a ticket without the number may be of each vehicle with that plate
            unnamed = f" AND {_VIN} = ''" if vin else ""
            same = f"SELECT DISTINCT {KEY} FROM ticket AS t WHERE {vehicle_key('plate')} = ?{unnamed}"  # noqa: S608
            found |= {other for (other,) in db.execute(same, [plate]).fetchall()}
    return found


def keep(db: Database, vehicles: Iterable[str], ids: Iterable[int], indexer: VehicleIndexer) -> None:
    """Replace what is kept of some vehicles; ``ids``: tickets whose threads may have stood under another vehicle."""
    names = sorted(set(vehicles))
    marked = json.dumps(names)
    db.execute("DELETE FROM thread WHERE vehicle IN (SELECT value FROM json_each(?))", [marked])
    db.execute("DELETE FROM thread WHERE ticket_id IN (SELECT value FROM json_each(?))", [json.dumps(sorted(ids))])
    db.execute("DELETE FROM habit WHERE vehicle IN (SELECT value FROM json_each(?))", [marked])
    for name in counted(names, "vehicles", len(names)):
        if (found := expected(db, name, indexer)) is not None:
            _write(db, name, found)


def _write(db: Database, vehicle: str, kept: Kept) -> None:
    if kept.rows.habit is not None:
        columns = ("vehicle", "ticket_id", "customer", "kept", *HABIT)
        values = (vehicle, kept.newest, kept.customer, journal.head(db)[0], *astuple(kept.rows.habit))
        db.execute(f"INSERT INTO habit({', '.join(columns)}) VALUES({', '.join('?' * len(columns))})", values)
    columns = ("ticket_id", "no", "vehicle", *THREAD)
    db.conn.executemany(
        f"INSERT INTO thread({', '.join(columns)}) VALUES({', '.join('?' * len(columns))})",
        [_cells(row, vehicle, kept.ids) for row in kept.rows.threads],
    )


def _cells(row: ThreadRow, vehicle: str, ids: dict[int, int]) -> tuple[object, ...]:
    return (ids[row.ref.ticket], row.ref.no, vehicle, *(getattr(row, name) for name in THREAD))


def expected(db: Database, vehicle: str, indexer: VehicleIndexer) -> Kept | None:
    """What should be kept of a vehicle; ``None`` where no ticket is of it."""
    mine = _tickets(db, vehicle)
    if not mine:
        return None
    newest = mine[0][0]
    group = _together(db, newest)
    waiting = db.execute(
        "SELECT 1 FROM entry WHERE kind = 'later' AND ticket_id IN (SELECT value FROM json_each(?)) LIMIT 1",
        [json.dumps([key for key, _ in group])],
    ).fetchone()
    damaged: list[DamagedError] = []
    wanted: partial_tickets.Fields = dict.fromkeys(_KINDS, partial_tickets.ALL) if waiting else {}
    tickets = list(partial_tickets.tickets(db, [number for _, number in group], wanted, damaged))
    rows = indexer(tickets, _follows(db, group) if waiting else {}, zone_now(db))
    own = {number for _, number in mine}
    rows = VehicleRows(rows.habit, tuple(row for row in rows.threads if row.ref.ticket in own))
    return Kept(newest, _customer(db, newest), rows, {number: key for key, number in mine})


def _tickets(db: Database, vehicle: str) -> list[tuple[int, int]]:
    """Keys and numbers of the tickets of a vehicle, newest first."""
    lead, name = vehicle[:1], vehicle[1:]
    if lead == "#":
        where, values = f"t.number = ? AND {_VIN} = '' AND {_PLATE} = ''", [name]  # it may be of a vehicle by now
    else:
        part = vehicle_key("vin" if lead == "V" else "plate")
        where, values = f"{part} = ?" + ("" if lead == "V" else f" AND {_VIN} = ''"), [name]
    rows = db.execute(f"SELECT t.id, t.number FROM ticket AS t WHERE {where} ORDER BY t.id DESC", values)  # noqa: S608
    return [(key, number) for key, number in rows.fetchall()]


def _together(db: Database, ticket: int) -> list[tuple[int, int]]:
    """Keys and numbers of all tickets counted together with one, that one among them."""
    numbers = json.dumps(same_vehicle(db, ticket))
    rows = db.execute(
        "SELECT id, number FROM ticket WHERE id = ? OR number IN (SELECT value FROM json_each(?))", [ticket, numbers]
    )
    return [(key, number) for key, number in rows.fetchall()]


def _follows(db: Database, group: Sequence[tuple[int, int]]) -> dict[Ref, FollowUp]:
    numbers = dict(group)
    rows = db.execute(
        "SELECT ticket_id, no, data FROM follow WHERE ticket_id IN (SELECT value FROM json_each(?))",
        [json.dumps(list(numbers))],
    )
    return follow_ups(((numbers[key], no, data) for key, no, data in rows.fetchall()), state.people(db))


def follow_ups(rows: Iterable[tuple[int, int, str]], names: dict[int, str]) -> dict[Ref, FollowUp]:
    """Words recorded beside the tickets, by entry and ticket; a row that holds none is left out."""
    found: dict[Ref, FollowUp] = {}
    for number, no, data in rows:
        with suppress(DataError, ValueError, KeyError, TypeError, AttributeError):
            word = json.loads(data)
            found[Ref(no, number)] = FollowUp(
                no, word["what"], names[word["person"]], state.moment(word["at"]), word.get("date", ""),
                word.get("note", ""),
            )  # fmt: skip
    return found


def _customer(db: Database, ticket: int) -> int | None:
    row = db.execute(
        "SELECT json_extract(header, '$.customer.name.identity') FROM ticket WHERE id = ?", [ticket]
    ).fetchone()
    return row[0] if row and isinstance(row[0], int) else None


def keep_all(db: Database, indexer: VehicleIndexer) -> None:
    """Keep every vehicle anew."""
    db.execute("DELETE FROM thread")
    db.execute("DELETE FROM habit")
    keep(db, every(db), (), indexer)


def every(db: Database) -> list[str]:
    """Every vehicle that a ticket is of."""
    return [name for (name,) in db.execute(f"SELECT DISTINCT {KEY} FROM ticket AS t ORDER BY 1").fetchall()]  # noqa: S608


def differing(db: Database, indexer: VehicleIndexer) -> list[str]:
    """The vehicles of which something else is kept than their tickets say, by their names."""
    names = every(db)
    known = set(names)
    held = {name for (name,) in db.execute("SELECT vehicle FROM habit UNION SELECT vehicle FROM thread").fetchall()}
    return sorted(held - known) + [name for name in names if _held(db, name) != _wanted(db, name, indexer)]


def _wanted(db: Database, vehicle: str, indexer: VehicleIndexer) -> tuple[object, ...]:
    found = expected(db, vehicle, indexer)
    if found is None:
        return ([], [])
    habit = [(vehicle, found.newest, found.customer, *astuple(found.rows.habit))] if found.rows.habit else []
    return (habit, sorted((_cells(row, vehicle, found.ids) for row in found.rows.threads), key=lambda row: row[:2]))


def _held(db: Database, vehicle: str) -> tuple[object, ...]:
    columns = ", ".join(("vehicle", "ticket_id", "customer", *HABIT))
    habits = db.execute(f"SELECT {columns} FROM habit WHERE vehicle = ?", [vehicle])  # noqa: S608
    rows = db.execute(
        f"SELECT ticket_id, no, vehicle, {', '.join(THREAD)} FROM thread WHERE vehicle = ? ORDER BY ticket_id, no",  # noqa: S608
        [vehicle],
    )
    return ([tuple(row) for row in habits.fetchall()], [tuple(row) for row in rows.fetchall()])
