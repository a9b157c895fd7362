"""How a shop numbers its invoices: a pattern such as ``R-{year}-{0001}``."""

from typing import NamedTuple

from ticket.job.errors import InputError
from ticket.job.regex import Regex

_COUNT = Regex(r"\{([0-9]{1,9})\}")
_YEAR = "{year}"
_LONGEST = 60


class Series(NamedTuple):
    """A series of numbers: its text with ``{}`` for the figures, the first number, and how many figures at least."""

    text: str
    first: int
    width: int


def series_of(pattern: str, year: int) -> Series:
    """The series of a pattern in a year; one with ``{year}`` begins anew each year.

    Raises:
        InputError: it holds no first number in braces, or more than that and the year.
    """
    counts = _COUNT.findall(pattern)
    bare = _COUNT.sub("", pattern).replace(_YEAR, "")
    if len(counts) != 1 or "{" in bare or "}" in bare or len(pattern) > _LONGEST:
        raise InputError(
            f"{pattern[:_LONGEST]!r} names no series: put the first number in braces once, such as R-{{year}}-{{0001}}."
        )
    return Series(_COUNT.sub("{}", pattern).replace(_YEAR, str(year)), int(counts[0]), len(counts[0]))
