"""Making anew all that is derived from the entries, also where what is there is damaged."""

import contextlib

from sqlite_utils import Database

from ticket.job.errors import DamagedError
from ticket.job.progress import counted
from ticket.store import derived, driver, index, state, vehicles
from ticket.store.index_rows import Indexer, VehicleIndexer

_DERIVED = (*index.SIDE_TABLES, "phrase", "habit", "thread", "dirty")


def rebuild(db: Database, indexer: Indexer, of_vehicle: VehicleIndexer) -> None:
    """Throw away and make again side tables and word index. The caller holds the transaction."""
    for table in _DERIVED:
        _empty(db, table, f"DELETE FROM {table}")  # noqa: S608
    _empty(db, "ticket_fts", "INSERT INTO ticket_fts(ticket_fts) VALUES('delete-all')")
    numbers = db.execute("SELECT number FROM ticket ORDER BY id DESC").fetchall()
    for (number,) in counted(numbers, "index", len(numbers)):
        with contextlib.suppress(DamagedError):
            loaded = state.load(db, number)
            index.write_side_rows(db, derived.assembled(db, loaded), loaded, loaded.entries, indexer)
        derived.refresh(db, number, indexer)
    vehicles.keep_all(db, of_vehicle)
    db.execute("DELETE FROM dirty")
    db.execute("INSERT INTO ticket_fts(ticket_fts) VALUES('optimize')")
    db.execute("ANALYZE")


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
