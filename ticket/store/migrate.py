"""Brings an older database up to date, and makes a new one out of an empty file: the same numbered SQL files."""

import os
from collections.abc import Iterator
from pathlib import Path

from sqlite_utils import Database

from ticket.job.errors import StoreError
from ticket.store import table_version
from ticket.store.driver import Connection, Error, connect, plain_errors, sentence, sqlite3
from ticket.store.file_modes import make_file, unmasked
from ticket.store.lock import FileLock


def bring_up_to_date(path: Path) -> Path | None:
    """Migrate a database that nobody in this process has open; the copy made before, or ``None``.

    Raises:
        StoreError: it cannot be done; the database is as it was.
    """
    lock = FileLock(path)
    try:
        with lock, plain_errors(path):
            connection = connect(path)
            try:
                return migrate(connection, path)
            finally:
                connection.close()
    finally:
        lock.close()


def migrate(connection: Connection, path: Path) -> Path | None:
    """Apply what is missing, one transaction per file, after a copy. The caller holds the lock.

    Returns:
        The copy of the database as it was, or ``None`` where it was new or up to date.

    Raises:
        StoreError: a newer or foreign database, or a migration failed (and was rolled back).
    """
    found = table_version.version(connection, path)
    files = table_version.migrations(table_version.migrations_folder())[found:]
    copy = _copy(connection, path, found) if found and files else None
    with unmasked(path):
        mode = connection.execute("PRAGMA journal_mode=WAL").fetchone()[0]  # a copy put back is not, yet
    if mode != "wal":
        raise StoreError(f"{path} lies where SQLite cannot write ahead (a network drive?): use a local disk")
    for number, file in enumerate(files, found + 1):
        _apply(connection, path, number, file, copy)
    return copy


def _apply(connection: Connection, path: Path, number: int, file: Path, copy: Path | None) -> None:
    db = Database(connection, execute_plugins=False)
    db.execute("BEGIN IMMEDIATE")
    try:
        for statement in _statements(file.read_text(encoding="utf-8")):
            db.execute(statement)  # one by one: a whole script would end the open transaction first
        db.execute(f"PRAGMA user_version={number}")
        if broken := db.execute("PRAGMA foreign_key_check").fetchall():
            raise StoreError(f"{path} could not be brought to version {number}: {len(broken)} rows point nowhere")
        db.commit()
    except Error as error:
        db.rollback()
        kept = f"; a copy is at {copy}" if copy else ""
        raise StoreError(
            f"{path} could not be brought to version {number} and is as it was{kept}: {sentence(error, path)}"
        ) from error
    except BaseException:
        db.rollback()
        raise


def _statements(script: str) -> Iterator[str]:
    """The statements of a script; not every semicolon ends one: it may stand in a text, a remark or a trigger."""
    *pieces, rest = script.split(";")
    statement = ""
    for piece in pieces:
        statement += f"{piece};"
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""
    if (statement + rest).strip():
        yield statement + rest


def _copy(connection: Connection, path: Path, found: int) -> Path:
    number = 1
    while (copy := path.with_name(f"{path.name}.before-{found + 1}.{number}")).exists():
        number += 1
    try:
        os.close(make_file(copy))
    except OSError as error:
        raise StoreError(f"{copy} cannot be written: {(error.strerror or str(error)).lower()}") from error
    target = connect(copy)
    try:
        connection.backup(target)
        target.execute("PRAGMA journal_mode=DELETE").fetchone()
    except BaseException:
        target.close()
        copy.unlink(missing_ok=True)
        raise
    target.close()
    return copy
