"""What a verification is compared with: the newest readings of the same chain that the reader may see."""

from dataclasses import dataclass

from ticket.job.entry import Entry
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.readings.pairing import Compared, before, begins_with, last_before
from ticket.readings.units import same
from ticket.story.context import Job
from ticket.story.readings import Reading, readings, same_thing


@dataclass(frozen=True, slots=True)
class Repeated:
    """What the readings of an entry repeat, as seen from the ticket that is told.

    Attributes:
        ref: the newest entry of the chain, for readings that are compared with none.
        olds: for each reading of the entry the one it repeats, in its unit.
        start: the finding that names and limits come from; ``None`` where the reader may not see it.
    """

    ref: Ref
    olds: tuple[Reading | None, ...]
    start: Ref | None

    def refs(self, *olds: Reading | None) -> tuple[Ref, ...]:
        """The entries of some of the readings repeated, and the finding that name and limits come from."""
        found = [old.ref for old in olds if old is not None] or [self.ref]
        return tuple(dict.fromkeys([*found, *([self.start] if self.start is not None else [])]))


def taken_before(job: Job, entry: Entry) -> Repeated | None:
    """What an entry measures again; ``None`` where there is nothing, or the reader may not see it."""
    last = last_before(job.ticket, entry, job.case.earlier)
    if last is None:
        return None
    compared = before(job.ticket, entry, job.case.earlier)
    shown = [one.ref for one in compared if one is not None and _seen(job, one.ref)[1] is not None]
    ref = shown[0] if shown else last.ref
    if _seen(job, ref)[1] is None or (any(compared) and not shown):
        return None
    now = readings(job, entry)
    olds = tuple(_old(job, one, other) for one, other in zip(now, compared, strict=True))
    start = begins_with(job.ticket, entry, job.case.earlier)
    return Repeated(ref, olds, start if _seen(job, start)[1] is not None else None)


def _old(job: Job, now: Reading, found: Compared | None) -> Reading | None:
    if found is None:
        return None
    visit, there = _seen(job, found.ref)
    if there is None:
        return None
    old = readings(job, there, visit)[found.at]
    return old if same(old.unit, now.unit) else None


def _seen(job: Job, ref: Ref) -> tuple[Ticket | None, Entry | None]:
    """The earlier ticket and the entry a reference leads to, where the reader may see it."""
    if not ref.ticket:
        return None, job.entry(ref)
    visit = next((ticket for ticket in job.case.earlier if ticket.number == ref.ticket), None)
    there = visit.entry(ref.no) if visit is not None else None
    return visit, None if there is not None and there.shop_only and job.reader != "shop" else there


def repeated(reading: Reading, old: Reading | None) -> Reading | None:
    """The reading that this one repeats, where it was taken under the same conditions."""
    if old is None or (reading.thing is None and old.thing is None):
        return old
    return old if same_thing(old, reading) and _conditions(old) == _conditions(reading) else None


def _conditions(reading: Reading) -> tuple[str, ...]:
    return reading.thing.conditions if reading.thing is not None else ()
