"""Positions in words: ``LF inner`` is left front, inner; and whether two of them name one place."""

from functools import lru_cache

_WORDS = {
    "lf": "left front", "fl": "left front", "rf": "right front", "fr": "right front", "lr": "left rear",
    "rl": "left rear", "rr": "right rear", "l": "left", "lh": "left", "r": "right", "rh": "right",
    "cyl": "cylinder", "cyls": "cylinder", "cylinders": "cylinder", "centre": "center",
}  # fmt: skip
_CORNER = frozenset("left right front rear".split())


@lru_cache(maxsize=1024)
def places(label: str) -> tuple[str, ...]:
    """A position as typed, as words, the corner first: ``LF inner`` -> left front, inner; ``cyl 3`` -> cylinder 3."""
    words = [spelled for typed in label.split() for spelled in _WORDS.get(typed.lower(), typed.lower()).split()]
    found: list[str] = []
    for before, word in zip(["", *words], words, strict=False):
        joined = (word in _CORNER and before in _CORNER) or (word.isdecimal() and before)
        found[len(found) - bool(joined) :] = [f"{before} {word}" if joined else word]
    return tuple(found)


_RANKS = (
    frozenset("left right near off driver passenger driver's passenger's".split()), frozenset("front rear".split()),
    frozenset("inner outer center centre middle".split()), frozenset("upper lower top bottom".split()),
)  # fmt: skip


def in_order(positions: tuple[str, ...]) -> tuple[str, ...]:
    """Positions of one reading in one order, however they were typed: side, end, depth, level; numbers first."""
    return tuple(sorted(positions, key=_rank)) if len(positions) > 1 else positions


def _rank(position: str) -> int:
    first = position.split(" ", maxsplit=1)[0]
    return next((rank for rank, words in enumerate(_RANKS, 1) if first in words), 0)


@lru_cache(maxsize=1024)
def place_key(label: str) -> str:
    """The same for every way one place may be typed or told: ``LF``, ``front left``, ``left front``."""
    return " ".join(sorted(" ".join(places(label)).split()))
