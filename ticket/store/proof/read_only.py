"""Opening a database so that nothing of it changes, wherever it lies and whoever owns it."""

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ticket.store.driver import Connection, Error, sqlite3

_CLOSED = ("SQLITE_CANTOPEN", "SQLITE_READONLY", "SQLITE_PERM", "SQLITE_IOERR")


@contextmanager
def opened_to_read(path: Path) -> Iterator[Connection]:
    """A connection that writes nothing, not even beside the file.

    Read-only media and other logins' folders allow no log beside the file. Without a log the file is read as
    unchanging. Never beside one that holds anything: the newest rows stand in it and would be missed without a word; so
    both are copied to a folder of this login's own and read there.

    Raises:
        Error: it is no database, or cannot be read.
        OSError: its copy cannot be made.
    """
    log = path.with_name(f"{path.name}-wal")
    with tempfile.TemporaryDirectory(prefix="ticket-audit-") as folder:
        connection = _open(path, "mode=ro")
        if connection is None and log.exists() and log.stat().st_size:
            copy = Path(folder) / "copy.db"
            shutil.copyfile(path, copy)
            shutil.copyfile(log, copy.with_name("copy.db-wal"))
            connection = _open(copy, "mode=rw")
        connection = connection or _open(path, "mode=ro&immutable=1", last=True)
        if connection is None:
            raise Error(f"{path} cannot be opened")
        try:
            yield connection
        finally:
            connection.close()


def _open(path: Path, how: str, *, last: bool = False) -> Connection | None:
    connection = sqlite3.connect(f"{path.absolute().as_uri()}?{how}", uri=True, isolation_level=None, timeout=5)
    try:
        for pragma in ("trusted_schema=OFF", "query_only=ON", "cell_size_check=ON", "mmap_size=0", "cache_size=-16000"):
            connection.execute(f"PRAGMA {pragma}").fetchall()
        connection.execute("SELECT count(*) FROM sqlite_schema").fetchall()
    except Error as error:
        connection.close()
        if not last and str(getattr(error, "sqlite_errorname", "")).startswith(_CLOSED):
            return None
        raise
    return connection
