"""In which order causes are best checked: by probability per minute, where that is right, and what holds where not.

Kadane and Simon 1977 (probability by cost), Ottosen and Jensen 2010 (a cost that several checks share), Blackwell's
rule for a search that can miss (Chew 1967), and one further rule each for the last cause and for giving up. Exactly one
of the causes is behind the trouble, or something else is.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import inf


@dataclass(frozen=True, slots=True)
class Check:
    """A cause that can be looked for.

    Attributes:
        name: of the cause.
        chance: how likely it is behind the trouble.
        minutes: what looking for it takes, everything open.
        opening: what must be opened first, shared with other checks; empty for nothing.
        opening_minutes: what that takes, once.
        finds: how often the check finds the cause where it is there.
    """

    name: str
    chance: float
    minutes: float
    opening: str = ""
    opening_minutes: float = 0.0
    finds: float = 1.0

    @property
    def worth(self) -> float:
        """Chance to find it, a minute."""
        return self.chance * self.finds / self.minutes if self.minutes > 0 else inf


def ordered(checks: Iterable[Check], opened: Iterable[str] = ()) -> tuple[Check, ...]:
    """The checks in the order that takes the fewest minutes on the average.

    What lies behind one opening stands in the way as a block: it comes when its best first part is worth the opening;
    what is left of it then stands open.

    Args:
        checks: each at most once.
        opened: what is open already.
    """
    rest, is_open, order = list(checks), set(opened), list[Check]()
    while rest:
        block = max(_blocks(rest, is_open), key=lambda block: (_ratio(block, is_open), -len(block)))
        order += block
        is_open.add(block[0].opening)
        rest = [check for check in rest if check not in block]
    return tuple(order)


def _blocks(checks: Sequence[Check], is_open: set[str]) -> list[list[Check]]:
    """What could come next: a check that stands open, or the first few behind an opening."""
    falling = sorted(checks, key=lambda check: -check.worth)
    loose = [[check] for check in falling if _stands_open(check, is_open)]
    behind: dict[str, list[Check]] = {}
    for check in falling:
        if not _stands_open(check, is_open):
            behind.setdefault(check.opening, []).append(check)
    return loose[:1] + [group[:size] for group in behind.values() for size in range(1, len(group) + 1)]


def _stands_open(check: Check, is_open: set[str]) -> bool:
    return not check.opening or check.opening in is_open


def _ratio(block: Sequence[Check], is_open: set[str]) -> float:
    first = block[0]
    minutes = sum(check.minutes for check in block) + (0 if _stands_open(first, is_open) else first.opening_minutes)
    return sum(check.chance * check.finds for check in block) / minutes if minutes > 0 else inf


def expected_minutes(order: Sequence[Check], opened: Iterable[str] = ()) -> float:
    """How long the checks take on the average, stopping when the cause is found."""
    is_open, left, total = set(opened), 1.0, 0.0
    for check in order:
        total += left * (check.minutes + (0 if _stands_open(check, is_open) else check.opening_minutes))
        is_open.add(check.opening)
        left -= check.chance * check.finds
    return total


def without_last(checks: Sequence[Check], opened: Iterable[str] = ()) -> tuple[tuple[Check, ...], Check] | None:
    """The best order where the last cause is not looked for but taken, since it must be it; and that cause.

    Right only where nothing else can be behind the trouble; ``None`` where there are fewer than two causes.
    """
    if len(checks) < 2:
        return None
    found = []
    for last in checks:
        order = ordered((check for check in checks if check is not last), opened)
        found.append((expected_minutes(order, opened), order, last))
    _, order, last = min(found, key=lambda one: one[0])
    return order, last


def after_looking(checks: Sequence[Check], name: str) -> tuple[Check, ...]:
    """The chances after one of the causes was looked for and not found; a check that can miss leaves it some."""
    looked = next((check for check in checks if check.name == name), None)
    if looked is None:
        return tuple(checks)
    left = 1 - looked.chance * looked.finds
    if left <= 0:
        return tuple(replace(check, chance=0.0) for check in checks)
    return tuple(
        replace(check, chance=check.chance * ((1 - check.finds) if check is looked else 1) / left) for check in checks
    )


def worth_doing(check: Check, giving_up: float, left: float = 1.0) -> bool:
    """Whether a check pays before giving up (sending the vehicle out, calling the maker), which takes some minutes.

    Args:
        check: the next one.
        giving_up: what giving up takes, in minutes.
        left: how likely the cause is still among what was not ruled out.
    """
    return left > 0 and giving_up * check.chance * check.finds / left > check.minutes
