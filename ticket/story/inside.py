"""What stays inside the shop: the one list of fields no reader outside is told, and of words that look like it."""

import re
from dataclasses import MISSING, dataclass, fields, replace
from functools import cache
from pathlib import Path
from typing import Any

from ticket.job.kinds import KINDS, Fact


@dataclass(frozen=True, slots=True)
class _Row:
    """A row of ``inside.tsv``; its head says what the columns mean."""

    sort: str
    readers: tuple[str, ...]
    what: str
    pattern: str
    basis: str


@cache
def _rows() -> tuple[_Row, ...]:
    text = Path(__file__).with_name("inside.tsv").read_text(encoding="utf-8")
    cells = [line.split("\t") for line in text.split("\n") if line and not line.startswith("#")][1:]
    return tuple(_Row(sort, tuple(readers.split()), *rest) for sort, readers, *rest in cells)


@cache
def inside_fields(reader: str) -> tuple[tuple[str, str], ...]:
    """The fields a reader is never told, each as the kind of its entry and its name."""
    held = (row.what.partition(".") for row in _rows() if row.sort == "field" and reader in row.readers)
    return tuple((kind, name) for kind, _, name in held)


def outward(fact: Fact, reader: str) -> Fact:
    """A fact as it may be written out to a reader: its inside fields empty."""
    emptied: dict[str, Any] = {name: _empty(kind, name) for kind, name in inside_fields(reader) if kind == fact.kind}
    return replace(fact, **emptied) if emptied else fact


def _empty(kind: str, name: str) -> object:
    default = next(field.default for field in fields(KINDS[kind]) if field.name == name)
    return "" if default is MISSING else default


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple((row.what, re.compile(row.pattern, re.I)) for row in _rows() if row.sort == "words")


def looks_inside(text: str) -> str:
    """What typed words look like that may be for the shop only: "a remark about a person"; empty for nothing."""
    return next((what for what, pattern in _patterns() if pattern.search(text)), "")
