"""What a table says and what its journal says, side by side: only the values that differ, each in few words."""

import json
from typing import Any

_MOST, _LONG, _DEEP = 3, 60, 12  # places that are told, signs of each value, and how far in places are looked for


def told_apart(held: Any, wanted: Any) -> str:
    """The values that differ, as ``: text is "5 mm", the journal has "9 mm"``; empty where there is nothing to tell.

    Args:
        held: what the table has; JSON as its bytes.
        wanted: what the journal leads to.
    """
    here, there = opened(held), opened(wanted)
    places = list(_places(here, there, ""))
    told = [
        f"{place or 'it'} is {_shown(one)}, the journal has {_shown(other)}" for place, one, other in places[:_MOST]
    ]
    more = f"; and {len(places) - _MOST} more places" if len(places) > _MOST else ""
    return f": {'; '.join(told)}{more}" if told else ""


class _Nothing:
    """Stands where one side has no value at all."""


_NOTHING = _Nothing()


def opened(value: Any) -> Any:
    """Bytes as the JSON or the text they hold."""
    if not isinstance(value, bytes):
        return value
    text = value.decode(errors="replace")
    try:
        return json.loads(text) if text[:1] in ("{", "[", '"') else text
    except (ValueError, RecursionError):
        return text


def _places(one: Any, other: Any, way: str) -> list[tuple[str, Any, Any]]:
    """Each place where two values differ, behind the way that leads there."""
    if one == other and type(one) is type(other):
        return []
    if way.count(" ") >= _DEEP:
        return [(way, one, other)]
    if isinstance(one, dict) and isinstance(other, dict):
        names = sorted(one.keys() | other.keys(), key=str)
        pairs = [(name, one.get(name, _NOTHING), other.get(name, _NOTHING)) for name in names]
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        pairs = [(at, *both) for at, both in enumerate(zip(one, other, strict=True), 1)]
    else:
        return [(way, one, other)]
    return [found for name, this, that in pairs for found in _places(this, that, f"{way} {name}".strip())]


def _shown(value: Any) -> str:
    if value is _NOTHING or value is None:
        return "nothing"
    if isinstance(value, str):
        return json.dumps(value if len(value) <= _LONG else f"{value[:_LONG]}…", ensure_ascii=False)
    text = json.dumps(value, ensure_ascii=False, default=str)
    return text if len(text) <= _LONG else f"{text[:_LONG]}…"
