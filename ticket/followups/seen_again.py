"""What a visit measured of the very thing a piece of deferred work rests on: as it came in, and as it left."""

from collections.abc import Iterator, Sequence

from ticket.followups.thread import Look, Seen, Thread
from ticket.job.kinds import Found, Proof
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity, Ref
from ticket.job.wall import local_day
from ticket.readings.pairing import begins_with, measured, place


def seen_again(ticket: Ticket, thread: Thread, visits: Sequence[Ticket]) -> Look | None:
    """The readings of one visit that go back to the findings behind a thread; ``None`` where there are none."""
    behind = set(_begun(thread, visits))
    if not behind:
        return None
    earlier = [visit for visit in visits if visit.number != ticket.number]
    came: dict[tuple[str, str], Seen] = {}
    left: dict[tuple[str, str], Seen] = {}
    days = []
    for entry in sorted(ticket.living, key=lambda entry: place(ticket, entry)):
        if not isinstance(entry.fact, Found | Proof):
            continue
        start = begins_with(ticket, entry, earlier)
        if Ref(start.no, start.ticket or ticket.number) not in behind:
            continue
        ref = Ref(entry.no, ticket.number)
        for one in measured(ticket, entry, earlier).groups:
            for value in one.run.values:
                seen = Seen(ref, one.what, value.label, Quantity(value.number.strip(), one.run.unit))
                came.setdefault((one.what, value.label), seen)
                left[one.what, value.label] = seen
                days.append(local_day(entry.at))
    if not days:
        return None
    header = ticket.header
    odometer = header.odometer_in or header.odometer_out
    first = next(iter(came.values()))
    return Look(first.ref, min(days), odometer, "", tuple(came.values()), tuple(left.values()))


def _begun(thread: Thread, visits: Sequence[Ticket]) -> Iterator[Ref]:
    """Where the readings behind a thread begin: what it rests on may itself be a reading taken again."""
    for ref in thread.fact.refs:
        home = next((visit for visit in visits if visit.number == (ref.ticket or thread.ref.ticket)), None)
        entry = home.entry(ref.no) if home else None
        if home is None or entry is None or not isinstance(entry.fact, Found | Proof):
            continue
        start = begins_with(home, entry, [visit for visit in visits if visit.number != home.number])
        yield Ref(start.no, start.ticket or home.number)
