"""Numbers that a reading leaves over. Limits judge a reading only where every other number beside it is explained."""

import re
from collections.abc import Iterator

from ticket.job.entry import Remark
from ticket.job.values import Run
from ticket.notes.measures import Measure
from ticket.notes.series import COUNTED, NUMBERED, POSITIONS, Tokens
from ticket.notes.spans import Body
from ticket.readings.units import find

LEFT_OVER = "What does this number stand for? Limits judge a line only where each of its numbers is clear."
BEHIND_AT = "Which number is the reading, and which the condition? Write: at 700 rpm, 8 psi."
NO_FRACTION = "Are these two readings or a fraction of an inch? Name each position, such as: LF 6 RF 5 mm."
WHICH_SIDE = "Above or below the mark? Write the figure with its sign: -45 mm stands below it."
WITHDRAWN = frozenset({LEFT_OVER, BEHIND_AT, NO_FRACTION, WHICH_SIDE})
"""Questions for which a reading was taken back."""

# What may stand right in front of a figure that only says under which condition a reading was taken.
_CONDITIONS = frozenset("at after in with for during before under on over within from to until by".split())
# What a condition is measured in where it begins a comma part, as in "A/C on, 1500 rpm 12 psi".
_CIRCUMSTANCES = frozenset({"rotation", "temperature", "time", "speed"})
_DISTANCES = frozenset({"km", "mi"})
_NUMBERED = (
    NUMBERED | COUNTED | frozenset("no no. number axle wheel line station gear coil injector valve row bay".split())
)
_FIGURE = re.compile(r"\S*[0-9]\S*")
_PLACE = re.compile(r"#?[0-9]{1,2}(?:-[0-9]{1,2})?")
# P0171, M8 and B1 are names, and so are 1st, 5W-30, 4WD and 10-pin; a position or a unit glued to a figure is none.
_NAME = re.compile(r"([A-Za-z]{1,3})-?[0-9][0-9A-Za-z-]*|[0-9]+(?:st|nd|rd|th|WD|W-?[0-9]+)", re.A)
_SIZE = re.compile(r"[0-9]+-([A-Za-z]{2,})", re.A)
_AT = re.compile(r"@\s*[0-9.<>+\-]*[0-9]")
# "45 mm under min": the words say to which side of a mark the figure counts, and a bare figure would count upwards.
_BESIDE_MARK = re.compile(
    r"[\s,]*(?:\([^()]*\))?[\s,]*(?:under|below|over|above|beneath)\s+(?:the\s+|its\s+)?"
    r"(?:min|max|mark|full|add|line|fill|normal|level)",
    re.I,
)
_LEVELS = frozenset({"length", "volume"})
_PART_END = re.compile(r"[,;](?=\s|\Z)|[.](?=\s|\Z)")
_OPENS = re.compile(r"(?:\A|[,;])\s*\Z")
_FRACTION = re.compile(r"(?:[<>]?[+\-\u2212]?)(?:[0-9]+ )?([0-9]+)/([0-9]+)")
_PARTS_OF_AN_INCH = frozenset({2, 4, 8, 16, 32, 64})
# Less than one of these is written as a decimal, so "1/2 mm" may be two pads; "1 1/2 mm" can only be one figure.
_WHOLE_NUMBERS_OF = frozenset({"mm", "cm", "um", "m", "km", "thou", "32nds"})
_STRIP = ".,;:!?()"


def left_over(
    body: Body, tokens: Tokens, measures: list[Measure], found: tuple[int, int, Run], *, again: bool
) -> Remark | None:
    """The question about the first number that a reading leaves unexplained, or ``None`` where all is clear.

    Args:
        body: the piece the reading stands in.
        tokens: its words.
        measures: its figures with units.
        found: where the reading begins and ends, and the reading.
        again: the reading takes the limits of an earlier one, so it is judged without a bracket.
    """
    start, end, run = found
    marked = body.bare[start : start + 1] == "="
    if any(not _is_clear_fraction(text, "" if marked else run.unit) for text in _figures_of(run)):
        return Remark(NO_FRACTION, body.at + start, body.at + end)
    unit = find(run.unit)
    if unit is not None and unit.dimension in _LEVELS and _BESIDE_MARK.match(body.bare, end):
        return Remark(WHICH_SIDE, body.at + start, body.at + end)
    part = _PART_END.search(body.bare, end)
    stop = part.start() if part else len(body.bare)
    if at := _AT.search(body.bare, 0, stop):
        return Remark(BEHIND_AT, body.at + at.start(), body.at + at.end())
    if not again and run.limits is None:
        return None
    by_start = {tokens.starts[measure.token]: measure for measure in measures}
    for place, text in [*_figures(body.bare, 0, start), *_figures(body.bare, end, stop)]:
        if marked and place + len(text) == len(body.bare[:start].rstrip()) and _PLACE.fullmatch(text):
            continue  # "leak-down 3 = 62 %": the sign says which of both is the reading
        if not _explained(body.bare, place, text, by_start.get(place), run.unit):
            return Remark(LEFT_OVER, body.at + place, body.at + place + len(text))
    return None


def _figures(text: str, start: int, end: int) -> Iterator[tuple[int, str]]:
    for match in _FIGURE.finditer(text, start, end):
        word = match[0].lstrip("(").rstrip(_STRIP)
        yield match.end() - len(match[0].lstrip("(")), word


def _explained(text: str, place: int, word: str, measure: Measure | None, unit: str) -> bool:
    """Whether a figure is part of a name, a number of a thing, or a condition with a unit of its own."""
    before = text[max(0, place - 40) : place]
    last = before.rsplit(None, 1)[-1].casefold().strip("(") if before.strip() else ""
    name = _NAME.fullmatch(word)
    size = _SIZE.fullmatch(word)
    if (name and not _means(name[1] or "")) or (size and find(size[1]) is None):
        return True
    if measure is None:
        return _PLACE.fullmatch(word) is not None and (last in _NUMBERED or word.startswith("#"))
    own = find(unit)
    if own is not None and own.dimension == measure.dimension:
        return False
    if last in _CONDITIONS:
        return True
    known = measure.dimension in _CIRCUMSTANCES or measure.name in _DISTANCES
    return known and place > 0 and _OPENS.search(before) is not None


def _means(letters: str) -> bool:
    """Whether letters glued to a figure are a position, a word of limits or a unit: no name then."""
    return letters.casefold() in POSITIONS | {"min", "max"} or find(letters) is not None


def _figures_of(run: Run) -> list[str]:
    limits = run.limits
    bounds = (limits.low, limits.high, limits.nominal, limits.tol, limits.spread) if limits else ()
    return [*(value.number for value in run.values), *bounds]


def _is_clear_fraction(number: str, unit: str) -> bool:
    """Whether a figure holds no stroke, or is a proper part of an inch as rules are marked: n/2 to n/64."""
    if "/" not in number:
        return True
    match = _FRACTION.fullmatch(number)
    if match is None or len(match[1]) > 2 or len(match[2]) > 2:
        return False
    known = find(unit)
    inches = " " in number or known is None or known.name not in _WHOLE_NUMBERS_OF
    return inches and int(match[1]) < int(match[2]) and int(match[2]) in _PARTS_OF_AN_INCH
