"""Value types of the entries: frozen, small, and always holding what was typed."""

from dataclasses import dataclass, field
from fractions import Fraction

from ticket.job.numbers import exact

PAYERS = ("customer", "warranty", "contract", "shop")
SUMS_TOLD = ("with tax", "before tax")
"""Whether the sums told to a customer hold the tax."""


@dataclass(frozen=True, slots=True, order=True)
class Ref:
    """A pointer to an entry: its number, and the ticket it stands on (0 = the same ticket)."""

    no: int
    ticket: int = 0

    def __str__(self) -> str:
        return f"{self.ticket}/{self.no}" if self.ticket else str(self.no)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number as typed with its unit, such as ``Quantity("100,214", "mi")``."""

    number: str
    unit: str

    @property
    def value(self) -> Fraction | None:
        """The exact value in its own unit, or ``None`` for a word such as ``OL``."""
        return exact(self.number)

    def __str__(self) -> str:
        return f"{self.number} {self.unit}".strip()


@dataclass(frozen=True, slots=True)
class Value:
    """One value of a run, with the position it was measured at (``LF inner``, ``cyl 3``, empty).

    ``uncertainty`` is how far the gauge may be off on either side, in the unit of the run; empty where not said.
    """

    number: str
    label: str = ""
    uncertainty: str = ""


@dataclass(frozen=True, slots=True)
class Limits:
    """The bracket behind a reading, every number as typed.

    ``low`` and ``high`` bound each value; ``nominal`` with ``tol`` is ``9.6 +/- 0.2``; ``spread`` is the
    largest allowed gap between the values, in ``spread_unit`` (the run's unit, or ``%`` of the largest).
    ``source`` says where they come from: ``maker``, ``shop``, ``law`` or other words. ``unit`` is the unit they were
    typed in, where that is not the reading's own; empty: the reading's own.
    """

    low: str = ""
    high: str = ""
    nominal: str = ""
    tol: str = ""
    spread: str = ""
    spread_unit: str = ""
    source: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Span:
    """A piece of a fact's own text, by characters: its words stay in one field, where they can be erased."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Measurement:
    """One value that was measured, with what it is and where, when and against what it was taken.

    Attributes:
        value: a number such as ``-14``, ``7/8``, ``187000``, or a word such as ``OL``, ``none``, ``metal``.
        unit: as typed, or carried over from the list it stands in.
        to: the other end where a range was read: ``195-230`` is value 195, to 230.
        than: ``<``, ``>``, ``~`` (about), ``>=`` (``30+``); empty: exactly.
        at: positions in words: ``left front``, ``inner``, ``cylinder 3``, ``axle 2``.
        of: where the words of what was measured stand in the fact's text.
        when: where the conditions stand.
        limits: what judges it, in its own unit unless they name another.
        uncertainty: how far the gauge may be off on either side, in the unit of the value.
    """

    value: str
    unit: str = ""
    to: str = ""
    than: str = field(default="", metadata={"choices": ("<", ">", "~", ">=")})
    at: tuple[str, ...] = ()
    of: tuple[Span, ...] = ()
    when: tuple[Span, ...] = ()
    limits: Limits | None = None
    uncertainty: str = ""


@dataclass(frozen=True, slots=True)
class Run:
    """Readings of one unit side by side, and the limits that judge them.

    Older tickets hold their readings so; those of newer ones are brought to this form by ``readings.groups``.
    """

    values: tuple[Value, ...]
    unit: str
    limits: Limits | None = None


@dataclass(frozen=True, slots=True)
class Due:
    """When to come back: by distance, by time, by running hours, at an event; whichever comes first.

    ``odometer`` is a reading of the odometer, not a distance from now; ``event`` is a thing that comes anyway, such as
    ``next service`` or ``before winter``.
    """

    distance: Quantity | None = None
    time: Quantity | None = None
    hours: Quantity | None = None
    odometer: Quantity | None = None
    event: str = ""


@dataclass(frozen=True, slots=True)
class Clock:
    """One span on the clock, local wall time of the shop, ``h:mm`` as typed."""

    start: str
    end: str


@dataclass(frozen=True, slots=True)
class Share:
    """What one payer bears of a line, in per cent as typed."""

    payer: str = field(metadata={"choices": PAYERS})
    percent: str


@dataclass(frozen=True, slots=True)
class Answer:
    """What the customer said to some offers or deferred items: ``yes``, ``no``, ``thinks``."""

    answer: str
    to: tuple[Ref, ...] = ()
