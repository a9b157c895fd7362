"""Words that belong to a class only beside a number or another word: decided once all tokens are known."""

from dataclasses import replace
from itertools import pairwise

from ticket.language.lexicon import look
from ticket.notes.finding.circumstances import SLOWEST
from ticket.notes.finding.lexicon import Phrase, is_noun
from ticket.notes.finding.limits_given import RATE_WORDS
from ticket.notes.finding.naming import (
    FILLERS,
    LARGEST_NAME,
    drop_fillers,
    is_numbered,
    is_small,
    join_amounts,
    name_things,
    settle_metal,
    settle_sources,
)
from ticket.notes.finding.neighbours import at_place, is_any, is_time, later_amount
from ticket.notes.finding.numbered import count_in_words, list_cylinders, number_places
from ticket.notes.finding.stated import is_told
from ticket.notes.finding.tokens import Amount, Line, Places, Token

_LONG = ("length", "volume")
_DEEP = frozenset({"", "length", "pressure", "time"})
"""What lies inner and outer is as thick as so much, or a tyre; of all else what goes in and comes out is told."""
_INLETS = frozenset(
    "toe tracking hose hoses cooler condenser evaporator evap radiator rad pump line pipe flow doc dpf scr turbo "
    "heater core coolant "
    "air water filter vent duct governor gov compressor switch relay solenoid cuts-out cuts-in cut-out cut-in".split()
)
_ONE_LETTER = frozenset({"l", "r", "f"})
_ENDS = frozenset(",;)")
_SPAN_WORDS = frozenset({"in", "over", "for", "per"})  # in 52 s, over 5 min: how long it took


def settle(line: Line) -> None:
    """Give every token the one class it has on this line."""
    _join_wishes(line)
    list_cylinders(line)
    count_in_words(line)
    _rates(line)
    tokens = line.tokens
    alone = {token.text for token in tokens if token.letter == "p" and token.text in _ONE_LETTER}
    for at, token in enumerate(tokens):
        if (
            token.text == "outside"
            and is_any(at_place(line, at - 1), "q")
            and line.tokens[at - 1].amount.dimension == "temperature"
        ):
            tokens[at] = replace(token, letter="c", held=None)
        elif token.text in _SPAN_WORDS and is_time(at_place(line, at + 1)):
            tokens[at] = replace(token, letter="k", held="")
        elif _unsettled(token):
            tokens[at] = _settled(line, at, alone)
    _in_32nds(line)
    _drop_currents(line)
    number_places(line)
    settle_sources(line)
    drop_fillers(line)
    name_things(line)
    join_amounts(line)
    settle_metal(line)


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


def _rates(line: Line) -> None:
    """``2 psi a min``, ``9 mm every 5 min``: in which time or on which way; never the word of a least value."""
    tokens = line.tokens
    for at in range(len(tokens) - 3, -1, -1):
        number, word, unit = tokens[at : at + 3]
        if number.letter != "q" or word.text not in {"in", *RATE_WORDS}:
            continue
        over = unit.letter == "q" and word.text in ("every", "per") and is_told(unit.amount)
        if over or unit.text in _PERIODS:
            text = line.text[word.start : unit.end]
            held = (unit,) if over else ()
            tokens[at + 1 : at + 3] = [Token("C", word.start, unit.end, text, held, word.gap)]
        elif word.text == "in" and unit.text in ("a", "an") and at + 3 < len(tokens):
            period = tokens[at + 3]
            if period.text in _PERIODS:  # "6 psi in a min"
                text = line.text[word.start : period.end]
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


def _unsettled(token: Token) -> bool:
    return isinstance(token.held, tuple) and bool(token.held) and isinstance(token.held[0], Phrase)


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
        return replace(token, letter=row.letter, held=held)
    return replace(token, letter="w", held=None)


def _ends_only(line: Line, at: int) -> bool:
    """``rr 27 psi`` in small letters, with no side on the line: of a car the right rear, of a motorcycle the rear."""
    sides = {"lf", "rf", "lr", "left", "right", "l", "r", "lh", "rh", "fl", "rl", "rr"}
    others = {token.text for place, token in enumerate(line.tokens) if place != at}
    return line.text[line.tokens[at].start : line.tokens[at].end].islower() and not others & sides


