"""The search tables of an archive on a PostgreSQL server, for many readers at once."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Self
from urllib.parse import urlsplit

from ticket.archive.engine import Given, Rows, used, with_sign
from ticket.archive.search_file import TABLES
from ticket.job.errors import InputError, extra_words
from ticket.job.text import one_line

if TYPE_CHECKING:
    import psycopg

_SCHEMA = "job_ticket"
_LOCK = 7_410_282  # any number: the one lock that two publishers meet at
_TYPES: Mapping[str, str] = {"VARCHAR": 'text COLLATE "C"', "DOUBLE": "double precision"}
"""Of columns; the bytes' order of texts is what the other engines have, whatever the locale of the server."""
_INDEXES: tuple[tuple[str, str], ...] = (
    ("jobs", "job"), ("codes", "code, sub, job"), ("codes", "code, job"), ("codes", "job"),
    ("causes", "code, job"), ("fixes", "code, job"), ("parts", "part, job"), ("parts", "job"),
    ("techs", "tech, job"), ("techs", "job"), ("words", "word, job"), ("words", "job, word"), ("came", "job"),
)  # fmt: skip


class Postgres:
    """A server with the tables of an archive in a schema of their own; only read."""

    def __init__(self, address: str) -> None:
        self._address = address

    def __enter__(self) -> Self:
        with _plain_errors(self._address):
            self._db = _connected(self._address)
            self._db.execute(f"SET search_path TO {_SCHEMA}, pg_temp")
            self._db.execute("SET default_transaction_read_only = on")
        return self

    def __exit__(self, *_: object) -> None:
        self._db.close()

    def ask(self, sql: str, given: Given) -> Rows:
        """The rows of a question."""
        with _plain_errors(self._address):
            text = with_sign(sql.replace("%", "%%"), r"%(\1)s")
            found: Rows = self._db.execute(text.encode(), used(sql, given)).fetchall()
            return found


def publish(address: str, tables: Iterable[tuple[str, Iterator[Rows]]]) -> None:
    """Put the tables in place of those that are there: readers see the old ones or the new ones, never a part.

    Raises:
        InputError: the library is not installed, or the server refuses or cannot be reached.
    """
    aside = f"{_SCHEMA}_new"
    with _plain_errors(address), _connected(address) as db, db.transaction():
        db.execute(f"SELECT pg_advisory_xact_lock({_LOCK})")
        db.execute(f"DROP SCHEMA IF EXISTS {aside} CASCADE")
        db.execute(f"CREATE SCHEMA {aside}")
        for name, batches in tables:
            columns = (column.split() for column in TABLES[name][0].split(", "))
            told = ", ".join(f'"{column}" {_TYPES.get(kind, kind)}' for column, kind in columns)
            db.execute(f"CREATE TABLE {aside}.{name} ({told})".encode())
            with db.cursor().copy(f"COPY {aside}.{name} FROM STDIN".encode()) as copy:
                for rows in batches:
                    for row in rows:
                        copy.write_row(tuple(map(_storable, row)))
        for table, index in _INDEXES:
            db.execute(f"CREATE INDEX ON {aside}.{table} ({index})".encode())
        for table in TABLES:
            db.execute(f"ANALYZE {aside}.{table}".encode())
        db.execute(f"DROP SCHEMA IF EXISTS {_SCHEMA} CASCADE")
        db.execute(f"ALTER SCHEMA {aside} RENAME TO {_SCHEMA}")


def _storable(value: object) -> object:
    """PostgreSQL keeps no NUL in a text."""
    return value.replace("\0", "") if isinstance(value, str) else value


def _connected(address: str) -> "psycopg.Connection":
    import psycopg

    return psycopg.connect(address, connect_timeout=10, application_name="job ticket", autocommit=True)


@contextmanager
def _plain_errors(address: str) -> Iterator[None]:
    try:
        import psycopg
    except ImportError:
        raise InputError(f"PostgreSQL needs {extra_words('servers')}") from None
    where = urlsplit(address)
    server = f"The server {one_line(where.hostname or 'on this machine')}"  # never the address: it may hold a password
    try:
        yield
    except psycopg.errors.UndefinedTable:
        raise InputError(f"{server} holds no archive: ticket gather --to FOLDER --into puts one there.") from None
    except psycopg.Error as error:
        said = one_line(str(error).strip().splitlines()[0]) if str(error).strip() else type(error).__name__
        secret = where.password
        raise InputError(f"{server} says: {said.replace(secret, '***') if secret else said}") from None
