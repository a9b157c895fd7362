"""Rows as a Parquet file, for other programs; the library that writes it comes with the extra ``archive``."""

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from ticket.job.errors import InputError, extra_words


def parquet_of(rows: Sequence[Mapping[str, object]]) -> bytes:
    """The rows as the bytes of a Parquet file; all have the same columns.

    Raises:
        InputError: the library is not installed, or there is no row.
    """
    try:
        import duckdb
    except ImportError:
        raise InputError(f"Parquet needs {extra_words('archive')}") from None
    if not rows:
        raise InputError("No job fits: there is no table to write.")
    with TemporaryDirectory(prefix="ticket-parquet-") as folder, duckdb.connect() as con:
        lines, made = Path(folder, "rows.json"), Path(folder, "rows.parquet")
        lines.write_text("\n".join(json.dumps(row) for row in rows), encoding="utf-8")
        con.execute("SET enable_progress_bar = false")
        con.read_json(str(lines), format="newline_delimited").to_parquet(str(made), compression="zstd")
        return made.read_bytes()
