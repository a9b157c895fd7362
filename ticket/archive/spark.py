"""The search tables of an archive as sorted Parquet, asked by Spark where one machine is not enough."""

# ruff: noqa: S608 - the SQL is made of constants of this room; what was typed is bound

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Self
from urllib.parse import unquote, urlsplit

from ticket.archive.engine import Given, Rows, copy_errors, opened, quoted_path, used
from ticket.archive.search_file import TABLES
from ticket.job.errors import InputError, extra_words
from ticket.job.text import one_line
from ticket.store.file_modes import make_folder

if TYPE_CHECKING:
    from pyspark.sql import SparkSession

_QUIET = Path(__file__).parent / "spark_log.properties"


def place(address: str) -> tuple[str, Path]:
    """The master and the folder of an address: ``spark:FOLDER`` on this machine, else ``spark://HOST:PORT/FOLDER``."""
    parts = urlsplit(address)
    folder = Path(unquote(parts.path)).expanduser()
    return (f"spark://{parts.netloc}" if parts.netloc else "local[*]"), folder


class Spark:
    """A session over the newest tables of a folder."""

    def __init__(self, address: str) -> None:
        self._master, self._folder = place(address)

    def __enter__(self) -> Self:
        tables = _newest(self._folder)
        with _plain_errors():
            self._session = _session(self._master)
            for name in TABLES:
                self._session.read.parquet((tables / f"{name}.parquet").as_uri()).createOrReplaceTempView(name)
        return self

    def __exit__(self, *_: object) -> None:
        """The session stays: to start one takes seconds, and the process ends it."""

    def ask(self, sql: str, given: Given) -> Rows:
        """The rows of a question; Spark writes parameters as we do."""
        with _plain_errors():
            return [tuple(row) for row in self._session.sql(sql, args=used(sql, given)).collect()]


def publish(address: str, search: Path, generation: int) -> None:
    """Write the tables of a search file as Parquet: aside, then renamed; older ones go when the new ones stand.

    Args:
        address: as of :func:`place`.
        search: the search file.
        generation: of the archive; names the folder.

    Raises:
        InputError: the folder cannot be written.
    """
    _, folder = place(address)
    target, aside = folder / f"tables-{generation:09}", folder / f"tables-{generation:09}.{os.getpid()}.tmp"
    try:
        make_folder(folder)
        shutil.rmtree(aside, ignore_errors=True)
        make_folder(aside)
        with opened(search) as db, copy_errors(folder):
            for name, (_, order) in TABLES.items():
                into = quoted_path(aside / f"{name}.parquet")
                db.execute(f"COPY (SELECT * FROM {name} ORDER BY {order}) TO {into} (FORMAT parquet, COMPRESSION zstd)")
        shutil.rmtree(target, ignore_errors=True)
        aside.rename(target)
        for older in folder.glob("tables-*"):
            if older != target:
                shutil.rmtree(older, ignore_errors=True)
    except OSError as error:
        raise InputError(f"{one_line(str(folder))} cannot hold the tables: {error.strerror}.") from None


def _newest(folder: Path) -> Path:
    held = sorted(path for path in folder.glob("tables-*") if path.suffix != ".tmp")
    if not held:
        raise InputError(f"{one_line(str(folder))} holds no archive: ticket gather --to FOLDER --into puts one there.")
    return held[-1].absolute()


def _session(master: str) -> "SparkSession":
    from pyspark.sql import SparkSession

    made = SparkSession.builder.master(master).appName("job ticket")
    settings = {
        "spark.driver.extraJavaOptions": f"-Dlog4j2.configurationFile={_QUIET.as_uri()}",
        "spark.ui.enabled": "false", "spark.ui.showConsoleProgress": "false", "spark.sql.shuffle.partitions": "8",
        "spark.sql.session.timeZone": "UTC",
    }  # fmt: skip
    if master.startswith("local"):  # nobody else is to reach it
        settings |= {"spark.driver.host": "127.0.0.1", "spark.driver.bindAddress": "127.0.0.1"}
    for name, value in settings.items():
        made = made.config(name, value)
    return made.getOrCreate()


@contextmanager
def _plain_errors() -> Iterator[None]:
    """What Spark, Java or the way between them refuses, in one sentence."""
    try:
        from py4j.protocol import Py4JError
        from pyspark.errors import PySparkException
    except ImportError:
        raise InputError(f"Spark needs Java 17 and {extra_words('servers')}") from None
    try:
        yield
    except (PySparkException, Py4JError, OSError, RuntimeError) as error:
        said = str(error).strip().splitlines() or [type(error).__name__]
        raise InputError(f"Spark says: {one_line(said[0])}") from None
