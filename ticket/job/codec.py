"""Frozen dataclasses to plain JSON values and back, driven by their own declarations.

One decoder serves the store, the loader, the dump and the replay of the journal. Defaults are left out when
writing and filled in when reading, so a new field needs no migration.
"""

import dataclasses
import types
import typing
from collections.abc import Callable
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
    kind: type = type(value)
    if kind is str:
        return value
    if kind is tuple:
        return [encode(item) for item in value]
    if (declared := _defaults(kind)) is not None:
        return {name: encode(given) for name, default in declared if (given := getattr(value, name)) != default}
    return instant(value) if isinstance(value, datetime) else value


@cache
def _defaults(kind: type) -> tuple[tuple[str, Any], ...] | None:
    """The fields of a dataclass with their defaults; ``None`` for any other class."""
    if not dataclasses.is_dataclass(kind):
        return None
    return tuple((item.name, item.default) for item in dataclasses.fields(kind))


# A value is read by a function made once for its declared type: looking the declarations up again for every value
# took most of the time of reading a ticket. A place is the place around it and a name, and becomes text in a complaint.
Place = tuple[Any, str | int] | str
Reader = Callable[[Any, Place], Any]


def _text(place: Place) -> str:
    if isinstance(place, str):
        return place
    around = _text(place[0])
    return f"{around}/{place[1]}" if around else str(place[1])


def decode(cls: type[T], data: Any, path: str = "") -> T:
    """A value of the job model from JSON values.

    Raises:
        DataError: naming the place and the reason, for an unknown field, a missing one, or a wrong value.
    """
    made: T = _record(cls)(data, path)  # type: ignore[arg-type]
    return made


def encode_fact(fact: Fact) -> Json:
    """The fields of a fact; its kind stands beside it, not in it."""
    encoded: Json = encode(fact)
    return encoded


def decode_fact(kind: str, data: Any, path: str = "fact") -> Fact:
    """A fact of the named kind. Raises :class:`DataError` for an unknown kind or a wrong field."""
    if kind not in KINDS:
        raise DataError(path, f"unknown kind of entry {kind!r}")
    return decode(KINDS[kind], data, path)


def _name(data: Any) -> str:
    names = {dict: "an object", list: "a list", str: "text", bool: "true or false", int: "a number", float: "a number"}
    return names.get(type(data), "nothing")


@cache
def _reader(hint: Any) -> Reader:
    """What reads a value of a declared type."""
    origin = typing.get_origin(hint)
    if origin in (types.UnionType, typing.Union):
        return _optional(hint)
    if origin is tuple:
        return _list(typing.get_args(hint)[0])
    plain: dict[Any, Reader] = {str: _string, int: _whole, bool: _flag, datetime: _moment}
    return plain.get(hint) or _record(hint)


@cache
def _record(cls: Any) -> Reader:
    """What reads an object of a dataclass: no unknown field, none missing, and of a closed list only what it holds.

    A closed list also allows the field's own default, which is empty where nothing need be chosen.
    """
    hints = typing.get_type_hints(cls)
    declared = dataclasses.fields(cls)
    readers = {item.name: (_reader(hints[item.name]), _choices(item), item.default) for item in declared}
    none = dataclasses.MISSING
    required = [item.name for item in declared if item.default is none and item.default_factory is none]

    def read(raw: Any, where: Place) -> Any:
        if not isinstance(raw, dict):
            raise DataError(_text(where), f"expected an object, found {_name(raw)}")
        given = {}
        for name, value in raw.items():
            if name not in readers:
                raise DataError(_text((where, name)), "unknown field")
            reader, choices, default = readers[name]
            made = given[name] = reader(value, (where, name))
            if choices and made != default and made not in choices:
                raise DataError(_text((where, name)), f"must be one of: {', '.join(choices)}")
        for name in required:
            if name not in given:
                raise DataError(_text((where, name)), "missing")
        return cls(**given)

    return read


def _choices(item: "dataclasses.Field[Any]") -> tuple[str, ...]:
    return tuple(item.metadata.get("choices") or item.metadata.get("spec", {}).get("choices") or ())


def _optional(hint: Any) -> Reader:
    options = typing.get_args(hint)
    reader = _reader(next(option for option in options if option is not type(None)))
    nullable = type(None) in options

    def read(raw: Any, where: Place) -> Any:
        if raw is None and nullable:
            return None
        if raw is None:
            raise DataError(_text(where), "must not be null")
        return reader(raw, where)

    return read


def _list(hint: Any) -> Reader:
    reader = _reader(hint)

    def read(raw: Any, where: Place) -> Any:
        if not isinstance(raw, list):
            raise DataError(_text(where), f"expected a list, found {_name(raw)}")
        return tuple([reader(item, (where, i)) for i, item in enumerate(raw)])

    return read


def _string(raw: Any, where: Place) -> str:
    if not isinstance(raw, str):
        raise DataError(_text(where), f"expected text, found {_name(raw)}")
    return clean(raw)


def _whole(raw: Any, where: Place) -> int:
    if type(raw) is not int:
        raise DataError(_text(where), f"expected a whole number, found {_name(raw)}")
    return raw


def _flag(raw: Any, where: Place) -> bool:
    if type(raw) is not bool:
        raise DataError(_text(where), f"expected true or false, found {_name(raw)}")
    return raw


def _moment(raw: Any, where: Place) -> datetime:
    return read_instant(raw, _text(where))


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


@cache
def free_paths(kind: str) -> tuple[str, ...]:
    """Names of the fields of a kind that hold prose (``free``) but no identity (``private``)."""
    return tuple(spec.name for spec in specs(KINDS[kind]) if spec.prose)


@cache
def private_paths(kind: str) -> tuple[str, ...]:
    """Names of the fields of a kind that identify a customer."""
    return tuple(spec.name for spec in specs(KINDS[kind]) if spec.private)
