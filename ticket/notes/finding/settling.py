"""Words that belong to a class only beside a number or another word: decided once all tokens are known."""

import re
from dataclasses import replace
from fractions import Fraction

from ticket.job.regex import Regex
from ticket.language.lexicon import look
from ticket.notes.finding.circumstances import SLOWEST, join_switched
from ticket.notes.finding.corners import join_corners
from ticket.notes.finding.lexer import mixed_text
from ticket.notes.finding.lexicon import Phrase, is_noun
from ticket.notes.finding.limits_given import RATE_WORDS
from ticket.notes.finding.missing_commas import drop_commas, part_at_dashes
from ticket.notes.finding.naming import (
    FILLERS,
    LARGEST_NAME,
    drop_fillers,
    is_small,
    join_amounts,
    name_things,
    settle_metal,
    settle_sources,
)
from ticket.notes.finding.near_places import ONE_LETTER, RIGHTS, held_places, is_unsettled, near_place, places_of_nouns
from ticket.notes.finding.neighbours import at_place, is_any, is_time, later_amount
from ticket.notes.finding.numbered import count_in_words, list_cylinders, number_places
from ticket.notes.finding.stated import is_told
from ticket.notes.finding.tokens import Amount, Line, Token
from ticket.readings.units import find

_LONG = ("length", "volume")
_ENDS = frozenset(",;)")
_SPAN_WORDS = frozenset({"in", "over", "for", "per"})  # in 52 s, over 5 min: how long it took


def settle(line: Line) -> None:
    """Give every token the one class it has on this line."""
    part_at_dashes(line)
    _drop_colons(line)
    drop_commas(line)
    _join_minutes(line)
    _litres_alone(line)
    _join_wishes(line)
    list_cylinders(line)
    count_in_words(line)
    _rates(line)
    tokens = line.tokens
    alone = {token.text for token in tokens if token.letter == "p" and token.text in ONE_LETTER}
    for at, token in enumerate(tokens):
        if (
            token.text == "outside"
            and is_any(at_place(line, at - 1), "q")
            and line.tokens[at - 1].amount.dimension == "temperature"
        ):
            tokens[at] = replace(token, letter="c", held=None)
        elif token.text in _SPAN_WORDS and is_time(at_place(line, at + 1)):
            tokens[at] = replace(token, letter="k", held="")
        elif is_unsettled(token):
            tokens[at] = _settled(line, at, alone)
    join_corners(line)
    _in_32nds(line)
    _drop_currents(line)
    number_places(line)
    settle_sources(line)
    places_of_nouns(line)
    drop_fillers(line)
    name_things(line)
    join_amounts(line)
    settle_metal(line)
    _join_lists(line)
    join_switched(line)


def _drop_colons(line: Line) -> None:
    """``before: 9.1 V, after: 13.8 V``: the colon behind a moment says no more than a blank."""
    tokens = line.tokens
    moments = {
        at for at in range(len(tokens) - 1) if tokens[at].text in ("before", "after") and tokens[at + 1].letter == ":"
    }
    told = {tokens[at].text for at in moments if at + 2 < len(tokens) and tokens[at + 2].letter == "q"}
    if len(told) == len(("before", "after")):
        line.tokens = [token for at, token in enumerate(tokens) if not (token.letter == ":" and at - 1 in moments)]


def _join_lists(line: Line) -> None:
    """``with blower, lamps and rear defog on``: the commas of a list that one state closes do not part the line."""
    tokens = line.tokens
    for at in range(len(tokens) - 1, -1, -1):
        if tokens[at].letter != "k" or tokens[at].text not in _WITH:
            continue
        stop = next((i for i in range(at + 1, len(tokens)) if tokens[i].letter not in "w,jpnc"), len(tokens))
        ends = [i for i in range(at + 1, stop) if tokens[i].text.split(" ")[-1] in ("on", "running")]
        inside = tokens[at + 1 : ends[0]] if ends else []
        letters = "".join(token.letter for token in inside)
        if "," in letters and "j" in letters[letters.rindex(",") :] and len(letters) < _LONGEST_LIST:
            tokens[at + 1 : ends[0]] = [token for token in inside if token.letter != ","]


