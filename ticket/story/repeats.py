"""What a verification is compared with: the newest reading of the same chain that the reader may see."""

from dataclasses import dataclass

from ticket.job.entry import Entry
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.readings.pairing import before, begins_with
from ticket.readings.units import same
from ticket.story.context import Job
from ticket.story.readings import Reading, readings, same_thing


@dataclass(frozen=True, slots=True)
class Repeated:
    """An entry whose readings were taken again, as seen from the ticket that is told.

    Attributes:
        ref: the entry.
        readings: its readings.
        refs: the entry, and the finding that name and limits come from where that is another.
    """

    ref: Ref
    readings: tuple[Reading, ...]
    refs: tuple[Ref, ...]


def taken_before(job: Job, entry: Entry) -> Repeated | None:
    """What an entry measures again; ``None`` where there is nothing, or the reader may not see it."""
    found = before(job.ticket, entry, job.case.earlier)
    if found is None:
        return None
    visit, there = _seen(job, found.ref)
    if there is None:
        return None
    start = begins_with(job.ticket, entry, job.case.earlier)
    refs = (found.ref, start) if start != found.ref and _seen(job, start)[1] is not None else (found.ref,)
    return Repeated(found.ref, readings(job, there, visit), refs)


def _seen(job: Job, ref: Ref) -> tuple[Ticket | None, Entry | None]:
    """The earlier ticket and the entry a reference leads to, where the reader may see it."""
    if not ref.ticket:
        return None, job.entry(ref)
    visit = next((ticket for ticket in job.case.earlier if ticket.number == ref.ticket), None)
    there = visit.entry(ref.no) if visit is not None else None
    return visit, None if there is not None and there.shop_only and job.reader != "shop" else there


def repeated(reading: Reading, first: Repeated | None) -> Reading | None:
    """The reading that this one repeats under the same conditions."""
    if first is None:
        return None
    olds = first.readings
    alike = [old for old in olds if same_thing(old, reading) and _conditions(old) == _conditions(reading)]
    if not alike and len(olds) == 1 and olds[0].thing is None and reading.thing is None:
        return olds[0] if same(olds[0].unit, reading.unit) else None
    return alike[0] if alike else None


def repeated_line(now: tuple[Reading, ...], first: Repeated) -> Reading | None:
    """The reading that the only one of a line repeats, by its position; ``None`` where that is not plain."""
    match = [old for old in first.readings if now and (old.label == now[0].label or len(first.readings) == 1)]
    return match[0] if len(now) == 1 and len(match) == 1 and same(match[0].unit, now[0].unit) else None


def _conditions(reading: Reading) -> str:
    return reading.thing.conditions if reading.thing is not None else ""
