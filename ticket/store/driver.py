"""The one place that picks the SQLite library, and the only one that imports it.

Two SQLite libraries in one process on one file drop each other's POSIX locks, so everything uses the module named here:
sqlite-utils too, which picks pysqlite3 where there is a module of that name. Both wheels are the module of the standard
library over a newer SQLite; of the second, which Linux on ARM has, none of the extensions is loaded.
"""

from __future__ import annotations

import os
import stat
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.job.errors import SealedError, StoreError
from ticket.store.file_modes import locked_out, unmasked

if TYPE_CHECKING:
    import sqlite3  # noqa: TID251 - the types of the standard library describe both
else:
    try:
        import pysqlite3 as sqlite3  # noqa: TID251
    except ImportError:
        try:
            import sqlean as sqlite3  # noqa: TID251

            sys.modules |= {"pysqlite3": sqlite3, "pysqlite3.dbapi2": sqlite3.dbapi2}  # for sqlite-utils
        except ImportError:
            import sqlite3  # noqa: TID251

__all__ = [
    "BUSY_MS", "FLOOR", "Connection", "Error", "check_version", "connect", "damaged", "is_shop", "is_there",
    "plain_errors", "sentence", "sqlite3",
]  # fmt: skip

Connection = sqlite3.Connection
Error = sqlite3.Error

FLOOR = (3, 43, 0)  # the first with contentless_delete, which the word index needs
BUSY_MS = 5000
_FULL = "there is no room left on the disk of {path}: nothing was written; free some space and try again"
_DAMAGED = (
    "{path} is damaged ({error}): ticket audit names what is, and what can still be read; put back the newest"
    " backup, or read out the rest with ticket rescue"
)
_CLOSED = "SQLITE_CANTOPEN"
_SENTENCES = {
    "SQLITE_NOTADB": "{path} is not a ticket database",
    "SQLITE_CORRUPT": _DAMAGED,
    "SQLITE_FULL": _FULL,
    "SQLITE_IOERR": "the disk of {path} refused to work ({error}): nothing was changed; check its space and health",
    "SQLITE_BUSY": "{path} is held by another program: nothing was changed; try again",
    "SQLITE_LOCKED": "{path} is held by another program: nothing was changed; try again",
    "SQLITE_READONLY": "{path} may be read but not written: nothing was changed; check its permissions",
    _CLOSED: "{path} cannot be opened: check that it is a file and that its folder may be written",
    "SQLITE_PERM": "{path} may not be opened: check its permissions",
    "SQLITE_AUTH": "{path} may not be opened: check its permissions",
}


def check_version(found: tuple[int, ...] = sqlite3.sqlite_version_info) -> None:
    """Refuse a SQLite library below :data:`FLOOR` in one sentence.

    Raises:
        StoreError: with the version found and the cure.
    """
    if found < FLOOR:
        raise StoreError(
            f"this Python comes with SQLite {'.'.join(map(str, found))}, but 3.43 or later is needed: "
            "pip install pysqlite3 (PCs, Apple silicon) or sqlean.py (Linux on ARM, other Macs) brings one; where both"
            " have no wheel, take a Python that brings its own: uv tool install --python 3.13 job-ticket"
        )


_PRAGMAS = (
    "trusted_schema=OFF", "mmap_size=0", f"busy_timeout={BUSY_MS}", "cell_size_check=ON", "cache_size=-16000",
    "foreign_keys=ON", "recursive_triggers=ON", "synchronous=FULL", "fullfsync=ON", "checkpoint_fullfsync=ON",
    "journal_size_limit=67108864",
)  # fmt: skip


def connect(path: Path, mode: str = "rw") -> Connection:
    """A connection with every per-connection setting made; ``mode`` is ``ro``, ``rw`` or ``rwc``.

    Transactions are explicit only. No memory map: an I/O error would then end the process. The header is read at once,
    for with that the library makes the files beside the database, which a group must be able to open.
    """
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}", uri=True, isolation_level=None, timeout=BUSY_MS / 1000
    )
    try:
        with unmasked(path):  # some of these read the schema, which makes the side files
            for pragma in (*_PRAGMAS, "query_only=ON" if mode == "ro" else "secure_delete=ON"):
                connection.execute(f"PRAGMA {pragma}").fetchall()
            connection.execute("PRAGMA schema_version").fetchall()
    except BaseException:
        connection.close()
        raise
    return connection


def is_there(path: Path) -> bool:
    """Whether there is a file at that path.

    Raises:
        StoreError: something else is there, such as a pipe that would never answer; or nobody can tell, such as
            where a folder above it may not be entered.
    """
    try:
        found = path.stat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        return False
    except (OSError, ValueError) as error:
        raise StoreError(f"{path} cannot be looked at: {getattr(error, 'strerror', None) or error}") from error
    if not stat.S_ISREG(found):
        kind = "a folder" if stat.S_ISDIR(found) else "a pipe or device"
        raise StoreError(f"{path} is {kind}, no ticket database: name a file")
    return True


def is_shop(path: Path) -> bool:
    """Whether a file stands at that path that holds anything: an empty one is a shop nobody began.

    Raises:
        StoreError: nobody can tell.
    """
    try:
        return is_there(path) and path.stat().st_size > 0
    except OSError as error:
        raise StoreError(f"{path} cannot be looked at: {error}") from error


@contextmanager
def plain_errors(path: Path) -> Iterator[None]:
    """Turn every error of the library into one sentence that names the file and the cure.

    Raises:
        SealedError: a guard of the schema refused to touch a signed ticket.
        StoreError: everything else.
    """
    try:
        yield
    except UnicodeDecodeError as error:  # the library quotes a damaged page in its complaint
        raise StoreError(_DAMAGED.format(path=path, error="its schema is no text")) from error
    except sqlite3.Error as error:
        if "signed: amend instead" in str(error):
            raise SealedError("the ticket is signed: amend it instead") from error
        raise StoreError(sentence(error, path)) from error


def damaged(error: BaseException) -> bool:
    """Whether a sentence of :func:`plain_errors` stands for pages that are broken."""
    return getattr(error.__cause__, "sqlite_errorname", "").startswith("SQLITE_CORRUPT")


def sentence(error: Exception, path: Path) -> str:
    """One sentence for an error of the library; the extended names begin with the plain ones."""
    name = str(getattr(error, "sqlite_errorname", None) or "")
    if name.startswith(_CLOSED) and path.is_file() and not os.access(path, os.R_OK):
        return str(locked_out(path))
    for known, text in _SENTENCES.items():
        if name == known or name.startswith(f"{known}_"):
            return text.format(path=path, error=error)
    for words, text in (("disk is full", _FULL), ("malformed", _DAMAGED), ("decode to UTF-8", _DAMAGED)):
        if words in str(error):  # a copy that fails tells no name
            return text.format(path=path, error=error)
    return f"{path} could not be used: {error}"
