"""Figures that say how a thing was read: how warm a fluid was, on which step it ran, and how fast an engine idled."""

import itertools
import re
from dataclasses import replace
from fractions import Fraction

from ticket.job.regex import Regex
from ticket.notes.finding.lexicon import is_noun
from ticket.notes.finding.part_words import DOINGS
from ticket.notes.finding.tokens import Amount, GivenLimits, Line, Token

FLUIDS = frozenset(
    "oil coolant water fluid fuel atf engine eng air amb outside gearbox trans tank tyre tire hyd hydraulic battery"
    " shed garage workshop yard bay day morning electrolyte".split()
)
SLOWEST = 400
"""An engine idles at no fewer turns a minute: a bare number from here on may be its speed."""
_BRACKETED = Regex(r"\([wnp]{0,3}q[wc]?\)")
_STEP = Regex(r"(?<=q)w[Pkw]q(?=[,;)]|\Z)")
_MOST_STEPS = 9
_IDLING = Regex(r"[wc]{0,2}cq(?=[,;(LsdlhC]|\Z)")
_WARM_BEHIND = Regex(r"Cw(?=[,;)L]|\Z)")
_AROUND = Regex(r"(?<=[,;])(?:q[kP]?w?[cpw]|[wpc]q)(?=[,;()Llhs]|\Z)|(?<=[qcC])q[cpw](?=[,;()Llhs]|\Z)")
_AIR = frozenset("outside outdoors oat ambient shop workshop garage shed barn hangar yard bay shade sun day".split())
"""Where the air is as warm as the figure beside it says."""
_THE_AIR = frozenset({"outside", "outdoors", "oat", "ambient", "amb"})


def find_circumstances(line: Line) -> None:
    """Make conditions of them, before limits and readings are looked for."""
    _find_waits(line)
    _find_least(line)
    _replace(line, _BRACKETED, _bracketed)
    for slope in _SLOPE:
        _replace(line, slope, _is_slope)
    _replace(line, _SPEED_AHEAD, _is_speed_ahead)
    _replace(line, _STEP, _on_a_step)
    _replace_setting(line)
    _replace_gear(line)
    _replace(line, _ON_A_DAY, _on_a_day)
    _replace(line, _AROUND, _outside)
    _replace(line, _INSTRUMENT, _is_instrument)
    _read_idle(line)


_SWITCHED_TOO = Regex(r"(?<=[qcC,;])w[jw]c")


def join_switched(line: Line) -> None:
    """``13.2 V idle lights and blower on``: two things that one state is said of are one condition."""
    for match in reversed(list(_SWITCHED_TOO.finditer(line.letters))):
        thing, joined, state = line.tokens[match.start() : match.end()]
        switched = state.text.endswith((" on", " off"))
        if switched and joined.text in ("and", "n", "&", "+") and is_noun(thing.text.removesuffix("s")):
            text = line.said(thing.start, state.end)
            line.tokens[match.start() : match.end()] = [replace(state, start=thing.start, text=text, gap=thing.gap)]


_ALONE = Regex(r"(?:\A|(?<=[,;(]))ql(?=[,;)]|\Z)")
_TESTED = frozenset(
    "test tested held holds hold holding soak soaked soaking leak leaks drip drips vac vacuum ran run running idled"
    " charged pumped pressurised pressurized steady".split()
)
_ROUND = 5  # minutes that somebody waits are counted in fives
_LONGEST = 60  # minutes that somebody lets a thing run at one speed
_FAR = 3