_WITH = frozenset({"with", "w/", "w"})
_LONGEST_LIST = 14


_TAKING = frozenset("takes took taking in after for within of".split())
_CORNER = Regex(r"[1-9][lr][io]?", re.I)


def _join_minutes(line: Line) -> None:
    """``takes 6 min 20 to cut out``: minutes and seconds, where a word for how long leads them."""
    tokens = line.tokens
    for at in range(len(tokens) - 4, -1, -1):
        led, number, unit, rest = tokens[at : at + 4]
        if led.text not in _TAKING or unit.text not in ("min", "mins") or number.letter != "q" or rest.letter != "q":
            continue
        minutes, seconds = number.amount, rest.amount
        whole = minutes.shape == seconds.shape == "whole" and minutes.bare and seconds.bare
        if not whole or len(seconds.text) != len("20") or not 0 <= (seconds.value or 0) < _MINUTE:
            continue
        value = (minutes.value or 0) * _MINUTE + (seconds.value or 0)
        held = replace(seconds, text=mixed_text(value), value=value, unit="s", dimension="time", bare=False)
        tokens[at + 1 : at + 4] = [replace(number, end=rest.end, text=f"{number.text} min {rest.text}", held=held)]


_MINUTE = Fraction(60)


def _litres_alone(line: Line) -> None:
    """``20l adblue 1l coolant``: a small "l" is a corner of an axle only where another corner is named."""
    corners = [at for at, token in enumerate(line.tokens) if token.letter == "p" and _CORNER.fullmatch(token.text)]
    token = line.tokens[corners[0]] if len(corners) == 1 else None
    if token is not None and token.text.endswith("l"):
        held = Amount(token.text[0], Fraction(token.text[0]), "L", "volume", bare=False)
        line.tokens[corners[0]] = replace(token, letter="q", held=held)


def _join_wishes(line: Line) -> None:
    """``should see 30+``, ``must hold 200``: the verb behind such a word says nothing more than "be"."""
    tokens = line.tokens
    for at in range(len(tokens) - 3, -1, -1):
        wish, verb, figure = tokens[at : at + 3]
        if wish.text in _WISHES and verb.letter == "w" and figure.letter in "qi" and _is_verb(verb.text):
            tokens[at : at + 2] = [replace(wish, end=verb.end)]


_WISHES = frozenset("should shud shold shd shld must".split())


def _is_verb(word: str) -> bool:
    return any(one.form == "base" and one.cls in ("doing", "link", "work") for one in look(word))


def _strokes_of_rates(tokens: list[Token]) -> None:
    """``drift 12 mm/min limit 8``: behind a unit and a stroke stands the time of a rate, and no least value."""
    for at in range(len(tokens) - 3, -1, -1):
        number, *unit, stroke, period = tokens[at : at + 4]
        if stroke.letter != "/":
            number, unit, stroke, period = tokens[at], [], tokens[at + 1], tokens[at + 2]
        known = find(unit[0].text) if unit else None
        rated = number.letter == "q" and (known is not None if unit else not number.amount.bare)
        time, _, behind = period.text.partition(" ")
        if stroke.letter != "/" or not rated or time not in _PERIODS or period.letter == "q":
            continue
        rest = _RATED_BY.get(behind, "")
        if behind and not rest:
            continue
        if known is not None:
            number = replace(
                number.with_amount(unit=unit[0].text, dimension=known.dimension, bare=False), end=unit[0].end
            )
        made = Token("C", stroke.start, stroke.end + len(time), f"/{time}", (), gap=False)
        more = (
            [Token(rest, period.end - len(behind), period.end, behind)] if rest else []
        )  # "min limit" is no phrase here
        tokens[at : at + len(unit) + 3] = [number, made, *more]


_RATED_BY = {"limit": "d", "spec": "s"}


