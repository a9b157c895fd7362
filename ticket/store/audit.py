"""The audit as the program asks for it: the small one, and behind it what only the job model can judge."""

import dataclasses
from pathlib import Path

from sqlite_utils import Database

from ticket.job.errors import StoreError
from ticket.job.kinds import KINDS
from ticket.job.picture import picture_fields
from ticket.job.progress import tell
from ticket.store import derived, driver, table_version
from ticket.store.index_rows import Indexer, JobIndexer, VehicleIndexer, no_job, no_rows
from ticket.store.proof.audit_file import audit_connection
from ticket.store.proof.finding import Audit, Difference
from ticket.store.proof.read_only import opened_to_read
from ticket.store.replay import broken_seals
from ticket.store.signed_heads import wrong_signatures, wrong_vouchers
from ticket.store.views import views_sql

NEWEST = 1000  # tickets whose indexes a plain audit looks at

_FAULTS = (driver.Error, ValueError, TypeError, KeyError, AttributeError)


def audit(
    db: Database, indexer: Indexer | None = None, of_vehicle: VehicleIndexer = no_rows,
    of_job: JobIndexer = no_job, *, deep: bool = False
) -> Audit:  # fmt: skip
    """Prove or disprove that nothing was altered.

    Args:
        db: the database; nothing is written to it.
        indexer: computes what makes an entry quick to find; without it no index is looked at.
        of_vehicle: computes what is kept of a vehicle over all its tickets.
        of_job: computes the row kept of a job.
        deep: replay every row, prove every seal anew, and look at all indexes.
    """
    found, _ = audit_connection(
        db.conn,
        scripts=table_version.migrations(table_version.migrations_folder()),
        views=tuple(views_sql().values()),
        pictures=_picture_fields(),
        tell=tell,
    )
    version = int(db.execute("PRAGMA user_version").fetchone()[0])
    if version != table_version.newest():
        return found  # what is derived is made anew when it is opened
    differences = list(found.differences)
    remarks = list(found.remarks)
    differences += _signatures(db)
    if deep:
        differences += _seals(db)
    if waiting := _made_anew_later(db):
        remarks.append(waiting)
    elif indexer is not None:
        differences += _indexes(db, indexer, of_vehicle, of_job, None if deep else NEWEST)
        tickets = 0 if deep else _tickets(db)
        if tickets > NEWEST:
            remarks.append(
                f"indexes: newest {NEWEST:,} of {tickets:,} tickets checked; all of them: ticket audit --deep"
            )
    return dataclasses.replace(found, differences=tuple(differences), remarks=tuple(remarks))


def audit_file(
    path: Path, indexer: Indexer, of_vehicle: VehicleIndexer = no_rows, of_job: JobIndexer = no_job,
    *, deep: bool = False,
) -> Audit:  # fmt: skip
    """The same of a file, which is opened so that nothing of it changes.

    Raises:
        StoreError: it is no database of this program, or cannot be read.
    """
    driver.check_version()
    with driver.plain_errors(path), opened_to_read(path) as connection:
        return audit(Database(connection, execute_plugins=False), indexer, of_vehicle, of_job, deep=deep)


def _signatures(db: Database) -> list[Difference]:
    try:
        return [Difference(f"journal {row}", says, row) for row, says in (*wrong_signatures(db), *wrong_vouchers(db))]
    except _FAULTS as error:
        return [Difference("signatures", f"they cannot be read: {error}")]


def _seals(db: Database) -> list[Difference]:
    try:
        return [Difference(f"journal {row}", says, row) for row, says in broken_seals(db)]
    except (StoreError, *_FAULTS) as error:
        return [Difference("journal", f"it cannot be replayed to its end: {error}")]


def _indexes(
    db: Database, indexer: Indexer, of_vehicle: VehicleIndexer, of_job: JobIndexer, most: int | None
) -> list[Difference]:  # fmt: skip
    db.execute("PRAGMA query_only=OFF")  # a second word index is made aside, in memory; the file is open for reading
    try:
        db.execute("BEGIN")
        try:
            return [Difference("index", says) for says in derived.differences(db, indexer, of_vehicle, of_job, most)]
        finally:
            db.rollback()
    except _FAULTS as error:
        return [Difference("index", f"it cannot be read ({error}); make it anew: ticket index --rebuild")]


def _made_anew_later(db: Database) -> str:
    """That the tables are new and what stands in them is not yet: the next command that opens the shop makes it anew.

    The version that was journaled last says so; whoever changes that is found by the audit of the settings.
    """
    try:
        row = db.execute("SELECT value FROM shop WHERE key = 'schema'").fetchone()
    except driver.Error:
        return ""
    if row is None or not str(row[0]).isdecimal() or int(row[0]) >= table_version.newest():
        return ""
    return (
        "indexes: not checked, they are made anew when the shop is opened: its tables were brought up to date only now"
    )


def _tickets(db: Database) -> int:
    try:
        return int(db.execute("SELECT count(*) FROM ticket").fetchone()[0])
    except driver.Error:
        return 0


def _picture_fields() -> dict[str, tuple[str, ...]]:
    return {word: names for word, kind in KINDS.items() if (names := tuple(picture_fields(kind)))}
