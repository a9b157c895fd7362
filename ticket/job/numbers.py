"""Numbers kept as they were typed, with their exact value beside them."""

from fractions import Fraction
from functools import lru_cache

from ticket.job.regex import Regex

# Tried longest form first: "1 1/2" is one mixed number, "2/32" a fraction, "1,500" grouped, ".5" bare.
NUMBER = r"(?:[0-9]+ [0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?|[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
SIGNED = r"[+\-\u2212]?" + NUMBER
LONGEST = 64
"""Longest text that counts as a number; anything longer is a paste or a broken file, not a reading."""

_SHAPE = Regex(rf"([<>]?)([+\-\u2212]?)({NUMBER})\Z")


@lru_cache(maxsize=4096)
def exact(typed: str) -> Fraction | None:
    """The exact value of a typed number, or ``None`` if it is not one (``OL``, ``none``, ``metal``, ``1/0``).

    A leading ``<`` or ``>`` is dropped: the caller asks :func:`bound` about it.
    """
    match = _SHAPE.match(typed) if len(typed) <= LONGEST else None
    if match is None:
        return None
    _, sign, body = match.groups()
    whole, _, rest = body.replace(",", "").rpartition(" ")
    try:
        value = Fraction(rest) + (Fraction(whole) if whole else 0)
    except ZeroDivisionError:
        return None
    return -value if sign in ("-", "\u2212") else value


def whole(typed: str) -> int:
    """A typed count such as ``4``; 0 for any other text, also for digits of other scripts and for pastes."""
    return int(typed) if len(typed) <= LONGEST and typed.isascii() and typed.isdecimal() else 0


def bound(typed: str) -> str:
    """``<`` or ``>`` where the typed number only says it was under or over a figure, else empty."""
    return typed[0] if typed[:1] in ("<", ">") else ""


def step(typed: str) -> Fraction | None:
    """The last digit of a typed number as a quantity: ``4.0`` -> 1/10, ``2/32`` -> 1/32, ``12`` -> 1.

    It is the resolution of the gauge unless a finer one is recorded.
    """
    match = _SHAPE.match(typed) if len(typed) <= LONGEST else None
    if match is None:
        return None
    body = match.group(3)
    if "/" in body:
        bottom = exact(body.rpartition("/")[2])
        return 1 / bottom if bottom else None
    return Fraction(1, 10 ** len(body.partition(".")[2]))
