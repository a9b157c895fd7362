"""What is kept of a vehicle over all its tickets: how it is driven, and what waits on it.

Both depend on several tickets, so an action keeps them at its end, in its own transaction, for every vehicle one of its
tickets belonged to before or belongs to now.
"""

# ruff: noqa: S608 - every name in this SQL is a constant of this package

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, fields
from operator import attrgetter

from sqlite_utils import Database

from ticket.job.errors import DamagedError, DataError
from ticket.job.follow import FollowUp
from ticket.job.progress import counted
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.store import journal, partial_tickets, state
from ticket.store.index_rows import HabitRow, ThreadRow, VehicleIndexer, VehicleRows
from ticket.store.same_vehicle import vehicle_key
from ticket.store.setting_then import zone_now

HABIT = tuple(item.name for item in fields(HabitRow))
THREAD = tuple(item.name for item in fields(ThreadRow) if item.name != "ref")
_KINDS = ("later", "did", "offer", "told", "proof", "found")
_AT_ONCE = 500  # vehicles in memory
_VIN, _PLATE = f"coalesce({vehicle_key('vin')}, '')", f"coalesce({vehicle_key('plate')}, '')"


def _key(ticket: str) -> str:
    vin, plate = (f"coalesce({vehicle_key(part, ticket)}, '')" for part in ("vin", "plate"))
    numbered = f"WHEN {plate} <> '' THEN 'P' || {plate} ELSE '#' || {ticket}.number END"
    return f"CASE WHEN {vin} <> '' THEN 'V' || {vin} {numbered}"


KEY = _key("t")
"""The vehicle of a ticket ``t``, by one name."""
_OF = f"SELECT DISTINCT {KEY} FROM ticket AS t WHERE t.id IN (SELECT value FROM json_each(?))"
# A ticket without the number may be of each vehicle with its plate.
_SAME_PLATE = (
    f"SELECT DISTINCT {_key('o')} FROM json_each(?) AS w CROSS JOIN ticket AS t ON t.id = w.value"
    f" CROSS JOIN ticket AS o ON {vehicle_key('plate', 'o')} = {vehicle_key('plate')}"
    f" WHERE {_PLATE} <> '' AND ({_VIN} = '' OR coalesce({vehicle_key('vin', 'o')}, '') = '')"
)
_MATCHING = (
    f"SELECT w.value, t.id, t.number, {_VIN}, {_PLATE} FROM json_each(?) AS w CROSS JOIN ticket AS t ON {{}} = w.value"
    " ORDER BY t.id DESC"
)
_CUSTOMERS = (
    "SELECT t.id, json_extract(t.header, '$.customer.name.identity') FROM ticket AS t"
    " WHERE t.id IN (SELECT value FROM json_each(?))"
)
_WAITING = "SELECT DISTINCT ticket_id FROM entry WHERE kind = 'later' AND ticket_id IN (SELECT value FROM json_each(?))"
_CELLS_OF_HABIT, _CELLS_OF_THREAD = attrgetter(*HABIT), attrgetter(*THREAD)
_HABITS = (
    f"INSERT INTO habit(vehicle, ticket_id, customer, kept, {', '.join(HABIT)}) VALUES(?, ?, ?, ?{', ?' * len(HABIT)})"
)
_THREADS = f"INSERT INTO thread(ticket_id, no, vehicle, {', '.join(THREAD)}) VALUES(?, ?, ?{', ?' * len(THREAD)})"


@dataclass(frozen=True, slots=True)
class Kept:
    """The rows of one vehicle as they should be, each without its vehicle; ``newest`` is its newest ticket."""

    newest: int
    customer: int | None
    rows: VehicleRows
    ids: dict[int, int]

    @property
    def habit(self) -> list[tuple[object, ...]]:
        """The cells of its habit, as far as there is one."""
        return [] if self.rows.habit is None else [_CELLS_OF_HABIT(self.rows.habit)]

    def threads(self, vehicle: str) -> list[tuple[object, ...]]:
        """The rows of what waits on it."""
        return [
            (self.ids[row.ref.ticket], row.ref.no, vehicle, *_CELLS_OF_THREAD(row)) for row in self.rows.threads
        ]  # fmt: skip


