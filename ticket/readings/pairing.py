"""Measured again: a proof takes name, positions, unit and limits from the finding it repeats.

What a reading is compared with is another question: the newest reading of the same thing at the same position before
it, in the same chain. A level found low, put right, and read again at the next visit has fallen since it was put
right, however low it was found.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.job.ticket import Ticket
from ticket.job.values import Ref, Run, Value
from ticket.readings.measured_groups import groups, subject
from ticket.readings.moments import as_left
from ticket.readings.taken_over import TakenOver, completed, fits, named_among, open_where, owner, put_in, twin
from ticket.readings.verdict import Verdict, judge

CHAIN = 20  # a proof of a proof of a proof ...: nobody measures one thing more often on a job

_NO_CONVERSION = "The limits of entry {} are in {}, which does not convert to {}."


@dataclass(frozen=True, slots=True)
class PairedReading:
    """What an entry measured, with everything it took from the entry it repeats.

    Attributes:
        ref: the entry, as seen from the ticket the question was asked on.
        what: what was measured first, looked at or tested.
        groups: the readings in order; none where it holds none.
        behind: readings before it in its chain of things it did not measure again.
    """

    ref: Ref
    what: str
    groups: tuple[TakenOver, ...] = ()
    behind: tuple[TakenOver, ...] = ()


@dataclass(frozen=True, slots=True)
class Compared:
    """A reading that another one is compared with.

    Attributes:
        ref: its entry, as seen from the ticket the question was asked on.
        taken: the readings it stands side by side with.
        value: the reading.
        at: its number among all readings of its entry, from 0.
    """

    ref: Ref
    taken: TakenOver
    value: Value
    at: int


def measured(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> PairedReading:
    """All an entry measured, completed.

    Names, positions, units and limits that a proof leaves out come from the entry it measures again: from the reading
    at the same position, or from the only one. Limits in another unit are converted; those that cannot be are left
    out. A spread is left out where one reading was taken again.

    Args:
        ticket: the ticket the entry stands on.
        entry: the entry asked about.
        earlier: earlier tickets a reference such as ``2107/12`` may lead to.
    """
    return _measured(ticket, entry, earlier, CHAIN)


def before(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> tuple[Compared | None, ...]:
    """For each reading of an entry in order the one it is compared with; ``None`` where there is none or it is open.

    It is the newest earlier one of the same thing at the same position of all that go back to the same finding, on
    this ticket or on one before it.
    """
    now = measured(ticket, entry, earlier)
    steps = tuple(_steps(ticket, entry, earlier)) if now.groups else ()
    return tuple(_newest(taken, at, steps) for taken in now.groups for at in range(len(taken.run.values)))


def side_by_side(found: Sequence[Compared | None]) -> list[tuple[Ref, Run]]:
    """Readings that others are compared with, parted by the entry they stand on and what was measured."""
    parted = groupby((one for one in found if one is not None), key=lambda one: (one.ref, one.taken))
    return [(ref, replace(taken.run, values=tuple(one.value for one in held))) for (ref, taken), held in parted]


def last_before(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> PairedReading | None:
    """The newest entry with readings before an entry in its chain, else the one it names; ``None`` without a chain."""
    named = _named(ticket, entry, earlier, CHAIN)
    steps = _steps(ticket, entry, earlier)
    return named if named is None else next((then for then in steps if then.groups), named)


def begins_with(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> Ref:
    """The finding a chain of readings begins with: names and limits come from there where none were typed again."""
    return _ref(ticket, *_start(ticket, entry, earlier))


def taken_last(ticket: Ticket, found: Entry) -> tuple[Compared | None, ...]:
    """For each reading of a finding the newest one on its ticket that goes back to it; ``None`` where there is none."""
    proofs = sorted(ticket.of_kind(Proof), key=lambda other: place(ticket, other), reverse=True)
    again = tuple(measured(ticket, proof) for proof in proofs if _start(ticket, proof, ())[1] is found)
    first = measured(ticket, found)
    return tuple(_newest(taken, at, again) for taken in first.groups for at in range(len(taken.run.values)))


def visits_behind(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> tuple[Ticket, ...]:
    """The other tickets with the readings that an entry takes again: its name and its limits may stand there."""
    found: dict[int, Ticket] = {}
    home = ticket
    for _ in range(CHAIN):
        named = _source(home, entry, earlier)
        if named is None:
            break
        home, entry = named
        found[home.number] = home
    return tuple(visit for number, visit in found.items() if number != ticket.number)


def judge_entry(
    ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = (), *, resolution: Fraction | None = None
) -> tuple[Verdict, ...]:
    """One verdict for each reading of an entry in order, a proof against the limits of what it measures again.

    A reading taken again alone is held against the spread together with the newest readings of the other positions.
    """
    found = measured(ticket, entry, earlier)
    verdicts: list[Verdict] = []
    for taken in found.groups:
        if taken.lost_unit:
            named = _named(ticket, entry, earlier, CHAIN)
            reason = _NO_CONVERSION.format(named.ref if named else "?", taken.lost_unit, taken.run.unit)
            verdicts += (Verdict("undecided", reason) for _ in taken.run.values)
            continue
        first = owner(taken).run
        spread = taken.lent and first.limits is not None and first.limits.spread
        whole = _whole(taken, _since(ticket, entry, earlier)) if spread else None
        judged = judge(whole or taken.run, resolution=resolution)
        held = dict(zip(whole.values, judged, strict=True)) if whole else {}
        verdicts += (held[value] for value in taken.run.values) if held else judged
    return tuple(verdicts)


def place(ticket: Ticket, entry: Entry) -> int:
    """The number by which an entry stands in the order of the work: an amendment stands where it was first written."""
    seen = {entry.no}
    while entry.replaces and (first := ticket.entry(entry.replaces)) is not None and first.no not in seen:
        entry = first
        seen.add(first.no)
    return entry.no


def _whole(taken: TakenOver, since: Iterable[PairedReading]) -> Run | None:
    """The first readings with those taken since put in their places; ``None`` where that adds nothing."""
    whole: Run | None = owner(taken).run
    between = [old for then in since for old in then.groups if old.lent and owner(old) == owner(taken)]
    for old in (*reversed([old for old in between if fits(old, taken)]), taken):
        whole = put_in(whole, old.run) if whole is not None else None
    return whole


def _newest(taken: TakenOver, at: int, steps: Iterable[PairedReading]) -> Compared | None:
    """The reading in the newest of some entries that one repeats; none behind an entry that may hold it unnamed."""
    for then in steps:
        count = 0
        for old in then.groups:
            if fits(old, taken):
                found = twin(old, taken, at)
                if found is not None:
                    return Compared(then.ref, old, old.run.values[found], count + found)
                if open_where(old, taken, at):
                    return None
            count += len(old.run.values)
    return None


def _measured(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket], depth: int) -> PairedReading:
    fact = entry.fact
    if not isinstance(fact, Found | Proof):
        return PairedReading(Ref(entry.no), "")
    first = _named(ticket, entry, earlier, depth)
    if first is None:
        return PairedReading(
            Ref(entry.no), subject(fact) or fact.what, tuple(TakenOver(group) for group in groups(fact))
        )
    taken: list[TakenOver] = []
    for group in groups(fact):
        elsewhere = not named_among(group, first.groups) and named_among(group, first.behind)
        taken += completed(group, first.behind if elsewhere else as_left(first.groups, lambda one: one.what))
    repeated = [one.old for one in taken]
    behind = tuple(old for old in (*first.groups, *first.behind) if old not in repeated)
    return PairedReading(Ref(entry.no), subject(fact) or first.what, tuple(taken), behind)


def _named(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket], depth: int) -> PairedReading | None:
    """What an entry names as measured again; ``None`` where it names nothing that can be found."""
    found = _source(ticket, entry, earlier) if depth else None
    if found is None:
        return None
    return replace(_measured(*found, earlier, depth - 1), ref=_ref(ticket, *found))


def _source(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket]) -> tuple[Ticket, Entry] | None:
    """The entry that is named as measured again, and the ticket it stands on."""
    of = entry.fact.of if isinstance(entry.fact, Proof) else None
    if of is None:
        return None
    home = ticket if of.ticket in (0, ticket.number) else next((t for t in earlier if t.number == of.ticket), None)
    source = _standing(home, of.no) if home else None
    if home is None or source is None or not isinstance(source.fact, Found | Proof):
        return None
    return None if home is ticket and source.no == entry.no else (home, source)


def _steps(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket]) -> Iterator[PairedReading]:
    """What an entry may be compared with, newest first: readings taken again since, the named one, the first one."""
    named = _named(ticket, entry, earlier, CHAIN)
    if named is None:
        return
    told = {Ref(entry.no)}
    for then in _since(ticket, entry, earlier):
        told.add(then.ref)
        yield then
    home, start = _start(ticket, entry, earlier)
    first = replace(_measured(home, start, earlier, CHAIN), ref=_ref(ticket, home, start))
    yield from {then.ref: then for then in (named, first) if then.ref not in told}.values()


def _since(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket]) -> Iterator[PairedReading]:
    """The readings taken again between the finding a chain begins with and an entry of it, newest first."""
    home, start = _start(ticket, entry, earlier)
    for visit, candidate in _before_it(ticket, entry, earlier):
        there, first = _start(visit, candidate, earlier)
        if (there.number, first.no) == (home.number, start.no):
            yield replace(_measured(visit, candidate, earlier, CHAIN), ref=_ref(ticket, visit, candidate))


def _before_it(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket]) -> Iterator[tuple[Ticket, Entry]]:
    """Every verification before an entry, newest first: on its own ticket, then on those opened before."""
    mine = place(ticket, entry)
    here = sorted(ticket.of_kind(Proof), key=lambda other: place(ticket, other), reverse=True)
    yield from ((ticket, other) for other in here if place(ticket, other) < mine)
    visits = [old for old in earlier if old.number != ticket.number and old.opened <= ticket.opened]
    for visit in sorted(visits, key=lambda old: (old.opened, old.number), reverse=True):
        there = sorted(visit.of_kind(Proof), key=lambda other: place(visit, other), reverse=True)
        yield from ((visit, other) for other in there)


def _start(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket]) -> tuple[Ticket, Entry]:
    """The finding a chain of readings begins with, and the ticket it stands on."""
    for _ in range(CHAIN):
        found = _source(ticket, entry, earlier)
        if found is None:
            break
        ticket, entry = found
    return ticket, entry


def _ref(ticket: Ticket, home: Ticket, entry: Entry) -> Ref:
    return Ref(entry.no, 0 if home is ticket else home.number)


def _standing(ticket: Ticket, no: int) -> Entry | None:
    """The entry of that number, or the living amendment that stands in for it."""
    stands_in = {entry.replaces: entry for entry in ticket.entries if entry.replaces and not entry.struck}
    entry = ticket.entry(no)
    while entry is not None and (amendment := stands_in.get(entry.no)) is not None and amendment.no > entry.no:
        entry = amendment
    return entry
