"""The rows kept of each job: what lists, counts and searches ask, and what the vehicle's next visits say of it."""

# ruff: noqa: S608 - every name in this SQL is a constant of this module

import json
from collections.abc import Collection, Iterable, Mapping
from dataclasses import fields
from datetime import datetime
from operator import attrgetter

from sqlite_utils import Database

from ticket.job.ticket import Ticket
from ticket.store import come_backs
from ticket.store.index_rows import JOB_SETTING, CauseRow, FixRow, JobIndexer, JobRow, LabourRow
from ticket.store.same_vehicle import plain
from ticket.store.setting_then import Then, text_for, zone_now

TABLES = ("job", "job_cause", "job_fix", "job_tech", "job_labour")
_CAUSE = tuple(item.name for item in fields(CauseRow))
_FIX = tuple(item.name for item in fields(FixRow))
_LABOUR = tuple(item.name for item in fields(LabourRow))
_JOB = tuple(item.name for item in fields(JobRow) if item.name not in ("causes", "fixes", "techs", "labour"))
_cells_of_cause, _cells_of_fix, _cells_of_labour, _cells_of_job = (
    attrgetter(*names) for names in (_CAUSE, _FIX, _LABOUR, _JOB)
)
_OWN = ("vin", "plate", "opened", "closed", "overruled")

SAME = (
    "((o.vin <> '' AND o.vin = m.vin) OR (o.plate <> '' AND o.plate = m.plate AND (o.vin = '' OR m.vin = '')))"
)  # fmt: skip
"""Two jobs of one vehicle, as :mod:`ticket.store.same_vehicle` has it."""
_BACK = "(back, back_days, back_metres, back_told)"
_FIRST = (
    "SELECT back, back_days, back_metres, back_told FROM job_cause WHERE ticket_id = job.ticket_id AND back IS NOT NULL"
    " ORDER BY back_days, back LIMIT 1"
)


Cells = tuple[object, ...]
_COLUMNS = {
    "job": (*_OWN, *_JOB), "job_cause": (*_CAUSE, "closed", "number"), "job_fix": (*_FIX, "number"),
    "job_tech": ("tech", "name"), "job_labour": _LABOUR,
}  # fmt: skip
_INSERTS = {
    table: f"INSERT INTO {table}(ticket_id, {', '.join(names)}) VALUES(?{', ?' * len(names)})"
    for table, names in _COLUMNS.items()
}


def cells_of(ticket: Ticket, row: JobRow, *, overruled: bool) -> dict[str, list[Cells]]:
    """The rows of a job by their table, without the ticket's key."""
    closed, number = _seconds(ticket.closed), ticket.number
    vehicle = ticket.header.vehicle
    own = (plain(vehicle.vin), plain(vehicle.plate), _seconds(ticket.opened), closed, int(overruled))
    return {
        "job": [(*own, *_cells_of_job(row))],
        "job_cause": [(*_cells_of_cause(cause), closed, number) for cause in row.causes],
        "job_fix": [(*_cells_of_fix(fix), number) for fix in row.fixes],
        "job_tech": list(row.techs),
        "job_labour": [_cells_of_labour(one) for one in row.labour],
    }


def write(db: Database, rows: Iterable[tuple[int, dict[str, list[Cells]]]]) -> None:
    """Write the rows of jobs that have none, by their tickets' keys; the caller holds the transaction."""
    held = list(rows)
    for table, insert in _INSERTS.items():
        if made := [(key, *cells) for key, found in held for cells in found[table]]:
            db.conn.executemany(insert, made)


def keep(db: Database, rows: Mapping[int, tuple[Ticket, JobRow]]) -> None:
    """Replace the rows of some jobs, by their tickets' keys. What later visits say comes with :func:`link`."""
    for table in TABLES:
        db.conn.executemany(f"DELETE FROM {table} WHERE ticket_id = ?", [(key,) for key in rows])
    signed = [key for key, (ticket, _) in rows.items() if ticket.status == "signed"]
    late = overruled(db, signed) if signed else set()
    write(db, [(key, cells_of(ticket, row, overruled=key in late)) for key, (ticket, row) in rows.items()])


def _seconds(at: datetime | None) -> int | None:
    return None if at is None else int(at.timestamp())


def overruled(db: Database, keys: Iterable[int]) -> set[int]:
    """The tickets among some that were signed in spite of a question."""
    rows = db.execute(
        "SELECT DISTINCT ticket_id FROM journal WHERE ticket_id IN (SELECT value FROM json_each(?)) AND verb = 'sign'"
        " AND json_array_length(body, '$.overruled') > 0",
        [json.dumps(list(keys))],
    )
    return {row[0] for row in rows.fetchall()}


