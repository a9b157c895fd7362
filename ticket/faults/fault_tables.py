"""The tables of this package: tab-separated files, each with its sources and standing in its first lines."""

from functools import cache
from importlib.resources import files


@cache
def rows(name: str) -> tuple[tuple[str, ...], ...]:
    """The rows of a table file without comments and without its line of column names."""
    text = files("ticket.faults").joinpath(name).read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return tuple(tuple(line.split("\t")) for line in lines[1:])