def _holds(line: Line, at: int, row: Phrase, alone: set[str]) -> bool:
    if row.letter == "c" and row.words[-1] == "idle" and (_turns(_next_amount(line, at)) or _named_speed(line, at)):
        return False  # "idle 720 rpm" names what was read
    if _bounds_nothing(line, at, row):
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


def _bounds_nothing(line: Line, at: int, row: Phrase) -> bool:
    """``3.9 V floor``: where the pedal was; ``pumped up to 35``: what it was set to."""
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
    """``1.5 mm left on it``, ``2 mm of pad left``: what remains, not a side."""
    behind = at_place(line, at + 1)
    begun = max((i + 1 for i in range(at) if line.tokens[i].letter in ",;("), default=0)
    closes = behind is None or behind.letter in ",;("
    before = at_place(line, at - 1)
    rest = before is not None and before.text in _REMAINS and any(t.letter == "q" for t in line.tokens[begun:at])
    of_it = closes and (rest or is_any(at_place(line, begun), "q"))
    if line.tokens[at].text == "left" and (of_it or is_any(at_place(line, at - 1), "q")):
        return not any(token.text in _RIGHTS or ("side", "right") in _held(token) for token in line.tokens)
    return (
        line.tokens[at].text == "right" and before is not None and before.letter in "uV" and before.text not in _NOUNS
    )


_REMAINS = frozenset("pad pads meat tread lining rope rubber material thread friction stroke travel brush life".split())
"""What is left of a thing: ``3 m rope left``."""


def _held(token: Token) -> Places:
    """The directions of a position, settled or not."""
    return (token.held[0].places if _unsettled(token) else token.held or ()) if token.letter == "p" else ()


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
        if token.letter == "q" and token.amount.bare:
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
    if token is not None and token.letter == "p" and not _unsettled(token) and token.held[0][1][:1] == "#":
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
    if line.tokens[at].text == "pin" and not any(map(_is_of_a_circuit, line.tokens)):
        return False  # "eye 51.8, pin 48": of steel
    rows = line.tokens[at].held
    direction = rows[0].places[0][0] if _unsettled(line.tokens[at]) and rows[0].places else ""
    if direction == "pos" and line.tokens[at].text in ("batt", "battery", "wheel", "block", "ch"):
        return later_amount(line, at + 2)
    return True


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
            return _near_place(line, at, row, number_before=number_before, number_after=number_after, alone=alone)
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
            return warm or (row.letter == "k" and is_any(after, "q") and after is not None and _is_speed(after.amount))
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
            return number_before and not number_after and not is_any(after, "i")
        case "c":
            return number_before or number_after or (before is not None and before.letter in "kc@")
        case _:
            return number_before or number_after


def _before_bracket(line: Line, at: int) -> Token | None:
    """The token in front, or in front of the bracket that closes there."""
    place = at - 1
    if is_any(at_place(line, place), ")"):
        while place >= 0 and line.tokens[place].letter != "(":
            place -= 1
        place -= 1
    return at_place(line, place)


