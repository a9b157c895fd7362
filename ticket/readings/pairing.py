"""Measured again: a proof takes name, positions, unit and limits from the finding it repeats."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.job.likeness import content_words
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.job.values import Ref, Run, Value
from ticket.readings.groups import Group, groups, subject
from ticket.readings.limits import convert_limits
from ticket.readings.places import place_key
from ticket.readings.units import find, same
from ticket.readings.verdict import Verdict, judge

_CHAIN = 20  # a proof of a proof of a proof ...: nobody measures one thing more often on a job

_NO_CONVERSION = "The limits of entry {} are in {}, which does not convert to {}."


@dataclass(frozen=True, slots=True)
class Taken:
    """Readings side by side, with everything they took from the ones they repeat.

    Attributes:
        group: the readings; limits in the unit of its run, or naming their own.
        old: the readings they repeat, ``None`` where there are none or it is open which.
        lost_unit: unit of earlier limits that do not convert, else empty.
        lent: the limits are those of the earlier readings.
    """

    group: Group
    old: "Taken | None" = None
    lost_unit: str = ""
    lent: bool = False

    @property
    def what(self) -> str:
        """What was measured, with its conditions."""
        return self.group.name

    @property
    def run(self) -> Run:
        """The readings."""
        return self.group.run


@dataclass(frozen=True, slots=True)
class Measured:
    """What an entry measured, with everything it took from the entry it repeats.

    Attributes:
        ref: the entry, as seen from the ticket the question was asked on.
        what: what was measured first, looked at or tested.
        groups: the readings in order; none where it holds none.
    """

    ref: Ref
    what: str
    groups: tuple[Taken, ...] = ()


def what_of(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> str:
    """What was looked at or tested, taken over from the entry measured again where the proof gives no name."""
    return measured(ticket, entry, earlier).what


def before(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> Measured | None:
    """What the entry measures again, or ``None`` when it repeats nothing that can be found."""
    return _before(ticket, entry, earlier, _CHAIN)


def measured(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> Measured:
    """All an entry measured, completed.

    Names, positions, units and limits that a proof leaves out come from the entry it measures again: from the reading
    at the same position, or from the only one. Limits in another unit are converted; those that cannot be are left
    out. A spread is left out where one reading was taken again.

    Args:
        ticket: the ticket the entry stands on.
        entry: the entry asked about.
        earlier: earlier tickets a reference such as ``2107/12`` may lead to.
    """
    return _measured(ticket, entry, earlier, _CHAIN)


def matched(first: Run, again: Run) -> tuple[Value | None, ...]:
    """For each reading taken again the one it repeats: the same position, or the only one there is."""
    by_place = {place_key(value.label): value for value in first.values}
    if len(by_place) < len(first.values):
        return (None,) * len(again.values)
    return tuple(by_place.get(place_key(value.label)) for value in again.values)


def judge_entry(
    ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = (), *, resolution: Fraction | None = None
) -> tuple[Verdict, ...]:
    """One verdict for each reading of an entry in order, a proof against the limits of what it measures again.

    A reading taken again alone is held against the spread together with the readings that were not repeated.
    """
    first = before(ticket, entry, earlier)
    found = measured(ticket, entry, earlier)
    return tuple(verdict for taken in found.groups for verdict in _judged(taken, first, resolution))


def _judged(taken: Taken, first: Measured | None, resolution: Fraction | None) -> tuple[Verdict, ...]:
    run = taken.run
    if taken.lost_unit:
        reason = _NO_CONVERSION.format(first.ref if first else "?", taken.lost_unit, run.unit)
        return tuple(Verdict("undecided", reason) for _ in run.values)
    whole = _whole(taken)
    if whole is None:
        return judge(run, resolution=resolution)
    verdicts = dict(zip(whole.values, judge(whole, resolution=resolution), strict=True))
    return tuple(verdicts[value] for value in run.values)


def _whole(taken: Taken) -> Run | None:
    """The earlier readings with those taken again put in their places; ``None`` where that adds nothing."""
    again, first = taken.run, taken.old.run if taken.old else None
    if first is None or not taken.lent or not same(first.unit, again.unit):
        return None
    if first.limits is None or not first.limits.spread or None in matched(first, again):
        return None
    new = {place_key(value.label): value for value in again.values}
    if len(new) < len(again.values):
        return None
    return replace(first, values=tuple(new.get(place_key(value.label), value) for value in first.values))


def _measured(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket], depth: int) -> Measured:
    fact = entry.fact
    if not isinstance(fact, Found | Proof):
        return Measured(Ref(entry.no), "")
    first = _before(ticket, entry, earlier, depth)
    if first is None:
        return Measured(Ref(entry.no), subject(fact) or fact.what, tuple(Taken(group) for group in groups(fact)))
    taken = tuple(one for group in groups(fact) for one in _completed(group, first.groups))
    return Measured(Ref(entry.no), subject(fact) or first.what, taken)


def _completed(group: Group, olds: Sequence[Taken]) -> Iterator[Taken]:
    """A group as typed, parted where its readings repeat different ones."""
    sources = _sources(group, _candidates(group, olds), olds)
    at = 0
    for source, run_of in groupby(sources):
        values = group.run.values[at : at + len(list(run_of))]
        part = replace(group, run=replace(group.run, values=values), first=group.first + at)
        at += len(values)
        yield Taken(part) if source is None else _taken(part, olds[source])


def _candidates(group: Group, olds: Sequence[Taken]) -> list[int]:
    """The earlier readings that a group may repeat: by name where it gives one, then by unit."""
    every = list(range(len(olds)))
    if len(every) < 2:
        return every
    words = content_words(group.what)
    named = [i for i in every if fold(olds[i].group.what) == fold(group.what)]
    named = named or [i for i in every if words and _alike(words, content_words(olds[i].group.what))]
    chosen = named if group.what else every
    fitting = [i for i in chosen if not group.run.unit or _comparable(group.run.unit, olds[i].run.unit)]
    return fitting or (chosen if len(chosen) == 1 else [])


def _alike(one: frozenset[str], other: frozenset[str]) -> bool:
    return bool(other) and (one <= other or other <= one)


def _comparable(one: str, other: str) -> bool:
    a, b = find(one), find(other)
    return same(one, other) or (a is not None and b is not None and a.dimension == b.dimension)


def _sources(group: Group, candidates: Sequence[int], olds: Sequence[Taken]) -> list[int | None]:
    """For each reading the earlier ones it repeats: the only ones, those of its position, or those of its turn."""
    values = group.run.values
    if len(candidates) == 1:
        return [candidates[0]] * len(values)
    if any(value.label for value in values):
        return [_at(value, candidates, olds) for value in values]
    turns: list[int | None] = [i for i in candidates for _ in olds[i].run.values]
    return turns if len(turns) == len(values) else [None] * len(values)


def _at(value: Value, candidates: Sequence[int], olds: Sequence[Taken]) -> int | None:
    key = place_key(value.label)
    there = [i for i in candidates if any(place_key(old.label) == key for old in olds[i].run.values)]
    return there[0] if len(there) == 1 else None


def _taken(group: Group, old: Taken) -> Taken:
    first = old.run
    run = replace(group.run, unit=group.run.unit or first.unit, values=_labelled(group.run, first))
    when = group.when or ("" if group.what else old.group.when)
    whole = replace(group, what=group.what or old.group.what, when=when, run=run)
    if run.limits or first.limits is None:
        return Taken(whole, old)
    limits = convert_limits(first.limits, first.unit, run.unit)
    if limits is None:
        return Taken(whole, old, first.unit)
    limits = replace(limits, spread="", spread_unit="") if len(run.values) < 2 else limits
    return Taken(replace(whole, run=replace(run, limits=limits)), old, lent=True)


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
