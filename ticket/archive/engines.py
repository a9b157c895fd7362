"""Which engine answers for an archive, by how it is named: a folder, or the address of a server."""

import os
from collections.abc import Iterator
from pathlib import Path

from ticket.archive import manifest
from ticket.archive.engine import Embedded, Engine, Rows, opened
from ticket.archive.search_file import TABLES, current
from ticket.job.errors import InputError
from ticket.job.progress import counted
from ticket.job.text import one_line
from ticket.machine.environment import named

_ROWS = 10_000  # of one step of a copy
POSTGRES, SPARK = ("postgresql:", "postgres:"), ("spark:",)


def engine_of(archive: str | Path) -> Engine:
    """The engine of an archive: a folder as ``ticket gather`` made it, or ``postgresql://`` or ``spark:``.

    Raises:
        InputError: there is no such archive.
    """
    name = os.fspath(archive)
    if name.startswith(POSTGRES):
        from ticket.archive.postgres import Postgres

        return Postgres(name)
    if name.startswith(SPARK):
        from ticket.archive.spark import Spark

        return Spark(name)
    return Embedded(current(named(name)))


def check_address(address: str) -> None:
    """Refuse an address that names no server, before anything is gathered for it. Raises :class:`InputError`."""
    if not address.startswith((*SPARK, *POSTGRES)):
        raise InputError(f"{one_line(address)} names no server: postgresql://HOST/DATABASE or spark:FOLDER.")


def publish(archive: Path, address: str) -> None:
    """Put the search tables of an archive onto a server, in place of those it holds.

    Raises:
        InputError: the address names no engine, or the engine refuses or cannot be reached.
    """
    check_address(address)
    if address.startswith(SPARK):
        from ticket.archive import spark

        spark.publish(address, current(archive), manifest.read(archive).generation)
    else:
        from ticket.archive import postgres

        postgres.publish(address, _tables(current(archive)))


def _tables(search: Path) -> Iterator[tuple[str, Iterator[Rows]]]:
    for name in counted(list(TABLES), "copy", len(TABLES)):
        yield name, _batches(search, name)


def _batches(search: Path, table: str) -> Iterator[Rows]:
    with opened(search) as db:
        db.execute(f"SELECT * FROM {table} ORDER BY {TABLES[table][1]}")  # noqa: S608 - names of this room
        while rows := db.fetchmany(_ROWS):
            yield rows