def _find_waits(line: Line) -> None:
    """``pump test 150 psi, 20 min, no leaks``: so long, and no least value; which it is, is asked where both may be.

    A least value lies near what was read, and stands on no line that tells of a test that lasts.
    """
    for match in reversed(list(_ALONE.finditer(line.letters))):
        number, word = line.tokens[match.start() : match.end()]
        amount = number.amount
        waited = word.text.rstrip(".") in ("min", "mins") and amount.bare and amount.shape == "whole"
        if not waited or not amount.value or (amount.value % _ROUND and not _is_driven(line, match.start())):
            continue
        read = [one.amount for one in line.tokens[: match.start()] if one.letter == "q" and not one.amount.bare]
        values = [abs(one.value) for one in read if one.value and one.dimension not in ("rotation", "time", "speed")]
        near = any(amount.value / _FAR <= value <= amount.value * _FAR for value in values)
        if values and not near:
            held = number.with_amount(unit="min", dimension="time", bare=False)
            text = line.said(number.start, word.end)
            line.tokens[match.start() : match.end()] = [Token("C", number.start, word.end, text, (held,), number.gap)]
        elif values and (
            _is_bracketed(line, match)
            or any(token.text in _TESTED for token in line.tokens)
            or (amount.value <= _LONGEST and _is_driven(line, match.start()))
        ):
            line.tokens[match.start() : match.end()] = [replace(number, letter="x", end=word.end, held=None)]


def _is_driven(line: Line, at: int) -> bool:
    """``14 L/min at 2000, 12 min``: read at a speed or under a load, so that it may have run for so long."""
    begun = max((i for i in range(at) if line.letters[i] == ";"), default=-1) + 1
    number, word = line.tokens[at : at + 2]
    led = at - begun > 1 and line.letters[at - 1] == "," and word.start - number.end <= 1  # not "24 is min"
    figures = [
        number.amount
        for mark, number in itertools.pairwise(line.tokens[begun:at])
        if (mark.letter in "@k" and number.letter == "q")
    ]
    figures += [
        one.amount
        for token in line.tokens[begun:at]
        if token.letter == "C"
        for one in token.held or ()
        if one.letter == "q"
    ]
    return led and any(_drives(one) for one in figures)


def _drives(amount: Amount) -> bool:
    turns = amount.bare and (amount.value or 0) >= SLOWEST
    return turns or amount.dimension in ("rotation", "speed", "mass", "pressure")


def _is_bracketed(line: Line, match: re.Match[str]) -> bool:
    """``11.9 V (30 min) on charger``: a least value or so many minutes; nobody can tell."""
    return line.letters[match.start() - 1 : match.start()] == "("


_UNLED = Regex(r"(?<=[qpcCwe])q(?=[,;]|\Z)")


def _find_least(line: Line) -> None:
    """``pads 5 mm inner 4 outer 3 min``: near what was read, with no word of waiting, a least value and no minutes."""
    for match in reversed(list(_UNLED.finditer(line.letters))):
        number, before = line.tokens[match.start()], line.tokens[match.start() - 1]
        amount = number.amount
        minutes = amount.unit.casefold() == "min" and not amount.to and not amount.than and amount.value
        led = before.letter == "w" and (before.text not in _SIDES and before.text != "both")
        if not minutes or led or any(token.text in _TESTED for token in line.tokens):
            continue
        read = [one.amount for one in line.tokens[: match.start()] if one.letter == "q" and one.amount.value]
        read = [one for one in read if one.dimension not in ("time", "rotation", "speed", "temperature")]
        near = [one for one in read if minutes / _FAR <= abs(one.value or minutes * 9) <= minutes * _FAR]
        if not near:
            continue
        fine = amount.shape == "decimal" or {one.dimension for one in near} <= {"length", ""}
        least = replace(amount, unit="", dimension="", bare=True)
        held = GivenLimits(low=least) if fine else None
        line.tokens[match.start()] = replace(number, letter="L" if fine else "x", held=held)


_SIDES = frozenset("inner outer inside outside left right front rear".split())
_FROM = Regex(r"(?<=C)Pq(?=[,;)]|\Z)")


def find_starts(line: Line) -> None:
    """``lost 7 psi in 15 s from 30``: where it fell from."""
    for match in reversed(list(_FROM.finditer(line.letters))):
        word, number = line.tokens[match.start() : match.end()]
        before = [one.amount for one in line.tokens[: match.start()] if one.letter == "q"]
        alike = before and (number.amount.bare or number.amount.dimension == before[-1].dimension)
        if word.text == "from" and alike and (number.amount.value or 0) > (before[-1].value or 0):
            text = line.said(word.start, number.end)
            line.tokens[match.start() : match.end()] = [Token("C", word.start, number.end, text, (number,))]