def vehicles_of(db: Database, ids: Iterable[int]) -> set[str]:
    """The vehicles whose tickets are counted together with some tickets, by their names."""
    wanted = json.dumps(list(ids))
    return {name for ask in (_OF, _SAME_PLATE) for (name,) in db.execute(ask, [wanted]).fetchall()}


def keep(db: Database, vehicles: Iterable[str], ids: Iterable[int], indexer: VehicleIndexer) -> None:
    """Replace what is kept of some vehicles; ``ids``: tickets whose threads may have stood under another vehicle."""
    names = sorted(set(vehicles))
    marked = json.dumps(names)
    db.execute("DELETE FROM thread WHERE vehicle IN (SELECT value FROM json_each(?))", [marked])
    db.execute("DELETE FROM thread WHERE ticket_id IN (SELECT value FROM json_each(?))", [json.dumps(sorted(ids))])
    db.execute("DELETE FROM habit WHERE vehicle IN (SELECT value FROM json_each(?))", [marked])
    head, _ = journal.head(db)
    habits: list[tuple[object, ...]] = []
    threads: list[tuple[object, ...]] = []
    for name, found in counted(expected(db, names, indexer), "vehicles", len(names)):
        if found is not None:
            habits += [(name, found.newest, found.customer, head, *cells) for cells in found.habit]
            threads += found.threads(name)
    db.conn.executemany(_HABITS, habits)
    db.conn.executemany(_THREADS, threads)


def expected(db: Database, names: Sequence[str], indexer: VehicleIndexer) -> Iterator[tuple[str, Kept | None]]:
    """What should be kept of some vehicles, in their order; ``None`` where no ticket is of one."""
    zone, people = zone_now(db), state.people(db)
    for start in range(0, len(names), _AT_ONCE):
        some = names[start : start + _AT_ONCE]
        yield from _expected(db, some, _Tickets.read(db, some), indexer, zone, people)


@dataclass(frozen=True, slots=True)
class _Tickets:
    """Keys and numbers of the tickets of some vehicles, newest first.

    Attributes:
        own: of each vehicle.
        together: of each, all that are counted together with its newest one.
    """

    own: dict[str, list[tuple[int, int]]]
    together: dict[str, list[tuple[int, int]]]

    @classmethod
    def read(cls, db: Database, names: Sequence[str]) -> "_Tickets":
        """Whatever the tables hold of them."""
        own, plates = cls._own(db, names)
        alike: dict[str, list[tuple[int, int, bool]]] = {}
        wanted = json.dumps(sorted({plate for plate, _ in plates.values() if plate}))
        for plate, key, number, vin, _ in db.execute(_MATCHING.format(vehicle_key("plate")), [wanted]).fetchall():
            alike.setdefault(plate, []).append((key, number, bool(vin)))
        together = {}
        for name, (plate, numbered) in plates.items():
            others = {(key, number) for key, number, other in alike.get(plate, ()) if not (numbered and other)}
            together[name] = sorted({*own[name], *others}, reverse=True)
        return cls(own, together)

    @staticmethod
    def _own(
        db: Database, names: Sequence[str]
    ) -> tuple[dict[str, list[tuple[int, int]]], dict[str, tuple[str, bool]]]:  # fmt: skip
        """The tickets of each vehicle; the plate of the newest, and whether that has a number."""
        own: dict[str, list[tuple[int, int]]] = {}
        plates: dict[str, tuple[str, bool]] = {}
        by = {"V": vehicle_key("vin"), "P": vehicle_key("plate"), "#": "t.number"}
        for lead, part in by.items():
            values: list[str | int] = [name[1:] for name in names if name[0] == lead]
            if lead == "#":
                values = [int(value) for value in values]
            for value, key, number, vin, plate in db.execute(_MATCHING.format(part), [json.dumps(values)]).fetchall():
                # One without a number or a plate may be of a vehicle by now, one with a plate have a number.
                if lead == "V" or (not vin and (lead == "P" or not plate)):
                    own.setdefault(f"{lead}{value}", []).append((key, number))
                    plates.setdefault(f"{lead}{value}", (plate, bool(vin)))
        return own, plates


