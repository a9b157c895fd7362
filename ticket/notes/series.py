"""The values of a run, read backwards from its unit: labelled by position, counted, or one alone."""

import re
from dataclasses import dataclass, field
from itertools import pairwise

from ticket.job.numbers import NUMBER, SIGNED
from ticket.job.values import Value
from ticket.notes.shapes import LONGEST_NUMBER

MOST = 16
"""Most values of one run."""

WORDS = frozenset({"ol", "none", "metal"})
"""Words that are readings: an open circuit, nothing there, no lining left."""

POSITIONS = frozenset(
    "lf rf lr rr fl fr rl lh rh l r left right front rear inner outer upper lower top bottom center centre middle"
    .split()
)  # fmt: skip
_SIDES = ({"l", "left", "lh"}, {"r", "right", "rh"})
COUNTED = frozenset({"cyl", "cyls", "cylinder", "cylinders"})
NUMBERED = frozenset(
    "pin pins terminal cavity fuse relay port channel cell block socket circuit sensor bank connector plug".split()
)
"""Things that have a number of their own, as in ``pin 2``; two figures behind them are that number and a reading."""

_TOKEN = re.compile(r"(?:[^\s,;()]|,(?=[0-9]))+|[,;()]")
_NUMBER = re.compile(rf"[<>]?{SIGNED}")
_WHOLE = re.compile(r"[<>]?[+\-\u2212]?[0-9]+")
_FRACTION = re.compile(r"[0-9]+/[0-9]+")
_PLACE = re.compile(r"[1-9]|1[0-6]")
_GLUED = re.compile(rf"([<>]?[+\-\u2212]?{NUMBER})(?=[^0-9])")


@dataclass(slots=True)
class Tokens:
    """The words of a text with their places; commas, semicolons and brackets stand alone."""

    texts: list[str] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    ends: list[int] = field(default_factory=list)

    @classmethod
    def of(cls, text: str) -> "Tokens":
        """All tokens of a text."""
        made = cls()
        for match in _TOKEN.finditer(text):
            made.texts.append(match[0])
            made.starts.append(match.start())
            made.ends.append(match.end())
        return made


@dataclass(frozen=True, slots=True)
class Series:
    """Values that stand together.

    Attributes:
        first: index of the first token, a label included.
        values: the values in the order typed.
        doubt: a question where the figures may mean two things; no reading is then made of them.
    """

    first: int
    values: tuple[Value, ...]
    doubt: str = ""


def value_start(token: str) -> int:
    """Length of the figure or word a token begins with, or 0: 4 for ``-1.5V``, 2 for ``OL``."""
    if token[0] in "0123456789+-\u2212<>.":
        if len(token) <= LONGEST_NUMBER and _NUMBER.fullmatch(token):
            return len(token)
        match = _GLUED.match(token[: LONGEST_NUMBER + 1])
        return match.end() if match else 0
    return len(token) if token.casefold() in WORDS else 0


def is_value(token: str) -> bool:
    """True where the whole token is one value."""
    return value_start(token) == len(token)


def is_part(token: str) -> bool:
    """True where the token may stand inside a series: a value, a position, a counting word, a comma."""
    bare = token.rstrip(":").casefold()
    return token == "," or bare in POSITIONS or bare in COUNTED or is_value(bare or token)


def back(tokens: Tokens, last: int, floor: int = 0, *, explicit: bool = False) -> Series | None:
    """The longest series that ends with token ``last``.

    Args:
        tokens: the text.
        last: index of the last value.
        floor: no token before this one is looked at.
        explicit: the typist marked the start, so two bare figures are two readings.
    """
    value = _value(tokens, last, floor)
    if value is None:
        return None
    if _label(tokens, value[1] - 1, floor):
        return _labelled(tokens, last, floor, explicit=explicit)
    return _unlabelled(tokens, value, floor, explicit=explicit)


def _value(tokens: Tokens, at: int, floor: int) -> tuple[str, int] | None:
    """The value whose last token is ``at``: as typed, and the index of its first token."""
    if at < floor or not is_value(tokens.texts[at]):
        return None
    text = tokens.texts[at]
    if at > floor and _FRACTION.fullmatch(text) and _WHOLE.fullmatch(tokens.texts[at - 1]):
        return f"{tokens.texts[at - 1]} {text}", at - 1
    return text, at


def _label(tokens: Tokens, at: int, floor: int) -> tuple[str, int] | None:
    """The position whose last token is ``at``: ``LF inner``, ``cyl 3``."""
    if at < floor:
        return None
    last = tokens.texts[at].removesuffix(":")
    if at > floor and _PLACE.fullmatch(last) and tokens.texts[at - 1].casefold() in COUNTED:
        return f"{tokens.texts[at - 1]} {last}", at - 1
    first, words = at, list[str]()
    word = last
    while len(words) < 3 and word.casefold() in POSITIONS:
        words.insert(0, word)
        first -= 1
        if first < floor:
            break
        word = tokens.texts[first]
    return (" ".join(words), first + 1) if words else None