def _rates(line: Line) -> None:
    """``2 psi a min``, ``9 mm every 5 min``: in which time or on which way; never the word of a least value."""
    tokens = line.tokens
    _strokes_of_rates(tokens)
    for at in range(len(tokens) - 3, -1, -1):
        number, word, unit = tokens[at : at + 3]
        if number.letter != "q" or word.text not in {"in", *RATE_WORDS}:
            continue
        over = unit.letter == "q" and word.text in ("every", "per") and is_told(unit.amount)
        if over or unit.text in _PERIODS:
            text = line.said(word.start, unit.end)
            held = (unit,) if over else ()
            tokens[at + 1 : at + 3] = [Token("C", word.start, unit.end, text, held, word.gap)]
        elif word.text == "in" and unit.text in ("a", "an") and at + 3 < len(tokens):
            period = tokens[at + 3]
            if period.text in _PERIODS:  # "6 psi in a min"
                text = line.said(word.start, period.end)
                tokens[at + 1 : at + 4] = [Token("C", word.start, period.end, text, (), word.gap)]


_PERIODS = frozenset("min minute hr hour sec second day week month mile km rev turn stroke cycle start night".split())


def _drop_currents(line: Line) -> None:
    """``119.6 V AC``: which kind of voltage it is names nothing of its own."""
    line.tokens = [
        token for at, token in enumerate(line.tokens)
        if not (token.text in ("ac", "dc", "rms") and token.letter == "w" and _is_electric(at_place(line, at - 1)))
    ]  # fmt: skip


def _is_electric(token: Token | None) -> bool:
    return token is not None and token.letter == "q" and token.amount.dimension in ("voltage", "current")


def _in_32nds(line: Line) -> None:
    """``32nds: steer L 6 R 7``: the notation is said once; whole numbers are parts of an inch."""
    if not any(token.letter == "n" and token.text in ("32nds", "32nd") for token in line.tokens):
        return
    for at, token in enumerate(line.tokens):
        if token.letter == "q" and is_small(token.amount) and token.amount.value is not None:
            held = replace(
                token.amount, text=f"{token.amount.text}/32", value=token.amount.value / 32, unit="in",
                    dimension="length",
                shape="32nds", bare=False,
            )  # fmt: skip
            line.tokens[at] = replace(token, held=held)


def _settled(line: Line, at: int, alone: set[str]) -> Token:
    """The first of its rows that holds here; a plain word where none does."""
    token = line.tokens[at]
    for row in token.held:
        if not _holds(line, at, row, alone):
            continue
        held = row.places if row.letter == "p" else row.means
        if row.letter == "p" and token.text == "r" and "f" in alone and "l" not in alone:
            held = (("end", "rear"),)
        if row.letter == "p" and token.text == "rr" and _ends_only(line, at):
            held = (("end", "rear"),)
        if row.letter == "p" and token.text == "fr" and _sides_apart(line):
            held = (("end", "front"),)
        return replace(token, letter=row.letter, held=held)
    return replace(token, letter="w", held=None)


def _sides_apart(line: Line) -> bool:
    """``brake pads fr 1.8 mm left 2.4 right``: both sides are named on their own, so "fr" is the front."""
    texts = {token.text for token in line.tokens}
    sided = any(texts & one and texts & other for one, other in ((_LEFT, _RIGHT),))
    return sided and not texts & {"fl", "rl"}


_LEFT, _RIGHT = frozenset({"left", "lh", "l"}), frozenset({"right", "rh", "r"})


def _ends_only(line: Line, at: int) -> bool:
    """``rr 27 psi`` in small letters, with no side on the line: of a car the right rear, of a motorcycle the rear."""
    sides = {"lf", "rf", "lr", "left", "right", "l", "r", "lh", "rh", "fl", "rl", "rr"}
    others = {token.text for place, token in enumerate(line.tokens) if place != at}
    return line.text[line.tokens[at].start : line.tokens[at].end].islower() and not others & sides


