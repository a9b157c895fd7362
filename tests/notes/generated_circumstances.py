"""Lines with readings and what says how they were taken, or what only looks like one more reading.

Written from the meaning of a line, never from what the reader knows: things, conditions, ratings and states are drawn
apart from each other, and some nouns are no words at all, since no list of nouns ends. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

THINGS = (
    ("oil pressure", "psi", 8, 70, 0), ("earth drop", "V", 0.1, 2.0, 2), ("starter draw", "A", 120, 420, 0),
    ("coil", "ohm", 0.4, 3, 1), ("disc runout", "mm", 0.02, 0.4, 2), ("vent air", "C", 4, 19, 0),
    ("pump flow", "L/min", 20, 90, 0), ("rail pressure", "bar", 150, 400, 0), ("sleep draw", "mA", 20, 900, 0),
)  # fmt: skip
"""A thing, its unit, the values it takes, and their decimals."""
_OTHER_SIDE = {"oil pressure": "rpm", "pump flow": "rpm", "coil": "C", "earth drop": "A"}
_NOUNS = ("pack", "gronk", "battery", "plinker", "motor", "blorp", "charger")
_HEATERS = ("lamps", "heaters", "plinkers", "blowers", "gronks")
_STATES = ("on", "off", "running", "unplugged", "applied")
_BAD = ("bad", "no good", "too much", "a fail")


@dataclass(frozen=True, slots=True)
class Told:
    """A line, the figures that were read, the words each must be under, and the figure that is no reading."""

    text: str
    read: tuple[str, ...]
    when: tuple[str, ...]
    other: str
    what: str


def circumstances(seed: int, count: int) -> Iterator[Told]:
    """So many lines, every way in turn."""
    random = Random(seed)
    for made in range(count):
        thing, unit, least, most, decimals = random.choice(THINGS)
        first, second = (f"{random.uniform(least, most) + 0.01:.{decimals}f}" for _ in range(2))
        gap = random.choice(("", " "))
        one, two = f"{thing} {first}{gap}{unit}", f"{second}{gap}{unit}"
        yield _WAYS[made % len(_WAYS)](random, one, two, first, second)


def _more(random: Random, one: str, _two: str, first: str, _second: str) -> Told:
    """Behind a condition with a figure stands another figure: more of the condition, or anything."""
    figure = str(random.choice((140, 155, 210)))
    text = f"{one} at {random.choice(('1800 rpm', '2100 rpm'))} {figure} kPa"
    return Told(text, (first,), (), figure, "more of a condition")


def _rated(random: Random, one: str, _two: str, first: str, _second: str) -> Told:
    figure = str(random.choice((36, 48, 80)))
    text = f"{figure} V {random.choice(_NOUNS)} {random.choice(('ok', 'good', 'fine'))}, {one}"
    return Told(text, (first,), (), figure, "rating")


def _open_end(random: Random, one: str, _two: str, first: str, _second: str) -> Told:
    figure = str(random.choice((951, 962, 973)))
    return Told(f"{one} on low, over {figure} is {random.choice(_BAD)}", (first,), (), figure, "open end")


def _slope(random: Random, one: str, _two: str, first: str, _second: str) -> Told:
    figure = str(random.choice((11, 13, 17)))
    text = f"{one} on a {figure} % {random.choice(('ramp', 'grade', 'slope', 'hill'))}"
    return Told(text, (first,), (), figure, "slope")


def _air(random: Random, one: str, two: str, first: str, second: str) -> Told:
    figure = str(random.choice((23, 27, 31)))
    air = random.choice((f"ambient {figure} C", f"{figure} C ambient", f"amb {figure} C"))
    text = f"left {one}, right {two}, {air}"
    return Told(text, (first, second), (figure, figure), figure, "air")


def _moments(random: Random, one: str, two: str, first: str, second: str) -> Told:
    comma = random.choice((", ", " "))
    return Told(f"{one} as found{comma}{two} as left", (first, second), ("as found", "as left"), "", "moments")


def _state(random: Random, one: str, _two: str, first: str, _second: str) -> Told:
    state = f"{random.choice(('all ', 'both ', ''))}{random.choice(_HEATERS)} {random.choice(_STATES)}"
    led = random.choice((", ", " with ", " w/ "))
    return Told(f"{one}{led}{state}", (first,), (state,), "", "state")


_WAYS = (_more, _rated, _open_end, _slope, _air, _moments, _state)
