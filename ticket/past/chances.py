"""How likely each cause of a code is, from counts of past jobs: the closer they fit the job in hand, the fewer."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

OTHER = ""
"""The name of every cause that no job has had yet."""
EACH = 1.0
"""What every cause counts beside its jobs: without it few jobs mislead more than none (see the tests)."""
WEIGHT = 3.0
"""How many jobs the coarser level counts for."""


@dataclass(frozen=True, slots=True)
class Level:
    """How jobs that fit so closely turned out.

    Attributes:
        words: what they have in common, such as ``P0562-16 on Alder 2.0``.
        jobs: how many jobs by cause.
    """

    words: str
    jobs: Mapping[str, int]

    @property
    def total(self) -> int:
        """All jobs of the level."""
        return sum(self.jobs.values())


def chances(levels: Sequence[Level]) -> dict[str, float]:
    """The chance of each cause, and of :data:`OTHER`, which no job has had.

    Args:
        levels: the closest first, the widest last; each counts as a few jobs for the next closer one.
    """
    names = list(dict.fromkeys([name for level in levels for name in level.jobs] + [OTHER]))
    found = dict.fromkeys(names, 1 / len(names))
    for i, level in enumerate(reversed(levels)):
        weight = EACH * len(names) if i == 0 else WEIGHT
        whole = level.total + weight
        found = {name: (level.jobs.get(name, 0) + weight * found[name]) / whole for name in names}
    return found


def used(levels: Sequence[Level]) -> Level | None:
    """The closest level that holds a job; ``None`` where none does."""
    return next((level for level in levels if level.total), None)