def _holds(line: Line, at: int, row: Phrase, alone: set[str]) -> bool:
    if _names_what_is_read(line, at, row) or _bounds_nothing(line, at, row) or _is_way_it_goes(line, at, row):
        return False
    match row.when:
        case "never":
            return False
        case "num":
            return _has_number(line, at)
        case "near":
            return _near(line, at, row, alone)
        case "judged":
            if row.letter == "y" and is_any(at_place(line, at + 1), "q"):
                return False  # "> 279 kPa normal 140-363": it opens limits rather than judging what stands before
            return _bounds_before(line, at) or (
                row.letter == "z" and is_any(at_place(line, at + 1), "i@") and is_any(at_place(line, at + 2), "q")
            )
        case "side":
            only_one = len({token.text.rstrip("s") for token in line.tokens} & {"upper", "lower"}) < 2
            moved = not {token.text for token in line.tokens}.isdisjoint(("lift", "raise", "lifts", "raises"))
            behind = is_any(at_place(line, at - 1), "q")
            if only_one and behind and (moved or line.tokens[at - 1].amount.dimension == "length"):
                return False  # "20 mm lower on the left", "14 A lift 9 A lower"
            return not _opens_a_name(line, at)
        case "behind":
            if is_any(at_place(line, at - 1), "@k"):
                return False  # "at the top" is a place
            return any(token.letter in "qx" for token in line.tokens[max(0, at - 4) : at])
        case _:
            return not _is_denied_until(line, at, row) and not _remaining(line, at)


def _names_what_is_read(line: Line, at: int, row: Phrase) -> bool:
    """``idle 720 rpm``, ``door open 2.1 s, close 4.9``: how fast it idles, or how long the opening took."""
    if row.letter == "c" and row.words[-1] == "idle":
        return _turns(_next_amount(line, at)) or _named_speed(line, at)
    return row.words in _MOVES and is_time(_next_amount(line, at))


def _is_way_it_goes(line: Line, at: int, row: Phrase) -> bool:
    """``pulls left, toe 12' in``: where it drifts to is no place of what is read behind."""
    if line.tokens[at].text == "lowers" and not _LIFTED.isdisjoint(token.text for token in line.tokens):
        return True  # "tail lift lowers in 12 s"
    goes = at > 0 and line.tokens[at - 1].text in _GOES
    return (
        goes and row.places in ((("side", "left"),), (("side", "right"),)) and not is_any(at_place(line, at + 1), "qp")
    )


_GOES = frozenset("pulls pull pulling pulled drifts drift drifting veers veering wanders leans leaning".split())
_LIFTED = frozenset("lift lifts raises mast boom ram door window ramp body tipper hoist jack cab bucket arm".split())
_MOVES = (("open",), ("closed",), ("close",))


def _bounds_nothing(line: Line, at: int, row: Phrase) -> bool:
    """``3.9 V floor``: where the pedal was; ``pumped up to 35``: what it was set to."""
    if row.words[0] == "stays" and row.letter in "lh" and is_any(at_place(line, at - 1), "qx"):
        return True  # "0.3 A stays above the 50 mA sleep": what it does, not what it may do
    if row.words == ("floor",) and row.letter == "l":
        return not _is_least(line, at)
    return row.words == ("up", "to") and row.letter == "h" and not _may_go(line, at)


def _is_least(line: Line, at: int) -> bool:
    """``9.6 is the floor``, ``104 V, floor 110 V``."""
    before = at_place(line, at - 1)
    return before is None or before.letter in ",;(" or before.text in ("the", "a", "is")


_ALLOWING = frozenset(
    "ok okay good fine allowed legal permitted acceptable safe normal spec limit says say is be are range"
    " anything".split()
)


def _may_go(line: Line, at: int) -> bool:
    """Whether the words in front of "up to" say that so much is allowed, or none stand there."""
    begun = max((i + 1 for i in range(at) if line.tokens[i].letter in ",;(q"), default=0)
    words = [token.text for token in line.tokens[begun:at] if token.letter == "w"]
    read = begun and line.tokens[begun - 1].letter == "q"  # "92 F coolant RH up to 138": its name stands behind it
    does = {one.form for word in words[-1:] for one in look(word)} & {"past", "participle", "third", "base"}
    if read and (not does or is_noun(words[-1])):
        return True
    return not words or not _ALLOWING.isdisjoint(token.text for token in line.tokens[begun:at])


