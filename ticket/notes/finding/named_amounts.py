"""Amounts that are no reading: what a thing is called by, what it was loaded with or set to, how many there are."""

from dataclasses import replace

from ticket.job.regex import Regex
from ticket.language.lexicon import look
from ticket.notes.finding.bound_words import set_before
from ticket.notes.finding.naming import is_small
from ticket.notes.finding.tokens import Line, Token

_SUPPLIES = frozenset(
    "line rail supply reference ref feed circuit bus system outlet socket output source wire side converter".split()
)
"""Nouns that a supply is called by together with its voltage: a 5 volt line, a 12 V feed."""
_NOMINAL = frozenset({5, 6, 8, 10, 12, 24, 36, 42, 48})
"""Voltages that supplies of vehicles are named by. Common practice, no source."""
_MOVING = frozenset(
    "loaded laden raising lifting lowering hoisting towing pulling carrying hauling holding pushing with".split()
)
_SET = frozenset({"setpoint", "set-point", "setpt"})
_COMMANDED = frozenset({"command", "commanded", "cmd", "request", "requested", "demand", "demanded"})
_ANSWERED = frozenset({"actual", "actually", "feedback", "measured", "got"})
"""Words for what came of a command: beside one of them the commanded value was not read."""
_COUNTS = ("count", "click", "turn", "teeth", "drop", "notch", "misfire", "crank", "pulse")
_MOST_OF_A_THING = 24


def name_amounts(line: Line) -> None:
    """Give the amounts that only name or count a thing their class, before ranges and limits are looked for."""
    _name_axles(line)
    _name_clock_positions(line)
    _name_where_it_lies(line)
    _name_neighbours(line)
    for at, token in enumerate(line.tokens):
        if token.letter != "q":
            continue
        if at == 0 and _opens_bare(line):
            line.tokens[at] = replace(token, letter="x", held=None)
        elif _names_a_supply(line, at) or _is_type(line, at):
            line.tokens[at] = replace(token, letter="n", held=None)
        elif _is_part_of_several(line, at):
            before = _token(line, at - 1)
            read = any(one.letter == "q" and not one.amount.bare for one in line.tokens)
            which = not read if before is None else before.letter == "w" and not before.text.endswith("s")
            for place in (at, at + 2):  # "fan 2 of 4": the second, or two of them?
                line.tokens[place] = replace(line.tokens[place], letter="x" if which else "n", held=None)
        elif _sizes_a_part(line, at) or _is_across(line, at) or _is_corrected(line, at):
            line.tokens[at] = replace(token, letter="x", held=None)
        elif _counts_things(line, at):
            line.tokens[at] = replace(token, letter="n" if _more_behind(line, at) else "x", held=None)


_NEIGHBOURS = Regex(r"(?<=w)q-q(?=[@:(])")


def _name_neighbours(line: Line) -> None:
    """``busbar 5-6 at 100 A: 46 mV``: which two of a row it lies between, where a figure with its unit follows."""
    for match in reversed(list(_NEIGHBOURS.finditer(line.letters))):
        one, _, other = line.tokens[match.start() : match.end()]
        whole = one.amount.shape == other.amount.shape == "whole" and one.amount.bare and other.amount.bare
        beside = whole and (other.amount.value or 0) - (one.amount.value or 0) == 1
        if beside and any(token.letter == "q" and not token.amount.bare for token in line.tokens[match.end() :]):
            text = line.said(one.start, other.end)
            line.tokens[match.start() : match.end()] = [replace(one, letter="n", end=other.end, text=text, held=None)]


_MOST_AXLES = 9


def _name_axles(line: Line) -> None:
    """``adjuster on 4 R``: a small number between "on" and the letter of a side is an axle, no value and no litres."""
    for at, token in enumerate(line.tokens):
        before, after = _token(line, at - 1), _token(line, at + 1)
        if (
            token.letter != "q"
            or before is None
            or before.text != "on"
            or not 0 < (token.amount.value or 0) <= _MOST_AXLES
        ):
            continue
        litres = token.amount.unit == "L" and line.text[token.end - 1] == "L"
        sided = after is not None and after.letter == "p" and after.text in ("l", "r")
        if token.amount.shape == "whole" and not token.amount.to and (litres or (token.amount.bare and sided)):
            held = (("axle", f"axle {token.amount.text}"), *((("side", "left"),) if litres else ()))
            line.tokens[at] = replace(token, letter="p", held=held)


