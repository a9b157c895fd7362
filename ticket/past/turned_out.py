"""What earlier jobs with a code turned out to be: the one place where such counts are made. Pure.

Only what the tickets say is counted; nothing is weighed, and a few jobs prove nothing about the next one.
"""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ticket.job.case import Case, Settings
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Offer, Says
from ticket.job.likeness import content_words, sides
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity, Ref
from ticket.story.context import Job
from ticket.story.facts.answered import refused
from ticket.story.facts.labour_kinds import mends

COUNTED = {
    "says": ("text", "back_from"), "code": ("code", "sub"), "cause": ("text",), "did": ("text",),
    "offer": ("text", "hours", "parts", "estimate"), "told": ("who", "answers"),
}  # fmt: skip
"""All that is looked at of a ticket: the fields by kind of entry."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """One thing that jobs turned out to be, or that was done about them.

    Attributes:
        text: as most of the jobs word it.
        jobs: their numbers, newest first.
        came_back: those of them that came back.
    """

    text: str
    jobs: tuple[int, ...]
    came_back: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class ComeBack:
    """A job whose vehicle came again with the same code, or with words that say it came back.

    Attributes:
        days: from the end of the first job to the opening of the second.
        distance: driven between the two, where both readings are known in one unit.
    """

    job: int
    by: int
    days: int
    distance: Quantity | None = None


@dataclass(frozen=True, slots=True)
class TurnedOut:
    """What jobs with a code turned out to be.

    Only finished jobs are counted: signed ones, without those where the customer said no to all that was offered and
    nothing was put right. The others stand apart.

    Attributes:
        code: the code asked for.
        sub: its sub-code; empty for any.
        exact: the jobs hold that very sub-code; ``False`` where only other sub-codes of the code were found.
        jobs: every job counted, newest first.
        causes: their causes, most frequent first.
        fixes: work of theirs that puts something right, most frequent first.
        unknown: those of them that state no cause.
        came_back: those of them that came back, newest first.
        declined: signed jobs apart, newest first.
        still_open: jobs not signed, newest first.
    """

    code: str
    sub: str
    exact: bool
    jobs: tuple[int, ...]
    causes: tuple[Outcome, ...] = ()
    fixes: tuple[Outcome, ...] = ()
    unknown: tuple[int, ...] = ()
    came_back: tuple[ComeBack, ...] = ()
    declined: tuple[int, ...] = ()
    still_open: tuple[int, ...] = ()


def turned_out(
    code: str, sub: str, tickets: Sequence[Ticket], others: Sequence[Ticket] = (), *, comeback_days: int,
    exact: bool = True,
) -> TurnedOut:  # fmt: skip
    """Count what tickets with a code turned out to be.

    Args:
        code: the code.
        sub: its sub-code; empty for any.
        tickets: those that hold it, in any order.
        others: further tickets of the same vehicles, which may tell of a come-back.
        comeback_days: so many days after a job the same code on the same vehicle is a come-back.
        exact: whether the tickets hold the very sub-code.
    """
    every = sorted(tickets, key=lambda ticket: (ticket.opened, ticket.number), reverse=True)
    wanted = sub if exact else ""
    signed = [ticket for ticket in every if ticket.status == "signed"]
    letters = {ticket.number: _letters(ticket, code, wanted) for ticket in signed}
    declined, ordered = _parted(signed, letters)
    back = list(_come_backs(code, ordered, [*every, *others], comeback_days))
    returned = {item.job for item in back}
    causes = {ticket.number: _causes(ticket, letters[ticket.number]) for ticket in ordered}
    fixes = {ticket.number: _fixes(ticket, letters[ticket.number]) for ticket in ordered}
    return TurnedOut(
        code, sub, exact, _numbers(ordered), outcomes(causes, returned), outcomes(fixes, returned),
        tuple(number for number, stated in causes.items() if not stated), tuple(back),
        _numbers(declined),
        _numbers(ticket for ticket in every if ticket.status != "signed"),
    )  # fmt: skip


def _numbers(tickets: Iterable[Ticket]) -> tuple[int, ...]:
    return tuple(ticket.number for ticket in tickets)


def _parted(signed: Iterable[Ticket], letters: Mapping[int, set[str]]) -> tuple[list[Ticket], list[Ticket]]:
    """Jobs whose customer declined all work on the code, and the others."""
    declined: list[Ticket] = []
    ordered: list[Ticket] = []
    for ticket in signed:
        (declined if _declined(ticket, letters[ticket.number]) else ordered).append(ticket)
    return declined, ordered


def _declined(ticket: Ticket, letters: set[str]) -> bool:
    """Whether the customer said no to all that was offered beside the code, and nothing was put right."""
    offers = [entry for entry in ticket.of_kind(Offer) if _is_beside(entry, letters)]
    if not offers or any(isinstance(fact, Did) and mends(fact) for fact in _beside(ticket, letters, Did)):
        return False
    job = Job(Case(ticket, Settings(), ticket.opened.date()), "shop")
    return all(refused(job, Ref(entry.no)) is not None for entry in offers)


def _letters(ticket: Ticket, code: str, sub: str) -> set[str]:
    """The concerns the code belongs to; empty where it belongs to none."""
    return {
        letter
        for entry in ticket.living
        if isinstance(entry.fact, Code) and entry.fact.code == code and (not sub or entry.fact.sub == sub)
        for letter in entry.concerns
    }


def _causes(ticket: Ticket, letters: set[str]) -> list[str]:
    return [fact.text for fact in _beside(ticket, letters, Cause) if isinstance(fact, Cause)]


def _fixes(ticket: Ticket, letters: set[str]) -> list[str]:
    return [fact.text for fact in _beside(ticket, letters, Did) if isinstance(fact, Did) and mends(fact)]


def _beside(ticket: Ticket, letters: set[str], kind: type[Cause] | type[Did]) -> Iterator[Cause | Did]:
    """Facts of a kind that belong to one of the concerns, or to none."""
    for entry in ticket.of_kind(kind):
        if isinstance(entry.fact, kind) and _is_beside(entry, letters):
            yield entry.fact


def _is_beside(entry: Entry, letters: set[str]) -> bool:
    return not letters or not entry.concern or bool(letters & set(entry.concerns))


def likeness(text: str) -> object:
    """Equal for texts that name the same thing on the same side."""
    words = content_words(text)
    return (words, sides(text)) if words else fold(text)


def outcomes(texts: Mapping[int, Sequence[str]], returned: Collection[int] = ()) -> tuple[Outcome, ...]:
    """Texts by job as groups that name the same thing, most frequent first."""
    groups: dict[object, dict[int, str]] = defaultdict(dict)
    for number, said in texts.items():
        for text in said:
            groups[likeness(text)].setdefault(number, text)
    found = [
        Outcome(Counter(group.values()).most_common(1)[0][0], tuple(group), tuple(n for n in group if n in returned))
        for group in groups.values()
    ]
    return tuple(sorted(found, key=lambda outcome: -len(outcome.jobs)))


def _come_backs(code: str, jobs: Iterable[Ticket], visits: Sequence[Ticket], days: int) -> Iterator[ComeBack]:
    known: dict[str, dict[int, Ticket]] = defaultdict(dict)  # by number and by plate: few visits share either
    for visit in visits:
        for key in _keys(visit):
            known[key][visit.number] = visit
    for job in jobs:
        near = {number: visit for key in _keys(job) for number, visit in known[key].items()}
        later = [visit for visit in near.values() if visit.opened > job.opened and _same_vehicle(job, visit)]
        for visit in sorted(later, key=lambda visit: visit.opened):
            between = (visit.opened - (job.closed or job.opened)).days
            if _says_back(visit, job.number) or (0 <= between <= days and _worked(job) and _has_code(visit, code)):
                yield ComeBack(job.number, visit.number, max(between, 0), _driven(job, visit))
                break


def _says_back(visit: Ticket, number: int) -> bool:
    return any(isinstance(entry.fact, Says) and entry.fact.back_from == str(number) for entry in visit.living)


def _has_code(ticket: Ticket, code: str) -> bool:
    return any(isinstance(entry.fact, Code) and entry.fact.code == code for entry in ticket.living)


def _worked(ticket: Ticket) -> bool:
    return any(isinstance(entry.fact, Did) for entry in ticket.living)


def _same_vehicle(one: Ticket, other: Ticket) -> bool:
    """The same identification number, or the same plate where one of the two has no identification number."""
    mine, theirs = one.header.vehicle, other.header.vehicle
    if mine.vin and theirs.vin:
        return _key(mine.vin) == _key(theirs.vin)
    return bool(mine.plate) and _key(mine.plate) == _key(theirs.plate)


def _keys(ticket: Ticket) -> tuple[str, ...]:
    vehicle = ticket.header.vehicle
    named = (("vin", vehicle.vin), ("plate", vehicle.plate))
    return tuple(f"{name} {_key(text)}" for name, text in named if _key(text))


def _key(text: str) -> str:
    return "".join(text.upper().replace("-", "").split())


def _driven(one: Ticket, other: Ticket) -> Quantity | None:
    start, end = one.header.odometer_out or one.header.odometer_in, other.header.odometer_in
    if start is None or end is None or start.unit != end.unit or start.value is None or end.value is None:
        return None
    driven: Fraction = end.value - start.value
    return Quantity(f"{round(driven):,}", start.unit) if driven >= 0 else None


def name_of(found: TurnedOut) -> str:
    """The code asked for, with its sub-code."""
    return f"{found.code}-{found.sub}" if found.sub else found.code


def jobs_words(found: TurnedOut) -> str:
    """How many finished jobs were counted."""
    count = len(found.jobs)
    return "no finished job" if not count else "1 finished job" if count == 1 else f"{count:,} finished jobs"


def rest_words(found: TurnedOut, named: int) -> str:
    """What is told behind the causes that are named: others, none stated, come-backs, and jobs that stand apart."""
    more = len(found.causes) - named
    parts = [f"{more} other causes"] if more > 0 else []
    parts += [f"no cause stated {len(found.unknown)}"] if found.unknown else []
    parts += [f"{len(found.came_back)} came back"] if found.came_back else []
    apart = [f"{len(found.declined)} declined"] if found.declined else []
    apart += [f"{len(found.still_open)} not finished"] if found.still_open else []
    return "; ".join([*parts, *([f"apart: {', '.join(apart)}"] if apart else [])])


def in_words(found: TurnedOut) -> str:
    """Such as ``P0562-16 before: 3 finished jobs; corroded cable 2, worn belt 1; 1 came back; apart: 1 declined``."""
    lead = f"{name_of(found)} before: "
    if not (found.jobs or found.declined or found.still_open):
        return f"{lead}no job"
    if not found.exact:
        lead += f"no job; {found.code} with another sub-code: "
    named = [f"{outcome.text} {len(outcome.jobs)}" for outcome in found.causes[:4]]
    named += [f"{len(found.causes) - 4} other causes"] if len(found.causes) > 4 else []
    parts = [lead + jobs_words(found), ", ".join(named), rest_words(found, len(found.causes))]
    return "; ".join(part for part in parts if part)
