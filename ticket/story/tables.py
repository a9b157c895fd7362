"""Readings that belong together: those that differ only in side, position or cylinder, with one unit and limits."""

from dataclasses import dataclass

from ticket.story.readings import Reading
from ticket.story.words.tag import SIDES

PLACES = SIDES | frozenset("inner outer upper lower driver passenger side first second third fourth".split())
"""Words of a name that tell a position."""


@dataclass(frozen=True, slots=True)
class Table:
    """Two readings or more of one kind of thing, in the order they were typed."""

    rows: tuple[Reading, ...]


def _key(reading: Reading) -> tuple[object, ...] | None:
    if reading.thing is None:
        return None
    words = [word for word in reading.thing.bare.split() if word not in PLACES and not word.isdigit()]
    numbered = any(word.isdigit() for word in reading.thing.bare.split())
    if not reading.place and (numbered or words == reading.thing.bare.split()):
        return None
    limits = reading.limits
    shape = (limits.low, limits.high, limits.nominal, limits.tol, limits.spread) if limits else ()
    bare = reading.entry.no if reading.counted and not reading.label else 0
    return reading.quantity, bare, " ".join(words), reading.unit, shape, reading.thing.conditions, reading.entry.concern


def tables(readings: list[Reading]) -> list[Table | Reading]:
    """Readings grouped into tables, each standing where its first reading was typed."""
    groups: dict[tuple[object, ...], list[Reading]] = {}
    for reading in readings:
        key = _key(reading)
        if key is not None:
            groups.setdefault(key, []).append(reading)
    out: list[Table | Reading] = []
    done: set[int] = set()
    for reading in readings:
        key = _key(reading)
        rows = groups.get(key, []) if key is not None else []
        if len(rows) < 2 or len({(row.thing.name, row.place) for row in rows if row.thing}) < len(rows):
            out.append(reading)
        elif id(rows) not in done:
            done.add(id(rows))
            out.append(Table(tuple(rows)))
    return out
