"""A side and an end with a stroke between them: ``l/f``, ``nearside/r``, ``r/r``, and ``l/r``, which may be both sides.

Common practice, no source.
"""

from dataclasses import replace

from ticket.job.regex import Regex
from ticket.notes.finding.tokens import Line, Places, Token

_STROKE = Regex(r"p/p")
_SIDES: dict[str, Places] = {"l": (("side", "left"),), "r": (("side", "right"),)}
_ENDS: dict[str, Places] = {"f": (("end", "front"),), "r": (("end", "rear"),)}


def join_corners(line: Line) -> None:
    """Make one position of each where it can be nothing else; what may be two sides or one corner is asked about."""
    found = [match.start() for match in _STROKE.finditer(line.letters) if _are_glued(line, match.start())]
    sure = {at: corner for at in found if (corner := _corner(line.tokens[at], line.tokens[at + 2]))}
    for at in reversed(found):
        one, _, other = line.tokens[at : at + 3]
        corner = sure.get(at) or (_likely(one, other) if sure else ())
        if not sure and _values_in_a_row(line, at):
            continue  # "L/R 5/4": two sides, two values
        if corner:
            line.tokens[at : at + 3] = [replace(one, end=other.end, text=f"{one.text}/{other.text}", held=corner)]
        elif _likely(one, other):
            text = f"{one.text}/{other.text}"
            line.tokens[at : at + 3] = [replace(one, letter="?", end=other.end, text=text, held=None)]


def _are_glued(line: Line, at: int) -> bool:
    one, stroke, other = line.tokens[at : at + 3]
    return one.end == stroke.start and stroke.end == other.start


def _corner(one: Token, other: Token) -> Places:
    """The corner that two words name and no two sides or ends do."""
    sided = len(one.held) == 1 and one.held[0][0] == "side" and one.text not in _SIDES
    if sided and other.text in _ENDS:
        return (*one.held, *_ENDS[other.text])
    if (one.text, other.text) in (("l", "f"), ("r", "f"), ("r", "r")):
        return (*_SIDES[one.text], *_ENDS[other.text])
    return (*_SIDES["l"], *_ENDS["f"]) if (one.text, other.text) == ("f", "l") else ()


def _likely(one: Token, other: Token) -> Places:
    """The corner that two letters name where they are no two sides and no two ends."""
    if (one.text, other.text) == ("l", "r"):
        return (*_SIDES["l"], *_ENDS["r"])
    return (*_SIDES["r"], *_ENDS["f"]) if (one.text, other.text) == ("f", "r") else ()


def _values_in_a_row(line: Line, at: int) -> bool:
    """Behind it stand two figures with nothing but a joint between them, or none at all."""
    stop = next((i for i in range(at, len(line.tokens)) if line.tokens[i].letter in ",;"), len(line.tokens))
    figures = [i for i in range(at, stop) if line.tokens[i].letter == "q"]
    if len(figures) < len("qq"):
        return not figures
    return all(token.letter in "/j" for token in line.tokens[figures[0] + 1 : figures[1]])
