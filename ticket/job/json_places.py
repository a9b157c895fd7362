"""Where in a JSON text a value stands, for messages about files that people write; and comments in such files."""

import json
from collections.abc import Iterator

from ticket.job.regex import Regex

_COMMENT = Regex(r"(?m)^[ \t]*//[^\n]*$")
_SPACE = Regex(r"[ \t\r\n]*")


def uncommented(text: str) -> str:
    """The text with every line that begins with ``//`` left empty: no JSON begins so; lines keep their count."""
    return _COMMENT.sub("", text) if "//" in text else text


def line_of(text: str, path: str) -> int:
    """The line on which the value of a path such as ``parts/3/price`` stands, or the nearest one above it; from 1 on.

    Args:
        text: JSON that can be read.
        path: names and places, from 0 on, with slashes between.
    """
    wanted, best = path.split("/") if path else [], 0
    for found, at in _places(text, _SPACE.match(text).end()):  # type: ignore[union-attr]
        if found == wanted[: len(found)]:
            best = at
            if len(found) == len(wanted):
                break
    return text.count("\n", 0, best) + 1


def _places(text: str, at: int, path: tuple[str, ...] = ()) -> Iterator[tuple[list[str], int]]:
    """Every value with its path and where it begins, an object or a list before what it holds."""
    yield list(path), at
    if text[at : at + 1] not in ("{", "["):
        return
    named, at = text[at] == "{", at + 1
    count = 0
    while (at := _after_space(text, at)) < len(text) and text[at] not in "}]":
        begin, name = at, str(count)
        if named:
            name, at = json.JSONDecoder().raw_decode(text, at)
            at = _after_space(text, _after_space(text, at) + 1)
        inner = list(_places(text, at, (*path, name)))
        yield [*path, name], begin
        yield from inner[1:]
        at = _after_space(text, _end(text, at))
        at += text[at : at + 1] == ","
        count += 1


def _end(text: str, at: int) -> int:
    return json.JSONDecoder().raw_decode(text, at)[1]


def _after_space(text: str, at: int) -> int:
    found = _SPACE.match(text, at)
    return found.end() if found else at
