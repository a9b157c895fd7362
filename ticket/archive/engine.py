"""The engines that answer questions over an archive, and one way to ask each of them.

A question is one plain SQL text with parameters written ``:name``; only the sign before a name differs between engines.
DuckDB is embedded and answers from the archive's own search file; a server is named by its address: PostgreSQL where
many ask at once, Spark where one machine is not enough.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, Self

from ticket.job.errors import InputError, extra_words
from ticket.job.regex import Regex
from ticket.job.text import one_line

if TYPE_CHECKING:
    import duckdb

Rows = list[tuple[Any, ...]]
Given = Mapping[str, object]
_NAMED = Regex(r"(?<!:):([a-z]\w*)")


class Engine(Protocol):
    """What is asked; open from ``with`` to its end."""

    def __enter__(self) -> Self: ...

    def __exit__(self, *_: object) -> None: ...

    def ask(self, sql: str, given: Given) -> Rows:
        """The rows of a question whose parameters are written ``:name``.

        Raises:
            InputError: the engine refuses or cannot be reached.
        """


class Embedded:
    """DuckDB over the search file of an archive, which nobody else may write meanwhile."""

    def __init__(self, path: Path) -> None:
        self._path = path
        with _read_errors(path):
            self._db = opened(path)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._db.close()

    def ask(self, sql: str, given: Given) -> Rows:
        """The rows of a question."""
        with _read_errors(self._path):
            found: Rows = self._db.execute(with_sign(sql, r"$\1"), used(sql, given)).fetchall()
        return found


def opened(path: Path | None = None, *, write: bool = False) -> "duckdb.DuckDBPyConnection":
    """A file of the archive, or a database in memory.

    Raises:
        InputError: the library is not installed.
    """
    made = _library().connect(str(path) if path else ":memory:", read_only=path is not None and not write)
    made.execute("SET enable_progress_bar = false")  # else it draws on the terminal by itself
    return made


@contextmanager
def copy_errors(folder: Path) -> Iterator[None]:
    """A file that DuckDB cannot write there, in one sentence."""
    try:
        yield
    except _library().Error as error:
        raise InputError(f"{one_line(str(folder))} cannot hold the tables: {_first_line(error)}") from None


@contextmanager
def _read_errors(path: Path) -> Iterator[None]:
    """A search file that is damaged or that another program has open, in one sentence; all else is a fault of ours."""
    library = _library()
    try:
        yield
    except (library.IOException, library.SerializationException, library.InternalException) as error:
        raise InputError(
            f"{one_line(str(path))} cannot be read ({_first_line(error)}). It holds nothing that the records of its"
            " archive do not: once it is deleted, the next question makes it anew."
        ) from None


def _library() -> Any:
    try:
        import duckdb
    except ImportError:
        raise InputError(f"The archive needs {extra_words('archive')}") from None
    return duckdb


def _first_line(error: Exception) -> str:
    return one_line(str(error).splitlines()[0])


def with_sign(sql: str, written: str) -> str:
    r"""The question with its parameters as an engine writes them; ``written`` is a template such as ``$\1``."""
    return _NAMED.sub(written, sql)


def used(sql: str, given: Given) -> dict[str, object]:
    """The values of the parameters that stand in a question; an engine refuses others."""
    return {name: given[name] for name in _NAMED.findall(sql)}


def quoted_path(path: Path) -> str:
    """A path inside a statement that takes no parameter there."""
    return "'" + str(path).replace("'", "''") + "'"
