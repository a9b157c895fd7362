"""How far a count of few jobs can be trusted: intervals of a share, what a sample can say, shares drawn to the middle.

Formulas: Brown, Cai and DasGupta 2001 (Wilson and Jeffreys), Clopper and Pearson 1934, Gelman and others, Bayesian Data
Analysis, section 5.1 (shares of groups). Only the standard library is used; the tests hold each against what was
published.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import exp, lgamma, log, log1p, sqrt
from statistics import fmean, pvariance

from ticket.past.survival import two_sided

FEW = 10
"""Below so many jobs a share is told as a fraction, never as per cent."""
_TINY = 1e-300
_LEAST_GROUPS = 8  # from fewer no spread of shares is fitted

Interval = tuple[float, float]


def wilson(part: int, whole: int, level: float = 0.95) -> Interval:
    """The interval of a share after Wilson; everything is possible where nothing was counted."""
    if not whole:
        return 0.0, 1.0
    z = two_sided(level)
    share, spread = part / whole, z * z / whole
    middle = (share + spread / 2) / (1 + spread)
    half = z * sqrt(share * (1 - share) / whole + spread / (4 * whole)) / (1 + spread)
    return max(middle - half, 0.0) if part else 0.0, min(middle + half, 1.0) if part < whole else 1.0


def jeffreys(part: int, whole: int, level: float = 0.95) -> Interval:
    """The interval of a share after Jeffreys; an end that nothing speaks for stands at 0 or 1."""
    if not whole:
        return 0.0, 1.0
    tail, a, b = (1 - level) / 2, part + 0.5, whole - part + 0.5
    return beta_quantile(tail, a, b) if part else 0.0, beta_quantile(1 - tail, a, b) if part < whole else 1.0


def clopper_pearson(part: int, whole: int, level: float = 0.95) -> Interval:
    """The interval that holds the share of a whole at least so often, whatever it is: for samples."""
    if not whole:
        return 0.0, 1.0
    tail = (1 - level) / 2
    low = beta_quantile(tail, part, whole - part + 1) if part else 0.0
    return low, beta_quantile(1 - tail, part + 1, whole - part) if part < whole else 1.0


def rule_of_three(sample: int) -> float:
    """With none found in a sample, the share in the whole is below this with 95 %: three by its size (Hanley 1983)."""
    return min(3 / sample, 1.0) if sample else 1.0


def beta_quantile(share: float, a: float, b: float) -> float:
    """The value below which a beta distribution lies with a share of its weight.

    By Newton's steps, each kept inside what is known to hold it; where one leads out, that is halved instead.
    """
    low, high, at = 0.0, 1.0, a / (a + b)
    whole = lgamma(a + b) - lgamma(a) - lgamma(b)
    for _ in range(200):
        over = beta_share(at, a, b) - share
        low, high = (low, at) if over > 0 else (at, high)
        slope = exp(whole + (a - 1) * log(at) + (b - 1) * log1p(-at)) if 0 < at < 1 else 0.0
        step = at - over / slope if slope > _TINY else -1.0
        new = step if low < step < high else (low + high) / 2
        if abs(new - at) <= 1e-15 * at or new == at:
            return new
        at = new
    return at


def beta_share(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function, by the continued fraction of Lentz."""
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    if x > (a + 1) / (a + b + 2):
        return 1 - beta_share(1 - x, b, a)
    lead = exp(a * log(x) + b * log1p(-x) + lgamma(a + b) - lgamma(a) - lgamma(b)) / a
    c, d = 1.0, 1 / _kept_off(1 - (a + b) * x / (a + 1))
    found = d
    for m in range(1, 300):
        for numerator in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / _kept_off(1 + numerator * d)
            c = _kept_off(1 + numerator / c)
            found *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return lead * found


def _kept_off(value: float) -> float:
    return value if abs(value) > _TINY else _TINY


@dataclass(frozen=True, slots=True)
class Prior:
    """What is known of a share before its own jobs are counted: a beta distribution."""

    a: float = 1.0
    b: float = 1.0

    def mean(self, part: int, whole: int) -> float:
        """The share of a group, drawn towards those of all groups the more the fewer jobs it has."""
        return (part + self.a) / (whole + self.a + self.b)

    def low(self, part: int, whole: int, level: float = 0.05) -> float:
        """What the share is hardly below; groups are ranked by it, so that 1 of 1 is not above 17 of 20."""
        return _quantile(level, part + self.a, whole - part + self.b)


_quantile = lru_cache(maxsize=4096)(beta_quantile)


def fitted(groups: Sequence[tuple[int, int]]) -> Prior:
    """The spread of the shares of some groups, by their mean and variance; none where there are too few of them.

    Args:
        groups: part and whole of each.
    """
    shares = [part / whole for part, whole in groups if whole]
    if len(shares) < _LEAST_GROUPS:
        return Prior()
    mean, variance = fmean(shares), pvariance(shares) * len(shares) / (len(shares) - 1)
    if not 0 < variance < mean * (1 - mean):
        return Prior()
    size = mean * (1 - mean) / variance - 1
    return Prior(mean * size, (1 - mean) * size)
