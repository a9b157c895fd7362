"""Earlier tickets of the vehicle: what this visit comes back for, and what became of the work put off then."""

from ticket.job.entry import Entry
from ticket.job.kinds import Code, Later, Says
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.job.wall import local_day
from ticket.story.context import Job
from ticket.story.facts.open_work import waits
from ticket.story.facts.threads_seen import seen_threads


def comebacks(job: Job) -> list[tuple[Ticket, Ref | None]]:
    """Earlier visits for the same trouble, each with the complaint that names it."""
    named = [(ticket, Ref(entry.no)) for entry, fact in job.each(Says) if (ticket := _ticket(job, fact.back_from))]
    if named or any(fact.back_from for _, fact in job.each(Says)):
        return list(named)
    same = _same_code(job)
    return [(same, None)] if same is not None else []


def signed(job: Job) -> list[Ticket]:
    """Earlier tickets that stand for good; only these are sources."""
    return [ticket for ticket in job.case.earlier if ticket.status == "signed"]


def _ticket(job: Job, number: str) -> Ticket | None:
    return next((ticket for ticket in signed(job) if str(ticket.number) == number), None)


def codes_of(ticket: Ticket) -> dict[tuple[str, str], int]:
    """The codes of a ticket with the numbers of their entries."""
    return {
        (entry.fact.code, entry.fact.sub): entry.no
        for entry in ticket.living
        if isinstance(entry.fact, Code) and entry.fact.code != "none" and not entry.shop_only
    }


def _same_code(job: Job) -> Ticket | None:
    """The latest earlier ticket with one of the codes of this one, not longer ago than the shop counts."""
    now = {(fact.code, fact.sub) for _, fact in job.each(Code)}
    today = local_day(job.ticket.opened)
    for ticket in signed(job):
        days = (today - local_day(ticket.closed or ticket.opened)).days
        if 0 <= days <= job.case.settings.comeback_days and now & set(codes_of(ticket)):
            return ticket
    return None


def shown(ticket: Ticket) -> list[Entry]:
    """The living entries of an earlier ticket that any reader may see."""
    return [entry for entry in ticket.living if not entry.shop_only]


def comebacks_untold(job: Job) -> list[tuple[Entry, Says]]:
    """Complaints that name an earlier ticket of which no signed copy is at hand: they are told by its number."""
    return [(entry, fact) for entry, fact in job.each(Says) if fact.back_from and _ticket(job, fact.back_from) is None]


def answers_untold(job: Job) -> list[tuple[Entry, Later]]:
    """What became of work put off before, where the item itself is not at hand; what still waits is open work."""
    told = _told(job)
    return [
        (entry, fact) for entry, fact in job.each(Later) if fact.answer and not waits(fact) and entry.no not in told
    ]


def looked_untold(job: Job, entry: Entry) -> bool:
    """Whether a deferred item was looked at and still waits, and the earlier item is not at hand to tell it."""
    return isinstance(entry.fact, Later) and bool(entry.fact.answer) and entry.no not in _told(job)


def _told(job: Job) -> set[int]:
    return {seen.answer.no for seen in seen_threads(job) if seen.answer is not None}
