"""What still waits on the vehicle of a case from earlier visits, for the ticket page, the phone and a new ticket."""

from collections.abc import Iterator

from ticket.followups.thread import OPEN, Thread
from ticket.followups.threads import threads
from ticket.job.case import Case


def threads_of(case: Case) -> tuple[Thread, ...]:
    """Every thread of the vehicle, words recorded beside its tickets taken in."""
    return threads((case.ticket, *case.earlier), dict(case.follows))


def from_earlier(case: Case) -> tuple[Thread, ...]:
    """What waits from earlier visits and this one has not spoken of yet, newest ticket first."""
    number = case.ticket.number
    found = [
        thread
        for thread in threads_of(case)
        if thread.waits and thread.ref.ticket != number and all(look.ref.ticket != number for look in thread.looks)
    ]
    return tuple(sorted(found, key=lambda thread: (-thread.ref.ticket, thread.ref.no)))


def waiting_words(case: Case) -> Iterator[str]:
    """Each of them in a line: what, its name, where it stands, on which visits it was seen."""
    for thread in from_earlier(case):
        seen = [f"{look.day}" for look in thread.looks]
        state = "" if thread.state == OPEN else f", {thread.state}"
        days = f"; seen on {', '.join(dict.fromkeys(seen))}" if len(set(seen)) > 1 else ""
        yield f"{thread.fact.text} [{thread.ref.ticket}/{thread.ref.no}]{state}{days}"
