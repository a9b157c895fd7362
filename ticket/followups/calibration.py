"""How well forecasts held: each later visit checks the one made before it; enough of them make a factor.

Not the day interpolated between two visits is held against a forecast, but the next reading itself: what lies between
two readings is smoothed, and smooths away what the interval is about.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil, log, sqrt

from ticket.followups.driving import Driving
from ticket.followups.habit import AVERAGE, FLOOR, STANDS, habit, noise
from ticket.followups.priors import AVERAGE_DRIVER, HOURS, MACHINE
from ticket.followups.reach import Z90

NEAREST, FARTHEST = 14, 730  # days between a forecast and the reading that checks it
NEEDED, AGAIN, SHOWN = 200, 50, 50  # checks: to use a factor, until it is made anew, and to show one at all
LEAST, MOST = 0.7, 1.8  # a factor beyond these says that these are other drivers
HELD_BACK, HELD_LEAST = 50, 40  # newest checks that try the factor, and how many of them it must cover

TOO_FEW, SHOWN_ONLY, USED, STOPPED, FELL_BACK = "too few to tell", "shown, not used", "used", "at a stop", "fell back"


@dataclass(frozen=True, slots=True)
class Checked:
    """A forecast that the next reading checked.

    Attributes:
        day: of that reading.
        miss: how far off the logarithm of the distance a day was, in its own standard deviations; never below 0.
        sooner: the vehicle was driven more than told.
    """

    day: date
    miss: float
    sooner: bool


@dataclass(frozen=True, slots=True)
class Calibration:
    """What a shop's own checks say.

    Attributes:
        checks: how many there are, one a vehicle.
        counted: how many of them made the factor.
        factor: what every interval is widened by; 1 until there are enough.
        proposed: what the checks alone would say; ``None`` where there are too few to tell.
        state: one of the words of this module.
        before: share of the checks that lay within the interval as it stands.
        after: the same with ``proposed``.
        sooner: share that was reached before the early end.
        later: share that was reached after the late end.
    """

    checks: int
    counted: int = 0
    factor: float = 1.0
    proposed: float | None = None
    state: str = TOO_FEW
    before: float | None = None
    after: float | None = None
    sooner: float | None = None
    later: float | None = None


def last_check(driven: Driving) -> Checked | None:
    """The newest forecast of a vehicle that a reading checked; ``None`` for the average and for one that stood."""
    raw = driven.raw
    prior = MACHINE if driven.unit == HOURS else AVERAGE_DRIVER
    for at in range(len(raw) - 1, 1, -1):
        (start, before), (end, after) = raw[at - 1], raw[at]
        days = (end - start).days
        if not NEAREST <= days <= FARTHEST or after < before:
            continue
        made = habit(raw[:at], prior)
        if made is None or made.word in (AVERAGE, STANDS):
            return None
        least = FLOOR * (made.usual or made.per_day)
        off = log(max((after - before) / days, least)) - made.mean
        width = sqrt(made.var + made.uneven * noise(days, made.per_day, made.usual))
        return Checked(end, abs(off) / width, off > 0)
    return None


def calibrate(checks: Sequence[tuple[float, bool]]) -> Calibration:
    """What the checks say; each is a miss and whether it came sooner, oldest first, the latest one of each vehicle."""
    many = len(checks)
    if many < SHOWN:
        return Calibration(many)
    counted = many - many % AGAIN if many >= NEEDED else many
    misses = [miss for miss, _ in checks[:counted]]
    proposed = factor_of(misses)
    before, after = _covered(misses, 1.0), _covered(misses, proposed)
    outside = [sooner for miss, sooner in checks[:counted] if miss > Z90]
    found = Calibration(
        many, counted, 1.0, proposed, SHOWN_ONLY, before, after,
        sum(outside) / counted, (len(outside) - sum(outside)) / counted,
    )  # fmt: skip
    if many < NEEDED:
        return found
    factor, state = proposed, STOPPED if proposed in (LEAST, MOST) else USED
    tried = factor_of(misses[:-HELD_BACK])
    if _covered(misses[-HELD_BACK:], tried) * HELD_BACK < HELD_LEAST:
        factor, state = max(factor, 1.0), FELL_BACK
    return Calibration(
        many, counted, factor, proposed, state, before, after, found.sooner, found.later
    )  # fmt: skip


def factor_of(misses: Sequence[float]) -> float:
    """What the interval must be widened by to hold nine of ten: a conformal quantile over the normal one."""
    rank = min(ceil(0.9 * (len(misses) + 1)), len(misses))
    return min(MOST, max(LEAST, sorted(misses)[rank - 1] / Z90))


def _covered(misses: Sequence[float], factor: float) -> float:
    return sum(miss <= Z90 * factor for miss in misses) / len(misses)
