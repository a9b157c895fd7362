"""Measured again: a proof takes name, positions, unit and limits from the finding it repeats."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.job.values import Limits, Ref, Run, Value
from ticket.readings.limits import convert_limits
from ticket.readings.units import same
from ticket.readings.verdict import Verdict, judge

_CHAIN = 20  # a proof of a proof of a proof ...: nobody measures one thing more often on a job

_NO_CONVERSION = "The limits of entry {} are in {}, which does not convert to {}."


@dataclass(frozen=True, slots=True)
class Measured:
    """What an entry measured, with everything it took from the entry it repeats.

    Attributes:
        ref: the entry, as seen from the ticket the question was asked on.
        what: name of what was measured.
        run: the readings; limits in the unit of the run.
        lost_unit: unit of earlier limits that do not convert, else empty.
    """

    ref: Ref
    what: str
    run: Run | None
    lost_unit: str = ""


def pair(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> Run | None:
    """The readings of a finding or a proof, completed; ``None`` when it has none.

    Positions, unit and limits that a proof leaves out come from the entry it measures again. Limits in another unit
    are converted; those that cannot be are left out. A spread is left out where one reading was taken again.

    Args:
        ticket: the ticket the entry stands on.
        entry: the entry asked about.
        earlier: earlier tickets a reference such as ``2107/12`` may lead to.
    """
    return measured(ticket, entry, earlier).run


def what_of(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> str:
    """What was looked at or tested, taken over from the entry measured again where the proof gives no name."""
    return measured(ticket, entry, earlier).what


def before(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> Measured | None:
    """What the entry measures again, or ``None`` when it repeats nothing that can be found."""
    return _before(ticket, entry, earlier, _CHAIN)


def measured(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> Measured:
    """All an entry measured; see :func:`pair`."""
    return _measured(ticket, entry, earlier, _CHAIN)


def matched(first: Run, again: Run) -> tuple[Value | None, ...]:
    """For each reading taken again the one it repeats: the same position, or the only one there is."""
    by_label = {fold(value.label): value for value in first.values}
    if len(by_label) < len(first.values):
        return (None,) * len(again.values)
    return tuple(by_label.get(fold(value.label)) for value in again.values)


def judge_entry(
    ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = (), *, resolution: Fraction | None = None
) -> tuple[Verdict, ...]:
    """One verdict for each reading of an entry, a proof against the limits of what it measures again.

    A reading taken again alone is held against the spread together with the readings that were not repeated.
    """
    found = measured(ticket, entry, earlier)
    if found.run is None:
        return ()
    if found.lost_unit:
        first = before(ticket, entry, earlier)
        reason = _NO_CONVERSION.format(first.ref if first else "?", found.lost_unit, found.run.unit)
        return tuple(Verdict("undecided", reason) for _ in found.run.values)
    whole = _whole(before(ticket, entry, earlier), found.run, entry)
    if whole is None:
        return judge(found.run, resolution=resolution)
    verdicts = dict(zip(whole.values, judge(whole, resolution=resolution), strict=True))
    return tuple(verdicts[value] for value in found.run.values)


def _whole(first: Measured | None, again: Run, entry: Entry) -> Run | None:
    """The earlier readings with those taken again put in their places; ``None`` where that adds nothing."""
    own = entry.fact.run if isinstance(entry.fact, Proof) else None
    if first is None or first.run is None or own is None or own.limits or not same(first.run.unit, again.unit):
        return None
    if first.run.limits is None or not first.run.limits.spread or None in matched(first.run, again):
        return None
    new = {fold(value.label): value for value in again.values}
    if len(new) < len(again.values):
        return None
    return replace(first.run, values=tuple(new.get(fold(value.label), value) for value in first.run.values))


def _measured(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket], depth: int) -> Measured:
    fact = entry.fact
    if not isinstance(fact, Found | Proof):
        return Measured(Ref(entry.no), "", None)
    first = _before(ticket, entry, earlier, depth)
    if first is None:
        return Measured(Ref(entry.no), fact.what, fact.run)
    what = fact.what or first.what
    if fact.run is None or first.run is None:
        return Measured(Ref(entry.no), what, fact.run)
    run = replace(fact.run, unit=fact.run.unit or first.run.unit, values=_labelled(fact.run, first.run))
    if fact.run.limits or first.run.limits is None:
        return Measured(Ref(entry.no), what, run)
    limits = convert_limits(first.run.limits, first.run.unit, run.unit)
    if limits is None:
        return Measured(Ref(entry.no), what, run, first.run.unit)
    return Measured(Ref(entry.no), what, replace(run, limits=_without_spread(limits, run)))


def _without_spread(limits: Limits, run: Run) -> Limits:
    return replace(limits, spread="", spread_unit="") if len(run.values) < 2 else limits


def _labelled(again: Run, first: Run) -> tuple[Value, ...]:
    """Positions are taken over only when none was named and just as many readings were taken."""
    if len(again.values) != len(first.values) or any(value.label for value in again.values):
        return again.values
    return tuple(Value(new.number, old.label) for new, old in zip(again.values, first.values, strict=True))


def _before(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket], depth: int) -> Measured | None:
    of = entry.fact.of if isinstance(entry.fact, Proof) else None
    if of is None or not depth:
        return None
    home = ticket if of.ticket in (0, ticket.number) else next((t for t in earlier if t.number == of.ticket), None)
    source = _standing(home, of.no) if home else None
    if home is None or source is None or not isinstance(source.fact, Found | Proof):
        return None
    if home is ticket and source.no == entry.no:
        return None
    ref = Ref(source.no, 0 if home is ticket else home.number)
    return replace(_measured(home, source, earlier, depth - 1), ref=ref)


def _standing(ticket: Ticket, no: int) -> Entry | None:
    """The entry of that number, or the living amendment that stands in for it."""
    stands_in = {entry.replaces: entry for entry in ticket.entries if entry.replaces and not entry.struck}
    entry = ticket.entry(no)
    while entry is not None and (amendment := stands_in.get(entry.no)) is not None and amendment.no > entry.no:
        entry = amendment
    return entry
