"""Writing exact values with the digits people typed, never with more."""

from fractions import Fraction
from math import gcd, lcm

from ticket.job.numbers import exact, step

_FINITE = 12  # decimal places that a converted limit may carry and still be exact


def number(typed: str) -> Fraction | None:
    """The exact value of a typed number with blanks around it, else ``None``."""
    return exact(typed.strip())


def decimal(scaled: int, places: int, *, grouped: bool = False) -> str:
    """``scaled`` units of the last of ``places`` decimal places as text: ``(-14, 1)`` -> ``-1.4``."""
    whole, part = divmod(abs(scaled), 10**places)
    text = f"{whole:,}" if grouped else str(whole)
    if places:
        text += f".{part:0{places}}"
    return f"-{text}" if scaled < 0 else text


def written_like(value: Fraction, *typed: str) -> str:
    """A sum or difference of typed numbers, written as they were: 9.6 - 0.2 -> ``9.4``, 4/32 - 1/32 -> ``3/32``.

    Args:
        value: the exact result.
        typed: the numbers it was made from; the finest of them gives the digits.
    """
    steps = [one for text in typed if (one := step(text.strip()))]
    bottom = lcm(value.denominator, *(one.denominator for one in steps))
    if any("/" in text for text in typed):
        whole, rest = divmod(abs(value) * bottom, bottom)
        parts = ([str(whole)] if whole or not rest else []) + ([f"{rest}/{bottom}"] if rest else [])
        return ("-" if value < 0 else "") + " ".join(parts)
    places = _places(bottom)
    return decimal(round(value * 10**places), places, grouped=any("," in text for text in typed))


def finite(value: Fraction) -> str:
    """A value as decimal text, exactly; empty where no decimal of sensible length holds it."""
    if 10**_FINITE % value.denominator:
        return ""
    places = _places(value.denominator)
    return decimal(round(value * 10**places), places)


def _places(bottom: int) -> int:
    """Decimal places that show every multiple of ``1/bottom``; ``bottom`` divides a power of ten."""
    places = 0
    while bottom // gcd(bottom, 10**places) > 1:
        places += 1
    return places