def _replace(line: Line, pattern: Regex, holds: "object") -> None:
    for match in reversed(list(pattern.finditer(line.letters))):
        tokens = line.tokens[match.start() : match.end()]
        if not holds(line, match.start(), tokens):  # type: ignore[operator]
            continue
        inner = [token for token in tokens if token.letter not in "()"]
        amount = next(token for token in inner if token.letter == "q")
        start, end = inner[0].start, inner[-1].end
        made = Token("C", start, end, line.said(start, end), (amount,), tokens[0].gap)
        line.tokens[match.start() : match.end()] = [made]


_SLOPE = (Regex(r"(?<=[wqc])[wPk@]qw"), Regex(r"(?<=[wcP@k])qw"))
_SLOPES = frozenset("ramp grade slope hill incline gradient".split())
_SPEED_AHEAD = Regex(r"(?:\A|(?<=[,;]))q(?=[wp]{1,4}q)")


def _is_slope(_line: Line, _at: int, tokens: list[Token]) -> bool:
    """``holds 15 % ramp``, ``creeps on a 6 deg slope``: how steep it was where a thing was tried."""
    *led, number, slope = tokens
    steep = number.amount.unit == "%" or number.amount.dimension == "angle"
    return steep and slope.text in _SLOPES and all(one.text in ("on", "up", "at", "down") for one in led)


def _is_speed_ahead(line: Line, at: int, tokens: list[Token]) -> bool:
    """``1500 rpm hi 365 lo 52 psi``: the engine ran so fast while what stands behind was read."""
    if tokens[0].amount.dimension != "rotation" or tokens[0].amount.to or tokens[0].amount.than:
        return False
    stop = next((i for i in range(at, len(line.tokens)) if line.tokens[i].letter in ",;"), len(line.tokens))
    behind = [one.amount.dimension for one in line.tokens[at + 1 : stop] if one.letter == "q"]
    return "rotation" not in behind


_SETTING = Regex(r"(?<=q)[Pkw@]w[nq](?=[,;)]|\Z)")
_SETTINGS = frozenset("speed gear step stage setting notch mode".split())


def _replace_setting(line: Line) -> None:
    """``6.8 A on speed 1``: which of its settings a thing ran at."""
    for match in reversed(list(_SETTING.finditer(line.letters))):
        word, setting, number = line.tokens[match.start() : match.end()]
        if word.text in ("on", "in", "at") and setting.text in _SETTINGS and number.text.isdecimal():
            text = line.said(word.start, number.end)
            line.tokens[match.start() : match.end()] = [Token("C", word.start, number.end, text, (), word.gap)]


_IN_GEAR = Regex(r"(?<=[qcC])[Pkw@]?nw")
_ORDINAL = Regex(r"[1-9][0-9]?(?:st|nd|rd|th)", re.I)


def _replace_gear(line: Line) -> None:
    """``0.6 bar at 3000 rpm 3rd gear``: in which gear something was read."""
    for match in reversed(list(_IN_GEAR.finditer(line.letters))):
        *led, ordinal, word = line.tokens[match.start() : match.end()]
        if word.text == "gear" and _ORDINAL.fullmatch(ordinal.text) and all(one.text in ("in", "at") for one in led):
            start = led[0] if led else ordinal
            text = line.said(start.start, word.end)
            line.tokens[match.start() : match.end()] = [Token("C", start.start, word.end, text, (), start.gap)]


def _read_before(line: Line, at: int, number: Token) -> bool:
    """Something of another dimension was read in front of it."""
    return any(
        one.letter == "q" and one.amount.dimension != number.amount.dimension and not one.amount.bare
        for one in line.tokens[:at]
    )


def _bracketed(line: Line, at: int, tokens: list[Token]) -> bool:
    """``0.8 bar (oil 92 °C)``: how warm it was or how fast it turned, in a bracket behind another reading."""
    number = next(token for token in tokens if token.letter == "q")
    amount = number.amount
    how = amount.dimension in ("temperature", "rotation", "speed") and not amount.to and not amount.than
    return how and _read_before(line, at, number)