def _name_clock_positions(line: Line) -> None:
    """``none 12 and 6``: hours across the dial where a clock or its other pair is named are where a thing was held."""
    tokens = line.tokens
    pairs = [at for at in range(len(tokens) - 2) if _across_the_dial(tokens[at : at + 3])]
    said = any(token.text.replace("'", "").replace("’", "") in _CLOCK for token in tokens)
    if not (said or len({min(_hours(tokens[at : at + 3])) for at in pairs}) > 1):
        return
    for at in pairs:
        for one in (at, at + 2):
            tokens[one] = replace(tokens[one], letter="n", held=None)


def _name_where_it_lies(line: Line) -> None:
    """``rubbed to 1 mm by the rear floor``, ``bolt 3 from the front``: a place that tells what the value lies at."""
    tokens = line.tokens
    for at, token in enumerate(tokens):
        if token.letter != "p" or not any(t.letter == "q" for t in tokens[:at]):
            continue
        led = at - 1 if tokens[at - 1].text not in ("the", "its", "a") else at - 2
        before, behind = _token(line, led), _token(line, at + 1)
        if before is None:
            continue
        noun = (
            behind is not None and behind.letter == "w" and len(token.held) == 1 and token.held[0][0] in ("end", "side")
        )
        if before.text.split(" ")[-1] in ("from", "than") or (noun and before.text in _LYING):
            tokens[at] = replace(token, letter="w", held=None)
        counted = tokens[led - 1] if led and before.text == "from" else None
        if counted is not None and counted.letter == "q" and is_small(counted.amount):
            tokens[led - 1] = replace(counted, letter="n", held=None)


_LYING = frozenset("by near beside against behind under below above over".split())
_CLOCK = frozenset({"oclock", "o'clock", "clock"})
_HALF_A_DIAL = 6


def _across_the_dial(three: list[Token]) -> bool:
    one, join, other = three
    if join.letter not in "j/-t" or one.letter != "q" or other.letter != "q":
        return False
    bare = all(token.amount.bare and token.amount.text.isdecimal() for token in (one, other))
    return bare and abs(_hours(three)[0] - _hours(three)[1]) == _HALF_A_DIAL and min(_hours(three)) in (3, 6)


def _hours(three: list[Token]) -> tuple[int, int]:
    return int(three[0].amount.text), int(three[2].amount.text)


def _opens_bare(line: Line) -> bool:
    """``4 drift now 11 mm``: a bare number in front of a word, with the figure behind it, is none of that unit."""
    number, word = line.tokens[0], _token(line, 1)
    again = [one for one in _part_behind(line, 1) if one.letter in "qp"]
    if word is not None and word.text == "now" and is_small(number.amount) and again:
        # "5 now 14.2 V": the number of a finding as likely as a value; "3 now 9 mm" may be either
        return again[0].letter == "p" or again[0].amount.shape != "whole" or number.amount.bare
    united = [one for one in _part_behind(line, 0) if one.letter == "q"]
    one = word is not None and word.letter == "w" and not word.text.endswith("s")
    plain = one and is_small(number.amount)
    return plain and bool(united) and not united[0].amount.bare


def _names_a_supply(line: Line, at: int) -> bool:
    """``APP 5 volt line 5.02 V``: a round voltage in front of the noun of a supply, with the figure behind it."""
    amount = line.tokens[at].amount
    noun = _token(line, at + 1)
    if amount.dimension != "voltage" or amount.shape != "whole" or amount.value not in _NOMINAL or noun is None:
        return False
    before = _token(line, at - 1)
    if noun.letter == "q" and before is not None and before.text in _SUPPLIES:
        return noun.amount.dimension == "voltage" and noun.amount.shape == "decimal"  # "ref 5 V 4.97 V"
    return noun.letter == "w" and noun.text.removesuffix("s") in _SUPPLIES and _more_behind(line, at)


