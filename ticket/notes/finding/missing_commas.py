"""Where a comma was left out: a line is parted between a reading and what begins behind it."""

import re
from dataclasses import replace

from ticket.job.regex import Regex
from ticket.notes.finding.neighbours import at_place, is_any
from ticket.notes.finding.tokens import Line, Token
from ticket.notes.finding.under_conditions import VERBS_AT

_MARKS = "[,;(:]"


def part_at_dashes(line: Line) -> None:
    """``pads 3 mm - rotor 24.1``: a dash with blanks on both sides parts like a comma, but between two figures."""
    tokens = line.tokens
    for at, token in enumerate(tokens[:-1]):
        if token.letter != "-" or not at or not token.gap or not tokens[at + 1].gap:
            continue
        before, after = tokens[at - 1], tokens[at + 1]
        first = "q" not in re.split(_MARKS, line.letters[:at])[-1]
        if first and after.letter == "q" and re.split(_MARKS, line.letters[at + 1 :])[0].count("q") > 1:
            continue  # "battery rest - 7 % voltage 12.1 V": whether the first figure was read nobody can tell
        united = before.letter == "q" and not before.amount.bare and before.amount.shape != "32nds"
        mark = at_place(line, at + 2)
        joins = mark is not None and (mark.letter == "-" or mark.text in ("to", "thru"))
        spanned = joins and is_any(at_place(line, at + 3), "q")
        if before.letter not in "qp" or after.letter not in "qxp" or (after.letter == "q" and (united or spanned)):
            tokens[at] = replace(token, letter=",")  # "DEF 28.1 % - 31.8 to 33.2"


def part_at_and(line: Line) -> None:
    """``4.5 mils on the hood and 11 mils on the door``: between values of one unit with words, "and" is a comma."""
    tokens = line.tokens
    first: Token | None = None
    for at, token in enumerate(tokens):
        if token.letter in ",;()":
            first = None
        elif token.letter == "q" and first is None:
            first = token
        if token.letter == "j" and at > 1 and tokens[at - 2].text == "between":
            continue  # "80 psi between 40 and 160 psi"
        if token.letter == "j" and first is not None and _happens_at(tokens, at + 1):
            tokens[at] = replace(token, letter=",")
            first = None
        if token.letter != "j" or first is None or at + 1 >= len(tokens) or tokens[at + 1].letter != "q":
            continue
        before, after = tokens[at - 1], tokens[at + 1].amount
        if before.letter == "p" and at > 1 and tokens[at - 2].letter == "q" and not before.text[-1:].isdecimal():
            tokens[at] = replace(token, letter=",")  # "480 ppm upstream and 470 downstream"
            first = None
            continue
        same = not after.bare and not first.amount.bare and after.dimension == first.amount.dimension
        if same and before is not first and (before.letter != "q" or before.amount.dimension != after.dimension):
            tokens[at] = replace(token, letter=",")
            first = None


_SPAN_BEHIND = Regex(r"(?<=[vr]q)q(?=[,;]|\Z)")


def part_before_span(line: Line) -> None:
    """``315 mm was 370 300-330``: the range behind both ends of a change is what it should be."""
    for match in reversed(list(_SPAN_BEHIND.finditer(line.letters))):
        span, value = line.tokens[match.start()], line.tokens[match.start() - 1]
        if (
            span.amount.to
            and not value.amount.to
            and any(one.letter == "q" for one in line.tokens[: match.start() - 2])
        ):
            line.tokens.insert(match.start(), Token(",", span.start, span.start, ",", None, gap=False))


_NEXT_PLACE = Regex(r"(?<=qpqp)(?=p[ew]?q)")


def part_before_place(line: Line) -> None:
    """``LH 4 mm inner 6 outer RH both 7``: behind places of one direction the next corner begins."""
    for match in reversed(list(_NEXT_PLACE.finditer(line.letters))):
        one, last, corner = (line.tokens[match.start() + step] for step in (-3, -1, 0))
        ways = [{way for way, _ in token.held} for token in (one, last, corner)]
        if ways[0] == ways[1] == {"depth"} and not ways[2] & ways[0]:
            line.tokens.insert(match.start(), Token(",", corner.start, corner.start, ",", None, gap=False))


_REST_BEHIND = Regex(r"(?<=qp)e(?=[@iw]?q)")


def part_before_rest(line: Line) -> None:
    """``62 mL/min cyl 4 others 20-25``: with its place behind it, a value ends in front of the others."""
    for match in reversed(list(_REST_BEHIND.finditer(line.letters))):
        token = line.tokens[match.start()]
        if token.text not in ("all", "both"):
            line.tokens.insert(match.start(), Token(",", token.start, token.start, ",", None, gap=False))


_PLACED = Regex(r"(?:\A|(?<=[,;]))w*(?:qp){2,24}(?=w[wcn]{0,4}q)")


def part_behind_places(line: Line) -> None:
    """``pads 3 mm lf 4 rf rotors 24.1``: behind a list whose places stand behind its values another thing begins."""
    for match in reversed(list(_PLACED.finditer(line.letters))):
        end = line.tokens[match.end() - 1].end
        line.tokens.insert(match.end(), Token(",", end, end, ","))


def _happens_at(tokens: list[Token], at: int) -> bool:
    """``comes in at 98 C and drops out at 91``: behind the "and" something else happens at a value of its own."""
    stop = next((i for i in range(at, min(at + 4, len(tokens))) if tokens[i].letter == "@"), 0)
    words = {word for token in tokens[at:stop] for word in re.split("[ -]", token.text)}
    return bool(words & (VERBS_AT | _SWITCHED)) and stop + 1 < len(tokens) and tokens[stop + 1].letter == "q"


_SWITCHED = frozenset("drops pulls comes kicks back in out on off".split())


def drop_commas(line: Line) -> None:
    """``70 mm, max, 50``: a comma between the word of a limit and its figure parts nothing."""
    tokens = line.tokens
    led = [
        at for at in range(2, len(tokens) - 1)
        if tokens[at].letter == "," and tokens[at - 1].text in _BOUNDS and tokens[at - 2].letter != "q"
        and tokens[at + 1].letter == "q"
    ]  # fmt: skip
    for at in reversed(led):
        del tokens[at]


_BOUNDS = frozenset("max maximum min minimum limit spec".split())
