"""Documents of settings: declared once as frozen records, checked at run time and described as JSON Schema.

The records are decoded by the codec of the job model. What a plain type cannot say (a text that must be an
amount, a list whose items come from a closed list) stands in the metadata of the field and is read here.
"""

import dataclasses
import re
import typing
from collections.abc import Iterable, Iterator
from datetime import date
from functools import cache
from typing import Any, TypeVar

from ticket.job.codec import Json, decode, encode
from ticket.job.errors import DataError
from ticket.job.json_places import uncommented
from ticket.job.read_json import read_json
from ticket.job.ticket_schema import of_record

T = TypeVar("T")

# Patterns without anchors; numbers are text, so that what was written is kept and no float can creep in.
_PATTERNS = {
    "money": r"[0-9]{1,9}(\.[0-9]{1,4})?",
    "percent": r"[0-9]{1,4}(\.[0-9]{1,6})?",
    "number": r"[0-9]{1,9}(\.[0-9]{1,6})?",
    "figure": r"[+-]?([0-9]{1,9}(\.[0-9]{1,6})?|\.[0-9]{1,6}|([0-9]{1,3}[ -])?[0-9]{1,4}/[1-9][0-9]{0,3})",
    "count": r"[0-9]{1,6}",
    "date": r"[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])",
    "words": r"[\s\S]*\S[\s\S]*",
    "key": r"[a-z0-9]+([ -][a-z0-9]+)*",
    "place": r"[A-Za-z0-9]+(-[A-Za-z0-9]+)*",
}
_ASKED = {
    "money": "an amount such as 12.50",
    "percent": "a percentage such as 7.25",
    "number": "a number such as 2.5",
    "figure": "a number such as 1.6 or 3/16",
    "count": "a whole number such as 30",
    "date": "a date such as 2026-03-02",
    "words": "some words",
    "key": "lower-case words",
    "place": "letters, digits and hyphens",
}


def shaped(shape: str = "", *, default: Any = dataclasses.MISSING, each: Iterable[str] = ()) -> Any:
    """A field of a document.

    Args:
        shape: what a text must look like; a default of ``""`` also allows it to be empty.
        default: left out where the field must be given.
        each: the closed list the items of a list come from.
    """
    metadata = {"shape": shape, "each": tuple(each)}
    if default is dataclasses.MISSING:
        return dataclasses.field(metadata=metadata)
    return dataclasses.field(default=default, metadata=metadata)


def choice(*choices: str, default: Any = dataclasses.MISSING) -> Any:
    """A text from a closed list; a default of ``""`` also allows it to be empty."""
    if default is dataclasses.MISSING:
        return dataclasses.field(metadata={"choices": choices})
    return dataclasses.field(default=default, metadata={"choices": choices})


def read(cls: type[T], text: str, name: str, fmt: str) -> T:
    """A document from its text.

    Args:
        cls: the record it holds.
        text: JSON; its ``format`` must be ``fmt``. Lines that begin with ``//`` are comments.
        name: what to call it in an error, usually the name of its file.
        fmt: name and version of the format.

    Raises:
        DataError: naming the document, the place in it and the reason.
    """
    try:
        data = read_json(uncommented(text), pairs=_once, fraction=_no_float)
        if not isinstance(data, dict):
            raise DataError("", f"expected an object that begins with format {fmt!r}")
        if data.get("format") != fmt:
            raise DataError("format", f"expected {fmt!r}")
        record = decode(cls, {key: value for key, value in data.items() if key != "format"})
        verify(record)
    except DataError as error:
        raise DataError(f"{name}: {error.path}" if error.path else name, error.reason) from None
    return record


def document(record: Any, fmt: str) -> Json:
    """The document of a record; reading it gives the record again."""
    encoded: Json = encode(record)
    return {"format": fmt} | encoded


def verify(record: Any, path: str = "") -> None:
    """Check every shaped field of a record, then what its ``faults`` method finds.

    Raises:
        DataError: for the first fault, with its place.
    """
    for item in dataclasses.fields(record):
        value, where = getattr(record, item.name), f"{path}/{item.name}" if path else item.name
        if isinstance(value, tuple):
            each = item.metadata.get("each", ())
            for i, one in enumerate(value):
                if dataclasses.is_dataclass(one):
                    verify(one, f"{where}/{i}")
                elif each and one not in each:
                    raise DataError(f"{where}/{i}", f"must be one of: {', '.join(each)}")
                else:
                    _check(one, item, f"{where}/{i}")
        elif dataclasses.is_dataclass(value):
            verify(value, where)
        elif not (value == "" == item.default):
            _check(value, item, where)
    for spot, reason in getattr(record, "faults", tuple)():
        raise DataError("/".join(part for part in (path, spot) if part), reason)


def twice(items: Iterable[tuple[str, object]]) -> Iterator[tuple[str, str]]:
    """Faults for places whose key stood at an earlier place already; items are (place, key)."""
    seen: dict[object, str] = {}
    for where, key in items:
        if key in seen:
            yield where, f"says again what {seen[key]} says"
        seen.setdefault(key, where)


def schema(cls: type[Any], fmt: str, title: str) -> Json:
    """The JSON Schema (2020-12) of a document."""
    definitions: Json = {}
    root = of_record(cls, definitions)
    _refine(cls, root, definitions, set())
    root["properties"] = {"format": {"const": fmt}} | root["properties"]
    root["required"] = ["format", *root.get("required", [])]
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": title}
    return head | root | ({"$defs": dict(sorted(definitions.items()))} if definitions else {})


def _check(value: Any, item: "dataclasses.Field[Any]", where: str) -> None:
    shape = item.metadata.get("shape")
    if not shape:
        return
    if not isinstance(value, str) or not _compiled(shape).fullmatch(value):
        raise DataError(where, f"expected {_ASKED[shape]}")
    if shape == "date":
        try:
            date.fromisoformat(value)
        except ValueError:
            raise DataError(where, "no such day") from None


@cache
def _compiled(shape: str) -> re.Pattern[str]:
    return re.compile(_PATTERNS[shape])


def _once(pairs: list[tuple[str, Any]]) -> Json:
    data = dict(pairs)
    if len(data) < len(pairs):
        for where, reason in twice((key, key) for key, _ in pairs):
            raise DataError(where, reason)
    return data


def _no_float(text: str) -> Any:
    raise DataError("", f'the number {text} must be written as text: "{text}"')


def _refine(cls: Any, schema: Json, definitions: Json, done: set[Any]) -> None:
    hints = typing.get_type_hints(cls)
    for item in dataclasses.fields(cls):
        properties = schema["properties"][item.name]
        spot = properties["items"] if properties.get("type") == "array" else properties
        shape, each = item.metadata.get("shape"), item.metadata.get("each")
        if shape:
            body = _PATTERNS[shape]
            spot["pattern"] = f"^({body})?$" if item.default == "" else f"^({body})$"
        if each:
            spot["enum"] = list(each)
        for nested in (hints[item.name], *typing.get_args(hints[item.name])):
            if dataclasses.is_dataclass(nested) and nested not in done:
                done.add(nested)
                _refine(nested, definitions[getattr(nested, "__name__", "")], definitions, done)
