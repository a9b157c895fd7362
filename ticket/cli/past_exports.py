"""Past jobs as they leave for spreadsheets and other programs: whole, or with a remark that they are not."""

import argparse
from collections.abc import Sequence
from typing import Any

from ticket.cli.output import hand_out, remark, say_bytes, to_file
from ticket.job.csv_table import csv_table

PAGE = 50
"""Jobs that are told at once."""


def limit_of(options: argparse.Namespace, form: str) -> int | None:
    """How many jobs are given: a screenful of text or a page of so many; what leaves for other programs holds all."""
    if options.limit is None and (form == "text" or options.page > 1):
        return PAGE
    found: int | None = options.limit
    return found


def remark_cut(form: str, given: int, total: int) -> None:
    """Say that an export is not whole: nothing in a table would show it."""
    if form != "text" and 0 < given < total:
        remark(f"{given:,} of {total:,} jobs that fit are in it; without --limit and --page all are.")


def put_table(options: argparse.Namespace, form: str, columns: Sequence[str], rows: Sequence[dict[str, Any]]) -> None:
    """Jobs as a table: one row each, lists in one cell."""
    cells = [{name: _cell(row[name]) for name in columns} for row in rows]
    if form == "csv":
        put_bytes(options, csv_table(columns, (row.values() for row in cells)).encode())
    else:
        from ticket.cli.parquet import parquet_of

        put_bytes(options, parquet_of(cells))


def put_bytes(options: argparse.Namespace, made: bytes) -> None:
    """What is no text for a terminal, to ``--output`` where one is named, else to standard output."""
    if to_file(options):
        hand_out(options, made)
    else:
        say_bytes(made)


def _cell(value: object) -> object:
    return "; ".join(value) if isinstance(value, list) else value