def _opens_a_name(line: Line, at: int) -> bool:
    """``lower ball joint 2 mm``: in front of a noun it names the thing; beside "upper" on the line it is a place."""
    texts = {token.text for token in line.tokens}
    named = is_any(at_place(line, at + 1), "w") and not is_any(at_place(line, at - 1), "qx")
    return named and not {"upper", "lower"} <= texts


def _named_speed(line: Line, at: int) -> bool:
    """``idle speed, hot, A/C on 760 rpm``: the speed at idle is what was read."""
    following = at_place(line, at + 1)
    return following is not None and following.text in ("speed", "rpm")


def _is_denied_until(line: Line, at: int, row: Phrase) -> bool:
    """``didn't come on till 48 psi`` leaves nobody in doubt."""
    denied = row.letter == "?" and row.words[0] in ("didnt", "didn't")
    return denied and any(token.text in ("till", "until", "til") for token in line.tokens[at:])


def _remaining(line: Line, at: int) -> bool:
    """``1.5 mm left on it``, ``2 mm of pad left``: what remains; ``right at the crimp``: how near. No side."""
    behind = at_place(line, at + 1)
    begun = max((i + 1 for i in range(at) if line.tokens[i].letter in ",;("), default=0)
    closes = behind is None or behind.letter in ",;(vlhsd"
    before = at_place(line, at - 1)
    rest = before is not None and before.text in _REMAINS and any(t.letter == "q" for t in line.tokens[begun:at])
    of_it = closes and (rest or is_any(at_place(line, begun), "q"))
    if is_any(before, "q") and before is not None and before.amount.bare and is_any(at_place(line, at - 2), "p"):
        return False  # "axle 2 left 7 mm"
    if line.tokens[at].text == "left" and (of_it or is_any(at_place(line, at - 1), "q")):
        return not any(token.text in RIGHTS or ("side", "right") in held_places(token) for token in line.tokens)
    exactly = behind is not None and behind.text in _EXACTLY
    if exactly or (before is not None and before.text in _SEEMS):
        return line.tokens[at].text == "right"
    return (
        line.tokens[at].text == "right" and before is not None and before.letter in "uV" and before.text not in _NOUNS
    )


_EXACTLY = frozenset("at where by behind under beneath above below beside next through into when there here".split())
"""In front of one of these "right" says how near, and is no side: ``crack right at the crimp``."""
_SEEMS = frozenset("seems seem looks look sounds feels about just".split())
_REMAINS = frozenset("pad pads meat tread lining rope rubber material thread friction stroke travel brush life".split())
"""What is left of a thing: ``3 m rope left``."""


_NOUNS = frozenset({"thickness", "value", "thing", "reading", "figure", "spec", "number"})
"""Behind one of these "right" is a side: "thickness right 21.2"."""


def _bounds_before(line: Line, at: int) -> bool:
    """A judgement such as "ok" or "scrap" closes limits: a range or an inequality stands right before it."""
    for place in range(at - 1, -1, -1):
        token = line.tokens[place]
        if token.letter in "qx":
            mark = at_place(line, place - 1)
            return is_any(mark, "i-t") or (token.letter == "q" and bool(token.amount.than))
        if token.letter not in "uVw":
            return False
    return False


def _next_amount(line: Line, at: int) -> Token | None:
    """The next amount of the part, where only words stand in between."""
    for token in line.tokens[at + 1 :]:
        if token.letter == "q" and token.amount.bare and token.amount.shape != "decimal":
            continue
        if token.letter == "q":
            return token
        if token.letter not in "wuVPitSs-":
            return None
    return None


def _turns(token: Token | None) -> bool:
    return token is not None and token.letter == "q" and token.amount.dimension == "rotation"


