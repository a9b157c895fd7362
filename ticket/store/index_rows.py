"""What the store asks of those who know the trade: which rows make an entry quick to find, and a vehicle."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from ticket.job.entry import Entry
from ticket.job.follow import FollowUp
from ticket.job.ticket import Ticket
from ticket.job.values import Ref

WORD_COLUMNS = ("codes", "vehicle", "complaint", "findings", "cause", "correction", "offered", "parts", "units")
JOB_SETTING = "prices"
"""The setting of the shop that the row of a job depends on."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """Something that was typed before and may be typed again.

    Attributes:
        kind: where it may be typed: a kind of entry, or a kind and a field, such as ``later.because``.
        text: the words by which it is found.
        amount: what stood in front of it, such as ``1.2 h`` or ``1 x``; one typed now takes its place.
        ahead: what else stands between the amount and the text, such as a part number.
        behind: what follows the text, such as a price or limits.
        open: a value is typed between the text and what is behind it.
        uses: how often it stands on living entries.
    """

    kind: str
    text: str
    amount: str = ""
    ahead: str = ""
    behind: str = ""
    open: bool = False
    uses: int = 1


@dataclass(frozen=True, slots=True)
class IndexRows:
    """Rows of the side tables for one entry.

    Attributes:
        codes: fault codes as (code, sub-code or empty), in the notation searches use.
        parts: part numbers.
        readings: (folded name, label of the position, dimension, value in the dimension's base unit).
        words: text by column of :data:`WORD_COLUMNS`, for the search by words.
        phrases: what may be completed from this entry later.
        pieces: the phrases it is made of, by the key under which the same phrase is met again.
    """

    codes: tuple[tuple[str, str], ...] = ()
    parts: tuple[str, ...] = ()
    readings: tuple[tuple[str, str, str, float | None], ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)
    phrases: tuple[Phrase, ...] = ()
    pieces: tuple[str, ...] = ()


# Depends on the entry, the header, and entries that refer to this one; not on the others.
Indexer = Callable[[Ticket, Entry], IndexRows]


@dataclass(frozen=True, slots=True)
class HabitRow:
    """How a vehicle is driven, as it is kept; fields as the columns of the table ``habit``."""

    unit: str
    day: str | None
    reading: float | None
    mean: float | None
    var: float | None
    uneven: float | None
    word: str
    before: float | None
    since: float | None
    readings: int
    prior: str
    checked: str | None = None
    miss: float | None = None
    sooner: int | None = None


@dataclass(frozen=True, slots=True)
class ThreadRow:
    """What waits on a vehicle, as it is kept: ``ref`` is the entry it began with, the rest columns of ``thread``."""

    ref: Ref
    state: str
    waits: bool
    by_date: str | None
    start: str | None
    left_over: float | None
    risky: bool
    agreed: bool
    due_reading: str
    hours: str
    looks: str


@dataclass(frozen=True, slots=True)
class VehicleRows:
    """What is kept of one vehicle."""

    habit: HabitRow | None = None
    threads: tuple[ThreadRow, ...] = ()


# Depends on the tickets of one vehicle, on the words recorded beside them by entry with its ticket, and on the zone
# whose days count.
VehicleIndexer = Callable[[Sequence[Ticket], Mapping[Ref, FollowUp], str], VehicleRows]


def no_rows(_tickets: Sequence[Ticket], _follows: Mapping[Ref, FollowUp], _zone: str) -> VehicleRows:
    """Nothing is kept of vehicles."""
    return VehicleRows()


@dataclass(frozen=True, slots=True)
class CauseRow:
    """A cause beside a code, or that none is stated; fields as the columns of the table ``job_cause``."""

    code: str
    sub: str
    i: int
    cause: str
    text: str
    state: str
    hours: float
    part: str


@dataclass(frozen=True, slots=True)
class FixRow:
    """Work beside a code that puts something right; fields as the columns of the table ``job_fix``."""

    code: str
    sub: str
    i: int
    fix: str
    text: str
    state: str


@dataclass(frozen=True, slots=True)
class LabourRow:
    """One piece of labour as it is billed; fields as the columns of the table ``job_labour``."""

    no: int
    at: int
    person: str
    rate: str
    hours: str
    minutes: int | None
    sales: str


@dataclass(frozen=True, slots=True)
class JobRow:
    """What is kept of a job for lists, counts and searches; the first fields as the columns of the table ``job``.

    Attributes:
        metres_in: the distance at arrival.
        state: ``open`` until it is signed; then ``declined`` where nothing was put right because the customer said no,
            else ``finished``.
        hours: billed.
        pays: who pays a line, each once.
        total: what all payers owe, in cents; ``None`` where the shop has no price list.
        agreed: the sum the customer agreed to.
        over: the customer's bill is above it.
        billed: what the customer is billed, as that sum was told; ``None`` where the shop has no price list.
        base: how it was told: ``with tax`` or ``before tax``.
        back_from: the ticket it says it came back from.
        techs: who worked on it: folded, and as written.
        labour: each piece of it.
    """

    label: str
    metres_in: int | None
    metres_out: int | None
    state: str
    worked: bool
    hours: float
    pays: str
    total: int | None
    agreed: int | None
    over: bool
    billed: int | None
    base: str
    back_from: int | None
    causes: tuple[CauseRow, ...] = ()
    fixes: tuple[FixRow, ...] = ()
    techs: tuple[tuple[str, str], ...] = ()
    labour: tuple[LabourRow, ...] = ()


# Depends on the ticket, on the text of the price list it is priced by (``None`` where the shop has none), and on the
# zone whose clock it was worked by.
JobIndexer = Callable[[Ticket, str | None, str], JobRow]


def no_job(_ticket: Ticket, _prices: str | None, _zone: str) -> JobRow:
    """A job of which nothing is kept but its vehicle and its days."""
    return JobRow("", None, None, "open", False, 0.0, "", None, None, False, None, "", None)
