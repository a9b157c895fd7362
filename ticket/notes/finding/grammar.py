"""The cascade: small rewrites over the letters of the tokens, each seeing only what the one before left.

Ranges come before limits, or ``min 30-34`` would be cut in two; limits before conditions, because in
``max 1 in in 5 min`` the limit decides what ``min`` and ``in`` are.
"""

from dataclasses import replace
from fractions import Fraction

from ticket.job.regex import Regex
from ticket.notes.finding.bounds_in_words import find_beyond, find_none_allowed, find_worded, heed_refusals
from ticket.notes.finding.circumstances import (
    SLOWEST,
    find_circumstances,
    find_starts,
    find_states,
    join_fluids,
    join_kinds_of_runs,
    join_lasted,
    join_runs,
)
from ticket.notes.finding.counted_places import (
    name_counted_over,
    name_counted_places,
    name_headings,
    name_lettered_places,
    name_listed_places,
    name_places_alone,
    name_places_behind,
    name_places_counted_behind,
    name_places_of_a_thing,
    name_places_of_one,
)
from ticket.notes.finding.level_marks import find_marks
from ticket.notes.finding.lexer import mixed_text
from ticket.notes.finding.limit_notation import find_tolerance_apart
from ticket.notes.finding.limits_given import (
    find_bare,
    find_gaps,
    in_bracket,
    part_named_limits,
    source_of,
    without_source,
)
from ticket.notes.finding.missing_commas import (
    part_at_and,
    part_before_place,
    part_before_rest,
    part_before_span,
    part_behind_places,
)
from ticket.notes.finding.named_amounts import find_loads, name_amounts
from ticket.notes.finding.part_words import CIRCUIT_STATES
from ticket.notes.finding.references import (
    find_found,
    find_new_ones,
    find_rated,
    find_references,
    find_worn,
    part_compared,
)
from ticket.notes.finding.rewriting import rewrite
from ticket.notes.finding.stated import is_told
from ticket.notes.finding.tokens import Amount, GivenLimits, Line, Token
from ticket.notes.finding.told_runs import find_told_runs
from ticket.notes.finding.under_conditions import CONDITIONS, condition_of
from ticket.readings.digits import finite
from ticket.readings.units import convert, convert_gap

_UNEVEN = Regex(r"qqq")
_BRACKET = Regex(r"\(([^()]*)\)")
_RANGE = Regex(r"q[-t]q")
_BETWEEN = Regex(r"Pqjq")
_THAN = Regex(r"iq")
_ACROSS = Regex(r"qw{0,3}iq")
_OF = Regex(r"qw?oq|q/q")
_STATED = Regex(r"[ik]?q[cw]")
_AROUND = Regex(r"(?<=[,qcC])q[wk]w?w(?![wq])")
_ROOMS = frozenset("shop yard bay shed garage workshop barn hangar building room lot".split())
_IDLING = Regex(r"cq")
_REFERRED = Regex(r"q[wv](?=[,;.)]|\Z)")
_REFERENCES = frozenset({"full", "capacity", "rated", "new", "original", "stock", "nominal", "oem"})
_MOMENT = Regex(r"(?<=q)[kr](?=[,;)LXjv]|\Z)|(?<=q)c[wn]{1,5}(?=[,;)LXqj]|\Z)|(?<=q)k(?=q)")
_GAUGED = Regex(r"(?<![dlhsvt])qaq")
_FROM = Regex(r"Pqrq")
_TOOK = Regex(r"q[kw]q")
_COUNT_OVER = Regex(r"q(?=(q{2,24}))")
_RAN = frozenset("running idling idle run parked loaded driving cranking".split())
_STATED_WORDS = frozenset({"ambient", "load", "outside"})
_BOUND = Regex(r"q,?q")
_MARKED = Regex(
    r"k[wnu]{1,3}@q|(?<=[qwp])@wqw|(?<=[qw])@w{1,2}q(?![yz])|(?<=[qe])k[wnuo]{1,4}q(?![yzlhLs])|[@k][c@]?q(?:[jt/]q)?c*|[@k]c+|k(?:[wnuSVPy]|j(?=[wcp])|p(?![qp/:=]))+c*(?:@q)?|c+"
)
_MEASURED_ACROSS = frozenset({"resistance", "voltage"})


