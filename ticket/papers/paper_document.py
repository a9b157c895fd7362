"""A paper as a plain document for programs: the same blocks, each with its name."""

from dataclasses import fields, is_dataclass
from typing import Any

from ticket.papers.sheet import Sheet

Json = dict[str, Any]


def to_document(sheet: Sheet) -> Json:
    """The paper as JSON values; texts as they stand in the ticket."""
    return {
        "title": sheet.title,
        "kind": sheet.kind,
        "sender": list(sheet.sender),
        "language": sheet.language,
        "at": sheet.at.isoformat(),
        "blocks": [{"block": type(block).__name__.lower()} | _plain(block) for block in sheet.blocks],
    }


def _plain(value: object) -> Any:
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if is_dataclass(value):
        held = ((field.name, getattr(value, field.name)) for field in fields(value))
        return {name: _plain(one) for name, one in held if not isinstance(one, bytes)}  # a picture by its digest
    return value
