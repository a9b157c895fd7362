"""How many jobs hold, and for how long, where most were not followed for as long as one would wish: Kaplan and Meier.

A job that was not followed to the end says only that it held so far. Counting it as good makes a shop look better than
it is; leaving it out makes it look worse (Kaplan and Meier 1958; Greenwood 1926 for the spread).
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
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
    return tuple(_step(walked, level) for walked in _walk(counted))


def last_step(counted: Mapping[int, int], level: float = 0.95) -> Step | None:
    """The last of :func:`steps` alone; ``None`` where no job came back.

    Args:
        counted: how many jobs were followed so long: twice as long, and one more where they came back then.
        level: of the interval.
    """
    left = sum(counted.values())
    held, summed, last = 1.0, 0.0, None
    for twice in sorted(counted):
        count = counted[twice]
        if twice & 1:
            watched = left + counted.get(twice - 1, 0)  # those followed just so long were watched until then
            held *= 1 - count / watched
            summed += count / (watched * (watched - count)) if count < watched else inf
            last = float(twice >> 1), watched, count, held, summed
        left -= count
    return _step(last, level) if last else None


_Walked = tuple[float, int, int, float, float]


def _walk(counted: Mapping[Followed, int]) -> Iterator[_Walked]:
    """Each moment at which a job came back: the moment, who was watched, who came back, what holds, Greenwood's sum."""
    left = sum(counted.values())
    held, summed = 1.0, 0.0
    for at in sorted({at for at, _ in counted}):
        back = counted.get((at, True), 0)
        if back:
            held *= 1 - back / left
            summed += back / (left * (left - back)) if back < left else inf
            yield at, left, back, held, summed
        left -= back + counted.get((at, False), 0)


def _step(walked: _Walked, level: float) -> Step:
    at, left, back, held, summed = walked
    low, high = _interval(held, summed, two_sided(level))
    return Step(at, left, back, held, low, high, held * sqrt(summed) if held else 0.0)


@cache
def two_sided(level: float) -> float:
    """The quantile of a normal distribution between whose ends, below and above, lies so much of it."""
    return NormalDist().inv_cdf(0.5 + level / 2)


def _interval(held: float, summed: float, z: float) -> tuple[float, float]:
    if not 0 < held < 1:
        return held, held
    reach = z * sqrt(summed) / log(held)
    return held ** exp(-reach), held ** exp(reach)


def median(found: tuple[Step, ...]) -> float | None:
    """When half came back; ``None`` where it has not come to that."""
    return next((step.at for step in found if step.held <= 0.5), None)