def _expected(
    db: Database, names: Sequence[str], found: _Tickets, indexer: VehicleIndexer, zone: str, people: dict[int, str]
) -> Iterator[tuple[str, Kept | None]]:  # fmt: skip
    newest = json.dumps([own[0][0] for own in found.own.values()])
    customers = dict(db.execute(_CUSTOMERS, [newest]).fetchall())
    waiting = _waiting(db, found)
    full = _whole(db, found, waiting, dict.fromkeys(_KINDS, partial_tickets.ALL))
    bare = _whole(db, found, found.own.keys() - waiting, {})
    for name in names:
        if name not in found.own:
            yield name, None
            continue
        group, waits = found.together[name], name in waiting
        held = full if waits else bare
        tickets = [held[number] for _, number in group if number in held]
        rows = indexer(tickets, _follows(db, group, people) if waits else {}, zone)
        yield name, _kept(found.own[name], rows, customers)


def _waiting(db: Database, found: _Tickets) -> set[str]:
    """The vehicles on one of whose tickets work was put off."""
    keys = json.dumps([key for group in found.together.values() for key, _ in group])
    late = {key for (key,) in db.execute(_WAITING, [keys]).fetchall()}
    return {name for name, group in found.together.items() if any(key in late for key, _ in group)}


def _kept(own: Sequence[tuple[int, int]], rows: VehicleRows, customers: Mapping[int, object]) -> Kept:
    """What is kept of a vehicle with these tickets of its own, newest first; threads of others stand elsewhere."""
    numbers = {number: key for key, number in own}
    newest, _ = own[0]
    customer = customers.get(newest)
    rows = VehicleRows(rows.habit, tuple(row for row in rows.threads if row.ref.ticket in numbers))
    return Kept(newest, customer if isinstance(customer, int) else None, rows, numbers)


def _whole(db: Database, found: _Tickets, names: Iterable[str], wanted: partial_tickets.Fields) -> dict[int, Ticket]:
    """The tickets of some vehicles by their numbers, with these fields; damaged ones are left out."""
    damaged: list[DamagedError] = []
    numbers = {number for name in names for _, number in found.together[name]}
    return {one.number: one for one in partial_tickets.tickets(db, numbers, wanted, damaged)}


def _follows(db: Database, group: Sequence[tuple[int, int]], people: dict[int, str]) -> dict[Ref, FollowUp]:
    numbers = dict(group)
    rows = db.execute(
        "SELECT ticket_id, no, data FROM follow WHERE ticket_id IN (SELECT value FROM json_each(?))",
        [json.dumps(list(numbers))],
    )
    return follow_ups(((numbers[key], no, data) for key, no, data in rows.fetchall()), people)


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


def keep_all(db: Database, indexer: VehicleIndexer) -> None:
    """Keep every vehicle anew."""
    db.execute("DELETE FROM thread")
    db.execute("DELETE FROM habit")
    keep(db, every(db), (), indexer)


def every(db: Database) -> list[str]:
    """Every vehicle that a ticket is of."""
    return [name for (name,) in db.execute(f"SELECT DISTINCT {KEY} FROM ticket AS t ORDER BY 1").fetchall()]


def differing(db: Database, indexer: VehicleIndexer) -> list[str]:
    """The vehicles of which something else is kept than their tickets say, by their names."""
    names = every(db)
    known = set(names)
    held = {name for (name,) in db.execute("SELECT vehicle FROM habit UNION SELECT vehicle FROM thread").fetchall()}
    wanted = expected(db, names, indexer)
    return sorted(held - known) + [name for name, found in wanted if _held(db, name) != _wanted(name, found)]


def _wanted(vehicle: str, found: Kept | None) -> tuple[object, ...]:
    if found is None:
        return ([], [])
    habit = [(vehicle, found.newest, found.customer, *cells) for cells in found.habit]
    return (habit, sorted(found.threads(vehicle), key=lambda row: row[:2]))


def _held(db: Database, vehicle: str) -> tuple[object, ...]:
    columns = ", ".join(("vehicle", "ticket_id", "customer", *HABIT))
    habits = db.execute(f"SELECT {columns} FROM habit WHERE vehicle = ?", [vehicle])
    rows = db.execute(
        f"SELECT ticket_id, no, vehicle, {', '.join(THREAD)} FROM thread WHERE vehicle = ? ORDER BY ticket_id, no",
        [vehicle],
    )
    return ([tuple(row) for row in habits.fetchall()], [tuple(row) for row in rows.fetchall()])
