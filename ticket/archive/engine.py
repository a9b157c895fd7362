"""The engine of the archive: DuckDB, which comes with the extra ``archive``. One way to open it, one way to bind."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ticket.job.errors import InputError

if TYPE_CHECKING:
    import duckdb


def opened(path: Path | None = None, *, write: bool = False) -> "duckdb.DuckDBPyConnection":
    """A file of the archive, or a database in memory.

    Raises:
        InputError: the library is not installed.
    """
    try:
        import duckdb
    except ImportError:
        raise InputError("The archive needs a library more: pip install 'job-ticket[archive]'.") from None
    made = duckdb.connect(str(path) if path else ":memory:", read_only=path is not None and not write)
    made.execute("SET enable_progress_bar = false")  # else it draws on the terminal by itself
    return made


def asked(db: "duckdb.DuckDBPyConnection", sql: str, given: Mapping[str, object]) -> list[tuple[Any, ...]]:
    """The rows of a question whose parameters are written ``$name``."""
    wanted = {name: value for name, value in given.items() if f"${name}" in sql}
    rows: Sequence[tuple[Any, ...]] = db.execute(sql, wanted).fetchall()
    return list(rows)


def quoted_path(path: Path) -> str:
    """A path inside a statement that takes no parameter there."""
    return "'" + str(path).replace("'", "''") + "'"
