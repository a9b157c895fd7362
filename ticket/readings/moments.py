"""Which of several readings of one line is how things are, and which is how they were: "1.4 mm, was 0.6 in August"."""

from collections.abc import Callable, Sequence
from typing import TypeVar

from ticket.job.regex import Regex

R = TypeVar("R")
_WORD = Regex(r"[a-z]+")
_SOONER, _LATER = frozenset(("before", "bef", "was", "were")), frozenset(("after", "aft", "now"))


def as_left(held: Sequence[R], name: Callable[[R], str]) -> tuple[R, ...]:
    """What was read last: of "before 2.1 now 0.3" the first is what was wrong, no result."""
    moments = [frozenset(_WORD.findall(name(one).lower())) for one in held]
    if not any(words & _LATER for words in moments) and all(words & _SOONER for words in moments):
        return tuple(held)
    return tuple(one for one, words in zip(held, moments, strict=True) if not words & _SOONER or words & _LATER)
