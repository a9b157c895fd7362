"""What earlier jobs with a code turned out to be: the one place where such counts are made. Pure.

Only what the tickets say is counted; nothing is weighed, and a few jobs prove nothing about the next one.
"""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ticket.job.kinds import Cause, Code, Did, Says
from ticket.job.likeness import content_words, sides
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity
from ticket.story.outcome import mends


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

    Attributes:
        code: the code asked for.
        sub: its sub-code; empty for any.
        exact: the jobs hold that very sub-code; ``False`` where only other sub-codes of the code were found.
        jobs: every job counted, newest first.
        causes: found causes, most frequent first.
        fixes: work that puts something right, most frequent first.
        unknown: finished jobs that state no cause.
        still_open: jobs not signed that state no cause yet.
        came_back: newest first.
        total: how many jobs there are; more than counted where only the newest were read.
    """

    code: str
    sub: str
    exact: bool
    jobs: tuple[int, ...]
    causes: tuple[Outcome, ...] = ()
    fixes: tuple[Outcome, ...] = ()
    unknown: tuple[int, ...] = ()
    still_open: tuple[int, ...] = ()
    came_back: tuple[ComeBack, ...] = ()
    total: int = 0


def turned_out(
    code: str, sub: str, tickets: Sequence[Ticket], others: Sequence[Ticket] = (), *, comeback_days: int,
    exact: bool = True, total: int | None = None,
) -> TurnedOut:  # fmt: skip
    """Count what tickets with a code turned out to be.

    Args:
        code: the code.
        sub: its sub-code; empty for any.
        tickets: those that hold it, in any order.
        others: further tickets of the same vehicles, which may tell of a come-back.
        comeback_days: so many days after a job the same code on the same vehicle is a come-back.
        exact: whether the tickets hold the very sub-code.
        total: how many such tickets there are, where these are only the newest.
    """
    ordered = sorted(tickets, key=lambda ticket: (ticket.opened, ticket.number), reverse=True)
    wanted = sub if exact else ""
    back = list(_come_backs(code, ordered, [*ordered, *others], comeback_days))
    returned = {item.job for item in back}
    causes: dict[int, list[str]] = {}
    fixes: dict[int, list[str]] = {}
    for ticket in ordered:
        letters = _letters(ticket, code, wanted)
        causes[ticket.number] = [fact.text for fact in _beside(ticket, letters, Cause) if isinstance(fact, Cause)]
        fixes[ticket.number] = [
            fact.text for fact in _beside(ticket, letters, Did) if isinstance(fact, Did) and mends(fact)
        ]
    without = [ticket for ticket in ordered if not causes[ticket.number]]
    return TurnedOut(
        code, sub, exact, tuple(ticket.number for ticket in ordered), outcomes(causes, returned),
        outcomes(fixes, returned),
        tuple(ticket.number for ticket in without if ticket.status == "signed"),
        tuple(ticket.number for ticket in without if ticket.status != "signed"),
        tuple(back), len(ordered) if total is None else total,
    )  # fmt: skip


def _letters(ticket: Ticket, code: str, sub: str) -> set[str]:
    """The concerns the code belongs to; empty where it belongs to none."""
    return {
        letter
        for entry in ticket.living
        if isinstance(entry.fact, Code) and entry.fact.code == code and (not sub or entry.fact.sub == sub)
        for letter in entry.concerns
    }


def _beside(ticket: Ticket, letters: set[str], kind: type[Cause] | type[Did]) -> Iterator[Cause | Did]:
    """Facts of a kind that belong to one of the concerns, or to none."""
    for entry in ticket.living:
        if isinstance(entry.fact, kind) and (not letters or not entry.concern or letters & set(entry.concerns)):
            yield entry.fact


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
    by_number = {visit.number: visit for visit in visits}
    for job in jobs:
        later = [visit for visit in by_number.values() if visit.opened > job.opened and _same_vehicle(job, visit)]
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


def _key(text: str) -> str:
    return "".join(text.upper().replace("-", "").split())


def _driven(one: Ticket, other: Ticket) -> Quantity | None:
    start, end = one.header.odometer_out or one.header.odometer_in, other.header.odometer_in
    if start is None or end is None or start.unit != end.unit or start.value is None or end.value is None:
        return None
    driven: Fraction = end.value - start.value
    return Quantity(f"{round(driven):,}", start.unit) if driven >= 0 else None


def in_words(found: TurnedOut) -> str:
    """Such as ``P0562-16 before: 3 jobs; corroded cable 2, worn belt 1; 1 came back``."""
    name = f"{found.code}-{found.sub}" if found.sub else found.code
    lead = f"{name} before: "
    if not found.jobs:
        return f"{lead}no job"
    if not found.exact:
        lead += f"no job; {found.code} with another sub-code: "
    read = len(found.jobs)
    counted = f"the newest {read} of {found.total} jobs" if found.total > read else _jobs(read)
    parts = [lead + counted]
    named = [f"{outcome.text} {len(outcome.jobs)}" for outcome in found.causes[:4]]
    named += [f"{len(found.causes) - 4} other causes"] if len(found.causes) > 4 else []
    parts += [", ".join(named)] if named else []
    parts += [f"no cause stated {len(found.unknown)}"] if found.unknown else []
    parts += [f"still open {len(found.still_open)}"] if found.still_open else []
    parts += [f"{len(found.came_back)} came back"] if found.came_back else []
    return "; ".join(parts)


def _jobs(count: int) -> str:
    return "1 job" if count == 1 else f"{count} jobs"
