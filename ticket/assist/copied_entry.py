"""Copying an entry of one job into another: what may go along, and the mark that says where it comes from."""

import dataclasses
from dataclasses import dataclass, replace
from typing import Any

from ticket.job.entry import Entry
from ticket.job.errors import InputError
from ticket.job.kinds import Cause, Code, Fact, Found, Maybe, Note, Proof, Ruled, Says, Told
from ticket.job.picture import picture_fields
from ticket.job.text import one_line
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.notes.limits import write_limits
from ticket.notes.pen import Pen
from ticket.readings.measured_groups import Group, groups, measures

# What belongs to the job it was typed on: its references, who worked when, who pays, what was answered, a calendar day.
_STAYS = ("refs", "clock", "by", "pays", "answer", "date")


@dataclass(frozen=True, slots=True)
class Copied:
    """What became of a copy.

    Attributes:
        number: of the new entry; 0 where the line is for the person to finish.
        line: what to type on, where the value must be taken on this vehicle.
    """

    number: int = 0
    line: str = ""


def unmeasured(fact: Fact) -> str:
    """The line of a code, finding or test without what was read or seen there; empty for every other kind."""
    if isinstance(fact, Code):
        name = f"{fact.code}-{fact.sub}" if fact.sub else fact.code
        return f"code: {name} {fact.unit}".rstrip()
    if not isinstance(fact, Found | Proof):
        return ""
    if not measures(fact):
        return f"{fact.kind}: {one_line(fact.what)}".rstrip() + " "
    return f"{fact.kind}: {', '.join(_empty(group) for group in groups(fact))}"


def _empty(group: Group) -> str:
    """What was measured with room for a value before its unit."""
    run = group.run
    limits = f" ({write_limits(run.limits, run.unit, Pen())})" if run.limits else ""
    return f"{one_line(group.name)}  {run.unit}{limits}"


def carried(fact: Fact) -> Fact:
    """A fact as it goes to another job. Raises :class:`InputError` for what a customer said."""
    if isinstance(fact, Says | Told):
        raise InputError("What a customer said stays on its own ticket.")
    if picture_fields(type(fact)):
        raise InputError("A picture shows the job it was taken on and stays there: take one of this job.")
    if isinstance(fact, Cause | Ruled):
        return Maybe(text=fact.text)
    stays: dict[str, Any] = {item.name: item.default for item in dataclasses.fields(fact) if item.name in _STAYS}
    plain: Any = fact  # each kind has some of these fields
    copied: Fact = replace(plain, **stays)
    return copied


def copy_mark(fact: Fact, source: Ref) -> Note:
    """The remark that says where an entry comes from."""
    text = one_line(getattr(fact, "text", ""))
    return Note(text=f"copied from {source}: {text[:60]}".rstrip(": "))


def last_concern(ticket: Ticket) -> str:
    """The concern opened last."""
    opened = [entry for entry in ticket.living if isinstance(entry.fact, Says) and entry.concern]
    return _first_letter(opened[-1]) if opened else ""


def _first_letter(entry: Entry) -> str:
    return entry.concern.split("+")[-1]