def _sizes_a_part(line: Line, at: int) -> bool:
    """``tow bar 50 mm ball worn to 49.1``, ``1.05 bar cap tested, holds 0.7``: a size of the part told of next."""
    tokens, amount = line.tokens, line.tokens[at].amount
    behind = next((i for i in range(at + 1, len(tokens)) if tokens[i].letter in "qLlhsd;:(x"), 0)
    between = [one for one in tokens[at + 1 : behind] if one.letter != ","]
    if amount.bare or amount.to or amount.than or len(between) < len("wv") or tokens[behind].letter != "q":
        return False
    closing = _token(line, behind + 1)
    if (at and tokens[at - 1].letter == "i") or (closing is not None and closing.letter in "lhdyz"):
        return False  # "precharge < 300 psi needle hardly moves, 450 min"
    if any(one.letter not in "wP@ut" for one in between) or tokens[at + 1].letter != "w":
        return False
    other = tokens[behind].amount
    alike = other.bare or (other.dimension == amount.dimension and other.unit == amount.unit)
    part = any(one.cls == "thing" and one.kind == "part" for one in look(tokens[at + 1].text))
    told = any(one.form in ("past", "participle", "third") for token in between[1:] for one in look(token.text))
    return alike and part and told


def _is_type(line: Line, at: int) -> bool:
    """``30 type long``, ``24 series``: the number of a kind."""
    behind = _token(line, at + 1)
    plain = line.tokens[at].amount.bare and line.tokens[at].amount.text.isdecimal()
    return plain and behind is not None and behind.text in ("type", "series", "style", "size")


def _is_corrected(line: Line, at: int) -> bool:
    """``45 no wait 54 psi``: the typist takes a figure back; which one stands, only they know."""
    two = line.tokens[at + 1 : at + 3]
    behind = [token.text for token in two]
    if behind[:1] == ["no"] and len(two) > 1 and two[1].text[:1].isdecimal():
        return True  # "14.9 bar no 1.49 bar"
    other = any(token.letter == "q" for token in _part_behind(line, at))
    return other and (" ".join(behind) in _TAKEN_BACK or behind[:1] in ([word] for word in _TAKEN_BACK))


_TAKEN_BACK = frozenset(
    {"no wait", "wait no", "make that", "i mean", "scratch that", "correction", "sorry", "oops", "rather", "er"}
)


def _is_across(line: Line, at: int) -> bool:
    """``hole 40 x 15 mm``: how long and how wide something is; which figure is which, nobody says."""
    one, other = (_token(line, at + step) for step in (-2, 2))
    behind, before = (_token(line, at + step) for step in (1, -1))
    led = (
        before is not None
        and before.text in ("x", "×")
        and one is not None
        and (one.letter in "qx" or one.text.isdecimal())
    )
    leads = behind is not None and behind.text in ("x", "×") and other is not None and other.letter in "qx"
    united = one is not None and one.letter == "q" and not one.amount.bare  # "5/8 in ID x 2 ft"
    return (led and not united) or (leads and line.tokens[at].amount.bare)


def _counts_things(line: Line, at: int) -> bool:
    """``2 wheel nuts finger tight``: a small whole number that opens its part, in front of several of a thing."""
    amount = line.tokens[at].amount
    before, (one, other) = _token(line, at - 1), (_token(line, at + 1), _token(line, at + 2))
    small = amount.bare and amount.shape == "whole" and 1 < (amount.value or 0) <= _MOST_OF_A_THING
    if not small or amount.to or amount.than or (before is not None and before.letter not in ",;:"):
        return False
    words = [token.text for token in (one, other) if token is not None and token.letter == "w"]
    if one is None or one.letter != "w" or any(word.startswith(_COUNTS) for word in words):
        return False
    several = any(word.endswith("s") and not word.endswith(("ss", "us")) and len(word) > _SHORTEST for word in words)
    return several and any(token.letter == "q" and not token.amount.bare for token in line.tokens)


