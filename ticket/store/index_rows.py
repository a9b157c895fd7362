"""What the store asks of those who know the trade: which rows make an entry quick to find."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from ticket.job.entry import Entry
from ticket.job.ticket import Ticket

WORD_COLUMNS = ("codes", "vehicle", "complaint", "findings", "cause", "correction", "parts")
SETTLED = ("done", "declined", "gone")  # states of deferred work that no longer waits
ANSWERED = ("done here", "done elsewhere", "gone")  # answers in a later ticket that settle it


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
        due: deferred work as (state, ISO date or ``None``, metres on the odometer or ``None``); a state of
            :data:`SETTLED` no longer waits. Follow-ups recorded by the shop override state and date.
        words: text by column of :data:`WORD_COLUMNS`, for the search by words.
        phrases: what may be completed from this entry later.
        pieces: the phrases it is made of, by the key under which the same phrase is met again.
    """

    codes: tuple[tuple[str, str], ...] = ()
    parts: tuple[str, ...] = ()
    readings: tuple[tuple[str, str, str, float | None], ...] = ()
    due: tuple[tuple[str, str | None, int | None], ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)
    phrases: tuple[Phrase, ...] = ()
    pieces: tuple[str, ...] = ()


# Depends on the entry, the header, and entries that refer to this one; not on the others.
Indexer = Callable[[Ticket, Entry], IndexRows]
