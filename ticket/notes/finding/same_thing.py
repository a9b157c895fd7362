"""What two readings have in common: the thing they are of, the words that speak of one, and how each was taken."""

import re

from ticket.job.regex import Regex
from ticket.notes.finding.part_words import COLOURS, DOINGS
from ticket.notes.finding.stated import Reading

LIKE_PLACES = frozenset(
    [
        *"shuts opening closing forward reverse primary secondary pri sec u v w opens closes extend retract "
        "a b c d raise lower steer steers drive drives trailer trailers tag spare others "
        "other rest remaining axle front rear pusher lift".split(),
        "the rest",
        "other one",
        "other two",
        "other three",
        "the others",
        "all others",
    ]
)
"""Words that say which of several like things a reading is of."""


def subject_of(reading: Reading) -> tuple[str, ...]:
    """The words of the thing alone, without those that say which of several, or what it did."""
    like = LIKE_PLACES | COLOURS | {"both", "all"}
    # "battery 12.5 V, charging 14.2 V": what charges it is told by its condition
    named = [token for token in reading.name if token.letter != "C"] or list(reading.name)
    kept = [token.text for token in named if token.letter not in "ne@" and token.text not in like]
    # "drags down to 8.9", "battery rested": what it did names no other thing
    done = DOINGS - SWITCHES
    return tuple(word for word in kept if not set(word.replace("-", " ").split(" ")) <= done) or tuple(kept)


def speaks_of(reading: Reading, own: tuple[str, ...]) -> bool:
    """Whether a word that stands with limits is of the name, a condition or the place of a reading."""
    words = {token.text for token in reading.subject}
    words |= {word for condition in reading.when for word in condition.text.casefold().split()}
    words |= {word for _, place in reading.places for word in place.split()}
    words |= {word.removesuffix("s") for word in words}  # "the 5 volt lines" speak of each line
    return any(
        word in words
        or word.removesuffix("s") in words
        or word.replace("-", " ") in " ".join(words)
        or any(_shortens(word, one) for one in words)
        for word in own
    )


def _shortens(word: str, other: str) -> bool:
    """``suct``, ``disch``, ``comp``: the first letters of a word stand for it, whichever of the two is short."""
    short, long = sorted((word, other), key=len)
    return len(short) >= _SHORTEST and short.isalpha() and long.startswith(short)


_SHORTEST = 4  # letters


_RESTING = (
    "rest",
    "ocv",
    "static",
    "open circuit",
    "key off",
    "engine off",
    "eng off",
    "ign off",
    "no load",
    "unloaded",
)


def cranks_apart(reading: Reading, nearest: Reading) -> bool:
    """One was taken cranking or at rest, the other not: a limit for the one says nothing of the other."""
    # a battery under another load is another question, whatever the words for it; at another speed it is not
    loaded = nearest.amount.dimension == "voltage" and when_of(reading) != when_of(nearest) and _is_battery(nearest)
    loaded = loaded and not all(_of_speed(one) for one in (reading, nearest))
    return loaded or rests_apart(reading, nearest)


def _is_battery(reading: Reading) -> bool:
    """A battery, or a voltage of nothing that is named."""
    words = [token.text for token in reading.name if token.letter == "w"]
    return not words or any(word.startswith(("batt", "cell", "crank", "bat")) for word in words)


def rests_apart(reading: Reading, nearest: Reading) -> bool:
    """One was taken while cranking, or of a battery at rest, and the other was not."""
    cranked = ["crank" in " ".join(when_of(one)) for one in (reading, nearest)]
    rested = [
        _is_battery(one) and any(word in " ".join(when_of(one)) for word in _RESTING) for one in (reading, nearest)
    ]
    return cranked[0] != cranked[1] or rested[0] != rested[1]


_OF_SPEED = Regex(r"(?:at|@|hot|cold|warm|idle|high|low|fast|now|then|was|before|after|rpm|[0-9.,k]+|\s|,)*", re.I)


def _of_speed(reading: Reading) -> bool:
    """Its conditions say how fast the engine ran or how warm it was, and nothing of a load."""
    return bool(reading.when) and all(_OF_SPEED.fullmatch(text) for text in when_of(reading))


def when_of(reading: Reading) -> tuple[str, ...]:
    """The conditions of a reading as typed."""
    return tuple(condition.text for condition in reading.when)


SWITCHES = frozenset("opens closes opening closing open close cuts kicks cut-in cut-out cut in out on off".split())