def group(db: Database, keys: Iterable[int]) -> set[int]:
    """All jobs of the vehicles of some jobs, those among them."""
    wanted = list(keys)
    rows = db.execute(
        f"SELECT o.ticket_id FROM job AS m JOIN job AS o ON {SAME}"
        " WHERE m.ticket_id IN (SELECT value FROM json_each(?))",
        [json.dumps(wanted)],
    )
    return {*wanted, *(row[0] for row in rows.fetchall())}


def link(db: Database, keys: Collection[int]) -> None:
    """Keep anew as what each of some jobs came back; only rows that say something else are written."""
    found = [(*now, *cause) for cause, now in come_backs.changed(db, keys)]
    db.conn.executemany(
        f"UPDATE job_cause SET {_BACK[:-1]}, driven) = (?, ?, ?, ?, ?)"
        " WHERE code = ? AND sub = ? AND ticket_id = ? AND i = ?",
        found,
    )
    chosen = "ticket_id IN (SELECT value FROM json_each(?))"
    db.execute(
        f"UPDATE job SET {_BACK} = ({_FIRST}) WHERE {chosen} AND {_BACK} IS NOT ({_FIRST})", [json.dumps(sorted(keys))]
    )


def keep_one(db: Database, key: int, ticket: Ticket, indexer: JobIndexer) -> None:
    """Write the rows of one job and keep anew what hangs on them: of its vehicle, and of the one it was of before."""
    before = group(db, [key])
    prices = text_for(db, JOB_SETTING, key, signed=ticket.status == "signed")
    keep(db, {key: (ticket, indexer(ticket, prices, zone_now(db)))})
    visits = before | group(db, [key])
    if len(visits) > 1:  # the only visit of a vehicle came back as none, and no earlier one as it
        link(db, visits)


def row_of(key: int, ticket: Ticket, then: Then, indexer: JobIndexer) -> JobRow:
    """The row of a job by the price list it stands under."""
    return indexer(ticket, then.of(key, signed=ticket.status == "signed"), then.zone)


def reprice(db: Database, tickets: Iterable[tuple[int, Ticket]], indexer: JobIndexer) -> None:
    """Keep anew the rows of some jobs: their price list changed, nothing else."""
    then = Then.read(db, JOB_SETTING)
    rows = {key: (one, row_of(key, one, then, indexer)) for key, one in tickets}
    keep(db, rows)
    link(db, rows)


def differing(db: Database, key: int, ticket: Ticket, row: JobRow) -> list[str]:
    """What the tables hold of a job that it does not say; what later visits say of it is asked by :func:`unlinked`."""
    wanted = cells_of(ticket, row, overruled=bool(overruled(db, [key])))
    found = []
    for table, columns in _COLUMNS.items():
        rows = db.execute(f"SELECT {', '.join(columns)} FROM {table} WHERE ticket_id = ?", [key]).fetchall()
        right = [_plain(cells) for cells in wanted[table]]
        if sorted(map(repr, rows)) != sorted(map(repr, right)):
            told = _named(columns, rows[0], right[0]) if len(rows) == len(right) == 1 else ""
            found.append(f"{table}{told}")
    return found


def _named(columns: Iterable[str], held: Iterable[object], right: Iterable[object]) -> str:
    """Which columns of a row hold something else, with both values."""
    wrong = [
        f"{name} is {one!r}, not {other!r}"
        for name, one, other in zip(columns, held, right, strict=True)
        if repr(one) != repr(other)
    ]
    return f" ({'; '.join(wrong)})"


def _plain(cells: Iterable[object]) -> tuple[object, ...]:
    return tuple(int(cell) if isinstance(cell, bool) else cell for cell in cells)


def unlinked(db: Database, keys: Collection[int]) -> list[int]:
    """Those of some jobs, by their keys, of which the tables say something else about come-backs than the visits do."""
    rows = db.execute(
        f"SELECT ticket_id FROM job WHERE ticket_id IN (SELECT value FROM json_each(?)) AND {_BACK} IS NOT ({_FIRST})",
        [json.dumps(sorted(keys))],
    )
    changed = (cause[2] for cause, _ in come_backs.changed(db, keys))
    return list(dict.fromkeys([*changed, *(key for (key,) in rows.fetchall())]))