def parse(line: Line) -> None:
    """Run all rewrites over a settled line."""
    part_compared(line)
    find_beyond(line)
    part_at_and(line)
    part_behind_places(line)
    part_before_rest(line)
    part_before_place(line)
    name_amounts(line)
    rewrite(line, _FROM, _from)
    rewrite(line, _UNEVEN, _uneven)
    for name_places in _PLACES:
        name_places(line)
    rewrite(line, _BETWEEN, _between)
    rewrite(line, _RANGE, _ranged)
    part_before_span(line)
    rewrite(line, _ACROSS, _across)
    rewrite(line, _THAN, _bounded)
    rewrite(line, _TOOK, _took)
    rewrite(line, _BUILT, _built)
    name_counted_over(line)
    name_headings(line)
    find_told_runs(line)
    find_circumstances(line)
    _brackets(line)
    rewrite(line, _GAUGED, _gauged)
    find_gaps(line)
    find_worded(line)
    for find in (find_bare, heed_refusals, find_tolerance_apart, find_loads):
        find(line)
    rewrite(line, _OF, _nominal)
    rewrite(line, _BOUND, _open_end)
    find_marks(line)
    rewrite(line, _REFERRED, _referred)
    find_new_ones(line)
    find_references(line)
    find_found(line)
    find_rated(line)
    find_worn(line)
    rewrite(line, _BOTH_ON, _both_on)
    rewrite(line, _IDLING, _idling)
    rewrite(line, _STATED, _stated)
    rewrite(line, _AROUND, _around)
    rewrite(line, _MOMENT, _moment)
    rewrite(line, _MARKED, condition_of)
    find_states(line)
    rewrite(line, _RUN_OF, _run_of)
    for join in (join_fluids, join_runs, join_kinds_of_runs, find_starts, join_lasted):
        join(line)
    _headings(line)
    find_none_allowed(line)
    _tell_of_the_past(line)
    _leave_states(line)
    part_named_limits(line)


_STATE_THERE = Regex(r"(?<=[,;])p{1,2}C(?=[,;]|\Z)")


def _leave_states(line: Line) -> None:
    """``LF 1.1 kohm, LR open circuit``: a state told of a place instead of a figure is of that place alone."""
    for match in _STATE_THERE.finditer(line.letters):
        state = line.tokens[match.end() - 1]
        if not state.held and state.text in CIRCUIT_STATES:
            line.tokens[match.end() - 1] = replace(state, letter="y", held=None)


def _tell_of_the_past(line: Line) -> None:
    """``tyres were 1.8 bar, must be 2.4``: where nothing else was read, "was" only tells when."""
    if line.letters.count("q") != 1 or not any(token.letter == "L" for token in line.tokens):
        return
    for at, token in enumerate(line.tokens):
        if token.letter == "v" and token.text in ("was", "were"):
            line.tokens[at] = replace(token, letter="w")


_PLACES = (
    name_places_counted_behind,
    name_places_of_one, name_places_alone, name_places_of_a_thing, name_places_behind, name_lettered_places,
    name_listed_places, name_counted_places,
)  # fmt: skip


def _headings(line: Line) -> None:
    """``at 500 V: ...``, ``megger 1000 V: ...``: an amount in front of a colon is how the rest was measured."""
    for at, token in enumerate(line.tokens[:-1]):
        if token.letter == "q" and line.tokens[at + 1].letter == ":" and not token.amount.bare and at < _HEADING:
            made = Token("C", token.start, token.end, line.said(token.start, token.end), (token,))
            line.tokens[at] = replace(made, letter="H")
        elif token.letter == "C" and line.tokens[at + 1].letter == ":" and at < _HEADING:
            line.tokens[at] = replace(token, letter="H")
        if line.tokens[at].letter == "H" and at and line.tokens[at - 1].letter == "C":
            line.tokens[at - 1] = replace(line.tokens[at - 1], letter="H")  # "load test 450 A 15 s: ..."


_HEADING = 4  # tokens at the start of a line that may be its heading


