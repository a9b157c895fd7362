"""How many jobs hold, and for how long, where most were not followed for as long as one would wish: Kaplan and Meier.

A job that was not followed to the end says only that it held so far. Counting it as good makes a shop look better than
it is; leaving it out makes it look worse (Kaplan and Meier 1958; Greenwood 1926 for the spread).
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import exp, inf, log, sqrt
from statistics import NormalDist

Followed = tuple[float, bool]
"""How long a job was followed, and whether it came back then."""


@dataclass(frozen=True, slots=True)
class Step:
    """What is known at one moment at which a job came back.

    Attributes:
        at: days, or a distance.
        watched: jobs that were followed at least that long.
        back: those that came back at it.
        held: the share that holds beyond it.
        low: lower end of its interval, on the scale of log(-log).
        high: the upper end.
        error: its standard error.
    """

    at: float
    watched: int
    back: int
    held: float
    low: float
    high: float
    error: float


def steps(jobs: Iterable[Followed] | Mapping[Followed, int], level: float = 0.95) -> tuple[Step, ...]:
    """The share of jobs that hold, at each moment at which one came back.

    Args:
        jobs: each how long it was followed and whether it came back then; or how many there are of each.
        level: of the intervals.
    """
    counted = Counter(jobs)
    left = sum(counted.values())
    z = NormalDist().inv_cdf(0.5 + level / 2)
    held, summed, found = 1.0, 0.0, []
    for at in sorted({at for at, _ in counted}):
        back = counted[at, True]
        if back:
            held *= 1 - back / left
            summed += back / (left * (left - back)) if back < left else inf
            low, high = _interval(held, summed, z)
            found.append(Step(at, left, back, held, low, high, held * sqrt(summed) if held else 0.0))
        left -= back + counted[at, False]
    return tuple(found)


def _interval(held: float, summed: float, z: float) -> tuple[float, float]:
    if not 0 < held < 1:
        return held, held
    reach = z * sqrt(summed) / log(held)
    return held ** exp(-reach), held ** exp(reach)


def held_until(found: tuple[Step, ...], at: float) -> Step | None:
    """The newest step up to a moment; ``None`` where nothing came back by then."""
    return next((step for step in reversed(found) if step.at <= at), None)


def median(found: tuple[Step, ...]) -> float | None:
    """When half came back; ``None`` where it has not come to that."""
    return next((step.at for step in found if step.held <= 0.5), None)