def _near_place(line: Line, at: int, row: Phrase, *, number_before: bool, number_after: bool, alone: set[str]) -> bool:
    before, after = at_place(line, at - 1), at_place(line, at + 1)
    word = line.tokens[at].text
    way = row.places[0][0] if row.places else ""
    ends = {"front", "rear", "back"} & {token.text.split(" ")[0] for token in line.tokens}
    if _at_the(line, at) and (
        way == "level" or (way == "end" and len(ends) > 1) or (way == "depth" and _closes_part(line, at))
    ):
        return True
    if row.places and row.places[0] in (("depth", "center"), ("depth", "middle")) and not _among_edges(line, at):
        return False
    if word in _FOUR_CORNERS and _in_capitals(line, at):
        return True  # capitals on a line of small letters: "FL caster 1.2 deg"
    if is_any(after, ":") and (before is None or before.letter in ",;") and later_amount(line, at + 2):
        return True  # "FL: tread 7/32": a heading names the place of what follows
    beside = _beside_a_place(line, at)
    if word in ("inside", "outside"):
        both = {token.text.split(" ")[0] for token in line.tokens}
        return (number_after or number_before or beside) and {"inside", "outside"} <= both
    if word in ("in", "out"):
        return _in_or_out(line, at, number_before=number_before, number_after=number_after, beside=beside)
    if word in _MATES:  # alone they are long term, road test, low and an order; beside a mate they are sides
        texts = {token.text for token in line.tokens}
        return (number_after or number_before or beside) and not texts.isdisjoint(_MATES[word])
    if word in _ONE_LETTER:
        rate = is_any(after, "/") and is_any(at_place(line, at + 2), "w")  # "1.2 l/km": its unit
        geared = rate or (word == "r" and not {token.text for token in line.tokens}.isdisjoint({"d", "n", "p"}))
        if geared or _letters_a_name(line, at) or (at == 0 and is_any(after, "=") and not {"l", "r"} <= alone):
            return False  # "60 D, 60 R"; "L = 10.2 m": the sign of a quantity
        return number_after or number_before or _beside_a_side(line, at) or {"l", "r"} <= alone
    if row.places and row.places[0][0] == "valve":
        return (number_after or number_before) and any(token.text.startswith(_VALVES) for token in line.tokens)
    if word in ("ns", "os") and _says_sides(line):
        return True
    tilts = word == "back" and any(token.text.startswith(("forward", "fwd")) for token in line.tokens)
    if word == "back" and after is not None and after.letter == "w" and is_noun(after.text):
        return False  # "14 psi back pressure"
    return (number_after or number_before or beside) and not tilts


def _letters_a_name(line: Line, at: int) -> bool:
    """``CAN H to CAN L``, ``relay A 12 V, relay L 0 V``: the word in front has another letter elsewhere, which is no side."""
    before = line.tokens[at - 1].text if at else ""
    letters = {
        other.text for one, other in pairwise(line.tokens) if one.text == before and len(other.text) == 1
    }  # fmt: skip
    return bool(before) and any(letter.isalpha() and letter not in _ONE_LETTER for letter in letters)


_LEFTS, _RIGHTS = frozenset({"lt", "left", "lh", "l"}), frozenset({"rt", "right", "rh", "r"})
_DUALS = frozenset({"lo", "li", "ro", "ri"})
_MATES = {"lt": _RIGHTS, "rt": _LEFTS} | {one: _DUALS - {one} for one in _DUALS}


def _says_sides(line: Line) -> bool:
    """``bush split ns, ball joint os has 1.5 mm``: each says of the other that it is a side."""
    return sum(token.text.replace("/", "")[:2] in ("ns", "os") for token in line.tokens) > 1


def _beside_a_place(line: Line, at: int) -> bool:
    """Another position stands right beside it, or behind a mark or a "to" that joins them."""
    before, after, next_but_one = (at_place(line, at + step) for step in (-1, 1, 2))
    joined = (is_any(after, "/:") and is_any(next_but_one, "pq")) or (is_any(after, ",") and is_any(next_but_one, "p"))
    counted = before is not None and before.text in ("to", "thru") and is_any(at_place(line, at - 2), "p")
    return is_any(after, "p") or is_any(before, "p") or joined or counted  # "FL, FR, RL 58, 541, 634"


def _at_the(line: Line, at: int) -> bool:
    """``5.5 mm at the top``: behind a figure and a preposition."""
    step = at - 1 - (at > 0 and line.tokens[at - 1].text == "the")
    led = step > 0 and line.tokens[step].text in ("at", "@", "on", "in")
    return led and is_any(at_place(line, step - 1), "qx")


def _closes_part(line: Line, at: int) -> bool:
    """Nothing but the word for an edge stands behind it in its part."""
    behind = [at_place(line, at + step) for step in (1, 2)]
    rest = behind[1:] if behind[0] is not None and behind[0].text in ("edge", "edges") else behind
    return rest[0] is None or rest[0].letter in ",;()"


_FOUR_CORNERS = frozenset({"fl", "fr", "rl"})


def _in_capitals(line: Line, at: int) -> bool:
    typed = line.text[line.tokens[at].start : line.tokens[at].end]
    return typed.isupper() and any(
        token.letter == "w" and line.text[token.start : token.end].islower() for token in line.tokens
    )


