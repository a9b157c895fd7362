"""The one reader of JSON that comes from outside: what the interpreter would stumble over becomes one sentence."""

import json
from collections.abc import Callable
from typing import Any

from ticket.job.errors import DataError

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
        return json.loads(
            text, object_pairs_hook=pairs, parse_int=_whole, parse_float=fraction, parse_constant=fraction or _no
        )
    except json.JSONDecodeError as error:
        raise DataError("", f"no JSON: {error.msg} in line {error.lineno}") from None
    except RecursionError:
        raise DataError("", "nested too deeply") from None


def _whole(digits: str) -> int:
    if len(digits.lstrip("-")) > _DIGITS:
        raise DataError("", f"{digits[:12]}... is a whole number of {len(digits):,} digits; {_DIGITS} are the most")
    return int(digits)


def _no(word: str) -> Any:
    raise DataError("", f"{word} is no number of JSON")