def _has_number(line: Line, at: int) -> bool:
    """Whether a whole number without a unit stands right behind, which is then part of the position."""
    token = at_place(line, at + 1)
    if token is not None and token.letter == "p" and not is_unsettled(token) and token.held[0][1][:1] == "#":
        return True
    if token is None or token.letter != "q" or not token.amount.bare or token.amount.shape != "whole":
        return False
    if (
        token.amount.than
        or token.amount.signed
        or (token.amount.value is not None and abs(token.amount.value) > LARGEST_NAME)
    ):
        return False
    if (
        line.tokens[at].text.startswith("sens")
        and is_any(at_place(line, at + 2), "t-r")
        and is_any(at_place(line, at + 3), "q")
    ):
        return False  # "wheel speed sensor 55 to 80 Hz" is a range, no number of the sensor
    if is_any(at_place(line, at + 2), "o") and is_any(at_place(line, at + 3), "q"):
        return False  # "parking sensor 2 of 4 dead"
    if line.tokens[at].text == "axle" and _named_axle(line, at):
        return False
    if line.tokens[at].text == "pin" and not any(map(_is_of_a_circuit, line.tokens)):
        return False  # "eye 51.8, pin 48": of steel
    rows = line.tokens[at].held
    direction = rows[0].places[0][0] if is_unsettled(line.tokens[at]) and rows[0].places else ""
    if direction == "pos" and line.tokens[at].text in ("batt", "battery", "wheel", "block", "ch"):
        return later_amount(line, at + 2)
    return True


def _named_axle(line: Line, at: int) -> bool:
    """``drive axle 7 6 5 7 mm``: the axle has a name of its own, and what stands behind it is a list of values."""
    named = at > 0 and line.tokens[at - 1].text in _AXLES
    return named and all(is_any(at_place(line, at + step), "q") for step in (1, 2, 3))


_AXLES = frozenset("drive steer front rear tag lift trailer steering pusher".split())


def _is_of_a_circuit(token: Token) -> bool:
    """A figure in volts, amperes or ohms, or a word for what pins stand in."""
    if token.letter == "q":
        return token.amount.dimension in ("voltage", "current", "resistance") or token.amount.shape == "word"
    return token.text.startswith(_CIRCUITS) or token.letter == "n"


_CIRCUITS = (
    "conn", "plug", "socket", "term", "harness", "ecu", "ecm", "pcm", "module", "wire", "wiring", "can", "pins",
    "circuit", "sensor", "relay", "gnd", "ground", "earth", "power", "open", "short", "obd", "dlc", "way",
)  # fmt: skip


