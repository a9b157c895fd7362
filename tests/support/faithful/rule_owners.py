"""F2, where an entry measured several things: a figure is told of the one it was read of, not of its neighbour."""

from collections.abc import Iterator

from support.faithful.figures import QUANTITY, scan
from support.faithful.finding import Finding
from support.faithful.grounds import Grounds, Reading
from support.faithful.tokens import Text
from ticket.readings.units import same

_Key = tuple[int, int]  # an entry, and the readings side by side on it


def owners(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Figures behind the name of another thing than the one they were read of."""
    several = {id(reading.entry) for reading in grounds.readings if reading.group}
    if not several:
        return
    own = _own_words(grounds)
    last = 0
    for figure in scan(text.raw, grounds.language):
        of = {_key(reading) for reading in grounds.readings if _holds(reading, figure.digits, figure.unit)}
        start, last = last, figure.end
        if figure.kind != QUANTITY or not of:
            continue
        named = [keys for word in text.words if start <= word.start < figure.start and (keys := own.get(word.stem))]
        if named and not named[-1] & of and any(entry in several for entry, _ in of):
            reason = f"{figure.text} was not read of that, but of something else on the same entry."
            yield Finding("F2", reason, figure.start, figure.end)


def _key(reading: Reading) -> _Key:
    return id(reading.entry), reading.group


def _holds(reading: Reading, digits: str, unit: str) -> bool:
    """Whether a figure is the reading or one of its limits."""
    return (digits in reading.digits or digits in reading.limits) and same(unit, reading.unit)


def _own_words(grounds: Grounds) -> dict[str, frozenset[_Key]]:
    """The words that name some of the things measured and not all of them."""
    stems: dict[_Key, set[str]] = {}
    for reading in grounds.readings:
        words = (
            word for one in grounds.both(reading.thing) for word in one.words if word.key not in grounds.language.empty
        )
        stems.setdefault(_key(reading), set()).update(word.stem for word in words)
    every = set().union(*stems.values())
    held = {stem: frozenset(key for key, known in stems.items() if stem in known) for stem in every}
    return {stem: keys for stem, keys in held.items() if len(keys) < len(stems)}
