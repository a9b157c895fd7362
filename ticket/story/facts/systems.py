"""To which system of which vehicle something was done, read from typed words by closed tables."""

import re
from functools import cache, lru_cache
from pathlib import Path

from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.ticket import Vehicle
from ticket.story.facts.labour_kinds import steps

_BEHIND = Regex(r"\b(?:of|at|on|in|from|for|with|w/|to|by|behind|near|under|into|after|because|due)(?=\s|\Z)")
"""Words behind which something else is named than what was worked on."""
_WORD = Regex(r"[a-z0-9][a-z0-9/.'-]*")
_PLACES = frozenset(
    "left right front rear lf rf lr rr lh rh fr rl f r l upper lower inner outer both all side sides axle axles set "
    "kit pair assy assembly again new old each end ends x".split()
)


@lru_cache(maxsize=2048)
def worked_on(text: str) -> frozenset[tuple[str, str]]:
    """Each kind of work of a line of labour with the system it was done to: ``("fit", "wheel-end")``."""
    found = ((step.kind or "fit", _ending(step.text)) for step in steps(text))
    return frozenset((kind, system) for kind, system in found if system)


@lru_cache(maxsize=2048)
def part_of(text: str) -> str:
    """The system a part belongs to, by the end of its description; empty for none of the table."""
    return _ending(fold(text).split(",")[0])


@lru_cache(maxsize=2048)
def named(text: str) -> frozenset[str]:
    """The systems a text names anywhere: that the vehicle has them."""
    words = _words(fold(text))
    return frozenset(system for i in range(len(words)) if (system := _phrase(words, i)[0]))


@lru_cache(maxsize=256)
def vehicle_kind(label: str) -> str:
    """``cycle``, ``trailer`` or ``machine``; empty for a car or a truck, and where nothing says."""
    text = fold(label)
    return next((kind for kind, words in _table("vehicles") if any(_has(text, word) for word in words)), "")


def kind_of(vehicle: Vehicle) -> str:
    """The kind of a vehicle by the words of its header."""
    return vehicle_kind(vehicle.label)


def _has(text: str, word: str) -> bool:
    return re.search(rf"\b{re.escape(word)}s?\b", text) is not None


def _words(text: str) -> list[str]:
    return _WORD.findall(text)


def _ending(text: str) -> str:
    """The system of the phrase that ends a piece, its places and figures left aside."""
    words = _words(_BEHIND.split(text)[0])
    while words and (words[-1] in _PLACES or (words[-1][0].isdecimal() and words[-1] not in _things())):
        words.pop()
    for i in range(len(words)):
        system, width = _phrase(words, i)
        if i + width == len(words):
            return "" if system == "none" else system
    return ""


def _phrase(words: list[str], i: int) -> tuple[str, int]:
    """The system of the longest phrase of the table at one place, and its width."""
    for width in (4, 3, 2, 1):
        piece = words[i : i + width]
        if len(piece) == width:
            text = " ".join(piece)
            system = _things().get(text) or _things().get(text.removesuffix("s"))
            if system:
                return system, width
    return "", 1


@cache
def _things() -> dict[str, str]:
    return {word: system for system, words in _table("systems") for word in words}


@cache
def _table(name: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    text = Path(__file__).with_name(f"{name}.tsv").read_text(encoding="utf-8")
    lines = [line.split("\t") for line in text.split("\n") if line and not line.startswith("#")][1:]
    return tuple((head, tuple(word.strip() for word in words.split(","))) for head, words in lines)
