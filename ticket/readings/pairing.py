"""Measured again: a proof takes name, positions, unit and limits from the finding it repeats.

What a reading is compared with is another question: the newest reading of the same chain before it. A level found low,
put right, and read again at the next visit has fallen since it was put right, however low it was found.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.job.likeness import content_words
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
    """What the entry is compared with, or ``None`` when it repeats nothing that can be found.

    It is the newest earlier reading of all those that go back to the same finding, on this ticket or on one before it,
    wherever it holds the positions that were taken again; else the entry that is named.
    """
    named = _before(ticket, entry, earlier, _CHAIN)
    if named is None:
        return None
    newest = _newest(ticket, entry, earlier)
    return named if newest is None else newest


def begins_with(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> Ref:
    """The finding a chain of readings begins with: names and limits come from there where none were typed again."""
    home, start = _start(ticket, entry, earlier)
    return Ref(start.no, 0 if home is ticket else home.number)


def taken_last(ticket: Ticket, found: Entry) -> Measured | None:
    """The newest reading on a ticket that goes back to a finding of it; ``None`` where it was not taken again."""
    proofs = sorted(ticket.of_kind(Proof), key=lambda other: place(ticket, other), reverse=True)
    again = (proof for proof in proofs if getattr(proof.fact, "run", None) and _start(ticket, proof, ())[1] is found)
    return next((_measured(ticket, proof, (), _CHAIN) for proof in again), None)


def measured(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> Measured:
    """All an entry measured; see :func:`pair`."""
    return _measured(ticket, entry, earlier, _CHAIN)


def visits_behind(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> tuple[Ticket, ...]:
    """The other tickets with the readings that an entry takes again: its name and its limits may stand there."""
    found: dict[int, Ticket] = {}
    home = ticket
    for _ in range(_CHAIN):
        named = _source(home, entry, earlier)
        if named is None:
            break
        home, entry = named
        found[home.number] = home
    return tuple(visit for number, visit in found.items() if number != ticket.number)


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

    A reading taken again alone is held against the spread together with the newest readings of the other positions.
    """
    found = measured(ticket, entry, earlier)
    if found.run is None:
        return ()
    if found.lost_unit:
        first = _before(ticket, entry, earlier, _CHAIN)
        reason = _NO_CONVERSION.format(first.ref if first else "?", found.lost_unit, found.run.unit)
        return tuple(Verdict("undecided", reason) for _ in found.run.values)
    whole = _whole(ticket, entry, earlier, found.run)
    if whole is None:
        return judge(found.run, resolution=resolution)
    verdicts = dict(zip(whole.values, judge(whole, resolution=resolution), strict=True))
    return tuple(verdicts[value] for value in found.run.values)


def _whole(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket], again: Run) -> Run | None:
    """The first readings with those taken since put in their places; ``None`` where that adds nothing."""
    named = _before(ticket, entry, earlier, _CHAIN)
    own = entry.fact.run if isinstance(entry.fact, Proof) else None
    if named is None or own is None or own.limits:
        return None
    home, start = _start(ticket, entry, earlier)
    first = _measured(home, start, earlier, _CHAIN).run
    if first is None or first.limits is None or not first.limits.spread:
        return None
    between = [run for _, _, taken in _since(ticket, entry, earlier) if (run := taken.run) is not None]
    whole: Run | None = first
    for run in (*reversed(between), again):
        whole = _put_in(whole, run) if whole is not None else None
    return whole


def _put_in(whole: Run, run: Run) -> Run | None:
    """Readings with some of them taken again; ``None`` where it is not plain which ones."""
    new = {fold(value.label): value for value in run.values}
    if len(new) < len(run.values) or not same(whole.unit, run.unit) or None in matched(whole, run):
        return None
    return replace(whole, values=tuple(new.get(fold(value.label), value) for value in whole.values))


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
    found = _source(ticket, entry, earlier) if depth else None
    if found is None:
        return None
    home, source = found
    ref = Ref(source.no, 0 if home is ticket else home.number)
    return replace(_measured(home, source, earlier, depth - 1), ref=ref)


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


def _newest(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket]) -> Measured | None:
    """The newest reading before an entry that goes back to the same finding and holds its positions."""
    now = _measured(ticket, entry, earlier, _CHAIN)
    for home, candidate, then in _since(ticket, entry, earlier):
        if then.run and (now.run is None or None not in matched(then.run, now.run)) and _alike(then.what, now.what):
            return replace(then, ref=Ref(candidate.no, 0 if home is ticket else home.number))
    return None


def _since(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket]) -> Iterator[tuple[Ticket, Entry, Measured]]:
    """The readings taken again between the finding a chain begins with and an entry of it, newest first."""
    home, start = _start(ticket, entry, earlier)
    for visit, candidate in _before_it(ticket, entry, earlier):
        there, first = _start(visit, candidate, earlier)
        if (there.number, first.no) == (home.number, start.no):
            yield visit, candidate, _measured(visit, candidate, earlier, _CHAIN)


def _before_it(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket]) -> Iterator[tuple[Ticket, Entry]]:
    """Every verification before an entry, newest first: on its own ticket, then on those opened before."""
    mine = place(ticket, entry)
    here = sorted(ticket.of_kind(Proof), key=lambda other: place(ticket, other), reverse=True)
    yield from ((ticket, other) for other in here if place(ticket, other) < mine)
    visits = [old for old in earlier if old.number != ticket.number and old.opened <= ticket.opened]
    for visit in sorted(visits, key=lambda old: (old.opened, old.number), reverse=True):
        there = sorted(visit.of_kind(Proof), key=lambda other: place(visit, other), reverse=True)
        yield from ((visit, other) for other in there)


def place(ticket: Ticket, entry: Entry) -> int:
    """The number by which an entry stands in the order of the work: an amendment stands where it was first written."""
    seen = {entry.no}
    while entry.replaces and (first := ticket.entry(entry.replaces)) is not None and first.no not in seen:
        entry = first
        seen.add(first.no)
    return entry.no


def _start(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket]) -> tuple[Ticket, Entry]:
    """The finding a chain of readings begins with, and the ticket it stands on."""
    for _ in range(_CHAIN):
        found = _source(ticket, entry, earlier)
        if found is None:
            break
        ticket, entry = found
    return ticket, entry


def _alike(one: str, other: str) -> bool:
    """Whether two names fit one thing: a shorter name does, one with words of its own tells of other conditions."""
    mine, theirs = content_words(one), content_words(other)
    return mine <= theirs or theirs <= mine


def _standing(ticket: Ticket, no: int) -> Entry | None:
    """The entry of that number, or the living amendment that stands in for it."""
    stands_in = {entry.replaces: entry for entry in ticket.entries if entry.replaces and not entry.struck}
    entry = ticket.entry(no)
    while entry is not None and (amendment := stands_in.get(entry.no)) is not None and amendment.no > entry.no:
        entry = amendment
    return entry
