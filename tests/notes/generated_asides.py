"""Lines with a reading and a further figure: one that only sizes, sets, allows, wishes or places, or a second reading.

Written from the meaning of a line, never from what the reader knows: things, places, sizes and verbs are drawn apart
from each other, and some verbs are no words at all, since no list of verbs ends. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

THINGS = (
    ("disc runout", "mm", 0.02, 0.4, 2), ("ball joint play", "mm", 0.5, 4, 1), ("chain sag", "mm", 20, 60, 0),
    ("brake pad", "mm", 2, 12, 0), ("bush wear", "mm", 1, 6, 1), ("rail pressure", "bar", 150, 400, 0),
    ("oil pressure", "psi", 8, 70, 0), ("cylinder bore taper", "in", 0.001, 0.02, 3),
    ("tie rod play", "in", 0.1, 0.5, 1),
    ("starter draw", "A", 120, 420, 0), ("earth drop", "V", 0.1, 2.0, 2), ("coil", "ohm", 0.4, 3, 1),
    ("vent air", "C", 4, 19, 0), ("gearbox oil", "F", 150, 260, 0), ("sleep draw", "mA", 20, 900, 0),
    ("axle nut", "Nm", 40, 300, 0), ("lift ram drift", "mm", 2, 40, 0), ("belt slack", "in", 0.2, 1.5, 1),
)  # fmt: skip
"""A thing, its unit, the values it takes, and their decimals."""
NO_READINGS = {
    "place": (" taken {n} mm from the {edge}", " measured {n} in in from the {edge}", ", {n} mm up from the {edge}"),
    "allowed": (", allow {n}", ", allow up to {n}{u}", ", they tolerate {n}", ", we put up with {n}{u}", ", {odd} {n}"),
    "wished": (", {n} is plenty", ", {n} is nearer the mark", ", {n}{u} would do", ", {n} is enough", ", {n} ok"),
    "set": (", machine to {n}", ", bring it to {n}", ", dial in {n}{u}", ", {odd} it to {n}{u}"),
    "sized": (" on a {n} mm {noun}", " in the {n} mm {noun}", ", no {noun} over {n}{u}", ", never over {n}{u}"),
    "switched": (", {odd}s at {n}", ", {odd} at {n}{u}", ", {odd}ed {n}{u}"),
}
READINGS = {
    "place": (", {place} {n}{u}", ", {place} {n}", " and {place} {n}{u}"),
    "moment": (", now {n}{u}", ", {n}{u} after cleaning", ", after adjusting {n}{u}"),
    "thing": (", {noun} {n}{u}", ", {noun} reads {n}{u}"),
    "condition": (", {n}{u} hot", ", hot {n}{u}", ", {n}{u} with lights on"),
    "behind": (" and {n}{u} {place}", ", {n}{u} {place}"),
}
_EDGES = ("edge", "rim", "shoulder", "bolt line", "weld", "flange face")
_NOUNS = ("spindle", "hinge", "roller", "bracket", "shackle", "spacer", "pulley", "housing")
_PLACES = {"right": "right", "RH": "right", "RR": "right rear", "R": "right"}
_ODD = ("gronk", "blorp", "trundle", "fettle", "scrobble", "plink")
"""Verbs nobody lists: two of them are real ones of one county."""


@dataclass(frozen=True, slots=True)
class Aside:
    """A line, its two figures as typed, what the second is, whether it was read as well, and where each was."""

    text: str
    first: str
    second: str
    what: str
    read: bool
    places: tuple[str, str] = ("", "")


def asides(seed: int, count: int) -> Iterator[Aside]:
    """So many lines, half of them with a second reading."""
    random = Random(seed)
    made = 0
    while made < count:
        read = random.random() < 0.5
        table = READINGS if read else NO_READINGS
        what = random.choice(sorted(table))
        thing, unit, least, most, decimals = random.choice(THINGS)
        first, second = (f"{random.uniform(least, most):.{decimals}f}" for _ in range(2))
        shape = random.choice(table[what])
        gap = random.choice(("", " ")) if unit in ("mm", "V", "A", "psi") else " "
        sided = what in ("place", "behind")
        there = random.choice(sorted(_PLACES))
        lead, behind = ("", " left") if what == "behind" else ("left " if sided else random.choice(("left ", "")), "")
        tail = shape.format(
            n=second, u=gap + unit, edge=random.choice(_EDGES), noun=random.choice(_NOUNS), odd=random.choice(_ODD),
            place=there,
        )  # fmt: skip
        if float(first) == float(second) or float(second) == 0:
            continue
        made += 1
        places = ("left", _PLACES[there]) if read and sided else ("", "")
        yield Aside(f"{lead}{thing} {first}{gap}{unit}{behind}{tail}", first, second, what, read, places)
