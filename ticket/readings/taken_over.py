"""Readings taken again: name, position, unit and limits they take over from the ones they repeat."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from ticket.job.likeness import content_words, sides
from ticket.job.text import fold
from ticket.job.values import Run, Value
from ticket.readings.limit_bounds import convert_limits
from ticket.readings.measured_groups import Group
from ticket.readings.positions import place_key
from ticket.readings.units import find, same


@dataclass(frozen=True, slots=True)
class TakenOver:
    """Readings side by side, with everything they took from the ones they repeat.

    Attributes:
        group: the readings; limits in the unit of its run, or naming their own.
        old: the readings they repeat, ``None`` where there are none or it is open which.
        lost_unit: unit of earlier limits that do not convert, else empty.
        lent: the limits are those of the earlier readings.
    """

    group: Group
    old: "TakenOver | None" = None
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


def completed(group: Group, olds: Sequence[TakenOver]) -> Iterator[TakenOver]:
    """A group as typed, parted where its readings repeat different ones."""
    sources = _sources(group, _candidates(group, olds), olds)
    at = 0
    for source, run_of in groupby(sources):
        values = group.run.values[at : at + len(list(run_of))]
        part = replace(group, run=replace(group.run, values=values), first=group.first + at)
        at += len(values)
        yield TakenOver(part) if source is None else _taken(part, olds[source])


def owner(taken: TakenOver) -> TakenOver:
    """The readings that the limits were typed with, or the first ones where there are no limits."""
    while taken.old is not None and (taken.lent or taken.run.limits is None):
        taken = taken.old
    return taken


def root(taken: TakenOver) -> TakenOver:
    """The readings that a chain begins with."""
    while taken.old is not None:
        taken = taken.old
    return taken


def fits(taken: TakenOver, other: TakenOver) -> bool:
    """Whether readings of one chain are of one thing: they begin with the same, and their names do not part them.

    A shorter name fits a longer one; one with words of its own tells of other conditions.
    """
    mine, theirs = content_words(taken.what), content_words(other.what)
    return root(taken).group == root(other).group and (mine <= theirs or theirs <= mine)


def named_among(group: Group, olds: Sequence[TakenOver]) -> bool:
    """Whether a group gives a name that fits one of some readings."""
    words = content_words(group.what)
    return any(
        fold(old.group.what) == fold(group.what) or (words and _alike(words, content_words(old.group.what)))
        for old in olds
    )


def matched(first: Run, again: Run) -> tuple[Value | None, ...]:
    """For each reading taken again the one it repeats: the same position, or the only one there is."""
    by_place = {place_key(value.label): value for value in first.values}
    if len(by_place) < len(first.values):
        return (None,) * len(again.values)
    return tuple(by_place.get(place_key(value.label)) for value in again.values)


def twin(first: TakenOver, again: TakenOver, at: int) -> int | None:
    """Which of some readings another repeats: that of its position, of its turn in a bare list, or the only one."""
    olds, news = first.run.values, again.run.values
    keys, key = [place_key(value.label) for value in olds], place_key(news[at].label)
    if len(set(keys)) == len(keys) and key in keys:
        return keys.index(key)
    if not any(keys) and not any(value.label for value in news) and len(olds) == len(news):
        return at
    alone = len(olds) == len(news) == len(root(again).run.values) == 1
    return 0 if alone and not (key and keys[0]) else None


def open_where(first: TakenOver, again: TakenOver, at: int) -> bool:
    """Whether one of some readings may be of the position of another without saying so."""
    return not again.run.values[at].label or not all(value.label for value in first.run.values)


def put_in(whole: Run, run: Run) -> Run | None:
    """Readings with some of them taken again; ``None`` where it is not plain which ones."""
    new = {place_key(value.label): value for value in run.values}
    if len(new) < len(run.values) or not same(whole.unit, run.unit) or None in matched(whole, run):
        return None
    return replace(whole, values=tuple(new.get(place_key(value.label), value) for value in whole.values))


def _candidates(group: Group, olds: Sequence[TakenOver]) -> list[int]:
    """The earlier readings that a group may repeat: by name where it gives one, then by unit."""
    every = list(range(len(olds)))
    if len(every) < 2:
        return every
    chosen = _named_alike(group, olds) if group.what else every
    fitting = [i for i in chosen if not group.run.unit or _comparable(group.run.unit, olds[i].run.unit)]
    fitting = _judged_alone(group, fitting, olds) or fitting
    return fitting or (chosen if len(chosen) == 1 else [])


def _named_alike(group: Group, olds: Sequence[TakenOver]) -> list[int]:
    """The earlier readings of the same name; where there are none, those with one name's words in the other's."""
    named = [i for i, old in enumerate(olds) if fold(old.group.what) == fold(group.what)]
    words = content_words(group.what)
    return named or [i for i, old in enumerate(olds) if words and _alike(words, content_words(old.group.what))]


def _judged_alone(group: Group, fitting: Sequence[int], olds: Sequence[TakenOver]) -> list[int]:
    """The only reading in the very unit, where it is the only one judged too.

    Behind "runout 1.6 mm (max 0.5), dent 30 cm ahead of it" 0.3 mm is no dent.
    """
    judged = [i for i in fitting if olds[i].run.limits is not None]
    same_unit = [i for i in fitting if same(group.run.unit, olds[i].run.unit)]
    return judged if len(judged) == 1 and same_unit == judged else []


def _alike(one: frozenset[str], other: frozenset[str]) -> bool:
    return bool(other) and (one <= other or other <= one)


def _comparable(one: str, other: str) -> bool:
    a, b = find(one), find(other)
    return same(one, other) or (a is not None and b is not None and a.dimension == b.dimension)


def _sources(group: Group, candidates: Sequence[int], olds: Sequence[TakenOver]) -> list[int | None]:
    """For each reading the earlier ones it repeats: the only ones, those of its position, or those of its turn."""
    values = group.run.values
    if len(candidates) == 1:
        return [candidates[0]] * len(values)
    if any(value.label for value in values):
        return [_at(value, candidates, olds) for value in values]
    turns: list[int | None] = [i for i in candidates for _ in olds[i].run.values]
    return turns if len(turns) == len(values) else [None] * len(values)


_EVERYWHERE = frozenset("all each every both everywhere round around corners wheels".split())


def place_unsaid(group: Group, first: Run) -> bool:
    """One figure for readings of several positions: nobody can say which of them was taken again.

    ``pads LF 1.5 RF 2 LR 5 RR 5.5 mm`` and then ``now 11 mm`` may be any of the four; ``now 11 mm all round`` is all.
    """
    places = {place_key(value.label) for value in first.values} - {place_key("")}
    bare = [value for value in group.run.values if not value.label]
    said = _EVERYWHERE & set(fold(f"{group.what} {group.when}").split())
    return len(places) > 1 and len(bare) == 1 == len(group.run.values) and not said and not sides(group.what)


def _fuller(label: str, first: Run) -> str:
    """ "left" where the readings before were of "left front" and "right front"."""
    words = set(place_key(label).split())
    held = [old.label for old in first.values if words and words < set(place_key(old.label).split())]
    known = any(place_key(old.label) == place_key(label) for old in first.values)
    return held[0] if len(held) == 1 and not known else label


def _at(value: Value, candidates: Sequence[int], olds: Sequence[TakenOver]) -> int | None:
    key = place_key(value.label)
    there = [i for i in candidates if any(place_key(old.label) == key for old in olds[i].run.values)]
    return there[0] if len(there) == 1 else None


def _taken(group: Group, old: TakenOver) -> TakenOver:
    first = old.run
    run = replace(group.run, unit=group.run.unit or first.unit, values=_labelled(group.run, first))
    when = group.when or ("" if group.what else old.group.when)
    whole = replace(group, what=group.what or old.group.what, when=when, run=run)
    if run.limits or first.limits is None or place_unsaid(group, first):
        return TakenOver(whole, old)
    limits = convert_limits(first.limits, first.unit, run.unit)
    if limits is None:
        return TakenOver(whole, old, first.unit)
    limits = replace(limits, spread="", spread_unit="") if len(run.values) < 2 else limits
    return TakenOver(replace(whole, run=replace(run, limits=limits)), old, lent=True)


def _labelled(again: Run, first: Run) -> tuple[Value, ...]:
    """Positions are taken over when none was named and just as many readings were taken; else what they leave out."""
    if any(value.label for value in again.values):
        return tuple(replace(value, label=_fuller(value.label, first)) for value in again.values)
    if len(again.values) != len(first.values):
        return again.values
    return tuple(replace(new, label=old.label) for new, old in zip(again.values, first.values, strict=True))
