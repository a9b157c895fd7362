"""What several rules need to see of a ticket, asked in one place."""

from collections.abc import Iterator
from typing import TypeVar

from ticket.job.case import Case
from ticket.job.entry import Entry, refs_of
from ticket.job.kinds import Fact
from ticket.job.ticket import Ticket
from ticket.readings.pairing import judge_entry

F = TypeVar("F", bound=Fact)


def each(case: Case, kind: type[F]) -> Iterator[tuple[Entry, F]]:
    """The living entries of one kind with their facts."""
    for entry in case.ticket.living:
        if isinstance(entry.fact, kind):
            yield entry, entry.fact


def bad_values(ticket: Ticket, entry: Entry) -> tuple[str, ...]:
    """``low`` or ``high`` for each reading of the entry that is outside its limits."""
    return tuple(verdict.word for verdict in judge_entry(ticket, entry) if verdict.word in ("low", "high"))


def answered_by(case: Case, no: int) -> tuple[Entry, ...]:
    """The living entries that point at entry ``no``."""
    return tuple(
        entry for entry in case.ticket.living if any(not ref.ticket and ref.no == no for _, ref in refs_of(entry.fact))
    )


def text_of(fact: Fact) -> str:
    """All the prose of a fact in one string, for matching only."""
    names = ("what", "text", "seen", "reason", "unit", "words")
    return " ".join(part for name in names if isinstance(part := getattr(fact, name, ""), str) and part)
