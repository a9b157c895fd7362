"""Deferred work that waits, read from what each action keeps of a vehicle; and the words recorded beside tickets."""

import json
from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from sqlite_utils import Database

from ticket.job.follow import FollowUp
from ticket.job.values import Ref
from ticket.store import journal, state, vehicles
from ticket.store.erasable import MASK
from ticket.store.same_vehicle import vehicle_key
from ticket.store.session import Session
from ticket.store.transition import changes_of


class DueRow(NamedTuple):
    """Deferred work that waits, with what a forecast needs; fields as in the tables ``thread`` and ``habit``."""

    number: int
    no: int
    vehicle: str
    state: str
    by_date: str | None
    start: str | None
    left_over: float | None
    risky: int
    agreed: int
    mean: float | None
    var: float | None
    uneven: float | None
    word: str
    unit: str
    customer: int | None
    prior: str


class ShownRow(NamedTuple):
    """What else is told of deferred work; ``looks`` as JSON, oldest first."""

    due_reading: str
    hours: str
    looks: str
    before: float | None
    since: float | None
    readings: int


class Owner(NamedTuple):
    """Whom to call about a vehicle: its name, its customer, the phone and its plate, from its newest ticket."""

    vehicle: str
    customer: str
    phone: str
    plate: str = ""


class Check(NamedTuple):
    """A forecast that a later reading checked: its vehicle, the day, how many widths off, whether sooner than told."""

    vehicle: str
    day: str
    miss: float
    sooner: int


class News(NamedTuple):
    """What may have changed of what waits.

    Attributes:
        seq: the newest row of the journal.
        vehicles: those of which something was kept anew.
        numbers: the tickets that were touched: what waited on them may be of another vehicle now.
        rows: what waits on these vehicles, and from these tickets.
    """

    seq: int
    vehicles: set[str]
    numbers: set[int]
    rows: list[DueRow]


_WAITING = """
SELECT t.number, d.no, d.vehicle, d.state, d.by_date, d.start, d.left_over, d.risky, d.agreed,
  h.mean, h.var, h.uneven, coalesce(h.word, ''), coalesce(h.unit, ''), h.customer, coalesce(h.prior, '')
FROM thread AS d JOIN ticket AS t ON t.id = d.ticket_id LEFT JOIN habit AS h ON h.vehicle = d.vehicle
WHERE d.waits = 1"""

# The index is named: by statistics made while few vehicles had a number SQLite would read every ticket instead.
_BEGUN = "(SELECT t.opened FROM ticket AS t INDEXED BY ticket_{} WHERE {} = substr(h.vehicle, 2) ORDER BY t.id LIMIT 1)"


def waiting(db: Database, numbers: Iterable[int] | None = None) -> list[DueRow]:
    """What waits, in no order; on some tickets only, where their numbers are given."""
    if numbers is None:
        return list(map(DueRow._make, db.execute(_WAITING).fetchall()))
    some = " AND d.ticket_id IN (SELECT id FROM ticket WHERE number IN (SELECT value FROM json_each(?)))"
    return list(map(DueRow._make, db.execute(_WAITING + some, [json.dumps(list(numbers))]).fetchall()))


def shown(db: Database, refs: Iterable[Ref]) -> dict[Ref, ShownRow]:
    """What else is told of some items, by the entry each began with."""
    rows = db.execute(
        "SELECT t.number, d.no, d.due_reading, d.hours, d.looks, h.before, h.since, coalesce(h.readings, 0)"
        " FROM json_each(?) AS w CROSS JOIN ticket AS t ON t.number = json_extract(w.value, '$[0]')"
        " CROSS JOIN thread AS d ON d.ticket_id = t.id AND d.no = json_extract(w.value, '$[1]')"
        " LEFT JOIN habit AS h ON h.vehicle = d.vehicle",
        [json.dumps([(ref.ticket, ref.no) for ref in refs])],
    )
    return {Ref(no, number): ShownRow(*rest) for number, no, *rest in rows.fetchall()}


def owners(db: Database, vehicles: Iterable[str]) -> dict[str, Owner]:
    """Whom to call about some vehicles."""
    rows = db.execute(
        "SELECT h.vehicle, json_extract(t.header, '$.vehicle.label'), json_extract(t.header, '$.vehicle.plate'),"
        " json_extract(t.header, '$.vehicle.vin'), n.id, n.value, p.id, p.value"
        " FROM json_each(?) AS w CROSS JOIN habit AS h ON h.vehicle = w.value JOIN ticket AS t ON t.id = h.ticket_id"
        " LEFT JOIN identity AS n ON n.id = json_extract(t.header, '$.customer.name.identity')"
        " LEFT JOIN identity AS p ON p.id = json_extract(t.header, '$.customer.phone.identity')",
        [json.dumps(list(vehicles))],
    )
    return {
        key: Owner(label or plate or vin or "", _plain(name_id, name), _plain(phone_id, phone), plate or "")
        for key, label, plate, vin, name_id, name, phone_id, phone in rows.fetchall()
    }


