"""What a typed piece of work names: the things put in, the place of them, and how many. For comparing only."""

import re
from collections.abc import Iterator

from ticket.job.likeness import content_words, sides, sides_clash
from ticket.job.regex import Regex
from ticket.job.text import fold

_CUT = Regex(r"[,;]| and then ")
_TIE = Regex(r"\b(?:of|at|in|on|from|with|between|behind|for|to|under|beside|near|by|that|before|after)\b")
_RENEW = Regex(r"\s*(?:replac(?:e[ds]?|ing)|repl|renew(?:ed|s)?|fit(?:ted|s)?|install(?:ed|s)?)\b\s*(.*)")
_PLACE = Regex(r"\b(cyl|cylinders?|bank|axle) ?([0-9]{1,2}(?:(?:, ?| and | ?& ?| )[0-9]{1,2})*)")
_LEVELS = (("upper", "lower"), ("inner", "outer"))
_COUNTS = {"both": 2, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "eight": 8}
_COUNT = Regex(rf"\s*(?:all )?({'|'.join(_COUNTS)}|[2-9]) (?!x\b)(.*)")


def clauses(text: str) -> Iterator[str]:
    """The pieces between commas and semicolons, folded."""
    for piece in _CUT.split(fold(text)):
        if piece.strip():
            yield piece.strip()


def renewed(text: str) -> tuple[str, ...]:
    """The things a piece of work puts in, without their place: ``replace pump at the rack`` gives ``pump``."""
    found: list[str] = []
    for piece in clauses(text):
        match = _RENEW.match(piece)
        if match:
            found += things(match[1])
    return tuple(found)


def things(text: str) -> tuple[str, ...]:
    """The noun groups joined by "and" or "or", each without what ties it to a place."""
    groups = re.split(r"\band\b|\bor\b", fold(text))
    return tuple(group for part in groups if (group := _TIE.split(part)[0].strip()))


def head(thing: str) -> frozenset[str]:
    """The word that names the thing, as a folded singular: ``coolant hoses`` gives ``hose``; empty for an empty one."""
    words = thing.split()
    return content_words(words[-1]) if words else frozenset()


def counted(text: str) -> Iterator[tuple[int, str]]:
    """How many of which thing a piece of work puts in: ``replace both hoses`` gives 2, ``hoses``."""
    for piece in clauses(text):
        match = _RENEW.match(piece)
        many = _COUNT.match(match[1]) if match else None
        if many:
            names = things(many[2])
            if names:
                yield _COUNTS.get(many[1]) or int(many[1]), names[0]


def places(text: str) -> dict[str, frozenset[str]]:
    """The numbered and paired places a text names: cylinder 2, the upper one."""
    found: dict[str, set[str]] = {}
    folded = fold(text)
    for match in _PLACE.finditer(folded):
        name = "cylinder" if match[1].startswith("cyl") else match[1]
        found.setdefault(name, set()).update(re.findall(r"[0-9]+", match[2]))
    words = set(re.findall(r"\w+", folded))
    for pair in _LEVELS:
        if there := words & set(pair):
            found[pair[0]] = there
    return {name: frozenset(which) for name, which in found.items()}


def place_clash(one: str, other: str) -> bool:
    """True where two texts name places that exclude each other: left and right, cylinder 2 and 3, upper and lower."""
    a, b = places(one), places(other)
    return sides_clash(one, other) or any(not a[name] & b[name] for name in a.keys() & b.keys())


def place_shared(one: str, other: str) -> bool:
    """True where both texts name one place."""
    a, b = places(one), places(other)
    return bool(sides(one) & sides(other)) or any(a[name] & b[name] for name in a.keys() & b.keys())


def has_place(text: str) -> bool:
    """Whether a text names a place at all."""
    return bool(sides(text) or places(text))
