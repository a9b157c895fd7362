"""What the store asks of those who know the trade: which rows make an entry quick to find."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from ticket.job.entry import Entry
from ticket.job.ticket import Ticket

WORD_COLUMNS = ("codes", "vehicle", "complaint", "findings", "cause", "correction", "parts")
SETTLED = ("done", "declined", "gone")  # states of deferred work that no longer waits
ANSWERED = ("done here", "done elsewhere", "gone")  # answers in a later ticket that settle it


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
    """

    codes: tuple[tuple[str, str], ...] = ()
    parts: tuple[str, ...] = ()
    readings: tuple[tuple[str, str, str, float | None], ...] = ()
    due: tuple[tuple[str, str | None, int | None], ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)


# Depends on the entry, the header, and entries that refer to this one; not on the others.
Indexer = Callable[[Ticket, Entry], IndexRows]