def _is_part_of_several(line: Line, at: int) -> bool:
    """``cond fan 2 of 4 not turning``: how many of them are so, and of how many."""
    of, other, told = (_token(line, at + step) for step in (1, 2, 3))
    if of is None or of.letter != "o" or other is None or other.letter != "q" or told is None:
        return False
    small = is_small(line.tokens[at].amount) and is_small(other.amount)
    fewer = small and (line.tokens[at].amount.value or 0) <= (other.amount.value or 0) <= _MOST_OF_A_THING
    so = any(one.cls == "state" or one.form in ("past", "participle", "gerund") for one in look(told.text))
    noun = _token(line, at + 4) if told.letter == "w" and not told.text.endswith("s") else told
    several = noun is not None and noun.letter == "w" and noun.text.endswith("s") and not noun.text.endswith("ss")
    if fewer and several and told.letter == "w":
        return True  # "3 of 5 wheel nuts loose"
    return fewer and (so or told.text in ("not", "no", "wont", "won't", "dont", "don't", "dead"))


_SHORTEST = 3  # letters of the shortest word that can be several of a thing


def _more_behind(line: Line, at: int) -> bool:
    """Another figure stands behind in the same part."""
    return any(token.letter in "qL" for token in _part_behind(line, at))


def _part_behind(line: Line, at: int) -> list[Token]:
    stop = next((i for i in range(at + 1, len(line.tokens)) if line.tokens[i].letter in ",;"), len(line.tokens))
    return line.tokens[at + 1 : stop]


def _part_before(line: Line, at: int) -> list[Token]:
    first = next((i + 1 for i in range(at - 1, -1, -1) if line.tokens[i].letter in ",;"), 0)
    return line.tokens[first:at]


def _token(line: Line, at: int) -> Token | None:
    return line.tokens[at] if 0 <= at < len(line.tokens) else None


# ---------------------------------------------------------------------- loads and set values
def find_loads(line: Line) -> None:
    """Make conditions of what a thing was loaded with, set to or told to do while something else was read."""
    at = len(line.tokens)
    while at > 0:
        at -= 1
        token = line.tokens[at]
        span = _load_at(line, at) if token.letter == "q" and not token.amount.bare else None
        if span is None:
            continue
        first, stop = span
        start, end = line.tokens[first].start, line.tokens[stop - 1].end
        letter = "H" if span == set_before(line, at) else "C"  # what was set first holds for all that was read then
        line.tokens[first:stop] = [Token(letter, start, end, line.said(start, end), (token,), line.tokens[first].gap)]
        at = first


def _load_at(line: Line, at: int) -> tuple[int, int] | None:
    """The tokens of the condition that this amount is part of."""
    tokens, amount, word = line.tokens, line.tokens[at].amount, _token(line, at - 1)
    others = [one for i, one in enumerate(tokens) if i != at and one.letter == "q" and not one.amount.bare]
    behind = _token(line, at + 1)
    if amount.dimension == "time" and behind is not None and behind.text == "into" and others:
        return at, _behind_words(line, at + 1)
    if word is None or not others:
        return None
    reached = set_before(line, at)
    if reached is not None:
        return reached
    other = any(one.amount.dimension != amount.dimension for one in others)
    if other and amount.dimension == "current" and word.text in ("load-test", "load"):
        return at - 1, at + 1
    if other and amount.dimension in ("mass", "force") and word.text in _MOVING:
        return at - 1, at + 1
    if word.text in _SET and not any(one.letter == "L" for one in _part_behind(line, at)):
        return at - 1, at + 1
    led = at - 2 if at > 1 and word.text in ("at", "to", "@") else at - 1
    beside = any(one.letter == "q" for one in _part_before(line, at))
    if (
        tokens[led].text == "set"
        and led < at - 1
        and beside
        and all(o.amount.dimension != amount.dimension for o in others)
    ):
        return led, at + 1  # "8 L/min with the pump set to 60 %"
    told = behind is not None and behind.text in _ANSWERED and led == at - 1  # "92 % commanded 1450 rpm actual"
    if tokens[led].text not in _COMMANDED or told:
        return None
    answered = any(one.text in _ANSWERED for one in tokens)
    return (_preposition_before(line, led), at + 1) if led < at - 1 or answered else None


def _preposition_before(line: Line, at: int) -> int:
    """``with the command at 90 percent``: the preposition in front belongs to it."""
    first = at - 1 if at and line.tokens[at - 1].text in ("the", "its", "a") else at
    return first - 1 if first and line.tokens[first - 1].letter == "k" else at


def _behind_words(line: Line, at: int) -> int:
    """The place behind the words that follow."""
    while at < len(line.tokens) and line.tokens[at].letter in "wPcC":
        at += 1
    return at
