"""Conditions behind a mark: whether "at 700 rpm" or "after 45 min" says how something was read, or was read itself."""

import re
from dataclasses import replace
from fractions import Fraction

from ticket.language.lexicon import look
from ticket.notes.finding.circumstances import SLOWEST
from ticket.notes.finding.lexicon import is_noun
from ticket.notes.finding.tokens import DISTANCES, Amount, GivenLimits, Line, Token

CONDITIONS = frozenset({"rotation", "temperature", "time", "speed", "turns"})
"""What is a condition where it stands beside a reading of another dimension."""


def condition_of(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``@ 700 rpm``, ``after 45 min``, ``with lights on``, ``cranking``; held are the amounts in it."""
    amounts = tuple(token for token in tokens if token.letter == "q")
    if amounts and tokens[0].letter == "k" and tokens[-2].letter == "@":  # "with engine at 2500 rpm"
        text = line.said(tokens[0].start, tokens[-1].end)
        return [Token("C", tokens[0].start, tokens[-1].end, text, amounts)]
    if tokens[-1].letter == "w" and tokens[0].letter == "@" and len(tokens) == 4 and amounts:
        return _at_a_mark(line, tokens)
    held = amounts and tokens[0].letter == "k" and _is_held(line, tokens, at)
    if (
        amounts
        and len(tokens) > 2
        and tokens[1].letter in "wnu"
        and not held
        and not _beside_another(line, at, amounts[0])
    ):
        without = condition_of(line, tokens[:-1], at) if tokens[0].letter == "k" else None
        return [*without, tokens[-1]] if without else None  # "w/ load 11.9 V": the amount is what was read
    if tokens[0].letter == "@" and amounts and _happened(line, tokens, at, amounts[-1]):
        return tokens[1:] if len(tokens) == len("@q") and at and line.tokens[at - 1].letter == "p" else tokens
    how = [token for token in tokens[2:] if token.letter == "c"]
    opens = tokens[0].letter == "@" and len(tokens) == 2 + len(how) and amounts and _is_state(amounts[0].amount)
    before = _same_part(line, at)
    # "tested at 1.2 bar": what was put on it
    applied = _is_measured_before(line, at) or (bool(before) and before[0].text.endswith("ed"))
    opens = opens and not applied and _only(line, at + 1) and not _leads_places(line, tokens, at)
    if opens and any(token.letter in "wp" for token in before):
        # "purges at 118 psi", "charges at 13.2 V idle": nothing else in its part was read
        return [*tokens[:2], *(condition_of(line, how, at) or ())] if how else None
    of_limits = at > 0 and line.tokens[at - 1].letter == "L"  # "needs 11 V at 20 C"
    marked = tokens[0].letter == "@" and amounts and not of_limits
    if marked and (_is_reading(line, tokens, at) or _verb_before(line, at)):
        how = [token for token in tokens if token.letter == "c"]  # "sits at 84 hot": its condition stays one
        return [*tokens[: -len(how)], *(condition_of(line, how, at) or ())] if how and tokens[-1] in how else None
    timed = bool(amounts) and amounts[0].amount.dimension == "time" and len(tokens) == 2 + len(how)
    if tokens[0].text in ("in", "within") and timed:
        if not any(token.letter in "qC" for token in before) and not _amount_behind(line, at + len(tokens)):
            # "tilts in 2.1 s", "up in 9 s unladen": nothing else was read, so the time was
            return [*tokens[:2], *(condition_of(line, how, at) or ())] if how else None
    same = bool(amounts) and not amounts[0].amount.bare and _before_it(line, at) == amounts[0].amount.dimension
    if (
        tokens[0].text in ("after", "aft")
        and len(tokens) == 2
        and amounts
        and (_is_state(amounts[0].amount) or same or _bare_state(line, at, amounts[0].amount))
    ):
        return [replace(tokens[0], letter="r", text="now"), tokens[1]]  # "before 24', after 9'"
    letters = "".join(token.letter for token in tokens)
    if letters in ("kcq", "@cq") and _is_state(amounts[0].amount) and _only(line, at + 2):
        made = Token("C", tokens[0].start, tokens[1].end, line.said(tokens[0].start, tokens[1].end), ())
        return [made, tokens[2]]  # "compression while cranking 130 psi": the one figure is what was read
    if letters == "kww" and _names_the_next(line, tokens, at):
        return [*(condition_of(line, tokens[:2], at) or ()), tokens[2]]
    start, end = tokens[0].start, tokens[-1].end
    return [Token("C", start, end, line.said(start, end) if line.text else " ".join(t.text for t in tokens), amounts)]


def _leads_places(line: Line, tokens: list[Token], at: int) -> bool:
    """``case drain at 210 bar, LH motor 9 L/min, RH 2``: how the figures at the places behind it were read."""
    pressed = next(token.amount for token in tokens if token.letter == "q").dimension
    words = {word for token in _same_part(line, at) for word in re.split("[ -]", token.text)}
    stop = line.letters.find(";", at)
    parts = line.letters[at + len(tokens) : stop if stop >= 0 else None].split(",")
    behind = line.tokens[at + len(tokens) : stop if stop >= 0 else None]
    read = [token.amount for token in behind if token.letter == "q"]
    others = {amount.dimension for amount in read if not amount.bare} - {pressed}
    placed = ["w" in part for part in parts if "p" in part and "q" in part]
    listed = len(placed) > 1 and not placed[-1]  # a place that goes on with the thing named before it
    return listed and len(others) == 1 and not words & (VERBS_AT | LET_GO)


def _happened(line: Line, tokens: list[Token], at: int, number: Token) -> bool:
    """``cap 13 psi let go at 9``, ``pads at 2 mm rears at 5``, ``11.4 V at nose 8.9 at tail``: the figure was read."""
    if len(tokens) > len("@q"):
        return _is_elsewhere(line, tokens, at, number)
    rest = any(token.letter == "e" or token.text in ("other", "others") for token in line.tokens[max(0, at - 2) : at])
    return (
        (rest and number.amount.bare) or _lets_go(line, at, number) or _all_are_at(line, at)
    )  # "rr 48 psi other 3 at 55"


def _all_are_at(line: Line, at: int) -> bool:
    """The figures of the part stand behind "at" one and all, the first of them in a unit that is no circumstance."""
    first = next((i + 1 for i in range(at - 1, -1, -1) if line.tokens[i].letter in ",;"), 0)
    stop = next((i for i in range(at, len(line.tokens)) if line.tokens[i].letter in ",;"), len(line.tokens))
    figures = [i for i in range(first, stop) if line.tokens[i].letter in "qCL"]
    led = all(line.tokens[i].letter == "q" and i > first and line.tokens[i - 1].letter == "@" for i in figures)
    marked = [i for i in figures if line.tokens[i - 1].letter != "k"]  # "... after 20 min"
    placed = (
        len(marked) > 1
        and all(line.tokens[i - 1].letter == "@" for i in marked)
        and all(i - 1 > first and line.tokens[i - 2].letter == "p" for i in marked)
    )  # "cell 3 at 41 C"
    return placed or (led and len(figures) > 1 and _is_state(line.tokens[figures[0]].amount))


def _is_elsewhere(line: Line, tokens: list[Token], at: int, number: Token) -> bool:
    """Behind "at" and a part stands what was read there, in the unit of the value in front and of its size."""
    if "".join(token.letter for token in tokens) not in ("@wq", "@wwq") or not number.amount.bare:
        return False
    read = next((one.amount for one in _same_part(line, at) if one.letter == "q"), None)
    if read is None or read.bare or not read.value or not number.amount.value or number.amount.to:
        return False
    behind = line.tokens[at + len(tokens)] if at + len(tokens) < len(line.tokens) else None
    led_on = behind is not None and behind.letter in "@kP"
    alike = number.amount.shape == read.shape == "decimal" or led_on
    return (
        alike
        and _LEAST_SHARE <= number.amount.value / read.value <= 1 / _LEAST_SHARE
        and read.dimension not in CONDITIONS
    )


_LEAST_SHARE = Fraction(1, 20)


def _names_the_next(line: Line, tokens: list[Token], at: int) -> bool:
    """``after repair pressure 118 bar``: behind the work stands what was read, which no other word names."""
    figure = line.tokens[at + len(tokens)] if at + len(tokens) < len(line.tokens) else None
    worked = tokens[0].text in ("after", "before") and any(one.cls == "work" for one in look(tokens[1].text))
    alone = not any(token.letter in "wnqp" for token in _same_part(line, at))
    return worked and alone and figure is not None and figure.letter == "q" and is_noun(tokens[2].text)


def _lets_go(line: Line, at: int, number: Token) -> bool:
    """Behind a figure of its unit, a verb of what happens at a value stands right in front."""
    read = [one.amount for one in _same_part(line, at) if one.letter == "q"]
    alike = bool(read) and not read[0].bare and (number.amount.bare or number.amount.dimension == read[0].dimension)
    words = {word for token in line.tokens[max(0, at - 2) : at] for word in re.split("[ -]", token.text)}
    return alike and not words.isdisjoint(LET_GO)


LET_GO = frozenset(
    "go goes lets let vents vented lifts lifted leaks popped pops opened opens blew blows released releases cracked"
    " cracks tripped trips".split()
)
_DETERMINERS = frozenset("a an the its own same that this only about around".split())


def _is_held(line: Line, tokens: list[Token], at: int) -> bool:
    """``with a 20 A load on``, ``after the same 5 mile run``: an article in front and a noun behind."""
    behind = line.tokens[at + len(tokens)] if at + len(tokens) < len(line.tokens) else None
    others = any(one.letter == "q" and one not in tokens for one in line.tokens)
    led = all(one.text in _DETERMINERS for one in tokens[1:-1])
    return others and led and behind is not None and behind.letter in "wcg"


_MARKS = frozenset("mark point line setting stop position".split())


def _at_a_mark(line: Line, tokens: list[Token]) -> list[Token] | None:
    """``1030 kPa at the 150 psi mark``: what a gauge or a scale points at."""
    if tokens[1].text != "the" or tokens[3].text not in _MARKS or any(token.letter == "L" for token in line.tokens):
        return None
    start, end = tokens[0].start, tokens[3].end
    return [Token("C", start, end, line.said(start, end), (tokens[2],))]


def _amount_behind(line: Line, at: int) -> bool:
    """``pressure loss in 15 s 12 psi``: the reading stands right behind."""
    return at < len(line.tokens) and line.tokens[at].letter == "q" and not line.tokens[at].amount.bare


VERBS_AT = frozenset(
    "stuck fixed pops popped opens opened opening closes closed kicks cuts reads read sits holds held "
    "stays steady set starts started comes came pegged hangs levels settled boil boils stops trips "
    "tripped blows blew releases still is was lets let locks locked goes went shuts engages triggers "
    "charges cranks idles peaks hovers unloads loads lifts cracks "
    "starts-to breaks broke flashes lights topped peaked maxed reached".split()
)
"""What happens at a value reads that value: a valve opens at it, a cap lets go at it."""


def _beside_another(line: Line, at: int, token: Token) -> bool:
    """``2.41 V at HI 210 psi``: a reading of another dimension stands before it in the part."""
    for before in reversed(line.tokens[:at]):
        if before.letter in ",;":
            return False
        if before.letter == "q":
            return not before.amount.bare and before.amount.dimension != token.amount.dimension
    return False


def _same_part(line: Line, at: int) -> list[Token]:
    """The tokens before a place up to the comma."""
    part: list[Token] = []
    for token in reversed(line.tokens[:at]):
        if token.letter in ",;":
            break
        part.append(token)
    return part


def _verb_before(line: Line, at: int) -> bool:
    """``stuck at 0.45 V``: what stands at a value reads that value."""
    if at == 0 or line.tokens[at - 1].letter not in "wucp":
        return False
    if _is_measured_before(line, at):
        return False
    words = {
        word
        for token in line.tokens[max(0, at - 2) : at]
        if token.letter in "wucp"
        for word in re.split("[ -]", token.text)
    }
    before = _same_part(line, at)[::-1]
    before = before[1:] if [token.letter for token in before[:2]] == ["q", "w"] else before  # "16 lb cap lets go at"
    return bool(words & VERBS_AT) and not any(token.letter == "q" for token in before)


_MEASURED_AT = frozenset({"read", "taken", "measured", "checked", "tested"})


def _is_measured_before(line: Line, at: int) -> bool:
    """``spread 0.04 V, read at 38 %``: the word opens its part, so what it is said of stands in front of the comma."""
    opens = at > 1 and line.tokens[at - 1].text in _MEASURED_AT and line.tokens[at - 2].letter in ",;"
    return opens and any(token.letter == "q" for token in line.tokens[: at - 2])


def _before_it(line: Line, at: int) -> str:
    """The dimension of an amount that "before" announced: ``before 74 F after 225 F`` are two readings."""
    for place in range(at - 1, 0, -1):
        if line.tokens[place].letter == "q":
            return line.tokens[place].amount.dimension if line.tokens[place - 1].text in ("before", "bef") else ""
        if line.tokens[place].letter == ";":
            return ""
    return ""


def _only(line: Line, at: int) -> bool:
    """No other amount stands in its part."""
    for step in (-1, 1):
        place = at + step
        while 0 <= place < len(line.tokens) and line.tokens[place].letter not in ",;":
            if line.tokens[place].letter in "qx":
                return False
            place += step
    return True


def _bare_state(line: Line, at: int, amount: Amount) -> bool:
    """``before 5.6 bar, after 8.1``: a bare figure goes on with what was read before."""
    said = any(token.text.startswith("before") for token in line.tokens[:at])
    return amount.bare and said and any(token.letter == "q" and not token.amount.bare for token in line.tokens[:at])


def _is_state(amount: Amount) -> bool:
    """No time, distance, speed or temperature: a value that was measured after the work."""
    return not amount.bare and amount.dimension not in CONDITIONS and amount.unit.casefold() not in DISTANCES


def _is_reading(line: Line, tokens: list[Token], at: int) -> bool:
    """``level at 13 mm`` is a reading: nothing else on the line is one, and it is no speed, time or temperature."""
    amount = next(token for token in tokens if token.letter == "q").amount
    others = [t for i, t in enumerate(line.tokens) if t.letter == "q" and not at <= i < at + len(tokens)]
    here = _same_part(line, at)
    if amount.bare and amount.value is not None and amount.value < SLOWEST and not any(t.letter == "q" for t in here):
        return True  # "tires at 24 placard 33": nothing else here could have been measured
    if amount.bare or others:
        return False
    limits = [t.held for t in line.tokens if t.letter == "L" and isinstance(t.held, GivenLimits)]
    fits = any(one.dimension == amount.dimension or one.bare for given in limits for one in given.amounts)
    return fits or (amount.dimension not in CONDITIONS and not limits)
