"""The one reader of JSON that comes from outside: what the interpreter would stumble over becomes one sentence."""

import json
from collections.abc import Callable
from typing import Any

from ticket.job.errors import DataError

DEEPEST = 64
"""Values inside values; a ticket document has nine."""

_TOO_DEEP = DataError("", f"nested too deeply: {DEEPEST} values inside each other are the most")
_DIGITS = 18  # every whole number of a ticket fits a column of the database


def read_json(
    text: str,
    *,
    pairs: Callable[[list[tuple[str, Any]]], Any] | None = None,
    fraction: Callable[[str], Any] | None = None,
) -> Any:
    """The value a JSON text holds.

    Args:
        text: the document.
        pairs: makes an object of its fields; else a ``dict``.
        fraction: reads a number with a point or an exponent; else a ``float``.

    Raises:
        DataError: it is no JSON, nests too deeply, or holds a longer whole number than any document of this program.
    """
    try:
        found = json.loads(
            text, object_pairs_hook=pairs, parse_int=_whole, parse_float=fraction, parse_constant=fraction or _no
        )
    except json.JSONDecodeError as error:
        raise DataError("", f"no JSON: {error.msg} in line {error.lineno}") from None
    except RecursionError:
        raise _TOO_DEEP from None
    return shallow(found)


def decoder() -> json.JSONDecoder:
    """The same reader for a text that holds more behind its value; what it reads goes through :func:`shallow`."""
    return json.JSONDecoder(parse_int=_whole, parse_constant=_no)


def shallow(value: Any) -> Any:
    """The value, unless it nests deeper than any document of this program. Raises :class:`DataError`."""
    level, depth = [value], 0
    while level:
        depth += 1
        if depth > DEEPEST:
            raise _TOO_DEEP
        inner = [one.values() if isinstance(one, dict) else one for one in level if isinstance(one, dict | list)]
        level = [item for items in inner for item in items if isinstance(item, dict | list)]
    return value


def _whole(digits: str) -> int:
    if len(digits.lstrip("-")) > _DIGITS:
        raise DataError("", f"{digits[:12]}... is a whole number of {len(digits):,} digits; {_DIGITS} are the most")
    return int(digits)


def _no(word: str) -> Any:
    raise DataError("", f"{word} is no number of JSON")
