"""The unit that limits are meant in: that of the reading, its notation, or another, where a person is asked."""

from ticket.notes.finding.stated import Reading
from ticket.notes.finding.tokens import GivenLimits

_CLOSE = 4  # a value without a unit takes that of its limits only this near to them: 2.8 beside 25 psi may be bar
_FAR = 10  # a bare limit this many times off every reading was meant in another unit
IN_UNIT = "Are these millimeters or 32nds of an inch?"


def of_known_unit(members: list[Reading], given: GivenLimits) -> list[Reading]:
    """The readings that may be judged; the others wait for their unit."""
    for reading in members:
        if _in_two_units(reading, given):
            reading.asked = IN_UNIT
    return [reading for reading in members if reading.asked != IN_UNIT]


def _in_two_units(reading: Reading, given: GivenLimits) -> bool:
    """``rear pads 3, min 2.5 mm``: linings and treads are read in millimeters and in 32nds; low in both is low."""
    amount, low = reading.amount, given.low
    named = any(token.text.startswith(_READ_IN_TWO) for token in reading.subject)
    whole = amount.bare and amount.shape == "whole" and amount.value is not None and not amount.to
    if not (named and whole and low is not None and low.value is not None and low.unit.casefold() == "mm"):
        return False
    return amount.value is not None and amount.value >= low.value


_READ_IN_TWO = ("pad", "lining", "shoe", "tread", "tyre", "tire")


def _insulates(members: list[Reading], given: GivenLimits) -> bool:
    """``isolation 6.2 Mohm, min 0.5``: what insulates may do so many times better than it has to."""
    words = [token.text for reading in members for token in reading.name]
    least = given.low is not None and given.high is None
    return least and any(word.startswith(("insulat", "isolat", "megger")) for word in words)


def far_off(members: list[Reading], given: GivenLimits) -> bool:
    """A limit without unit, or a reading without one, that would lie ten times off was meant otherwise."""
    values = [abs(r.amount.value) for r in members if r.amount.value]
    bounds = [abs(a.value) for a in given.amounts if a.value]
    if not values or not bounds:
        return False
    # a bracket right behind a unit is in that unit, however far off the value: 1.48 V (max 0.10)
    bare_limits = all(a.bare for a in given.amounts) and not members[0].amount.bare and not given.bracketed
    bare_values = members[0].amount.bare and bool(given.dimension)
    all_bare = all(a.bare for a in given.amounts) and all(r.amount.bare for r in members)
    if (bare_values or all_bare) and not (max(values) * _CLOSE >= min(bounds) and min(values) <= max(bounds) * _CLOSE):
        return True
    if not (bare_limits or bare_values or all_bare) or _insulates(members, given):
        return False
    return max(values) * _FAR < min(bounds) or min(values) > max(bounds) * _FAR
