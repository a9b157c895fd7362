"""What one job tells of a code on it: its causes, what put it right, whether it was declined. Pure."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import TypeVar

from ticket.job.case import Case, Settings
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Fact, Offer, Used
from ticket.job.numbers import exact
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.story.context import Job
from ticket.story.facts.answered import refused
from ticket.story.facts.labour_kinds import mends

Kind = TypeVar("Kind", bound=Fact)


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands beside a code on a ticket, or beside all of its concerns.

    Attributes:
        causes: as typed, in their order.
        fixes: labour that puts something right.
        hours: billed.
        part: the number of the first part used; empty where none has one.
        declined: the customer said no to all that was offered, and nothing was put right.
    """

    causes: tuple[str, ...]
    fixes: tuple[str, ...]
    hours: float
    part: str
    declined: bool


def codes_of(ticket: Ticket) -> tuple[tuple[str, str], ...]:
    """The codes of a ticket with their sub-codes, each once."""
    facts = (entry.fact for entry in ticket.living)
    return tuple(dict.fromkeys((f.code, f.sub) for f in facts if isinstance(f, Code) and f.code != "none"))


def letters_of(ticket: Ticket, code: str, sub: str) -> set[str]:
    """The concerns a code belongs to; empty where it belongs to none."""
    return {
        letter
        for entry in ticket.living
        if isinstance(entry.fact, Code) and (entry.fact.code, entry.fact.sub) == (code, sub)
        for letter in entry.concerns
    }


def beside(ticket: Ticket, letters: Collection[str] = ()) -> Beside:
    """What stands beside some concerns, or beside none of them; all there is where none is named."""
    near = [entry for entry in ticket.living if _is_beside(entry, letters)]
    labour = [entry.fact for entry in near if isinstance(entry.fact, Did)]
    fixes = tuple(fact.text for fact in labour if mends(fact))
    return Beside(
        causes=tuple(fact.text for fact in _of(near, Cause)),
        fixes=fixes,
        hours=float(sum(exact(fact.hours) or 0 for fact in labour)),
        part=next((fact.part for fact in _of(near, Used) if fact.part), ""),
        declined=not fixes and _declined(ticket, [entry for entry in near if isinstance(entry.fact, Offer)]),
    )


def _of(entries: list[Entry], kind: type[Kind]) -> Iterator[Kind]:
    yield from (entry.fact for entry in entries if isinstance(entry.fact, kind))


def _is_beside(entry: Entry, letters: Collection[str]) -> bool:
    return not letters or not entry.concern or not set(letters).isdisjoint(entry.concerns)


def _declined(ticket: Ticket, offers: list[Entry]) -> bool:
    if not offers:
        return False
    job = Job(Case(ticket, Settings(), ticket.opened.date()), "shop")
    return all(refused(job, Ref(entry.no)) is not None for entry in offers)