# ---------------------------------------------------------------------- tolerances of two sizes
def _uneven(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``150 +10 -5``: a value with what it may be over and under, told as the range it allows."""
    middle, one, other = (token.amount for token in tokens)
    if not (one.signed and other.signed and one.bare and other.bare) or None in (middle.value, one.value, other.value):
        return None
    ends = sorted(((middle.value or 0) + (one.value or 0), (middle.value or 0) + (other.value or 0)))
    signs = {tokens[1].text[:1], tokens[2].text[:1]}
    if (
        signs != {"+", "-"}
        or ends[0] > (middle.value or 0)
        or not any(token.letter == "q" for token in line.tokens[:at])
    ):
        return None
    held = replace(
        middle,
        text=mixed_text(Fraction(ends[0])),
        value=Fraction(ends[0]),
        to=mixed_text(Fraction(ends[1])),
        to_value=Fraction(ends[1]),
    )
    announced = Token("s", tokens[0].start, tokens[0].start, "", None, tokens[0].gap)
    return [announced, replace(tokens[0], end=tokens[2].end, held=held)]


# ---------------------------------------------------------------------- ranges, inequalities
def _ranged(_line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    one, mark, other = tokens
    a, b = one.amount, other.amount
    if a.value is None or b.value is None or a.to or b.to or a.than or b.than == ">=":
        return None
    if mark.letter == "-" and mark.gap != other.gap:
        return None
    if not a.bare and not b.bare and a.dimension != b.dimension:
        return None
    if mark.letter == "-" and not mark.gap and a.bare and b.bare and a.value > b.value:
        letter = "x" if "." in one.text + other.text else "n"  # a number of a part has no point
        return [replace(one, letter=letter, end=other.end, text=f"{one.text}-{other.text}", held=None)]
    falls = mark.letter == "t" and a.value > b.value and at > 0 and _line.tokens[at - 1].text == "from"
    behind = _line.tokens[at + 3 : at + 5]
    worked = mark.letter == "t" and len(behind) == 2 and behind[0].text == "after" and behind[1].letter != "q"
    worked = worked and not any(
        token.letter == "q" for token in _line.tokens[:at]
    )  # "14 clicks, 3 to 5 after adjusting"
    if falls and at > 0:
        _line.tokens[at - 1] = replace(_line.tokens[at - 1], letter="u")
    went = mark.letter == "t" and at > 0 and _line.tokens[at - 1].text in ("went", "gone", "goes", "going")
    if falls or worked or went:
        return [one, replace(mark, letter="r"), other]
    announced = at > 0 and _line.tokens[at - 1].letter == "s"  # "spec 30 to 25"
    timed = mark.letter == "t" and mark.text == "to" and _is_timed(behind)
    if a.value > b.value and not ((a.value < 0 or announced or timed) and mark.letter == "t"):
        return None
    if not a.bare and b.bare and a.shape != "32nds":
        b = replace(b, unit=a.unit, dimension=a.dimension, bare=False)
    held = replace(b, text=a.text, value=a.value, to=b.text, to_value=b.value, signed=a.signed, than="")
    if b.value is not None and b.shape == "k" and a.shape != "k" and a.value < b.value / 100:
        held = replace(held, text=_thousandfold(a), value=a.value * 1000)
    if held.value is not None and held.to_value is not None and held.value > held.to_value and not timed:
        held = replace(held, text=held.to, value=held.to_value, to=held.text, to_value=held.value)
    del at
    return [replace(one, end=other.end, text=f"{one.text}-{other.text}", held=held)]


def _is_timed(behind: list[Token]) -> bool:
    """``90 to 50 psi takes 22 s``: the time is what was read; ``110 to 98 psi in 5 min`` fell, and was."""
    if len(behind) < len("wq") or behind[0].text not in ("took", "takes", "taking") or behind[1].letter != "q":
        return False
    return behind[1].amount.dimension == "time"


def _between(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``between 206 and 472`` is a range; outside a bracket and without the word of a limit it says what is allowed."""
    word, one, _and, other = tokens
    if word.text != "between":
        return None
    before = line.tokens[at - 1] if at else None
    across = before is not None and before.letter == "q" and before.amount.dimension in _MEASURED_ACROSS
    if across and one.amount.bare and other.amount.bare and {one.amount.shape, other.amount.shape} == {"whole"}:
        # "85 ohm between 85 and 86": the two terminals it was measured across
        return [replace(word, letter="w"), *(replace(token, letter="n", held=None) for token in (one, _and, other))]
    made = _ranged(line, [one, replace(_and, letter="t"), other], at + 1)
    if made is None or len(made) != 1 or not made[0].amount.to:
        return None
    behind = any(token.letter == "q" for token in line.tokens[:at]) and not (
        before is not None and before.letter == "e"
    )
    return [replace(word, letter="s"), *made] if behind else made


def _thousandfold(amount: Amount) -> str:
    return mixed_text(amount.value * 1000) if amount.value is not None else amount.text


def _across(line: Line, tokens: list[Token], _at: int) -> list[Token] | None:
    """``warped .12 mm over 300``: over which length, not above which value."""
    one, *named, sign, other = tokens
    wide = other.amount.bare or other.amount.dimension == "length"
    if sign.text not in ("over", "across") or one.amount.bare or not wide:
        return None
    wider = (
        None if other.amount.bare else convert(other.amount.value or Fraction(0), other.amount.unit, one.amount.unit)
    )
    far = other.amount.value if wider is None else wider
    if far is None or one.amount.value is None or abs(far) <= abs(one.amount.value):
        return None
    return [one, *named, Token("C", sign.start, other.end, line.said(sign.start, other.end), (other,))]


def _bounded(_line: Line, tokens: list[Token], _at: int) -> list[Token] | None:
    sign, number = tokens
    than = str(sign.held or "")
    amount = number.amount
    if amount.than or amount.to or not than:
        return None
    behind = _line.tokens[_at + 2].text if _at + 2 < len(_line.tokens) else ""
    if sign.text == "under" and behind == "load":
        return None
    return [replace(number, start=sign.start, held=replace(amount, than={"<=": "<"}.get(than, than)), gap=sign.gap)]


# ---------------------------------------------------------------------- brackets
def _brackets(line: Line) -> None:
    """A bracket is limits, a condition, words, or a part of its own that is read like any other."""
    made: list[Token] = []
    at = 0
    for match in _BRACKET.finditer(line.letters):
        inside = line.tokens[match.start() + 1 : match.end() - 1]
        made += line.tokens[at : match.start()]
        made += _bracket(line.tokens[match.start()], inside, line.tokens[match.end() - 1])
        at = match.end()
    line.tokens = made + line.tokens[at:]


def _bracket(opened: Token, inside: list[Token], closed: Token) -> list[Token]:
    inside, source = without_source(inside)
    piece = Line("", list(inside))
    rewrite(piece, _MARKED, condition_of)
    letters = piece.letters
    if not any(token.letter in "qx" for token in inside):
        return [*(replace(token, letter="," if token.letter in ",;" else token.letter) for token in piece.tokens)]
    limits = in_bracket(piece.tokens)
    if limits is not None:
        limits = replace(limits, source=source_of(source)) if source else limits
        return [Token("L", opened.start, closed.end, "", limits)]
    if letters == "C":
        return piece.tokens
    named = any(token.letter in "wnp" for token in inside) and not any(token.letter in "lhsd" for token in inside)
    if not named:
        return [Token("X", opened.start, closed.end, "", tuple(t for t in inside if t.letter in "qx"))]
    comma = Token(",", opened.start, opened.end, "(", None)
    return [comma, *inside, Token(",", closed.start, closed.end, ")", None)]


# ---------------------------------------------------------------------- "of", open ends, distances from a mark
_MOST_OF_A_THING = 24


def _nominal(_line: Line, tokens: list[Token], _at: int) -> list[Token] | None:
    one, *named, mark, other = tokens
    a, b = one.amount, other.amount
    if named and (not other.amount.bare or not named[0].text.endswith("ed")):
        return None
    if mark.letter == "/" and b.dimension != "cranking current":
        return None  # 512/800 CCA: measured of rated
    if not (a.bare or b.bare or a.dimension == b.dimension) or a.than or b.than:
        return None
    several = sum(token.letter == "q" for token in _line.tokens) > len(tokens) - 1
    if (
        mark.letter == "o"
        and several
        and all(x.bare and x.text.isdecimal() and (x.value or 0) <= _MOST_OF_A_THING for x in (a, b))
    ):
        return [replace(token, letter="n", held=None) for token in (one, mark, other)]  # "5 of 8 broke loose"
    limits = GivenLimits(nominal=b)
    first = one.with_amount(unit=b.unit, dimension=b.dimension, bare=b.bare) if a.bare else one
    return [first, *named, Token("L", mark.start, other.end, "", limits)]


def _gauged(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``12.1 V +/- 0.2 (min 12.0)``: in front of limits of its own a tolerance is what the gauge may be off by.

    Alone on the line it is no reading: it says what should be.
    """
    one, _, other = tokens
    a, b = one.amount, other.amount
    if a.than or a.to or b.than or b.to or a.value is None or b.value is None:
        return None
    held = [token.held for token in line.tokens[at + 3 :] if token.letter == "L"]
    if not held and line.letters.count("q") == len("qq"):
        return [Token("L", one.start, other.end, "", GivenLimits(nominal=a, tolerance=b))]
    if not held or not held[0].bracketed or held[0].tolerance is not None:
        return None
    off = b.text
    if b.unit == "%" and a.unit != "%":
        off = finite(abs(a.value) * b.value / 100)
    elif not a.bare and not b.bare:
        moved = convert_gap(b.value, b.unit, a.unit)
        off = b.text if moved == b.value else finite(moved) if moved is not None else ""
    elif a.bare:
        one = one.with_amount(unit=b.unit, dimension=b.dimension, bare=b.bare)
    return [replace(one.with_amount(pm=off), end=other.end)] if off else None


def _open_end(_line: Line, tokens: list[Token], _at: int) -> list[Token] | None:
    """``30 mA <50``: an inequality right behind a reading of the same dimension bounds it."""
    one, other = tokens[0], tokens[-1]
    a, b = one.amount, other.amount
    if b.than not in ("<", ">") or a.than or not (b.bare or b.dimension == a.dimension) or a.bare:
        return None
    if not (other.text[:1] in "<>" or _starts_with_sign(_line, other)):
        return None
    limits = GivenLimits(high=replace(b, than="")) if b.than == "<" else GivenLimits(low=replace(b, than=""))
    return [one, Token("L", other.start, other.end, "", limits)]


def _starts_with_sign(line: Line, token: Token) -> bool:
    return line.text[token.start : token.start + 1] in ("<", ">", "≤", "≥")


# ---------------------------------------------------------------------- conditions
_BOTH_ON = Regex(r"(?<=q)w{1,2}jc")


def _both_on(line: Line, tokens: list[Token], _at: int) -> list[Token] | None:
    """``13.2 V at 1500 rpm lights and heater on``: one state of both."""
    first, last = tokens[0], tokens[-1]
    if last.text.split(" ")[-1] not in ("on", "off", "running"):
        return None
    return [replace(last, start=first.start, text=line.said(first.start, last.end), gap=first.gap)]


_RUN_OF = Regex(r"(?<=[,;])Cw{1,2}(?=q)")


def _run_of(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``12.1 V, after 1 h charge 12.8``: what ran so long belongs to the condition where a bare figure goes on."""
    condition, *words = tokens
    told = [one for one in condition.held or () if one.letter == "q" and is_told(one.amount)]
    value = line.tokens[at + len(tokens)].amount
    read = any(one.letter == "q" and not one.amount.bare for one in line.tokens[:at])
    if not told or not condition.text.casefold().startswith("after") or not value.bare or not read:
        return None
    end = words[-1].end
    return [replace(condition, end=end, text=line.said(condition.start, end))]


def _stated(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``88 F ambient``, ``325 A load``: the word says that the amount is a condition."""
    word, number = tokens[-1], tokens[-2]
    behind = line.tokens[at + len(tokens)] if at + len(tokens) < len(line.tokens) else None
    ran = number.amount.dimension == "time" and word.text in _RAN and (at == 0 or line.tokens[at - 1].letter in ",;")
    if ran and behind is None and len(tokens) == len("qc"):
        return [Token("C", tokens[0].start, tokens[-1].end, line.said(tokens[0].start, tokens[-1].end), (number,))]
    if word.text not in _STATED_WORDS or number.amount.bare or (behind is not None and behind.letter == "w"):
        return None
    if word.text != "load" and number.amount.dimension not in ("temperature", "angle"):
        return None  # "160 psi ambient 36 deg"
    start, end = tokens[0].start, tokens[-1].end
    return [Token("C", start, end, line.said(start, end), (number,))]


def _around(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``52 psi at 1800 rpm, 84F in shop``: how warm it was around the thing while it was read."""
    number, lead, *words = tokens
    warm = not number.amount.bare and number.amount.dimension == "temperature"
    before = any(token.letter == "q" for token in line.tokens[:at])
    if not (warm and before) or lead.text not in ("in", "inside") or words[-1].text not in _ROOMS:
        return None
    start, end = tokens[0].start, tokens[-1].end
    return [Token("C", start, end, line.said(start, end), (number,))]


_ELECTRIC = frozenset({"voltage", "current", "resistance"})


def _referred(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``1-3/4 pt full``, ``30 new``: what it holds or was, not what was measured."""
    number, word = tokens
    electric = any(one.letter == "q" and one.amount.dimension in _ELECTRIC for one in line.tokens[:at])
    if word.text not in _REFERENCES or (word.text == "full" and electric):
        return None  # "0.48 V at rest 4.6 full": how far it was pressed
    return [replace(word, letter="v", start=number.start), number]


def _idling(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``hot idle 650``: the bare number behind it is the speed of the engine."""
    word, number = tokens
    warm = number.amount.bare or number.amount.dimension in ("temperature", "angle")
    if word.text.startswith(("amb", "outside")) and warm:
        return [Token("C", word.start, number.end, line.said(word.start, number.end), (number,))]
    if not word.text.endswith("idle") or not number.amount.bare or number.amount.shape != "whole":
        return None
    changed = line.tokens[at + 2 : at + 4]  # "idle 650 then 720 rpm": both are read
    if (number.amount.value or 0) < SLOWEST or [one.letter for one in changed] == ["r", "q"]:
        return None
    if _was_read_at_idle(line, at):
        turned = number.with_amount(unit="rpm", dimension="rotation", bare=False)
        return [replace(word, letter="w", held=None), turned]
    read = [one.amount for one in line.tokens[:at] if one.letter == "q" and not one.amount.bare and one.amount.value]
    if any(
        abs(number.amount.value or Fraction(0)) < abs(one.value or Fraction(0)) * 2
        for one in read
        if one.dimension not in CONDITIONS
    ):
        return None  # "380 kPa at idle 400 no vac": as likely what was read next
    return [Token("C", word.start, number.end, line.said(word.start, number.end), (number,))]


def _was_read_at_idle(line: Line, at: int) -> bool:
    """``low idle 640 rpm, high idle 2430``: in the part before the other speed at idle was read."""
    if at < len("wq,") or line.tokens[at - 1].letter not in ",;":
        return False
    idle, speed = line.tokens[at - 3 : at - 1]
    return idle.text.endswith("idle") and speed.letter == "q" and speed.amount.dimension == "rotation"


def _moment(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``720 after`` and ``1150 rpm before TB clean``: behind a value, which end of the work it was read at."""
    if tokens[0].text not in ("after", "aft", "before", "bef", "b4", "now"):
        return None
    behind = line.tokens[at + 1] if len(tokens) == 1 and at + 1 < len(line.tokens) else None
    if behind is not None and behind.letter == "q":  # "1.4 A before cleaning 3.1 after 2.8-3.4"
        told = any(one.text.casefold().startswith(("bef", "aft", "b4", "was")) for one in line.tokens[:at])
        if not (behind.amount.to and told) or is_told(behind.amount):
            return None
    start, end = tokens[0].start, tokens[-1].end
    return [Token("C", start, end, line.said(start, end), ())]


def _from(_line: Line, tokens: list[Token], _at: int) -> list[Token] | None:
    """``from 172 down to 158 psi``: both ends of a change."""
    return [replace(tokens[0], letter="u"), *tokens[1:]] if tokens[0].text == "from" else None


def _took(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``85-100 psi in 52 s``, ``85 to 100 psi took 52 s``: the time was read, the range is what it was taken over."""
    span, mark, time = tokens
    if not span.amount.to or mark.text not in _TAKING or time.amount.dimension != "time":
        return None
    if at and line.tokens[at - 1].letter == "e":
        return None  # "injector 3 80 mL others 22 to 26 in 2 min"
    condition = Token("C", span.start, mark.end, line.said(span.start, span.end), (span,))
    return [condition, time]


_BUILT = Regex(r"qq")
_BUILDS = ("build", "built", "recover", "fill", "pump", "climb", "rise", "charg")


def _built(line: Line, tokens: list[Token], at: int) -> list[Token] | None:
    """``build 85 to 100 psi 52 s``: behind a word for building up the range is what the time was taken over."""
    span, time = tokens
    told = any(token.text.startswith(_BUILDS) for token in line.tokens[:at])
    if not told or not span.amount.to or span.amount.bare or time.amount.dimension != "time":
        return None
    return [Token("C", span.start, span.end, line.said(span.start, span.end), (span,)), time]


_TAKING = frozenset({"in", "within", "over", "took", "takes", "taking"})