def _labelled(tokens: Tokens, last: int, floor: int, *, explicit: bool) -> Series:
    pairs: list[Value] = []
    first = at = last
    starts = []
    while len(pairs) <= MOST:
        value = _value(tokens, at, floor)
        label = _label(tokens, value[1] - 1, floor) if value else None
        if value is None or label is None:
            break
        pairs.insert(0, Value(value[0], label[0]))
        starts.append(value[1])
        first, at = label[1], label[1] - 1
        if at > floor and tokens.texts[at] == ",":
            at -= 1
    if len(pairs) > MOST:
        return Series(first, (), _TOO_MANY)
    if len(pairs) == 1 and not explicit and any(pairs[0].label.casefold() in side for side in _SIDES):
        return Series(starts[0], (Value(pairs[0].number),))  # "left" alone may be what is left over
    return Series(first, tuple(pairs))


_TOO_MANY = f"These are more than {MOST} figures; which of them are readings?"


def _unlabelled(tokens: Tokens, value: tuple[str, int], floor: int, *, explicit: bool) -> Series:
    numbers, first = [value[0]], value[1]
    comma: bool | None = None
    while len(numbers) <= MOST:
        separated = first - 1 >= floor and tokens.texts[first - 1] == ","
        before = _value(tokens, first - 1 - separated, floor)
        if before is None or (comma is not None and comma != separated):
            break
        comma = separated
        numbers.insert(0, before[0])
        first = before[1]
    if len(numbers) > MOST:
        return Series(first, (), _TOO_MANY)
    counted = first > floor and tokens.texts[first - 1].removesuffix(":").casefold() in COUNTED
    named = first > floor and tokens.texts[first - 1].casefold() in NUMBERED
    word = tokens.texts[first - 1] if counted else ""
    return _judged(numbers, first, word, bool(comma), explicit, value, named=named)


def _judged(
    numbers: list[str], first: int, counted: str, comma: bool, explicit: bool, last: tuple[str, int], *, named: bool
) -> Series:
    """Whether bare figures are a list: three or more counted ones are, two may be a position and a reading."""
    if len(numbers) == 1 or (len(numbers) == 2 and comma and not explicit):
        return Series(last[1], (Value(last[0]),))
    if _places_between(numbers) and not explicit:
        return Series(
            first, (), f"Are {' '.join(numbers[::2])} readings or places? Name each place, such as: cyl 1 120."
        )
    if counted and len(numbers) > 2:
        word = counted.removesuffix(":")
        one = word[:-1] if word.casefold() in ("cyls", "cylinders") else word
        return Series(first - 1, tuple(Value(number, f"{one} {i}") for i, number in enumerate(numbers, 1)))
    if len(numbers) == 2 and named and not explicit and _WHOLE.fullmatch(numbers[0]):
        return Series(last[1], (Value(last[0]),))  # "pin 2 8.3 V": the first figure belongs to the name
    places = [str(i) for i in range(1, len(numbers))]
    if not explicit and len(numbers) > 2 and numbers[:-1] == places:
        return Series(first, (), f"Are {' '.join(places)} readings or places? Put = in front, or name each place.")
    if explicit or (len(numbers) > 2 and not comma):
        return Series(first, tuple(Value(number) for number in numbers))
    listed = " and ".join(numbers[-2:])
    return Series(first, (), f"Which of {listed} is the reading? Put = in front of it, or name each position.")


def _places_between(numbers: list[str]) -> bool:
    """Whether every other figure counts on from the one before, as in ``1 120 2 125 3 60``: then it may be a place."""
    places = numbers[::2]
    if len(numbers) < 4 or len(numbers) % 2 or not all(_PLACE.fullmatch(place) for place in places):
        return False
    return all(int(b) == int(a) + 1 for a, b in pairwise(places))


def write_values(values: tuple[Value, ...], *, plainly: bool) -> str:
    """Values as a series; ``plainly`` leaves nothing to the counting of figures."""
    if not any(value.label for value in values):
        return (", " if plainly else " ").join(value.number for value in values)
    if not plainly and is_counted(values):
        return f"{values[0].label.rpartition(' ')[0]} " + " ".join(value.number for value in values)
    colon = ":" if plainly else ""
    glue = ", " if plainly or any(" " in value.label for value in values) else " "
    return glue.join(f"{value.label}{colon} {value.number}" for value in values)


def is_counted(values: tuple[Value, ...]) -> bool:
    """True for three or more values labelled ``cyl 1``, ``cyl 2``, ``cyl 3`` and so on."""
    word = values[0].label.rpartition(" ")[0]
    counted = len(values) > 2 and word.casefold() in COUNTED
    return counted and all(value.label == f"{word} {i}" for i, value in enumerate(values, 1))
