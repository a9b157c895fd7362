"""Values that are no single figure, as text: ``<30``, ``~5``, ``30+``, ``195-230``."""

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from ticket.job.numbers import LONGEST, SIGNED
from ticket.job.regex import Regex
from ticket.job.values import Measurement
from ticket.readings.digits import number

_RANGE = Regex(rf"({SIGNED})-({SIGNED})\Z")
_BOUNDED = Regex(rf"([<>~])({SIGNED})\Z")
_OPEN = Regex(rf"({SIGNED})\+\Z")


@dataclass(frozen=True, slots=True)
class Parts:
    """A value taken apart.

    Attributes:
        number: the figure or word itself; of a range the end typed first.
        to: the other end of a range, else empty.
        than: ``<``, ``>``, ``~``, ``>=`` or empty.
    """

    number: str
    to: str = ""
    than: str = ""

    @property
    def value(self) -> Fraction | None:
        """The exact figure; ``None`` for a word and for a range, which is no one figure."""
        return None if self.to else number(self.number)


@lru_cache(maxsize=1024)
def parts(typed: str) -> Parts:
    """A value's text taken apart; a text of another shape is its own number."""
    typed = typed.strip()
    if len(typed) > LONGEST:
        return Parts(typed)
    if match := _RANGE.match(typed):
        return Parts(match[1], to=match[2])
    if match := _BOUNDED.match(typed):
        return Parts(match[2], than=match[1])
    if match := _OPEN.match(typed):
        return Parts(match[1], than=">=")
    return Parts(typed)


def text_of_value(one: Measurement) -> str:
    """The value of a measurement as one text, which :func:`parts` takes apart again."""
    if one.to:
        return f"{one.value}-{one.to}"
    return f"{one.value}+" if one.than == ">=" else f"{one.than}{one.value}"
