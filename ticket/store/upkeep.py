"""Upkeep: the word index, rebuilding and checking what is derived, copies."""

import contextlib
from collections import Counter
from pathlib import Path

from sqlite_utils import Database

from ticket.job.errors import ConflictError, DamagedError, InputError, StoreError
from ticket.store import audit, driver, index, phrase_history, state, vehicles
from ticket.store.driver import plain_errors
from ticket.store.index_rows import WORD_COLUMNS
from ticket.store.outfile import new_file
from ticket.store.session import Session

BATCH = 200


def refresh_words(session: Session, limit: int = BATCH) -> int:
    """Bring the words of up to ``limit`` changed tickets into the word index; how many were brought in."""
    with plain_errors(session.path):
        if not session.db.execute("SELECT 1 FROM dirty LIMIT 1").fetchone():
            return 0
    with session.writing() as db:
        # Newest first, so that the rowids of the index rise: it writes those fast.
        rows = db.execute(
            "SELECT t.id, t.number FROM dirty JOIN ticket AS t ON t.id = ticket_id ORDER BY t.id DESC LIMIT ?",
            [limit],
        ).fetchall()
        for _, number in rows:
            _refresh(session, db, number)
        db.conn.executemany("DELETE FROM dirty WHERE ticket_id = ?", [row[:1] for row in rows])
    return len(rows)


def _refresh(session: Session, db: Database, number: int, table: str = "ticket_fts") -> None:
    with contextlib.suppress(DamagedError):  # its old words stay; whoever asks for the ticket is told
        loaded = state.load(db, number)
        index.write_words(db, loaded, index.word_row(session.assembled(loaded), session.indexer), table)


def rebuild(session: Session) -> None:
    """Throw away and rebuild all that is derived from the entries: side tables and the word index."""
    with session.writing() as db:
        for table in index.SIDE_TABLES:
            db.execute(f"DELETE FROM {table}")  # noqa: S608
        db.execute("INSERT INTO ticket_fts(ticket_fts) VALUES('delete-all')")
        for (number,) in db.execute("SELECT number FROM ticket ORDER BY id DESC").fetchall():
            with contextlib.suppress(DamagedError):
                loaded = state.load(db, number)
                index.write_side_rows(db, session.assembled(loaded), loaded, loaded.entries, session.indexer)
            _refresh(session, db, number)
        vehicles.keep_all(db, session.of_vehicle)
        db.execute("DELETE FROM dirty")
        db.table("ticket_fts").optimize()
        db.execute("ANALYZE")


def rebuild_vehicles(session: Session) -> None:
    """Keep anew how vehicles are driven and what waits on them."""
    with session.writing() as db:
        vehicles.keep_all(db, session.of_vehicle)


def check_index(session: Session) -> list[str]:
    """Compare what is derived with what the entries say; one sentence per difference, none if all is well."""
    with session.reading() as db:
        rows = db.execute("SELECT id, number FROM ticket ORDER BY id DESC").fetchall()
        found = [line for _, number in rows if (line := _side_difference(session, db, number))]
        known = {found_id for found_id, _ in rows}
        for table in index.SIDE_TABLES:
            held = {row[0] for row in db.execute(f"SELECT DISTINCT ticket_id FROM {table}").fetchall()}  # noqa: S608
            found += [f"{table} holds rows of no ticket"] * bool(held - known)
        found += [f"what is kept of {name[1:]} differs" for name in vehicles.differing(db, session.of_vehicle)]
        found += ["the phrases are not what the entries add up to"] * phrase_history.differs(db)
        return found + _word_differences(session, db, dict(rows))


def _side_difference(session: Session, db: Database, number: int) -> str:
    try:
        loaded = state.load(db, number)
        wanted = Counter(index.expected_rows(session.assembled(loaded), session.indexer))
    except DamagedError:
        return f"ticket {number} cannot be read"
    held: Counter[tuple[str, index.Cells]] = Counter()
    for table, columns in index.SIDE_TABLES.items():
        rows = db.execute(f"SELECT no, {', '.join(columns)} FROM {table} WHERE ticket_id = ?", [loaded.id])  # noqa: S608
        held.update((table, tuple(row)) for row in rows.fetchall())
    wrong = sorted({table for table, _ in (wanted - held) + (held - wanted)})
    return f"ticket {number}: {', '.join(wrong)} differ from its entries" if wrong else ""


def _word_differences(session: Session, db: Database, numbers: dict[int, int]) -> list[str]:
    """The word index keeps no texts, so a second one is made beside it and both are read word by word."""
    columns = ", ".join(WORD_COLUMNS)
    db.execute(f"CREATE VIRTUAL TABLE temp.wanted USING fts5({columns}, content='', contentless_delete=1)")
    db.execute("CREATE VIRTUAL TABLE temp.wanted_words USING fts5vocab(temp, wanted, instance)")
    db.execute("CREATE VIRTUAL TABLE temp.held_words USING fts5vocab(main, ticket_fts, instance)")
    behind = {row[0] for row in db.execute("SELECT ticket_id FROM dirty").fetchall()}
    for found_id, number in numbers.items():
        if found_id not in behind:
            _refresh(session, db, number, "temp.wanted")
    differing: set[int] = set()
    for one, other in (("wanted_words", "held_words"), ("held_words", "wanted_words")):
        rows = db.execute(
            f"SELECT doc FROM (SELECT term, doc, col, offset FROM {one} "  # noqa: S608
            f"EXCEPT SELECT term, doc, col, offset FROM {other})"
        )
        differing |= {index.SHIFT - row[0] for row in rows.fetchall()}
    return [
        f"ticket {numbers[found_id]}: the word index differs from its entries"
        if found_id in numbers
        else "the word index holds words of no ticket"
        for found_id in sorted(differing - behind)
    ]


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
        # In one step: in smaller ones every commit of another terminal would start the copy over.
        session.db.conn.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE").fetchone()
        if (found := copy.execute("PRAGMA integrity_check(1)").fetchone()[0]) != "ok":
            raise StoreError(f"the database does not copy whole ({found}): put back the newest good backup")
        checked = audit.audit(Database(copy, execute_plugins=False))
        if not checked.ok:
            raise StoreError(f"the journal does not prove itself ({checked.reason}): keep older backups")
    finally:
        copy.close()
