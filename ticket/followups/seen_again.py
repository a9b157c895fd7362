"""What a visit measured of the very thing a piece of deferred work rests on: as it came in, and as it left."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from ticket.followups.thread import Look, Seen
from ticket.job.entry import Entry
from ticket.job.kinds import Found, Later, Proof
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity, Ref
from ticket.job.wall import local_day
from ticket.readings.pairing import CHAIN, begins_with, measured, place


@dataclass(frozen=True, slots=True)
class Taken:
    """What one entry measured: the finding its chain of readings begins with, its day, its readings in order."""

    start: Ref
    day: date
    readings: tuple[Seen, ...]


class Visits:
    """All visits of a vehicle as readings are followed through them; each is gone through once."""

    def __init__(self, visits: Sequence[Ticket]) -> None:
        self._of = {visit.number: visit for visit in reversed(visits)}

    def behind(self, ref: Ref, fact: Later) -> frozenset[Ref]:
        """Where the readings behind deferred work begin: what it rests on may itself be a reading taken again."""
        found = set()
        for named in fact.refs:
            home = self._of.get(named.ticket or ref.ticket)
            entry = home.entry(named.no) if home else None
            if home is not None and entry is not None and isinstance(entry.fact, Found | Proof):
                found.add(_start(home, entry, self._near(home)))
        return frozenset(found)

    def taken(self, ticket: Ticket) -> tuple[tuple[Ref, Entry], ...]:
        """Every entry of a visit with readings, in the order of the work, and the finding each goes back to."""
        near = self._near(ticket)
        ordered = sorted(ticket.living, key=lambda entry: place(ticket, entry))
        read = (entry for entry in ordered if isinstance(entry.fact, Found | Proof))
        return tuple((_start(ticket, entry, near), entry) for entry in read)

    def readings(self, ticket: Ticket, taken: Iterable[tuple[Ref, Entry]], starts: Collection[Ref]) -> list[Taken]:
        """What a visit measured of some findings; ``taken`` as :meth:`taken` has it."""
        near = self._near(ticket)
        return [
            Taken(start, local_day(entry.at), tuple(_readings(ticket, entry, near)))
            for start, entry in taken
            if start in starts
        ]

    def _near(self, ticket: Ticket) -> tuple[Ticket, ...]:
        """The visits that the readings of one lead to, and no others: to look for each among all would add up."""
        found = {ticket.number: ticket}
        last = [ticket]
        for _ in range(CHAIN):
            named = {entry.fact.of.ticket for one in last for entry in one.entries
                     if isinstance(entry.fact, Proof) and entry.fact.of}  # fmt: skip
            last = [self._of[number] for number in named if number in self._of and number not in found]
            if not last:
                break
            found |= {one.number: one for one in last}
        return tuple(found.values())


def _start(ticket: Ticket, entry: Entry, near: Sequence[Ticket]) -> Ref:
    start = begins_with(ticket, entry, near)
    return Ref(start.no, start.ticket or ticket.number)


def seen_again(ticket: Ticket, taken: Sequence[Taken]) -> Look | None:
    """The readings of one visit that go back to the findings behind a thread; ``None`` where there are none."""
    came: dict[tuple[str, str], Seen] = {}
    left: dict[tuple[str, str], Seen] = {}
    for seen in (seen for one in taken for seen in one.readings):
        came.setdefault((seen.what, seen.label), seen)
        left[seen.what, seen.label] = seen
    if not came:
        return None
    header = ticket.header
    odometer = header.odometer_in or header.odometer_out
    first = next(iter(came.values()))
    day = min(one.day for one in taken if one.readings)
    return Look(first.ref, day, odometer, "", tuple(came.values()), tuple(left.values()))


def _readings(ticket: Ticket, entry: Entry, near: Sequence[Ticket]) -> Iterator[Seen]:
    ref = Ref(entry.no, ticket.number)
    for one in measured(ticket, entry, near).groups:
        for value in one.run.values:
            yield Seen(ref, one.what, value.label, Quantity(value.number.strip(), one.run.unit))
