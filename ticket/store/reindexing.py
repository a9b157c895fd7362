"""Making anew all that is derived from the entries, also where what is there is damaged."""

import contextlib
from collections.abc import Mapping

from sqlite_utils import Database

from ticket.job.errors import DamagedError
from ticket.job.progress import counted
from ticket.job.ticket import Ticket
from ticket.store import derived, derived_rows, driver, index, kept_jobs, state, vehicles
from ticket.store.index_rows import JOB_SETTING, Indexer, JobIndexer, VehicleIndexer
from ticket.store.setting_then import Then

_DERIVED = (*index.SIDE_TABLES, *kept_jobs.TABLES, "phrase", "habit", "thread", "dirty")
_AT_ONCE = 500  # tickets in memory


def rebuild(db: Database, indexer: Indexer, of_vehicle: VehicleIndexer, of_job: JobIndexer) -> None:
    """Throw away and make again side tables and word index. The caller holds the transaction."""
    for table in _DERIVED:
        _empty(db, table, f"DELETE FROM {table}")  # noqa: S608
    for table in ("ticket_fts", "fragment"):
        _empty(db, table, f"INSERT INTO {table}({table}) VALUES('delete-all')")
    numbers = [row[0] for row in db.execute("SELECT number FROM ticket ORDER BY id DESC").fetchall()]
    then = Then.read(db, JOB_SETTING)
    made: dict[int, Ticket] = {}
    for number in counted(numbers, "index", len(numbers)):
        with contextlib.suppress(DamagedError):
            loaded = state.load(db, number)
            made[loaded.id] = derived.assembled(db, loaded)
        if len(made) == _AT_ONCE:
            _write(db, made, indexer, of_job, then)
            made = {}
    _write(db, made, indexer, of_job, then)
    kept_jobs.link(db, [row[0] for row in db.execute("SELECT ticket_id FROM job").fetchall()])
    vehicles.keep_all(db, of_vehicle)
    db.execute("DELETE FROM dirty")
    for table in ("ticket_fts", "fragment"):
        db.execute(f"INSERT INTO {table}({table}) VALUES('optimize')")
    db.execute("ANALYZE")


def _write(db: Database, made: Mapping[int, Ticket], indexer: Indexer, of_job: JobIndexer, then: Then) -> None:
    late = kept_jobs.overruled(db, made)
    rows = {
        key: derived_rows.of_ticket(ticket, indexer, kept_jobs.row_of(key, ticket, then, of_job), overruled=key in late)
        for key, ticket in made.items()
    }
    derived_rows.write(db, rows)


def _empty(db: Database, table: str, clearing: str) -> None:
    """Empty a table; one too damaged for that is dropped and made again, with its indexes and guards."""
    try:
        db.execute(clearing)
    except driver.Error:
        made = db.execute(
            "SELECT sql FROM sqlite_schema WHERE tbl_name = ? AND sql IS NOT NULL ORDER BY type <> 'table'", [table]
        ).fetchall()
        db.execute(f"DROP TABLE {table}")
        for (sql,) in made:
            db.execute(sql)
