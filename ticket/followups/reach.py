"""In how many days a distance will be driven: a middle, an honest interval, and a day to call."""

from math import ceil, exp, sqrt
from typing import NamedTuple

from ticket.followups.habit import STANDS, Habit, noise

Z90, Z50 = 1.645, 0.674  # of a normal distribution: two-sided 90 %, and the quarter that lies below
FURTHEST = 36525  # days; a forecast beyond a century says nothing
_MOST = 50.0  # exponents beyond this are no days
AHEAD = 7  # days before the early end when risky work is called for


class Reach(NamedTuple):
    """Whole days from the latest reading on.

    Attributes:
        early: 5 of 100 such vehicles are there sooner.
        call: one in four is.
        middle: as many sooner as later.
        late: 5 of 100 are later; ``None`` for a vehicle that stands, and beyond a century.
    """

    early: int
    call: int
    middle: int
    late: int | None

    def call_days(self, *, risky: bool) -> int:
        """When to call: early is cheaper than late, about three to one; risky work a week before the early end.

        Never before tomorrow.
        """
        return max(1, self.early - AHEAD if risky else self.call)


ALREADY = Reach(0, 0, 0, 0)


def reach(habit: Habit, left: float, widen: float = 1.0, extra: float = 0.0) -> Reach | None:
    """The days until so much more is driven, if driving stays as it is; ``None`` beyond a century.

    Args:
        habit: how the vehicle is driven.
        left: distance, in the unit of the habit; nothing or less is reached already.
        widen: the shop's own factor, see :mod:`ticket.followups.calibration`.
        extra: relative variance of the distance, where that is a forecast too.
    """
    return days_until(left, habit.mean, habit.var + extra, habit.uneven, habit.usual, habit.word, widen)


def days_until(
    left: float, mean: float, var: float, uneven: float, usual: float | None, word: str, widen: float
) -> Reach | None:  # fmt: skip
    """The same from plain figures; fields as in :class:`~ticket.followups.habit.Habit`."""
    if left <= 0:
        return ALREADY
    rate = exp(mean)
    days = left / rate
    if days > FURTHEST:
        return None
    spread = widen * sqrt(var + uneven * noise(days, rate, usual))
    wide, quarter = exp(min(Z90 * spread, _MOST)), exp(min(Z50 * spread, _MOST))
    last = days * wide
    late = None if word == STANDS or last > FURTHEST else ceil(last)
    return Reach(int(days / wide), int(days / quarter), int(days), late)
