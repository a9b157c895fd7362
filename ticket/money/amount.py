"""Money as whole cents: everything that reads, rounds, spreads or prints an amount does it here.

A cent is a hundredth of the currency, whatever its name. Between two roundings values are exact fractions;
binary floating point never touches an amount.
"""

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from math import floor, lcm

from ticket.job.numbers import bound, exact

HIGHEST = 10**15
"""No amount is taken for more cents than this: a longer figure is a slip of the scanner, not a price."""

_SIGNS = "$£€¥"
_LONGEST = 24


@lru_cache(maxsize=4096)
def price(typed: str) -> Fraction | None:
    """The exact amount behind a typed price such as ``$1,228.40`` or ``.0125``, in units of the currency.

    ``None`` where the text is no amount: empty, negative, a word, an estimate like ``<5``, or out of range.
    """
    text = typed.strip()
    if not text or len(text) > _LONGEST or bound(text):
        return None
    value = exact(text.lstrip(_SIGNS).strip())
    return value if value is not None and 0 <= value * 100 <= HIGHEST else None


@lru_cache(maxsize=4096)
def cents(typed: str) -> int | None:
    """A typed price in whole cents, rounded half up; ``None`` where :func:`price` says so."""
    value = price(typed)
    return None if value is None else half_up(value * 100)


def half_up(value: Fraction) -> int:
    """The nearest whole number, halves away from zero, so that a charge and its credit always cancel.

    This is the rule of the Streamlined Sales and Use Tax Agreement section 324: carry the product to the third
    decimal, round up when that digit is above four. It looks at the raw product, never at a rounded one.
    """
    size = (2 * abs(value.numerator) + value.denominator) // (2 * value.denominator)
    return size if value >= 0 else -size


def down(value: Fraction) -> int:
    """The whole number next to zero: for ceilings, and for tax where the law lets it be rounded down."""
    return floor(value) if value >= 0 else -floor(-value)


def spread(total: int, weights: Sequence[Fraction | int]) -> tuple[int, ...]:
    """Whole cents in proportion to weights, summing to ``total`` exactly (largest remainder, earlier first on ties).

    No share has the other sign than the total, none grows beyond its exact share by a cent or more.

    Raises:
        ValueError: for a negative weight, or when all weights are zero and the total is not.
    """
    if any(weight < 0 for weight in weights):
        raise ValueError("a weight below zero")
    whole = sum(weights)
    if not whole:
        if total:
            raise ValueError("nothing to spread an amount over")
        return tuple(0 for _ in weights)
    if len(weights) == 1:
        return (total,)
    size = abs(total)
    scale = lcm(*(weight.denominator for weight in weights))
    parts = [int(weight * scale) for weight in weights]  # the same proportions in whole numbers
    all_parts = sum(parts)
    divided = [divmod(size * part, all_parts) for part in parts]
    shares = [share for share, _ in divided]
    left = size - sum(shares)
    by_remainder = sorted(range(len(shares)), key=lambda i: (-divided[i][1], i))
    for i in by_remainder[:left]:
        shares[i] += 1
    return tuple(shares) if total >= 0 else tuple(-share for share in shares)


def plain(value: int) -> str:
    """An amount in cents with two places and no sign of a currency: ``22840`` -> ``228.40``."""
    whole, rest = divmod(abs(value), 100)
    return f"{'-' if value < 0 else ''}{whole}.{rest:02d}"


def grouped(value: int) -> str:
    """As :func:`plain`, with commas between thousands: ``1,228.40``."""
    whole, rest = divmod(abs(value), 100)
    return f"{'-' if value < 0 else ''}{whole:,}.{rest:02d}"


def written(value: Fraction) -> str:
    """An exact number as a decimal where it ends within six places, else as a fraction: ``3/2`` -> ``1.5``."""
    scaled = value * 10**6
    if scaled.denominator != 1:
        return str(value)
    whole, rest = divmod(abs(scaled.numerator), 10**6)
    text = f"{whole}.{rest:06d}".rstrip("0").rstrip(".")
    return f"-{text}" if value < 0 else text