_VALVES = ("valve", "vlv", "lash", "clear", "clr", "tappet", "shim", "lift")


def _is_warmth(amount: Amount) -> bool:
    return amount.dimension == "temperature" and not amount.than and not amount.to


def _is_speed(amount: Amount) -> bool:
    turning = amount.bare and amount.shape == "whole" and (amount.value or 0) >= SLOWEST
    return turning or amount.dimension in ("rotation", "turns", "speed")


def _among_edges(line: Line, at: int) -> bool:
    """The middle is a position where the line also names an edge; else it is a word."""
    edges = {
        "inner",
        "outer",
        "in",
        "out",
        "inside",
        "outside",
        "left",
        "right",
        "l",
        "r",
        "inr",
        "otr",
        "inners",
        "outers",
        "top",
        "bottom",
        "ds",
        "ps",
    }
    around = {
        place for place, token in enumerate(line.tokens)
        if token.text == "outside" and any(_is_warm(at_place(line, place + step)) for step in (-1, 1))
    }  # fmt: skip
    return any(
        token.text.split(" ")[0] in edges for place, token in enumerate(line.tokens) if place not in {at, *around}
    )


def _is_warm(token: Token | None) -> bool:
    return token is not None and token.letter == "q" and token.amount.dimension == "temperature"


def _beside_a_side(line: Line, at: int) -> bool:
    """A single letter is a side beside another side, an end or an edge; beside a pin or a sensor it is a name."""
    for place in (at - 1, at + 1):
        token = at_place(line, place)
        if token is None or token.letter not in "p/":
            continue
        if token.letter == "/":
            token = at_place(line, place + (1 if place > at else -1))
            if token is None or token.letter not in "pq":
                continue
            if token.letter == "q":
                return True
        held = token.held[0].places if _unsettled(token) else token.held
        if held and held[0][0] in ("side", "end", "depth", "level"):
            return True
    return False


def _in_or_out(line: Line, at: int, *, number_before: bool, number_after: bool, beside: bool) -> bool:
    begun = max((i + 1 for i, token in enumerate(line.tokens[:at]) if token.letter == ";"), default=0)
    stop = next((i for i, token in enumerate(line.tokens) if i > at and token.letter == ";"), len(line.tokens))
    here = line.tokens[begun:stop]
    following = at_place(line, at + 1)
    if following is not None and following.text in ("the", "its", "a", "one", "some"):
        return False  # "in the centre" is a preposition
    if at and line.tokens[at - 1].text in _SWITCH_VERBS:
        return False  # "cuts out at 128"
    if at > 1 and is_any(line.tokens[at - 1], "q") and is_small(line.tokens[at - 1].amount):
        if is_numbered(line.tokens[at - 2].text) and not is_any(following, "q"):
            return False  # "injector 3 out": what was done to it
    timed = {place for place in range(begun, stop) if is_time(at_place(line, place + 1))}  # "in 9.2 s"
    texts = {t.text for place, t in enumerate(here, begun) if t.letter != "k" and place not in timed}
    if not ({"in", "out"} <= texts or "inner" in texts or "outer" in texts):
        return False
    if not any(text.startswith(_FACED) for text in texts) and not {"inner", "outer"} & texts:
        return False
    if (
        texts & {"toe", "tracking"}
        or texts & _INLETS
        or any(t.letter == "q" and t.amount.dimension not in _DEEP for t in here)
    ):
        return False
    return number_after or number_before or beside


_FACED = (
    "pad", "lining", "shoe", "tread", "tyre", "tire", "brake", "dual", "disc", "disk", "rotor", "caliper", "wheel",
    "rib", "edge", "drum", "hub", "bush", "bearing", "brg", "rear", "front", "lf", "rf", "lr", "rr", "lh", "rh",
    "n/s", "o/s", "ns", "os",
)  # fmt: skip
"""What has an inner and an outer face, or stands at a corner; of all else what comes in and goes out is told."""
_SWITCH_VERBS = frozenset("back cut cuts kick kicks come comes go goes pull pulls drop drops lock locks switch".split())