def _on_a_step(line: Line, at: int, tokens: list[Token]) -> bool:
    """``61 F fan on 2``: which of its steps a thing ran on."""
    thing, word, number = tokens
    amount = number.amount
    step = amount.bare and amount.text.isdecimal() and 0 < (amount.value or 0) <= _MOST_STEPS
    return step and word.text in ("on", "at") and line.tokens[at - 1].letter == "q" and thing.text.isalpha()


_ON_A_DAY = Regex(r"(?<=[qcC])[wkP@][wu]qw(?=[,;)L(ihdsl]|\Z)")
DAYS = frozenset("day morning afternoon evening night".split())
"""What is as warm as the figure in front of it says."""


def _on_a_day(line: Line, at: int, tokens: list[Token]) -> bool:
    """``gearbox 96 C on a 31 C day``: how warm the air was."""
    first, article, _number, day = tokens
    return first.text in ("on", "in") and article.text in ("a", "that", "the") and day.text in DAYS


def _outside(line: Line, at: int, tokens: list[Token]) -> bool:
    """``vent 14 C, 34 outside``, ``vent 44 F at idle, 99 F out (under 50)``: how warm the air was around the thing."""
    number = next(token for token in tokens if token.letter == "q")
    words = [token.text for token in tokens if token is not number]
    warm = any(one.letter == "q" and one.amount.dimension == "temperature" for one in line.tokens[:at])
    if words[-1] in _THE_AIR and number.amount.bare and at and line.tokens[at - 1].letter == "q":
        return True  # "1.9 and 24 bar 28 outside"
    plain = number.amount.shape == "whole" and number.amount.dimension in ("temperature", "angle")
    read = {one.amount.dimension for one in line.tokens[:at] if one.letter == "q"}
    if plain and words[-1:] in (["out"], ["outside"], ["outdoors"]) and read <= {"", "pressure", "rotation"} and read:
        return True  # "high side 210 psi at 1500 rpm, 88 degrees out"
    own = number.amount.bare or number.amount.dimension == "temperature"
    if not (own and warm) or number.amount.to:
        return False
    # "out" beside "in" is where something leaves: "heater core 82 C in, 60 C out"
    leaves = any(one.text in _FLOWS for one in line.tokens)
    return words[-1] in _AIR or words[-1].startswith("amb") or (words == ["out"] and not leaves)


_FLOWS = frozenset({"in", "inlet", "into", "supply", "return"})


_INSTRUMENT = Regex(r"(?<=[,;])w{1,3}[@k]?q(?=[,;)]|\Z)")
_INSTRUMENTS = frozenset(
    "tester meter megger multimeter megohmmeter insulation-tester analyser analyzer source".split()
)


def _is_instrument(line: Line, at: int, tokens: list[Token]) -> bool:
    """``0.35 Mohm, tester at 500 V``: what the instrument was set to while something else was read."""
    named = any(token.text in _INSTRUMENTS for token in tokens)
    return named and _read_before(line, at, tokens[-1])


def _read_idle(line: Line) -> None:
    """``hi idle 2260, spec 2325 +/-25``: the only figure read is the speed of the engine."""
    figures = [at for at, token in enumerate(line.tokens) if token.letter == "q"]
    match = _IDLING.search(line.letters)
    if match is None or figures[:1] != [match.end() - 1]:
        return
    number, word = line.tokens[match.end() - 1], line.tokens[match.end() - 2]
    amount = number.amount
    turning = amount.bare and amount.shape == "whole" and (amount.value or Fraction(0)) >= SLOWEST
    if turning and word.text.endswith("idle"):
        line.tokens[match.end() - 2] = replace(word, letter="w", held=None)
        line.tokens[match.end() - 1] = number.with_amount(unit="rpm", dimension="rotation", bare=False)


