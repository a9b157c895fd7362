"""Is a typed odometer reading believable? Ask, never correct: what was typed is kept."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from math import log

from ticket.followups.driving import Driving, Visit, driving
from ticket.followups.habit import noise
from ticket.job.values import Quantity
from ticket.readings.digits import number
from ticket.readings.units import convert

KILOMETRES = Fraction("1.609344")

# Fitted on invented entries: none of 4,012 good ones was questioned, every added or dropped digit was.
_USUAL_SPREAD = 0.6  # of the logarithm of a rate between visits
_ASK_BELOW = -4.5  # score
_SLIP, _WRONG_DIGIT = 1.5, 3.0  # how much less likely a slip is than plain driving
_SHORT = 14  # days; one long trip must not look like a slip
_PARKED = 30  # days; before that little driving says nothing
_MOST_OFFERS = 3
_ROLLOVER = 100_000  # a five-digit odometer starts again here


@dataclass(frozen=True, slots=True)
class Offer:
    """A reading that was perhaps meant.

    Attributes:
        value: the reading, whole units.
        slip: ``km typed as mi``, ``mi typed as km``, ``digit too many``, ``digit missing``, ``digits swapped``,
            ``wrong digit`` or ``rollover``.
    """

    value: int
    slip: str


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a reading should be looked at again.

    Attributes:
        kind: ``lower`` than before (lawful reasons: instrument replaced, or more miles than it can show), ``too
            much`` or ``too little`` for the time since.
        before: the reading before.
        on: its day.
        offers: what was perhaps meant, likeliest first; may be empty.
    """

    kind: str
    before: Fraction
    on: date
    offers: tuple[Offer, ...]


def odometer_check(
    typed: Fraction, on: date, readings: Sequence[tuple[date, Fraction]], usual: float, unit: str = "mi",
    extra: float = 0.0,
) -> Doubt | None:  # fmt: skip
    """Doubt about a reading, or ``None`` when it fits the vehicle's history or there is none.

    Args:
        typed: the reading.
        on: day it was read.
        readings: earlier days and readings; those after ``on`` are left aside.
        usual: the vehicle's usual distance a day, made without this reading, in ``unit``.
        unit: unit of all of them.
        extra: variance of the logarithm of the rate that this vehicle adds to the usual one: how little is known of its
            driving, and how unevenly it is driven.
    """
    earlier = sorted(reading for reading in readings if reading[0] <= on)
    if not earlier or usual <= 0 or typed < 0:
        return None
    day, before = earlier[-1]
    days = (on - day).days
    score = _score(typed - before, days, usual, extra)
    if score is not None and score >= _ASK_BELOW:
        return None
    kind = "lower" if score is None else "too much" if typed - before > usual * max(days, 1) else "too little"
    return Doubt(kind, before, day, tuple(_offers(typed, before, days, usual, unit, extra)))


def visit_doubt(visit: Visit, before: Sequence[Visit], year: int | None = None) -> Doubt | None:
    """The same for a visit: nothing is asked where it says why the reading does not follow from the ones before.

    Args:
        visit: the one that is asked about.
        before: earlier visits of the vehicle, in any order; those before the instrument last changed tell its
            driving, but not where it stands. Running hours instead of a distance are another instrument too.
        year: the model year.
    """
    typed = visit.reading.value
    earlier = sorted((one for one in before if one.day <= visit.day), key=lambda one: one.day)
    unit = visit.reading.unit
    known = driving(earlier, year=year)
    a_day = convert(Fraction(known.habit.per_day), known.unit, unit) if known.habit else None
    if typed is None or visit.reason:
        return None
    last = max((i for i, one in enumerate(earlier) if one.reason), default=0)
    readings = [
        (one.day, value)
        for one in earlier[last:]
        if one.reading.value is not None and (value := convert(one.reading.value, one.reading.unit, unit)) is not None
    ]
    if a_day is not None:
        return odometer_check(typed, visit.day, readings, float(a_day), unit, _extra(known, visit.day))
    day, highest = max(readings, default=(visit.day, typed))
    return Doubt("lower", highest, day, ()) if typed < highest else None


def _extra(known: Driving, day: date) -> float:
    """What is not known of a vehicle's driving, and how unevenly it is driven over the time since its last reading."""
    habit = known.habit
    if habit is None:
        return 0.0
    days = max(1, (day - known.day).days) if known.day else 1
    return habit.var + habit.uneven * noise(days, habit.per_day, habit.usual)


def returned(came: Quantity | None, went: Quantity | None) -> Fraction | None:
    """Distance driven while in the shop, in the unit of ``came``; below 0 is always an error, ``None`` is unknown."""
    start, end = (number(reading.number) if reading else None for reading in (came, went))
    if came is None or went is None or start is None or end is None:
        return None
    moved = convert(end, went.unit, came.unit)
    return None if moved is None else moved - start


def _score(driven: Fraction, days: int, usual: float, extra: float) -> float | None:
    """How well a distance fits the usual rate, 0 for a perfect fit; ``None`` for driving backwards.

    A normal curve over the logarithm of observed to usual rate. A short time is stretched, so that a single trip is
    no surprise, and so is no driving at all before a month has passed.
    """
    if driven < 0:
        return None
    expected = usual * max(days, _SHORT)
    if driven <= expected and days < _PARKED:
        return 0.0
    return -(log(max(float(driven), 1.0) / expected) ** 2) / (2 * (_USUAL_SPREAD**2 + extra))


def _offers(typed: Fraction, before: Fraction, days: int, usual: float, unit: str, extra: float) -> list[Offer]:
    best: dict[int, tuple[float, Offer]] = {}
    for value, slip in _meant(int(typed), unit):
        score = _score(value - before, days, usual, extra)
        if score is None or value == typed:
            continue
        score -= _WRONG_DIGIT if slip == "wrong digit" else _SLIP
        if score >= _ASK_BELOW and (value not in best or best[value][0] < score):
            best[value] = (score, Offer(value, slip))
    ranked = sorted(best.values(), key=lambda item: (-item[0], item[1].value))
    return [offer for _, offer in ranked[:_MOST_OFFERS]]


def _meant(typed: int, unit: str) -> Iterator[tuple[int, str]]:
    """Everything one slip away from the typed reading."""
    yield (
        (round(typed / KILOMETRES), "km typed as mi") if unit == "mi" else (round(typed * KILOMETRES), "mi typed as km")
    )
    yield typed // 10, "digit too many"
    digits = str(typed)
    for i in range(len(digits)):
        if i + 1 < len(digits):
            yield int(digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :]), "digits swapped"
        for digit in "0123456789":
            yield int(digits[:i] + digit + digits[i + 1 :]), "wrong digit"
            yield int(digits[:i] + digit + digits[i:]), "digit missing"
        yield int(digits[:i] + digits[i + 1 :] or "0"), "digit too many"
    for digit in "0123456789":
        yield int(digits + digit), "digit missing"
    if typed < _ROLLOVER:
        yield typed + _ROLLOVER, "rollover"
