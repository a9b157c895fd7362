"""Upkeep: the word index, rebuilding and checking what is derived, copies."""

from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path

from sqlite_utils import Database

from ticket.job.errors import ConflictError, DamagedError, InputError, StoreError
from ticket.job.progress import counted
from ticket.job.ticket import Ticket
from ticket.store import derived, driver, kept_jobs, reindexing, state, vehicles
from ticket.store.audit import audit
from ticket.store.driver import plain_errors
from ticket.store.outfile import new_file
from ticket.store.page_copy import copy_whole
from ticket.store.session import Session

BATCH = 200


def refresh_words(session: Session, limit: int = BATCH) -> int:
    """Bring the words of up to ``limit`` changed tickets into the word index; how many were brought in."""
    with plain_errors(session.path):
        if not session.db.execute("SELECT 1 FROM dirty LIMIT 1").fetchone():
            return 0
    with session.writing(of_looks=True) as db:
        # Newest first, so that the rowids of the index rise: it writes those fast.
        rows = db.execute(
            "SELECT t.id, t.number FROM dirty JOIN ticket AS t ON t.id = ticket_id ORDER BY t.id DESC LIMIT ?",
            [limit],
        ).fetchall()
        for _, number in rows:
            derived.refresh(db, number, session.indexer)
        db.conn.executemany("DELETE FROM dirty WHERE ticket_id = ?", [row[:1] for row in rows])
    return len(rows)


def catch_up(session: Session) -> None:
    """Bring the words of all changed tickets into the word index, a batch at a time."""
    with plain_errors(session.path):
        behind = session.db.execute("SELECT count(*) FROM dirty").fetchone()[0]
    for _ in counted(range(-(-behind // BATCH)), "index", -(-behind // BATCH)):
        refresh_words(session)
    while refresh_words(session):  # what others changed meanwhile
        pass


def rebuild(session: Session) -> None:
    """Throw away and rebuild all that is derived from the entries: side tables and the word index."""
    with session.writing() as db:
        reindexing.rebuild(db, session.indexer, session.of_vehicle, session.of_job)


def finish_migration(session: Session, version: str) -> None:
    """Make anew all that is derived: a newer version may keep more than the entries were indexed for."""
    with session.writing() as db:
        if session.note_migration(version):
            reindexing.rebuild(db, session.indexer, session.of_vehicle, session.of_job)


def rebuild_vehicles(session: Session) -> None:
    """Keep anew how vehicles are driven and what waits on them."""
    with session.writing() as db:
        vehicles.keep_all(db, session.of_vehicle)


def count_in_new_zone(session: Session) -> None:
    """Keep anew what hangs on the shop's zone: how vehicles are driven, and the minutes of clock times."""
    with session.writing() as db:
        vehicles.keep_all(db, session.of_vehicle)
        found = db.execute(
            "SELECT DISTINCT t.number FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id"
            " WHERE e.kind = 'did' AND json_extract(e.data, '$.clock') IS NOT NULL"
        ).fetchall()
        kept_jobs.reprice(db, _readable(session, [number for (number,) in found]), session.of_job)


def _readable(session: Session, numbers: Iterable[int]) -> Iterator[tuple[int, Ticket]]:
    """Some tickets with their keys; damaged ones are left out."""
    for number in numbers:
        with suppress(DamagedError):
            loaded = state.load(session.db, number)
            yield loaded.id, session.assembled(loaded)


def check_index(session: Session) -> list[str]:
    """Compare what is derived with what the entries say; one sentence per difference, none if all is well."""
    with session.reading() as db:
        return derived.differences(db, session.indexer, session.of_vehicle, session.of_job)


def backup(session: Session, target: Path) -> None:
    """Write a checked copy while everybody keeps working. It is one file, readable from read-only media."""
    try:
        with new_file(target, database=session.path) as part:
            try:
                with plain_errors(target):
                    _copy_to(session, part)
            finally:
                for ending in ("-journal", "-wal", "-shm"):
                    part.with_name(part.name + ending).unlink(missing_ok=True)
    except ConflictError as error:
        raise InputError(f"{error} Nothing was copied: name a new file.") from None


def _copy_to(session: Session, part: Path) -> None:
    copy = driver.connect(part, "rw")
    try:
        copy_whole(session.db.conn, copy)
        copy.execute("PRAGMA journal_mode=DELETE").fetchone()
        if (found := copy.execute("PRAGMA integrity_check(1)").fetchone()[0]) != "ok":
            raise StoreError(f"the database does not copy whole ({found}): put back the newest good backup")
        checked = audit(Database(copy, execute_plugins=False))
        if not checked.ok:
            raise StoreError(f"the journal does not prove itself ({checked.reason}): keep older backups")
    finally:
        copy.close()
