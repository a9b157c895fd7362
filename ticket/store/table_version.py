"""Which tables a database file has, and whether this program may use them. Light: no sqlite-utils."""

from functools import cache
from pathlib import Path

from ticket.data import data_folder
from ticket.job.errors import StoreError
from ticket.store.driver import Connection

APPLICATION_ID = 1414088267  # "TIFK" in the file's header, so that other tools can tell what it is


def migrations_folder() -> Path:
    """Where the numbered SQL files are."""
    return data_folder("schemas") / "sql"


@cache
def migrations(folder: Path) -> tuple[Path, ...]:
    """The migrations in order; the first makes an empty file into version 1.

    Raises:
        StoreError: the files are missing or not numbered 0001, 0002 ...
    """
    files = tuple(sorted(folder.glob("[0-9][0-9][0-9][0-9]-*.sql")))
    if not files or [int(file.name[:4]) for file in files] != list(range(1, len(files) + 1)):
        raise StoreError(f"the program is incomplete: its table definitions in {folder} are missing or out of order")
    return files


def newest() -> int:
    """The version this program reads and writes."""
    return len(migrations(migrations_folder()))


def version(connection: Connection, path: Path) -> int:
    """The version of a database: 0 for an empty file.

    Raises:
        StoreError: it belongs to another program, or to a newer version of this one.
    """
    application = int(connection.execute("PRAGMA application_id").fetchone()[0])
    found = int(connection.execute("PRAGMA user_version").fetchone()[0])
    if application == 0 and found == 0 and not connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
        return 0
    if application != APPLICATION_ID:
        raise StoreError(f"{path} is not a ticket database: it belongs to another program")
    if found > newest():
        raise StoreError(
            f"{path} was written by a newer version of this program (tables {found}, this one knows {newest()}): "
            "update the program on this machine"
        )
    return found
