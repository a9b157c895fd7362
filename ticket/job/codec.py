"""Frozen dataclasses to plain JSON values and back, driven by their own declarations.

One decoder serves the store, the loader, the dump and the replay of the journal. Defaults are left out when
writing and filled in when reading, so a new field needs no migration.
"""

import dataclasses
import types
import typing
from datetime import UTC, datetime
from functools import cache
from typing import Any, TypeVar

from ticket.job.errors import DataError
from ticket.job.field_specs import specs
from ticket.job.kinds import KINDS, Fact
from ticket.job.text import clean
from ticket.job.wall import FIRST_DAY, LAST_DAY, in_bounds

T = TypeVar("T")
Json = dict[str, Any]


def instant(at: datetime) -> str:
    """A moment as the journal writes it: UTC, milliseconds, ``Z``. Raises ``ValueError`` without a zone."""
    if at.tzinfo is None:
        raise ValueError("a time without a zone")
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def encode(value: Any) -> Any:
    """A value of the job model as JSON values; dataclass fields equal to their default are left out."""
    if isinstance(value, datetime):
        return instant(value)
    if isinstance(value, tuple):
        return [encode(item) for item in value]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {
            item.name: encode(given)
            for item in dataclasses.fields(value)
            if (given := getattr(value, item.name)) != item.default
        }
    return value


@cache
def _hints(cls: Any) -> dict[str, Any]:
    return typing.get_type_hints(cls)


@cache
def _fields(cls: Any) -> dict[str, "dataclasses.Field[Any]"]:
    return {item.name: item for item in dataclasses.fields(cls)}


def decode(cls: type[T], data: Any, path: str = "") -> T:
    """A value of the job model from JSON values.

    Raises:
        DataError: naming the place and the reason, for an unknown field, a missing one, or a wrong value.
    """
    if not isinstance(data, dict):
        raise DataError(path, f"expected an object, found {_name(data)}")
    known = _fields(cls)  # type: ignore[arg-type]
    given: dict[str, Any] = {}
    for name, raw in data.items():
        where = f"{path}/{name}" if path else str(name)
        if name not in known:
            raise DataError(where, "unknown field")
        given[name] = _value(_hints(cls)[name], raw, where)  # type: ignore[arg-type]
        _check_choice(known[name], given[name], where)
    for name, item in known.items():
        missing = item.default is dataclasses.MISSING and item.default_factory is dataclasses.MISSING
        if missing and name not in given:
            raise DataError(f"{path}/{name}" if path else name, "missing")
    return cls(**given)


def encode_fact(fact: Fact) -> Json:
    """The fields of a fact; its kind stands beside it, not in it."""
    encoded: Json = encode(fact)
    return encoded


def decode_fact(kind: str, data: Any, path: str = "fact") -> Fact:
    """A fact of the named kind. Raises :class:`DataError` for an unknown kind or a wrong field."""
    if kind not in KINDS:
        raise DataError(path, f"unknown kind of entry {kind!r}")
    return decode(KINDS[kind], data, path)


def _check_choice(item: "dataclasses.Field[Any]", value: Any, where: str) -> None:
    """A closed list also allows the field's own default, which is empty where nothing need be chosen."""
    choices = item.metadata.get("choices") or item.metadata.get("spec", {}).get("choices")
    if choices and value != item.default and value not in choices:
        raise DataError(where, f"must be one of: {', '.join(choices)}")


def _name(data: Any) -> str:
    names = {dict: "an object", list: "a list", str: "text", bool: "true or false", int: "a number", float: "a number"}
    return names.get(type(data), "nothing")


def _value(hint: Any, raw: Any, where: str) -> Any:
    origin = typing.get_origin(hint)
    if origin in (types.UnionType, typing.Union):
        return _union(hint, raw, where)
    if origin is tuple:
        if not isinstance(raw, list):
            raise DataError(where, f"expected a list, found {_name(raw)}")
        return tuple(_value(typing.get_args(hint)[0], item, f"{where}/{i}") for i, item in enumerate(raw))
    if hint is str:
        if not isinstance(raw, str):
            raise DataError(where, f"expected text, found {_name(raw)}")
        return clean(raw)
    if hint in (int, bool):
        if type(raw) is not hint:
            raise DataError(
                where, f"expected {'true or false' if hint is bool else 'a whole number'}, found {_name(raw)}"
            )
        return raw
    if hint is datetime:
        return read_instant(raw, where)
    return decode(hint, raw, where)


def _union(hint: Any, raw: Any, where: str) -> Any:
    options = [option for option in typing.get_args(hint) if option is not type(None)]
    if raw is None:
        if len(options) < len(typing.get_args(hint)):
            return None
        raise DataError(where, "must not be null")
    return _value(options[0], raw, where)


def read_instant(raw: Any, where: str) -> datetime:
    """A moment from its text, in UTC. Raises :class:`DataError`: no time, no zone, or far from any day of work."""
    try:
        at = datetime.fromisoformat(raw)
    except (TypeError, ValueError):
        raise DataError(where, "expected a time such as 2026-03-02T14:10:00.000Z") from None
    if at.tzinfo is None:
        raise DataError(where, "expected a time with its zone, such as 2026-03-02T14:10:00.000Z")
    if not in_bounds(at):
        raise DataError(where, f"the time is out of range: it must lie between {FIRST_DAY} and {LAST_DAY}")
    return at.astimezone(UTC)


def free_paths(kind: str) -> tuple[str, ...]:
    """Names of the fields of a kind that hold prose (``free``) but no identity (``private``)."""
    return tuple(spec.name for spec in specs(KINDS[kind]) if spec.prose)


def private_paths(kind: str) -> tuple[str, ...]:
    """Names of the fields of a kind that identify a customer."""
    return tuple(spec.name for spec in specs(KINDS[kind]) if spec.private)