_STATE_BEHIND = Regex(r"(?<=[qC])(k?)[wejn]{1,4}[wcC](?=[,;)L]|\Z)|(?<=[,;])[wejn]{1,4}[wcC](?=[,;)L]|\Z)")
_SWITCHED = frozenset("on off running applied released unplugged disconnected connected".split())
_NO_THING = DOINGS | frozenset("light lamp".split())


def find_states(line: Line) -> None:
    """``1.3 V lamps on``, ``5.2 bar with both brakes applied``: a thing and its state behind a value say how it was."""
    for match in reversed(list(_STATE_BEHIND.finditer(line.letters))):
        words = line.tokens[match.start() : match.end()]
        named = any(token.letter == "w" for token in line.tokens[: match.start()])
        read = any(token.letter == "q" for token in line.tokens[: match.start()])
        state = words[-1]
        plain = not state.held and state.text.split(" ")[-1] in _SWITCHED
        if plain and read and named and words[0].text not in _NO_THING:
            start, end = words[0].start, words[-1].end
            made = Token("C", start, end, line.said(start, end), (), words[0].gap)
            line.tokens[match.start() : match.end()] = [made]


_RUN_BEHIND = Regex(r"(?:after|with|in|on) (?:an?|the|its|that|same) |after [0-9]|during |under ", re.I)
RUNS = frozenset(
    "charge discharge tow drive run haul trip ride load rest soak walk ramp climb descent road test idle".split()
)


def join_runs(line: Line) -> None:
    """``78 C after a 15 km tow``: the noun of a run that an article leads."""
    for match in reversed(list(_WARM_BEHIND.finditer(line.letters.replace("n", "w")))):
        condition, word = line.tokens[match.start() : match.end()]
        if word.text in RUNS and _RUN_BEHIND.match(condition.text) and condition.held:
            text = line.said(condition.start, word.end)
            line.tokens[match.start() : match.end()] = [replace(condition, end=word.end, text=text)]


_OF_A_RUN = Regex(r"Cow{1,3}(?=[,;)L]|\Z)")


def join_kinds_of_runs(line: Line) -> None:
    """``after 20 min of DC charge``: what was done for so long."""
    for match in reversed(list(_OF_A_RUN.finditer(line.letters))):
        condition, *_, word = line.tokens[match.start() : match.end()]
        timed = [one for one in condition.held or () if one.letter == "q" and one.amount.dimension == "time"]
        if timed:
            text = line.said(condition.start, word.end)
            line.tokens[match.start() : match.end()] = [replace(condition, end=word.end, text=text)]


_LASTED = Regex(r"(?<=[qC])Cq(?=[,;)L]|\Z)|(?<=q)Cq(?=[,;)L]|\Z)")


def join_lasted(line: Line) -> None:
    """``38 C full heat 10 min``: how long it stood so, behind a state without a figure of its own."""
    for match in reversed(list(_LASTED.finditer(line.letters))):
        condition, time = line.tokens[match.start() : match.end()]
        plain = not time.amount.than and not time.amount.to and time.amount.dimension == "time"
        if condition.held or not plain or not _read_before(line, match.start(), time):
            continue
        text = line.said(condition.start, time.end)
        line.tokens[match.start() : match.end()] = [replace(condition, end=time.end, text=text, held=(time,))]


_SHARES = frozenset("soc load throttle pedal duty humidity charge full open command".split())


def join_fluids(line: Line) -> None:
    """``2280 psi at 60 C oil``, ``24 C at 60 % soc``: what was so warm or so full stands behind its figure."""
    for match in reversed(list(_WARM_BEHIND.finditer(line.letters))):
        condition, word = line.tokens[match.start() : match.end()]
        held = [one for one in condition.held or () if one.letter == "q"]
        warm = word.text in FLUIDS and held and held[-1].amount.dimension == "temperature"
        share = word.text in _SHARES and held and held[-1].amount.unit.casefold() in ("%", "percent", "pct")
        if (warm or share) and held[-1].end == condition.end:
            text = line.said(condition.start, word.end)
            line.tokens[match.start() : match.end()] = [replace(condition, end=word.end, text=text)]
