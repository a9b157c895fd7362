"""Two readings of one thing, a distance apart: how fast it goes, and how far the limit is.

First-order formulas and Fieller's interval for a ratio (E. C. Fieller, "Some problems in interval estimation",
Journal of the Royal Statistical Society B 16, 1954). A gauge step of r stands for a standard uncertainty of
r / sqrt(12) (GUM F.2.2.1).
"""

from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

Z = 1.959964
"""Normal quantile of a two-sided 95 % interval."""

WEARS, TOO_SMALL, AWAY, REACHED = "wears", "too small", "away", "reached"


@dataclass(frozen=True, slots=True)
class Wear:
    """How one reading moved toward its limit.

    Attributes:
        state: ``wears``; ``too small`` (the change is not larger than the gauge can show); ``away`` (it moved away
            from the limit, so it was renewed, topped up or measured elsewhere); ``reached`` (no way left).
        per_thousand: movement toward the limit per 1,000 units of distance; exact.
        uncertainty: standard uncertainty of ``per_thousand`` from the gauge steps alone.
        left: distance until the limit at this rate; ``None`` unless it wears.
        earliest: lower end of the 95 % interval of ``left``, never below 0.
        latest: its upper end.
    """

    state: str
    per_thousand: Fraction
    uncertainty: float
    left: Fraction | None = None
    earliest: float | None = None
    latest: float | None = None


def wear(
    start: Fraction,
    end: Fraction,
    limit: Fraction,
    distance: Fraction,
    *,
    steps: tuple[Fraction, Fraction],
    toward_high: bool = False,
) -> Wear:
    """Project two readings onto their limit.

    Args:
        start: the earlier reading.
        end: the later one, in the same unit.
        limit: the least allowed value, or the largest one with ``toward_high``.
        distance: what was driven in between; more than 0.
        steps: gauge step of the earlier and of the later reading, in the unit of the readings.
        toward_high: the reading grows with wear (play, runout) instead of shrinking (tread, lining).

    Raises:
        ValueError: if the distance is not more than 0.
    """
    if distance <= 0:
        raise ValueError("a rate needs a distance of more than 0")
    if toward_high:
        start, end, limit = -start, -end, -limit
    var_start, var_end = (float(step) ** 2 / 12 for step in steps)
    lost, room = start - end, end - limit
    per_thousand = lost * 1000 / distance
    uncertainty = sqrt(var_start + var_end) * 1000 / float(distance)
    if room <= 0:
        return Wear(REACHED, per_thousand, uncertainty, Fraction(0), 0.0, 0.0)
    if float(lost) ** 2 <= Z**2 * (var_start + var_end) or lost == 0:
        return Wear(TOO_SMALL, per_thousand, uncertainty)
    if lost < 0:
        return Wear(AWAY, per_thousand, uncertainty)
    low, high = fieller(float(room), float(lost), var_end, var_start + var_end, -var_end)
    miles = float(distance)
    return Wear(WEARS, per_thousand, uncertainty, room * distance / lost, max(0.0, low * miles), high * miles)


def fieller(top: float, bottom: float, var_top: float, var_bottom: float, cov: float) -> tuple[float, float]:
    """The 95 % interval of ``top / bottom`` for two normal estimates; the denominator must be clear of nought."""
    square = bottom**2 - Z**2 * var_bottom
    middle = top * bottom - Z**2 * cov
    root = sqrt(max(0.0, middle**2 - square * (top**2 - Z**2 * var_top)))
    return (middle - root) / square, (middle + root) / square
