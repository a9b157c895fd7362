"""Limits that were typed again and again for one thing of one vehicle: proposed for the shop's limits book."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ticket.job.text import fold
from ticket.readings.limit_bounds import as_limits
from ticket.readings.limits_book import LimitRow, words_of
from ticket.readings.measured_groups import Group
from ticket.readings.positions import places
from ticket.readings.units import find

ENOUGH = 2  # how often limits must have been typed


@dataclass(frozen=True, slots=True)
class Typed:
    """Readings with limits as they stand on a ticket: ticket, entry, the vehicle's name, and the readings."""

    ticket: int
    entry: int
    vehicle: str
    group: Group


@dataclass(frozen=True, slots=True)
class Proposal:
    """A row for the book, and the entries in which its limits were typed, as (ticket, entry)."""

    row: LimitRow
    stands: tuple[tuple[int, int], ...]


_Key = tuple[object, ...]


def proposals(typed: Iterable[Typed], book: Sequence[LimitRow]) -> tuple[Proposal, ...]:
    """Limits that stand in two entries or more for the same thing and vehicle, and not yet in the book.

    A spread between readings, a target without a tolerance and limits of a vehicle without a name are no rows.

    Args:
        typed: readings from the tickets, in the order of their typing.
        book: the rows that are there.
    """
    found: dict[_Key, list[Typed]] = {}
    for one in typed:
        key = _key(one)
        if key is not None:
            found.setdefault(key, []).append(one)
    known = {key for row in book for key in _keys_of(row)}
    made = (
        Proposal(_row(same), tuple(sorted({(one.ticket, one.entry) for one in same})))
        for key, same in found.items()
        if key not in known
    )
    return tuple(one for one in made if len(one.stands) >= ENOUGH and not any(True for _ in one.row.faults()))


def _key(one: Typed) -> _Key | None:
    """What makes two typed limits the same: thing, vehicle, and the bounds in the base unit of their dimension."""
    limits, unit, words = one.group.run.limits, one.group.run.unit, words_of(one.group.what)
    if limits is None or limits.spread or not words or not one.vehicle.strip():
        return None
    bracket = as_limits(limits, unit)
    known = find(unit)
    if known is None or bracket.problem or bracket.low is bracket.high is None:
        return None
    bounds = (None if end is None else end * known.factor + known.offset for end in (bracket.low, bracket.high))
    return (words, tuple(fold(one.vehicle).split()), known.dimension, *bounds)


def _keys_of(row: LimitRow) -> Iterable[_Key]:
    """The keys that a row of the book answers already."""
    unit = find(row.unit)
    bracket = as_limits(row.limits, row.unit)
    if unit is None:
        return
    bounds: list[Fraction | None] = [
        None if end is None else end * unit.factor + unit.offset for end in (bracket.low, bracket.high)
    ]
    for text in (row.thing, *row.also):
        yield (words_of(text), tuple(fold(row.vehicle).split()), unit.dimension, *bounds)


def _row(same: Sequence[Typed]) -> LimitRow:
    """The row of limits that were typed alike: in the words typed last, for the places that all of them share."""
    last = same[-1].group
    limits = last.run.limits
    assert limits is not None, "only readings with limits have a key"  # noqa: S101
    here = [set(" ".join(places(value.label)).split()) for one in same for value in one.group.run.values]
    shared = set.intersection(*here) if here else set()
    position = " ".join(word for word in " ".join(places(last.run.values[-1].label)).split() if word in shared)
    return LimitRow(
        thing=last.what,
        position=(position,) if position else (),
        vehicle=same[-1].vehicle,
        unit=limits.unit or last.run.unit,
        low=limits.low,
        high=limits.high,
        nominal=limits.nominal if limits.tol else "",
        tol=limits.tol,
        source=limits.source or "shop",
    )
