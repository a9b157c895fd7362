"""What the store asks of those who know the trade: which rows make an entry quick to find, and a vehicle."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from ticket.job.entry import Entry
from ticket.job.follow import FollowUp
from ticket.job.ticket import Ticket
from ticket.job.values import Ref

WORD_COLUMNS = ("codes", "vehicle", "complaint", "findings", "cause", "correction", "parts")


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
