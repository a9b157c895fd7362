"""A paper kept for good: its blocks as plain JSON and back, so that a later version writes the same bytes of it."""

import dataclasses
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from ticket.papers.labels import labels
from ticket.papers.sheet import (
    Block,
    Column,
    Facts,
    GroundLine,
    Grounds,
    Heading,
    Items,
    Lead,
    Measured,
    Measures,
    Notice,
    Paragraph,
    Pictures,
    Said,
    Sheet,
    Shown,
    Signatures,
    Table,
    Total,
)

LAYOUT = 1
"""How a sheet becomes text, Markdown and HTML: a changed form gets a new number, and the old form stays beside it."""

PLACE = "\0record\0"
"""Stands where the record of the row will stand that promises the sheet: no sheet can hold it before.

No typed text holds such a sign."""

_IS, _AT = "is", "at"
# By the names that stand in kept papers: a class may be called otherwise one day, these stay.
_CLASSES: dict[str, type[Any]] = {
    "Said": Said, "Heading": Heading, "Lead": Lead, "Paragraph": Paragraph, "Items": Items, "Measured": Measured,
    "Measures": Measures, "Facts": Facts, "Column": Column, "Total": Total, "Table": Table, "Shown": Shown,
    "Pictures": Pictures, "Notice": Notice, "Signatures": Signatures, "Ground": GroundLine, "Grounds": Grounds,
    "Sheet": Sheet,
}  # fmt: skip
_NAMES = {cls: name for name, cls in _CLASSES.items()}


def as_record(paper: Sheet) -> Any:
    """The paper as JSON values; the content of a picture stands for itself elsewhere, under its digest."""
    return _plain(paper)


def from_record(data: Any, record: str, pictures: Mapping[str, bytes]) -> Sheet:
    """The paper again, with its record in its place; a picture that is not at hand is told in its line."""
    made: Sheet = _made(data, record, pictures)
    return dataclasses.replace(made, blocks=tuple(one for block in made.blocks for one in _at_hand(block)))


def without_sources(paper: Sheet) -> Sheet:
    """The paper as it is read without the numbers of what its sentences rest on."""
    kept = tuple(block for block in paper.blocks if not isinstance(block, Grounds))
    return dataclasses.replace(paper, blocks=kept, numbered=False)


def with_note(paper: Sheet, note: Block) -> Sheet:
    """The paper with a note behind the words of its record."""
    at = _behind_record(paper)
    return dataclasses.replace(paper, blocks=(*paper.blocks[:at], note, *paper.blocks[at:]))


def without_note(paper: Sheet) -> Sheet:
    """The paper without that note."""
    at = _behind_record(paper)
    return dataclasses.replace(paper, blocks=(*paper.blocks[:at], *paper.blocks[at + 1 :]))


def _behind_record(paper: Sheet) -> int:
    """The place behind the words of the record, which stand under their title."""
    title = labels(paper.language)("record")
    return next(i for i, one in enumerate(paper.blocks) if isinstance(one, Heading) and one.text == title) + 2


def _plain(value: Any) -> Any:
    if dataclasses.is_dataclass(value):
        held = {field.name: getattr(value, field.name) for field in dataclasses.fields(value)}
        return {_IS: _NAMES[type(value)]} | {
            name: _plain(one) for name, one in held.items() if not isinstance(one, bytes)
        }
    if isinstance(value, datetime):
        return {_AT: value.isoformat()}
    return [_plain(item) for item in value] if isinstance(value, tuple) else value


def _made(data: Any, record: str, pictures: Mapping[str, bytes]) -> Any:
    if isinstance(data, str):
        return data.replace(PLACE, record)
    if isinstance(data, list):
        return tuple(_made(item, record, pictures) for item in data)
    if not isinstance(data, dict):
        return data
    if _IS not in data:
        return datetime.fromisoformat(data[_AT])
    held = {name: _made(item, record, pictures) for name, item in data.items() if name != _IS}
    cls = _CLASSES[data[_IS]]
    return cls(**held | ({"content": pictures.get(held["digest"], b"")} if cls is Shown else {}))


def _at_hand(block: Block) -> tuple[Block, ...]:
    if not isinstance(block, Pictures):
        return (block,)
    rows = tuple(row for row in (tuple(one for one in row if one.content) for row in block.rows) if row)
    lost = tuple((one.line,) for row in block.rows for one in row if not one.content)
    return (*((Pictures(rows),) if rows else ()), *((Items(lost),) if lost else ()))