def _plain(found: int | None, value: str | None) -> str:
    return value if value is not None else MASK if found else ""


def fleets(db: Database, customers: Iterable[int]) -> dict[int, list[tuple[str, float]]]:
    """For each of some customers' rows the vehicles of all that bear the same name, with their logarithms a day.

    Only vehicles whose own readings tell how they are driven, by distance.
    """
    rows = db.execute(
        "WITH asked AS (SELECT i.id AS asked, i.value FROM json_each(?) AS w CROSS JOIN identity AS i ON i.id = w.value"
        " WHERE i.value <> ''),"
        " known AS (SELECT h.vehicle, h.mean, i.value FROM habit AS h JOIN identity AS i ON i.id = h.customer"
        " WHERE h.word <> 'average' AND h.mean IS NOT NULL AND h.unit = 'mi'"
        " AND i.value IN (SELECT value FROM asked))"
        " SELECT a.asked, k.vehicle, k.mean FROM asked AS a JOIN known AS k ON k.value = a.value",
        [json.dumps(list(customers))],
    )
    found: dict[int, list[tuple[str, float]]] = {}
    for asked, vehicle, mean in rows.fetchall():
        found.setdefault(asked, []).append((vehicle, mean))
    return found


def rates(db: Database, days: int, most: int) -> list[float]:
    """The logarithm of the distance a day of the vehicles kept last, as far as their own readings tell it.

    Only vehicles whose first ticket is at least so many days older than their latest reading, and so many vehicles.
    """
    first = (
        "(SELECT t.opened FROM ticket AS t INDEXED BY ticket_{} WHERE {} = substr(h.vehicle, 2) ORDER BY id LIMIT 1)"
    )
    begun, plate = (first.format(name, vehicle_key(name)) for name in ("vin", "plate"))
    rows = db.execute(
        "SELECT mean FROM (SELECT * FROM habit AS h WHERE word <> 'average' AND mean IS NOT NULL AND unit = 'mi'"  # noqa: S608 - expressions of this module alone
        f" AND julianday(day) - julianday(CASE h.vehicle GLOB 'V*' WHEN 1 THEN {begun} ELSE {plate} END) >= ?"
        " ORDER BY kept DESC LIMIT ?)",
        [days, most],
    )
    return [mean for (mean,) in rows.fetchall()]


def settled(db: Database, since: str) -> list[tuple[int, int, date]]:
    """Ticket, entry and newest day of work that no longer waits and was seen since a day."""
    rows = db.execute(
        "SELECT t.number, d.no, json_extract(d.looks, '$[#-1].date') AS day FROM thread AS d"
        " JOIN ticket AS t ON t.id = d.ticket_id WHERE d.waits = 0 AND day >= ? ORDER BY t.number, d.no",
        [since],
    )
    return [(number, no, date.fromisoformat(day)) for number, no, day in rows.fetchall()]


def checks(db: Database) -> list[Check]:
    """The latest checked forecast of each vehicle, oldest first."""
    rows = db.execute(
        "SELECT vehicle, checked, miss, sooner FROM habit WHERE miss IS NOT NULL ORDER BY checked, vehicle"
    )
    return list(map(Check._make, rows.fetchall()))


def seen(db: Database, since: str) -> tuple[int, int]:
    """How many vehicles have a reading, and of how many the latest is older than a day."""
    row = db.execute("SELECT count(*), coalesce(sum(day < ?), 0) FROM habit WHERE day IS NOT NULL", [since]).fetchone()
    return row[0], row[1]


def checked(db: Database) -> int:
    """How many vehicles have a forecast that was checked."""
    return int(db.execute("SELECT count(*) FROM habit WHERE miss IS NOT NULL").fetchone()[0])


def follow_ups(db: Database, numbers: Iterable[int]) -> dict[Ref, FollowUp]:
    """The newest word on each entry of some tickets that was followed up, by the entry with its ticket."""
    rows = db.execute(
        "SELECT t.number, f.no, f.data FROM follow AS f JOIN ticket AS t ON t.id = f.ticket_id"
        " WHERE t.number IN (SELECT value FROM json_each(?)) ORDER BY t.number, f.no",
        [json.dumps(list(numbers))],
    )
    return vehicles.follow_ups(rows.fetchall(), state.people(db))