def _near(line: Line, at: int, row: Phrase, alone: set[str]) -> bool:  # noqa: C901  one class a branch
    before, after = at_place(line, at - 1), at_place(line, at + 1)
    number_before, number_after = is_any(before, "qx"), is_any(after, "qx")
    if row.letter in "lsdv" and after is not None and after.text in FILLERS:
        number_after = any(is_any(at_place(line, at + step), "qx") for step in (2, 3))
    if after is not None and after.letter in "=:<>i" and is_any(at_place(line, at + 2), "qx"):
        number_after = True
    match row.letter:
        case "p":
            return near_place(line, at, row, number_before=number_before, number_after=number_after, alone=alone)
        case "s" if row.words[-1] == "within":
            return is_any(after, "a")
        case "s" if row.words[0] == "set" and row.words[-1] in ("set", "is"):
            other = is_any(before, "w") and (at < 2 or line.tokens[at - 2].letter in ",;")  # "58 l/min, relief set 200"
            return is_any(after, "q") and any(token.letter == "q" for token in line.tokens[:at]) and not other
        case "d" if row.words == ("needs",):
            return number_after  # "5 mm needs attention" gives no limit
        case "h":
            return number_after or number_before or is_any(after, "a")
        case "l" | "s":
            return (
                number_after
                or (row.letter == "s" and is_any(after, "a"))
                or (row.letter == "l" and number_before)
                or (row.letter == "s" and is_any(after, "i"))
            )
        case "k" | "@" if row.words[0] in ("on", "by"):
            warm = row.letter == "@" and after is not None and after.letter == "q" and _is_warmth(after.amount)
            put_on = number_before and after is not None and after.letter == "q" and _is_put_on(before, after)
            return warm or (
                row.letter == "k" and after is not None and after.letter == "q" and (put_on or _is_speed(after.amount))
            )
        case "v" if row.words == ("worn",):
            begun = max((i + 1 for i in range(at) if line.tokens[i].letter in ",;"), default=0)
            first = not any(token.letter in "qx" for token in line.tokens[begun:at])
            return number_after and not (first and is_any(before, "wp"))  # "pads worn 4.5 mm"
        case "k" if row.words == ("w",) and is_any(after, "wp") and _closes_with_state(line, at):
            return not {"u", "v"} & {token.text for token in line.tokens}  # "22 psi on the brakes w rear door open"
        case "k" if row.words == ("w",) and is_any(after, "wcnp"):
            return number_before and not {"u", "v"} & {token.text for token in line.tokens}  # "13.1 V w lights on"
        case "i" | "v" | "k":
            return number_after
        case "t":
            numbered = is_any(before, "q") and is_any(at_place(line, at - 2), "p")  # "pin 1 to pin 3"
            return (number_before and number_after) or ((is_any(before, "p") or numbered) and is_any(after, "p"))
        case "r" if row.words[0] in ("now", "then"):
            soon = any(is_any(at_place(line, at + step), "q") for step in (1, 2))
            return (
                (soon or number_before)
                and later_amount(line, at + 1)
                and any(token.letter == "q" for token in line.tokens[:at])
            )
        case "r":
            return later_amount(line, at + 1) and any(token.letter == "q" for token in line.tokens[:at])
        case "b" | "B":
            by = after is not None and after.text == "by" and is_any(at_place(line, at + 2), "q")
            if by:
                return True
            ends = after is None or after.letter in _ENDS
            number = _before_bracket(line, at)
            return bool(ends and number is not None and number.letter == "q" and number.amount.dimension in _LONG)
        case "c" if row.words == ("rest",):
            rested = number_before and any(token.text.startswith(("batt", "bat ")) for token in line.tokens[:at])
            return number_before and (rested or not number_after) and not is_any(after, "i")
        case "c":
            return number_before or number_after or (before is not None and before.letter in "kc@")
        case _:
            return number_before or number_after


def _closes_with_state(line: Line, at: int) -> bool:
    """Two to four words stand behind it, the last of which says how a thing stood."""
    behind = [at + 1]
    while (token := at_place(line, behind[-1] + 1)) is not None and token.letter in "wpcS" and len(behind) < _LONGEST:
        behind.append(behind[-1] + 1)
    ends = [place for place in behind[1:] if line.tokens[place].text.split(" ")[-1] in _STANDING]
    return bool(ends)


_LONGEST = 5  # words
_STANDING = frozenset("on off open opened shut closed running unplugged disconnected applied released".split())


def _before_bracket(line: Line, at: int) -> Token | None:
    """The token in front, or in front of the bracket that closes there."""
    place = at - 1
    if is_any(at_place(line, place), ")"):
        while place >= 0 and line.tokens[place].letter != "(":
            place -= 1
        place -= 1
    return at_place(line, place)


def _is_warmth(amount: Amount) -> bool:
    return amount.dimension == "temperature" and not amount.than and not amount.to


def _is_put_on(before: Token | None, after: Token) -> bool:
    """``moves 6 mm on 20 inHg``: what was put on a thing while something of another kind was read of it."""
    if before is None or before.letter != "q" or before.amount.bare or after.amount.bare:
        return False
    return after.amount.dimension in _PUT_ON and before.amount.dimension != after.amount.dimension


_PUT_ON = frozenset({"pressure", "voltage", "current", "mass", "force"})


def _is_speed(amount: Amount) -> bool:
    turning = amount.bare and amount.shape == "whole" and (amount.value or 0) >= SLOWEST
    return turning or amount.dimension in ("rotation", "turns", "speed")
