"""The same check on the same vehicle at two visits: what it lost, and when its limit will be reached."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ticket.job.kinds import Found, Proof
from ticket.job.numbers import step
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.job.values import Limits, Quantity, Ref, Run
from ticket.readings.digits import number
from ticket.readings.inexact import parts
from ticket.readings.limit_bounds import as_limits, convert_limits
from ticket.readings.pairing import measured, place
from ticket.readings.positions import place_key
from ticket.readings.taken_over import TakenOver
from ticket.readings.units import convert, convert_gap, find
from ticket.readings.wear import Wear, wear

# Only lengths wear in step with the distance: tread, lining, play, a level. A voltage or a trim does not.
_WEARING = "length"


@dataclass(frozen=True, slots=True)
class Trend:
    """Two readings of one thing at one position.

    Attributes:
        what: what was measured, as named at the later visit.
        label: its position.
        start: the earlier reading as typed.
        end: the later reading as typed.
        first: entry of the earlier reading, on the earlier ticket.
        last: entry of the later reading.
        distance: driven in between, exact, in ``distance_unit``.
        distance_unit: unit of the later odometer reading.
        limit: the limit it moves toward, with its digits; in the unit of ``end``, or with its own behind it.
        wear: the figures; distances in ``distance_unit``.
    """

    what: str
    label: str
    start: Quantity
    end: Quantity
    first: Ref
    last: Ref
    distance: Fraction
    distance_unit: str
    limit: str
    wear: Wear


@dataclass(frozen=True, slots=True)
class _Reading:
    ref: Ref
    what: str
    label: str
    typed: Quantity
    limits: Limits | None
    odometer: Quantity


def trends(ticket: Ticket, earlier: Sequence[Ticket]) -> tuple[Trend, ...]:
    """The trend of each reading of a ticket that an earlier visit of the same vehicle also took.

    From this ticket the first reading of a thing counts (the state it came in with), from an earlier one the last
    (the state it left with). The newest earlier visit that measured it is used. Without limits, odometer readings
    or a distance between them there is no trend.

    Args:
        ticket: the ticket asked about.
        earlier: earlier tickets of the same vehicle, newest first.
    """
    last: dict[tuple[str, str], _Reading] = {}
    for reading in _readings(ticket, earlier):
        last.setdefault(_key(reading), reading)
    first: dict[tuple[str, str], _Reading] = {}
    for visit in earlier:
        there = {_key(reading): reading for reading in _readings(visit, earlier)}
        for key in there.keys() - first.keys():
            first[key] = there[key]
    both = ((first[key], reading) for key, reading in last.items() if key in first)
    return tuple(trend for one, other in both if (trend := _trend(one, other)))


def _key(reading: _Reading) -> tuple[str, str]:
    return fold(reading.what), place_key(reading.label)


def _readings(ticket: Ticket, earlier: Sequence[Ticket]) -> Iterator[_Reading]:
    """Every plain figure of a length on a ticket, in the order taken: a corrected one stands where it first stood."""
    odometer = ticket.header.odometer_in or ticket.header.odometer_out
    if odometer is None:
        return
    for entry in sorted(ticket.living, key=lambda entry: place(ticket, entry)):
        if not isinstance(entry.fact, Found | Proof):
            continue
        ref = Ref(entry.no, ticket.number)
        for taken in measured(ticket, entry, earlier).groups:
            if taken.what and _wears(taken.run):
                yield from _figures(ref, taken, odometer)


def _figures(ref: Ref, taken: TakenOver, odometer: Quantity) -> Iterator[_Reading]:
    for value in taken.run.values:
        said = parts(value.number)
        if said.value is not None and not said.than:
            typed = Quantity(value.number.strip(), taken.run.unit)
            yield _Reading(ref, taken.what, value.label, typed, taken.run.limits, odometer)


def _wears(run: Run) -> bool:
    unit = find(run.unit)
    return unit is not None and unit.dimension == _WEARING


def _trend(one: _Reading, other: _Reading) -> Trend | None:
    unit = other.typed.unit
    start, end = _in(one.typed, unit), number(other.typed.number)
    came, went = _in(one.odometer, other.odometer.unit), number(other.odometer.number)
    if start is None or end is None or came is None or went is None or went <= came:
        return None
    limits = other.limits or (convert_limits(one.limits, one.typed.unit, unit) if one.limits else None)
    bracket = as_limits(limits, unit)
    side = _side(start, end, bracket.low, bracket.high)
    if side is None:
        return None
    limit, toward_high = side
    steps = _step(one.typed, unit), _step(other.typed, unit)
    found = wear(start, end, limit, went - came, steps=steps, toward_high=toward_high)
    return Trend(
        what=other.what, label=other.label, start=one.typed, end=other.typed, first=one.ref, last=other.ref,
        distance=went - came, distance_unit=other.odometer.unit,
        limit=bracket.named(bracket.high_text if toward_high else bracket.low_text), wear=found,
    )  # fmt: skip


def _side(start: Fraction, end: Fraction, low: Fraction | None, high: Fraction | None) -> tuple[Fraction, bool] | None:
    """The limit a reading moves toward: the only one there is, or of two the one ahead."""
    if low is not None and (high is None or end <= start):
        return low, False
    return None if high is None else (high, True)


def _in(typed: Quantity, unit: str) -> Fraction | None:
    value = number(typed.number)
    return None if value is None else convert(value, typed.unit, unit)


def _step(typed: Quantity, unit: str) -> Fraction:
    return convert_gap(step(typed.number) or Fraction(0), typed.unit, unit) or Fraction(0)