def said_before(db: Database, refs: Iterable[Ref]) -> dict[Ref, FollowUp]:
    """For each of some entries the last word before the newest one in which something was said, from the journal."""
    asked = set(refs)
    rows = db.execute(
        "SELECT id, number FROM ticket WHERE number IN (SELECT value FROM json_each(?))",
        [json.dumps(sorted({ref.ticket for ref in asked}))],
    )
    numbers: dict[int, int] = dict(rows.fetchall())
    words: dict[Ref, list[str]] = {ref: [] for ref in asked}
    where = "ticket_id IN (SELECT value FROM json_each(?)) AND verb IN ('follow', 'undo', 'redo')"
    for record in journal.read(db, where, [json.dumps(sorted(numbers))]):
        for change in (one for one in changes_of(record.body) if one.f == "follow"):
            recorded = words.get(Ref(change.no, numbers[record.ticket or 0]), [])
            recorded[-1:] = [] if record.verb == "undo" else [*recorded[-1:], json.dumps(change.new)]
    earlier = [(ref.ticket, ref.no, data) for ref, found in words.items() for data in found[:-1] if '"note"' in data]
    return vehicles.follow_ups(earlier, state.people(db))


def news(db: Database, seq: int) -> News:
    """What actions behind a row of the journal may have changed of what waits."""
    touched = db.execute(
        "SELECT DISTINCT t.number FROM journal AS j JOIN ticket AS t ON t.id = j.ticket_id WHERE j.seq > ?", [seq]
    )
    kept = {name for (name,) in db.execute("SELECT vehicle FROM habit WHERE kept > ?", [seq]).fetchall()}
    numbers = {number for (number,) in touched.fetchall()}
    rows = waiting(db, numbers) if numbers else []
    some = " AND d.vehicle IN (SELECT value FROM json_each(?))"
    rows += map(DueRow._make, db.execute(_WAITING + some, [json.dumps(sorted(kept))]).fetchall() if kept else ())
    return News(journal.head(db)[0], kept, numbers, list(dict.fromkeys(rows)))


class Waiting:
    """The questions about deferred work that waits, and about how the vehicles are driven that it waits on."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def rows(self, numbers: Iterable[int] | None = None) -> list[DueRow]:
        """Deferred work that still waits, in no order; on some tickets only, where numbers are given."""
        with self._session.reading() as db:
            return waiting(db, numbers)

    def news(self, seq: int) -> News:
        """What actions behind a row of the journal may have changed of what waits."""
        with self._session.reading() as db:
            return news(db, seq)

    def shown(self, refs: Iterable[Ref]) -> dict[Ref, ShownRow]:
        """What else is told of some deferred work, by the entry each began with."""
        with self._session.reading() as db:
            return shown(db, refs)

    def owners(self, names: Iterable[str]) -> dict[str, Owner]:
        """Whom to call about some vehicles, by the names they have in :class:`DueRow`."""
        with self._session.reading() as db:
            return owners(db, names)

    def said_before(self, refs: Iterable[Ref]) -> dict[Ref, FollowUp]:
        """For each of some entries the last word before the newest one in which something was said."""
        with self._session.reading() as db:
            return said_before(db, refs)

    def fleets(self, customers: Iterable[int]) -> dict[int, list[tuple[str, float]]]:
        """For each of some customers' rows the vehicles of all that bear the same name, with their logarithms a day."""
        with self._session.reading() as db:
            return fleets(db, customers)

    def rates(self, days: int, most: int) -> list[float]:
        """The logarithm of the distance a day of the vehicles kept last, where so many days of readings tell it."""
        with self._session.reading() as db:
            return rates(db, days, most)

    def settled(self, since: date) -> list[tuple[int, int, date]]:
        """Ticket, entry and newest day of work that no longer waits and was seen since a day."""
        with self._session.reading() as db:
            return settled(db, since.isoformat())

    def checks(self) -> list[Check]:
        """The latest forecast of each vehicle that a later reading checked, oldest first."""
        with self._session.reading() as db:
            return checks(db)

    def checked(self) -> int:
        """How many vehicles have a forecast that a later reading checked."""
        with self._session.reading() as db:
            return checked(db)

    def seen(self, since: date) -> tuple[int, int]:
        """How many vehicles have a reading, and of how many the latest is older than a day."""
        with self._session.reading() as db:
            return seen(db, since.isoformat())
