"""JSON Schemas generated from the declarations, so that document and program cannot drift apart.

``python -m ticket.job.ticket_schema FOLDER`` writes ``ticket.json`` into FOLDER; a test compares it with the copy in
``schemas/``.
"""

import dataclasses
import json
import sys
import types
import typing
from datetime import datetime
from pathlib import Path
from typing import Any

from ticket.job.codec import Json
from ticket.job.entry import CONCERN_LETTERS
from ticket.job.kinds import KINDS
from ticket.job.ticket import Header, Ticket
from ticket.job.ticket_document import FORMAT, READ, Bookkeeping

_INSTANT = r"^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:\d\d)$"

_HEX: Json = {"pattern": "^[0-9a-f]{64}$"}
_BASE64: Json = {"type": "string", "contentEncoding": "base64", "contentMediaType": "image/jpeg"}


def of_record(cls: Any, definitions: Json, *, leave_out: tuple[str, ...] = ()) -> Json:
    """The schema of one frozen record; nested records go to ``definitions`` under their class name."""
    hints = typing.get_type_hints(cls)
    properties: Json = {}
    required = []
    for item in dataclasses.fields(cls):
        if item.name in leave_out:
            continue
        properties[item.name] = _of_field(hints[item.name], item, definitions)
        if item.default is dataclasses.MISSING and item.default_factory is dataclasses.MISSING:
            required.append(item.name)
    schema: Json = {"type": "object", "additionalProperties": False, "properties": properties}
    return schema | ({"required": required} if required else {})


def _of_field(hint: Any, item: "dataclasses.Field[Any]", definitions: Json) -> Json:
    schema = _of_hint(hint, definitions)
    spec = item.metadata.get("spec", {})
    choices = item.metadata.get("choices") or spec.get("choices")
    if choices:
        schema = schema | {"enum": list(choices) if item.default else ["", *choices]}
    return schema | ({"title": spec["title"]} if spec.get("title") else {})


def _of_hint(hint: Any, definitions: Json) -> Json:
    origin = typing.get_origin(hint)
    if origin in (types.UnionType, typing.Union):
        options = [_of_hint(option, definitions) for option in typing.get_args(hint) if option is not type(None)]
        return {"anyOf": [*options, {"type": "null"}]}
    if origin is tuple:
        return {"type": "array", "items": _of_hint(typing.get_args(hint)[0], definitions)}
    simple: dict[Any, Json] = {
        str: {"type": "string"},
        int: {"type": "integer"},
        bool: {"type": "boolean"},
        datetime: {"type": "string", "pattern": _INSTANT},
    }
    if hint in simple:
        return simple[hint]
    if hint.__name__ not in definitions:
        definitions[hint.__name__] = {}
        definitions[hint.__name__] = of_record(hint, definitions)
    return {"$ref": f"#/$defs/{hint.__name__}"}


def ticket_schema() -> Json:
    """The schema of a ticket document (JSON Schema 2020-12)."""
    definitions: Json = {}
    ticket = of_record(Ticket, definitions, leave_out=("header", "entries"))
    bookkeeping = of_record(Bookkeeping, definitions)
    letters = f"[{CONCERN_LETTERS}]"
    bookkeeping["properties"]["concern"] |= {"pattern": rf"^({letters}(\+{letters})*)?$"}
    for number in (ticket["properties"]["number"], bookkeeping["properties"]["no"]):
        number["minimum"] = 1
    kinds = []
    for word, cls in KINDS.items():
        definitions[word] = of_record(cls, definitions) | {"title": cls.title}
        kinds.append(
            {
                "if": {"properties": {"kind": {"const": word}}},
                "then": {"properties": {"fact": {"$ref": f"#/$defs/{word}"}}},
            }
        )
    definitions["entry"] = bookkeeping | {
        "properties": bookkeeping["properties"]
        | {"kind": {"enum": list(KINDS)}, "fact": {"type": "object"}, READ: _read_beside()},
        "required": [*bookkeeping["required"], "kind", "fact"],
        "allOf": kinds,
    }
    header = of_record(Header, definitions)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A job ticket",
        "type": "object",
        "additionalProperties": False,
        "properties": {"format": {"const": FORMAT}}
        | ticket["properties"]
        | {"digest": {"type": "string"} | _HEX}
        | {"proof": {"type": "object", "description": "from the facts to the row that sealed them, and its signature"}}
        | {"shop": {"type": "string", "description": "the shop that wrote it out, as its proofs name it"}}
        | {"pictures": {"type": "object", "propertyNames": _HEX, "additionalProperties": _BASE64}}
        | {"header": header, "entries": {"type": "array", "items": {"$ref": "#/$defs/entry"}}},
        "required": ["format", *ticket["required"]],
        "$defs": dict(sorted(definitions.items())),
    }


def _read_beside() -> Json:
    """What ``show --json`` adds to an entry; a reference beside this file, looked up only where the key stands."""
    told = "What the line means, printed by show --json. It follows from the fact: loading leaves it out."
    return {"$ref": "read.json", "description": told}


def main(folder: str) -> None:
    """Write the generated schemas into a folder."""
    text = json.dumps(ticket_schema(), indent=2, ensure_ascii=False) + "\n"
    Path(folder, "ticket.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
