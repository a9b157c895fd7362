"""How likely a true value is within limits, when the instrument's uncertainty is known (JCGM 106:2012, clause 7)."""

from fractions import Fraction
from statistics import NormalDist

SURE = 0.95
"""Chance from which a reading counts as decided; a choice of this program, JCGM 106 leaves it to the parties."""


def chance_within(value: Fraction, low: Fraction | None, high: Fraction | None, u: Fraction) -> float:
    """Probability that the true value lies within the limits.

    Args:
        value: the reading.
        low: least allowed value, ``None`` for no such limit.
        high: largest allowed value, ``None`` for no such limit.
        u: standard uncertainty of the reading, more than 0, in its unit; a normal distribution is assumed.
    """
    normal = NormalDist()
    below = 0.0 if low is None else normal.cdf(float((low - value) / u))
    above = 0.0 if high is None else normal.cdf(float((value - high) / u))
    return max(0.0, 1.0 - below - above)
