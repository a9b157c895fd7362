"""The forecast as it was made before: the median slope over all pairs (Theil-Sen) and fitted constants.

Kept to be compared with: ``benchmarks/forecast.py`` prints both side by side.
"""

from collections.abc import Sequence
from datetime import date
from itertools import combinations, pairwise
from math import exp, log, sqrt
from statistics import median

AVERAGE = 10786.65 / 365.25  # miles a day (FHWA Highway Statistics 2024, VM-1)
CLOSEST, LEAST, FEW, BETWEEN = 14, 0.20, 0.30, 0.50


def slope(readings: Sequence[tuple[date, float]], closest: int = CLOSEST) -> float | None:
    """The median slope over all pairs of readings that are not too close."""
    pairs = combinations(sorted(readings), 2)
    found = [(b - a) / (end - start).days for (start, a), (end, b) in pairs if (end - start).days >= closest]
    return median(found) if found else None


def interval(readings: Sequence[tuple[date, float]], left: float) -> tuple[float, float]:
    """Days until so much more is driven: early end and late end."""
    rate, spread, many = slope(readings) or AVERAGE, BETWEEN, 1
    if rate <= 0:
        rate = AVERAGE
    elif len(readings) > 1:
        steps = [(b - a) / (end - start).days for (start, a), (end, b) in pairwise(sorted(readings)) if end > start]
        logs = [log(step) for step in steps if step > 0]
        many = max(1, len(logs))
        spread = FEW if len(logs) < 3 else max(LEAST, 1.4826 * median(abs(one - median(logs)) for one in logs))
    days = left / rate
    sig = sqrt(spread**2 / many + 0.05 * min(1, 30 / days) + 0.10 * min(1, 7 / days) + 0.5 / days)
    wide = exp(min(1.645 * sig, 50))
    return days / wide, days * wide
