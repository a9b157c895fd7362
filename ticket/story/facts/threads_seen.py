"""The threads of deferred work as one visit sees them: what waited when it began, and what it said of each.

Only what stands on tickets counts here, not the words recorded beside them: a story reads the same for good.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from ticket.followups.recheck import Recheck, recheck
from ticket.followups.thread import LOOKED, MEASURED, OVERTAKEN, Look, Thread
from ticket.followups.threads import STILL_WAITS, threads
from ticket.job.entry import Entry
from ticket.job.kinds import Later
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.story.context import Job


@dataclass(frozen=True, slots=True)
class SeenAgain:
    """A thread that waited when this visit began.

    Attributes:
        thread: as it stands with this visit.
        begun: the item where it began, on an earlier signed ticket.
        ticket: that ticket.
        answer: the entry of this ticket that speaks of it, where one does.
        look: what this visit said of it.
    """

    thread: Thread
    begun: Later
    ticket: Ticket
    answer: Entry | None = None
    look: Look | None = None

    @property
    def visits(self) -> tuple[Look, ...]:
        """The first look of each earlier visit."""
        mine = self.look.ref.ticket if self.look else 0
        found: dict[int, Look] = {}
        for look in self.thread.looks:
            if look.ref.ticket != mine:
                found.setdefault(look.ref.ticket, look)
        return tuple(found.values())


def seen_threads(job: Job) -> tuple[SeenAgain, ...]:
    """What waited when this visit began, in the order of the tickets, newest first."""
    if "threads" not in job.waiting:
        job.waiting["threads"] = tuple(_seen(job))
    found: tuple[SeenAgain, ...] = job.waiting["threads"]
    return found


def _seen(job: Job) -> Iterator[SeenAgain]:
    earlier = {ticket.number: ticket for ticket in job.case.earlier if ticket.status == "signed"}
    if not earlier:
        return
    waited = {thread.ref for thread in threads(tuple(earlier.values())) if thread.waits}
    now = {thread.ref: thread for thread in threads((*earlier.values(), job.ticket))}
    for number, ticket in earlier.items():
        for entry in ticket.living:
            ref = Ref(entry.no, number)
            thread = now.get(ref)
            if ref not in waited or thread is None or entry.shop_only or not isinstance(entry.fact, Later):
                continue
            look = next((one for one in reversed(thread.looks) if one.ref.ticket == job.ticket.number), None)
            by = thread.by if thread.state == OVERTAKEN else look.ref if look else None
            answer = job.entry(Ref(by.no)) if by is not None and by.ticket == job.ticket.number else None
            yield SeenAgain(thread, entry.fact, ticket, answer, look if answer is not None else None)


def still_waiting(job: Job) -> Iterator[SeenAgain]:
    """What was looked at here, still waits, and is told by no words of this ticket: those of the earlier one hold."""
    for seen in seen_threads(job):
        if seen.thread.state != LOOKED or seen.look is None or seen.answer is None:
            continue
        fact = seen.answer.fact
        bare = isinstance(fact, Later) and fact.answer == STILL_WAITS and not fact.text.strip()
        if bare or seen.look.what == MEASURED:
            yield seen


def looked_again(job: Job, seen: SeenAgain) -> Recheck | None:
    """What this visit's readings say of a thread."""
    if seen.look is None:
        return None
    earlier = tuple(ticket for ticket in job.case.earlier if ticket.status == "signed")
    return recheck(seen.thread, (*earlier, job.ticket), job.ticket.number)
