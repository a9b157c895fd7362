"""How a vehicle is driven: one number with its uncertainty, from the readings of its odometer or of its hour meter.

The number is the logarithm of the distance a day, taken half as it always was and half as it was lately: where the two
disagree, the forecast widens by itself. How unevenly this vehicle was driven sets the scale of that width. A clear
change that two readings confirm makes what was before it drop out; one reading alone only widens, and is said.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise
from math import exp, log, sqrt

from ticket.followups.priors import Prior

# Fitted on invented drivers (benchmarks/forecast.py), not on a published sample: none was to be had.
SLOW, QUICK, DAMP = 0.02, 2.5, 20.0  # unevenness: what lasts, what evens out, and within how many days
HALF = 730.0  # days after which a reading counts half
SURPRISE = 4.0  # no single stretch counts for more when a driver's unevenness is judged
FLOOR = 0.03  # of the usual distance: nothing driven at all is no habit
CLOSEST = 14  # days; closer readings tell a trip, not a habit
CLEAR, MAYBE = 3.5, 2.33  # how sure a change must be with two readings since, and with one
FACTOR = log(1.35)  # and how large
_OPEN = 9.0  # variance between vehicles where no centre is known: their own readings tell everything
PARKED, STILL = log(0.1), 30  # a last stretch of so little, over so many days, is a vehicle that stands
MOST = 60  # readings; the search for a change grows with the square, and older ones tell little

AVERAGE, OWN, CHANGED, PERHAPS, STANDS = "average", "own", "changed", "perhaps changed", "parked"

Reading = tuple[date, float]


@dataclass(frozen=True, slots=True)
class Habit:
    """How far a vehicle goes a day.

    Attributes:
        mean: logarithm of the distance a day (of the hours, for a machine).
        var: variance of that.
        uneven: how unevenly it is driven, 1 for the usual.
        word: ``average`` (its own driving is not known), ``own``, ``changed``, ``perhaps changed`` (one reading says
            so) or ``parked``.
        usual: the median vehicle's distance a day; ``None`` for hours, where none is known.
        before: distance a day before a change, with ``changed`` and ``perhaps changed``.
        since: distance a day after it.
        readings: how many it rests on.
        turned: about the day of the change.
    """

    mean: float
    var: float
    uneven: float
    word: str
    usual: float | None
    before: float | None = None
    since: float | None = None
    readings: int = 0
    turned: date | None = None

    @property
    def per_day(self) -> float:
        """The distance a day."""
        return exp(self.mean)


@dataclass(frozen=True, slots=True)
class _Step:
    """A stretch between readings: logarithm of the distance a day, its variance, its days, how much it counts."""

    y: float
    v: float
    days: int
    fade: float


def habit(readings: Iterable[Reading], prior: Prior) -> Habit | None:
    """The habit behind some readings, in any order; ``None`` where nothing is known at all.

    Args:
        readings: day and reading, all in the unit of the prior.
        prior: what is known before any reading; without a centre, for hours, the readings must tell everything.
    """
    kept = sorted(readings)[-MOST:]
    done = steps(kept)
    if not done:
        known = None if prior.centre is None else log(prior.centre)
        return None if known is None else Habit(known, prior.spread, 1.0, AVERAGE, prior.usual, readings=len(kept))
    centre, spread = (_own_centre(done), _OPEN) if prior.centre is None else (prior.centre, prior.spread)
    if centre <= 0:
        return None
    rows, word = [_row(*step, centre, prior.usual) for step in done], OWN
    if _stands(rows):
        rows, word = rows[:-1], STANDS
    at, before, since = _change(rows)
    if at:
        confirmed = len(rows) - at >= 2
        word = word if word == STANDS else CHANGED if confirmed else PERHAPS  # what stands has no late end either way
        rows = rows[at:] if confirmed else rows
    found = _weighed(rows, word, log(centre), 1 / spread, prior.usual, len(kept))
    if not at:
        return found
    days, _, age = done[at]
    turned = kept[-1][0] - timedelta(days=age + days)
    return replace(found, before=exp(before), since=exp(since), turned=turned)


def _own_centre(done: Sequence[tuple[int, float, int]]) -> float:
    """The distance a day over all stretches, where nothing else tells what is usual."""
    return sum(moved for _, moved, _ in done) / sum(days for days, _, _ in done)


def _stands(rows: Sequence[_Step]) -> bool:
    """Whether so little was driven over the last stretch that it says nothing of how the vehicle is driven."""
    return len(rows) > 1 and rows[-1].days >= STILL and rows[-1].y - _mean(rows[:-1])[0] < PARKED


def _weighed(rows: Sequence[_Step], word: str, centre: float, sure: float, usual: float | None, readings: int) -> Habit:
    """Half as always, half as lately; each leans on what is usual as far as its own readings leave room."""
    middle, weight = _mean(rows, fade=True)
    last = rows[-1]
    always = (middle * weight + centre * sure) / (weight + sure)
    lately = (last.y / last.v + centre * sure) / (1 / last.v + sure)
    uneven = (1 + _off(rows, always)) / len(rows)
    var = uneven * (1 / (weight + sure) + 1 / (1 / last.v + sure)) / 2 + (lately - always) ** 2 / 4
    return Habit((always + lately) / 2, var, uneven, word, usual, readings=readings)


def settled(readings: Sequence[Reading]) -> list[Reading]:
    """Without readings that both neighbours contradict; a fall that lasts is another instrument, and stays."""
    i, rows = 0, list(readings)
    while i + 1 < len(rows):
        if rows[i + 1][1] < rows[i][1] and i + 2 < len(rows):
            if rows[i + 2][1] >= rows[i][1]:  # a dip
                del rows[i + 1]
                continue
            if i and rows[i - 1][1] <= rows[i + 1][1]:  # a peak
                del rows[i]
                i -= 1
                continue
        i += 1
    return rows


def steps(readings: Iterable[Reading]) -> list[tuple[int, float, int]]:
    """Each stretch between readings as days, distance and age in days, oldest first; none shorter than two weeks."""
    ordered = settled(sorted(readings))
    found: list[tuple[int, float, date]] = []
    days, moved = 0, 0.0
    for (start, before), (end, after) in pairwise(ordered):
        if after < before:  # another instrument: this stretch says nothing
            days, moved = 0, 0.0
            continue
        days, moved = days + (end - start).days, moved + after - before
        if days >= CLOSEST:
            found.append((days, moved, end))
            days, moved = 0, 0.0
    if days and found:
        last = found[-1]
        found[-1] = (last[0] + days, last[1] + moved, ordered[-1][0])
    return [(days, moved, (ordered[-1][0] - end).days) for days, moved, end in found]


def noise(days: float, rate: float, usual: float | None) -> float:
    """Variance of the logarithm of a rate over so many days; where little is driven, each day tells less."""
    share = min(1.0, rate / usual) if usual else 1.0
    return SLOW + QUICK / (days * share + DAMP)


def _row(days: int, moved: float, age: int, centre: float, usual: float | None) -> _Step:
    least = log(centre) + log(FLOOR)
    y = max(log(moved / days), least) if moved > 0 else least
    return _Step(y, noise(days, exp(y), usual), days, 0.5 ** (age / HALF))


def _mean(rows: Sequence[_Step], *, fade: bool = False) -> tuple[float, float]:
    """The weighted mean and the sum of the weights."""
    weights = [(row.fade if fade else 1.0) / row.v for row in rows]
    total = sum(weights)
    return sum(weight * row.y for weight, row in zip(weights, rows, strict=True)) / total, total


def _off(rows: Sequence[_Step], middle: float) -> float:
    return sum(min((row.y - middle) ** 2 / row.v, SURPRISE) for row in rows)


def _change(rows: Sequence[_Step]) -> tuple[int, float, float]:
    """The surest change: its place (0 for none), and the logarithm of the rate before it and after it."""
    sure, best = 0.0, (0, 0.0, 0.0)
    for i in range(1, len(rows)):
        (before, weight_before), (since, weight_since) = _mean(rows[:i]), _mean(rows[i:])
        uneven = (1 + _off(rows[:i], before) + _off(rows[i:], since)) / (len(rows) - 1)
        z = abs(since - before) / sqrt(uneven * (1 / weight_before + 1 / weight_since))
        confirmed = z > CLEAR if len(rows) - i >= 2 else z > MAYBE and not best[0]
        if abs(since - before) > FACTOR and confirmed and z > sure:
            sure, best = z, (i, before, since)
    return best
