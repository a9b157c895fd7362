"""Words that belong to a class only beside a number or another word: decided once all tokens are known."""

from dataclasses import replace

from ticket.notes.finding.lexer import mixed_text
from ticket.notes.finding.lexicon import Phrase
from ticket.notes.finding.tokens import Amount, Line, Token
from ticket.readings.units import find

_LONG = ("length", "volume")
_FLOWS = frozenset({"temperature"})
_INLETS = frozenset(
    "hose hoses cooler condenser evaporator evap radiator rad pump line pipe flow doc dpf scr turbo "
    "heater core coolant "
    "air water filter vent duct".split()
)
_COUNTED = frozenset({"cca", "soc", "soh", "count", "counts", "cnt", "misfire", "misfires", "ph", "clicks", "turns"})
_ONE_LETTER = frozenset({"l", "r", "f"})
_ENDS = frozenset(",;)")
_SPAN_WORDS = frozenset({"in", "over", "for", "per"})  # in 52 s, over 5 min: how long it took
SLOWEST = 400
"""An engine idles at no fewer turns a minute: a bare number from here on may be its speed."""
LARGEST_NAME = 99
"""A whole number above this behind a noun is no name of a thing of which there are several."""


def settle(line: Line) -> None:
    """Give every token the one class it has on this line."""
    _cylinders_listed(line)
    tokens = line.tokens
    alone = {token.text for token in tokens if token.letter == "p" and token.text in _ONE_LETTER}
    for at, token in enumerate(tokens):
        if (
            token.text == "outside"
            and _is(_at(line, at - 1), "q")
            and line.tokens[at - 1].amount.dimension == "temperature"
        ):
            tokens[at] = replace(token, letter="c", held=None)
        elif token.text in _SPAN_WORDS and _is_time(_at(line, at + 1)):
            tokens[at] = replace(token, letter="k", held="")
        elif _unsettled(token):
            tokens[at] = _settled(line, at, alone)
    _in_32nds(line)
    _numbered(line)
    _sourced(line)
    _filled(line)
    _named(line)
    _joined(line)
    _worn_to_metal(line)


def _worn_to_metal(line: Line) -> None:
    """``pads LF metal``: a value only beside a position or a thing that wears down to its backing; else a word."""
    for at, token in enumerate(line.tokens):
        if token.letter != "q" or token.text != "metal":
            continue
        before, after = _at(line, at - 1), _at(line, at + 1)
        worn = before is not None and before.text.startswith(("pad", "lining", "shoe", "brake", "friction"))
        if not (_is(before, "p") or worn or (_is(after, "p") and not _is(before, "w"))):
            line.tokens[at] = replace(token, letter="w", held=None)


def _cylinders_listed(line: Line) -> None:
    """``compression cyl 178 175 92 180 psi``: a list behind the word counts the cylinders from the first on."""
    for at, token in enumerate(line.tokens):
        if token.text not in _CYLINDERS:
            continue
        values: list[Token] = []
        for one in line.tokens[at + 1 + _is(_at(line, at + 1), ":") :]:
            if one.letter == "q" and (not values or values[-1].amount.bare) and not one.amount.to:
                values.append(one)
            elif one.letter not in ",/":
                break
        first = values[0].amount if values else None
        sure = first and (first.shape == "decimal" or (first.value or 0) > _MOST_CYLINDERS)
        if first and sure and 2 < len(values) <= _MOST_CYLINDERS:
            named = [replace(token, letter="p", held=(("cyl", f"cylinder {n}"),)) for n in range(1, len(values) + 1)]
            line.tokens[at : at + 1] = named
            return


_CYLINDERS = frozenset({"cyl", "cyls", "cylinder", "cylinders"})
_MOST_CYLINDERS = 16
"""A number above it is no number of a cylinder."""


def _in_32nds(line: Line) -> None:
    """``32nds: steer L 6 R 7``: the notation is said once; whole numbers are parts of an inch."""
    if not any(token.letter == "n" and token.text in ("32nds", "32nd") for token in line.tokens):
        return
    for at, token in enumerate(line.tokens):
        if token.letter == "q" and _small(token.amount) and token.amount.value is not None:
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
        if row.letter == "p" and token.text == "rr" and _ends_only(line):
            held = (("end", "rear"),)
        return replace(token, letter=row.letter, held=held)
    return replace(token, letter="w", held=None)


def _ends_only(line: Line) -> bool:
    """``frt 24 rr 27``: beside a front without a side, rr is the rear."""
    fronts = {"front", "frt", "frnt", "fr", "f"}
    sides = {"lf", "rf", "lr", "left", "right", "l", "r", "lh", "rh", "fl", "rl"}
    texts = {token.text for token in line.tokens}
    return bool(texts & fronts) and not texts & sides


def _holds(line: Line, at: int, row: Phrase, alone: set[str]) -> bool:
    if row.letter == "c" and row.words[-1] == "idle" and (_turns(_next_amount(line, at)) or _named_speed(line, at)):
        return False  # "idle 720 rpm" names what was read
    match row.when:
        case "never":
            return False
        case "num":
            return _has_number(line, at)
        case "near":
            return _near(line, at, row, alone)
        case "judged":
            if row.letter == "y" and _is(_at(line, at + 1), "q"):
                return False  # "> 279 kPa normal 140-363": it opens limits rather than judging what stands before
            return _bounds_before(line, at) or (
                row.letter == "z" and _is(_at(line, at + 1), "i@") and _is(_at(line, at + 2), "q")
            )
        case "behind":
            return any(token.letter in "qx" for token in line.tokens[max(0, at - 4) : at])
        case _:
            return row.words not in (("left",), ("right",)) or not _remaining(line, at)


def _named_speed(line: Line, at: int) -> bool:
    """``idle speed, hot, A/C on 760 rpm``: the speed at idle is what was read."""
    following = _at(line, at + 1)
    return following is not None and following.text in ("speed", "rpm")


def _remaining(line: Line, at: int) -> bool:
    """``1.5 mm left on it``: what remains, not a side."""
    if line.tokens[at].text == "left" and _is(_at(line, at - 1), "q"):
        return not any(token.text in ("right", "r", "rh") for token in line.tokens)
    before = _at(line, at - 1)
    return (
        line.tokens[at].text == "right" and before is not None and before.letter in "uV" and before.text not in _NOUNS
    )


_NOUNS = frozenset({"thickness", "value", "thing", "reading", "figure", "spec", "number"})
"""Behind one of these "right" is a side: "thickness right 21.2"."""


def _bounds_before(line: Line, at: int) -> bool:
    """A judgement such as "ok" or "scrap" closes limits: a range or an inequality stands right before it."""
    for place in range(at - 1, -1, -1):
        token = line.tokens[place]
        if token.letter in "qx":
            mark = _at(line, place - 1)
            return _is(mark, "i-t") or (token.letter == "q" and bool(token.amount.than))
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
    token = _at(line, at + 1)
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
    if line.tokens[at].text.startswith("sens") and _is(_at(line, at + 2), "t-r") and _is(_at(line, at + 3), "q"):
        return False  # "wheel speed sensor 55 to 80 Hz" is a range, no number of the sensor
    rows = line.tokens[at].held
    direction = rows[0].places[0][0] if _unsettled(line.tokens[at]) and rows[0].places else ""
    if direction == "pos" and line.tokens[at].text in ("batt", "battery", "wheel", "block", "ch"):
        return _later_amount(line, at + 2)
    return True


def _near(line: Line, at: int, row: Phrase, alone: set[str]) -> bool:  # noqa: C901  one class a branch
    before, after = _at(line, at - 1), _at(line, at + 1)
    number_before, number_after = _is(before, "qx"), _is(after, "qx")
    if row.letter in "lsv" and after is not None and after.text in _FILLERS:
        number_after = any(_is(_at(line, at + step), "qx") for step in (2, 3))
    if after is not None and after.letter in "=:<>i" and _is(_at(line, at + 2), "qx"):
        number_after = True
    match row.letter:
        case "p":
            return _near_place(line, at, row, number_before=number_before, number_after=number_after, alone=alone)
        case "s" if row.words[-1] == "within":
            return _is(after, "a")
        case "d" if row.words == ("needs",):
            return number_after  # "5 mm needs attention" gives no limit
        case "h":
            return number_after or number_before or _is(after, "a")
        case "l" | "s":
            return (
                number_after
                or (row.letter == "s" and _is(after, "a"))
                or (row.letter == "l" and number_before)
                or (row.letter == "s" and _is(after, "i"))
            )
        case "k" if row.words[0] in ("on", "by"):
            return _is(after, "q") and after is not None and _is_speed(after.amount)
        case "i" | "v" | "k":
            return number_after
        case "t":
            return (number_before and number_after) or (_is(before, "p") and _is(after, "p"))
        case "r" if row.words[0] in ("now", "then"):
            soon = any(_is(_at(line, at + step), "q") for step in (1, 2))
            return (
                (soon or number_before)
                and _later_amount(line, at + 1)
                and any(token.letter == "q" for token in line.tokens[:at])
            )
        case "r":
            return _later_amount(line, at + 1) and any(token.letter == "q" for token in line.tokens[:at])
        case "b" | "B":
            by = after is not None and after.text == "by" and _is(_at(line, at + 2), "q")
            if by:
                return True
            ends = after is None or after.letter in _ENDS
            number = _before_bracket(line, at)
            return bool(ends and number is not None and number.letter == "q" and number.amount.dimension in _LONG)
        case "c" if row.words == ("rest",):
            return number_before and not number_after and not _is(after, "i")
        case "c":
            return number_before or number_after or (before is not None and before.letter in "kc@")
        case _:
            return number_before or number_after


def _before_bracket(line: Line, at: int) -> Token | None:
    """The token in front, or in front of the bracket that closes there."""
    place = at - 1
    if _is(_at(line, place), ")"):
        while place >= 0 and line.tokens[place].letter != "(":
            place -= 1
        place -= 1
    return _at(line, place)


def _near_place(line: Line, at: int, row: Phrase, *, number_before: bool, number_after: bool, alone: set[str]) -> bool:
    before, after = _at(line, at - 1), _at(line, at + 1)
    word = line.tokens[at].text
    if row.places and row.places[0] in (("depth", "center"), ("depth", "middle")) and not _among_edges(line, at):
        return False
    if word in _FOUR_CORNERS and _in_capitals(line, at):
        return True  # capitals on a line of small letters: "FL caster 1.2 deg"
    if _is(after, ":") and (before is None or before.letter in ",;") and _later_amount(line, at + 2):
        return True  # "FL: tread 7/32": a heading names the place of what follows
    beside = _is(after, "p") or _is(before, "p") or (_is(after, "/:") and _is(_at(line, at + 2), "pq"))
    beside = beside or (_is(after, ",") and _is(_at(line, at + 2), "p"))  # "FL, FR, RL 58, 541, 634"
    if word in ("inside", "outside"):
        both = {token.text for token in line.tokens}
        return (number_after or number_before or beside) and {"inside", "outside"} <= both
    if word in ("in", "out"):
        return _in_or_out(line, at, number_before=number_before, number_after=number_after, beside=beside)
    if word in ("lt", "rt"):  # alone they are long term and road test; as a pair they are sides
        return (number_after or number_before or beside) and {"lt", "rt"} <= {token.text for token in line.tokens}
    if word in _ONE_LETTER:
        if at == 0 and _is(after, "=") and not {"l", "r"} <= alone:
            return False  # "L = 10.2 m": the sign of a quantity
        return number_after or number_before or _beside_a_side(line, at) or {"l", "r"} <= alone
    if row.places and row.places[0][0] == "valve":
        return (number_after or number_before) and any(token.text.startswith(_VALVES) for token in line.tokens)
    return number_after or number_before or beside


_FOUR_CORNERS = frozenset({"fl", "fr", "rl"})


def _in_capitals(line: Line, at: int) -> bool:
    typed = line.text[line.tokens[at].start : line.tokens[at].end]
    return typed.isupper() and any(
        token.letter == "w" and line.text[token.start : token.end].islower() for token in line.tokens
    )


_VALVES = ("valve", "vlv", "lash", "clear", "clr", "tappet", "shim", "lift")


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
    return any(token.text.split(" ")[0] in edges for place, token in enumerate(line.tokens) if place != at)


def _beside_a_side(line: Line, at: int) -> bool:
    """A single letter is a side beside another side, an end or an edge; beside a pin or a sensor it is a name."""
    for place in (at - 1, at + 1):
        token = _at(line, place)
        if token is None or token.letter not in "p/":
            continue
        if token.letter == "/":
            token = _at(line, place + (1 if place > at else -1))
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
    texts = {token.text for token in here if token.letter != "k"}
    if not ({"in", "out"} <= texts or "inner" in texts or "outer" in texts):
        return False
    if "toe" in texts or texts & _INLETS or any(t.letter == "q" and t.amount.dimension in _FLOWS for t in here):
        return False
    return number_after or number_before or beside


def _numbered(line: Line) -> None:
    """``cyl 3`` becomes one position; so does ``#3``, whose thing its neighbours name."""
    made: list[Token] = []
    at, tokens = 0, line.tokens
    while at < len(tokens):
        token = tokens[at]
        if (token.letter == "p" and len(token.held) == 1 and token.held[0][1] == token.held[0][0]) or _counted(token):
            number = _at(line, at + 1)
            if number is not None and number.letter == "p" and number.held[0][1][:2] == "# ":
                direction, word = token.held[0]
                made.append(replace(token, end=number.end, held=((direction, f"{word} {number.held[0][1][2:]}"),)))
                at += 2
                continue
            if number is not None and number.letter == "q" and number.amount.bare and number.amount.shape == "whole":
                direction, word = token.held[0]
                name = (direction, f"{word} {number.amount.text}")
                made.append(replace(token, end=number.end, text=f"{token.text} {number.text}", held=(name,)))
                at += 2
                continue
        if token.letter == "p" and token.held[0][1].startswith("# "):
            made.append(replace(token, held=((token.held[0][0], f"{_hash_word(line)} {token.held[0][1][2:]}"),)))
            at += 1
            continue
        made.append(token)
        at += 1
    line.tokens = made


_COUNTED_WORDS = frozenset(
    {
        "injector",
        "cylinder",
        "axle",
        "bank",
        "sensor",
        "pin",
        "terminal",
        "position",
        "cell",
        "module",
        "block",
        "phase",
        "port",
        "channel",
    }
)
_NUMBERED_APART = (
    "bat",
    "tank",
    "tyre",
    "tire",
    "wheel",
    "axle",
    "brake",
    "pump",
    "cell",
    "module",
    "fan",
    "hose",
    "chamber",
    "bag",
)


def _counted(token: Token) -> bool:
    return token.letter == "p" and len(token.held) == 1 and token.held[0][1] in _COUNTED_WORDS


def _hash_word(line: Line) -> str:
    words = [token.text for token in line.tokens if token.letter == "w"]
    return "position" if any(word.startswith(_NUMBERED_APART) for word in words) else "cylinder"


_FILLERS = frozenset(
    "is are would be about the a its it's thats that's of thickness value allowed for this thing one youd you'd at "
    "roughly reads says set reading figure".split()
)


_SURE_SOURCES = frozenset(
    {"book", "manual", "placard", "plate", "sticker", "maker", "factory", "law", "spec-sheet", "spec sheet"}
)


_WANTS = frozenset({"wants", "want", "needs", "asks for", "calls for"})
"""What a source that wants a figure says is a least or a largest value: the thing decides which."""


def _sourced(line: Line) -> None:
    """``the book says``, ``plate:`` in front of a number announce limits; without a number they are words."""
    tokens = line.tokens
    at = 0
    while at < len(tokens):
        if tokens[at].letter == "S":
            stop = at + 1
            while stop < len(tokens) and stop <= at + 3 and tokens[stop].letter in "Vus:=":
                stop += 1
            if (
                stop < len(tokens)
                and tokens[stop].letter in "qilhs"
                and (stop > at + 1 or tokens[at].text in _SURE_SOURCES)
            ):
                wanted = {one.text for one in tokens[at + 1 : stop]} & _WANTS
                legal = tokens[at].text in ("law", "regs") or bool(wanted)  # the law says how far a thing may wear
                merged = replace(
                    tokens[at], letter="d" if legal else "s", end=tokens[stop - 1].end, held=tokens[at].text
                )
                tokens[at:stop] = [merged]
            else:
                tokens[at] = replace(tokens[at], letter="w", held=None)
        at += 1
    for at, token in enumerate(tokens):
        if token.letter == "V":
            tokens[at] = replace(token, letter="u" if token.text in _FILLERS else "w", held=None)


def _filled(line: Line) -> None:
    """Fillers between a limit word and its number go: ``min is 1``, ``50 mA would be about the max``."""
    tokens = line.tokens
    kept: list[Token] = []
    at = 0
    while at < len(tokens):
        stop = at
        while stop < len(tokens) and tokens[stop].letter == "u":
            stop += 1
        if stop > at:
            before = kept[-1] if kept else None
            after = tokens[stop] if stop < len(tokens) else None
            opens = before is not None and before.letter in "lhsdv" and _is(after, "qi")
            closes = (
                before is not None
                and before.letter == "q"
                and _is(after, "lhdyz")
                and not _is(_at(line, stop + 1), "qi")
            )
            at_place = (
                _is(after, "p") and before is not None and before.letter in "@k" and before.text in ("at", "on", "in")
            )
            if at_place:
                kept.pop()
                at = stop
                continue
            if not (opens or closes):
                kept += [replace(token, letter="w", held=None) for token in tokens[at:stop]]
            at = stop
            continue
        if tokens[at].text == "at" and tokens[at].letter == "@" and _is(_at(line, at + 1), "p"):
            at += 1  # "at LF", "at the top": where, not under which condition
            continue
        kept.append(tokens[at])
        at += 1
    line.tokens = kept


def _named(line: Line) -> None:
    """Amounts that are names, and things that are named by them, become words."""
    tokens = line.tokens
    for at, token in enumerate(tokens):
        if token.letter == "q" and (
            _rated(line, at) or _is_text(line, at) or _coded(line, at) or _numbers_a_thing(line, at)
        ):
            tokens[at] = replace(token, letter="n", held=None)
    for at, token in enumerate(tokens[1:], 1):
        two_units = token.text in _LONE_UNITS and tokens[at - 1].letter == "q" and not tokens[at - 1].amount.bare
        if two_units and token.letter == "w":
            tokens[at - 1] = replace(tokens[at - 1], letter="x", held=None)  # "12.2 A V": which of both is the unit?
    for at, token in enumerate(tokens):
        if token.letter == "g":
            tokens[at] = replace(token, letter="w", held=None)


def _rated(line: Line, at: int) -> bool:
    """``15 A fuse``, ``fuse 15``: a thing is named by its rating."""
    amount, rated = line.tokens[at].amount, _at(line, at + 1)
    if _is(_at(line, at - 1), "g") and _whole_name(amount) and not _is(rated, "(t-"):
        return True
    return rated is not None and rated.letter == "g" and not amount.than and _rates(amount, rated.text)


def _coded(line: Line, at: int) -> bool:
    """``date code 2018``, ``serial 00417``, ``gear 2``: the word before has a number for a name."""
    amount, before, after = line.tokens[at].amount, _at(line, at - 1), _at(line, at + 1)
    digits = amount.bare and amount.text.isdigit()
    if amount.bare and before is not None and before.text in _NAMERS:
        return True
    if digits and amount.text[:1] == "0" and len(amount.text) > 2:
        return True
    if digits and amount.shape == "whole" and len(amount.text) == 4 and _is(before, "pe"):
        return any(token.text in _NAMERS for token in line.tokens[:at])
    if before is None or before.text not in _SETTINGS or not _small(amount):
        return False
    return not (before.text == "level" and _is(after, "q"))  # "level 73 -52 mm": which is it?


def _numbers_a_thing(line: Line, at: int) -> bool:
    """A small whole number right behind a noun, with a reading behind it, names the thing: ``valve 2 0.25 mm``."""
    amount, before, after = line.tokens[at].amount, _at(line, at - 1), _at(line, at + 1)
    if not _small(amount) or before is None or before.letter not in "wP" or before.text in _COUNTED:
        return False
    if _is(after, "=") and _is(_at(line, at + 2), "q"):
        return True  # "leak-down 3 = 62 %": the sign says which is the reading
    reading = _is(after, "qixu") or (_is(after, "w") and _unit_amount_in_part(line, at + 1))
    if before.text == "level" and _is(after, "q"):
        return False  # "level 73 -52 mm": either may be the level
    return reading and _is_numbered(before.text)


_LONE_UNITS = frozenset("mm cm psi kpa mpa bar v mv ma ohm ohms kohm mohm degf degc rpm hz khz nm inhg inh2o".split())


def _whole_name(amount: Amount) -> bool:
    """``fuse 15``, ``bulb 1157``; never a decimal or the end of a range: ``relay 25.9 to 37.2 mm``."""
    return amount.bare and not amount.than and amount.shape == "whole"


def _rates(amount: Amount, thing: str) -> bool:
    """Things are named by volt, ampere and watt; ``54 psi outlet 32 psi`` are two readings."""
    if amount.dimension == "resistance":
        return thing == "resistor"
    return amount.bare or amount.dimension in ("voltage", "current", "power", "charge", "length", "torque", "mass")


def _is_text(line: Line, at: int) -> bool:
    """An amount that is part of the words: denied, the number of a paper, or a label in front of them."""
    token, before, after = line.tokens[at], _at(line, at - 1), _at(line, at + 1)
    if before is not None and before.text in ("no", "without") and not token.amount.bare:
        return True  # "no 12 V at the lamp": nothing was read
    if _is_count_of_things(line, at):
        return True
    if not token.amount.bare:
        return False
    if _is(before, ":-") and at > 1 and (line.tokens[at - 2].text in _PAPERS or line.tokens[at - 2].letter == "n"):
        return before is not None and not (before.letter == ":" and line.tokens[at - 2].letter == "n")
    return at == 0 and _is(after, ":") and not any(one.letter in "qxp" for one in line.tokens[1:])


def _is_count_of_things(line: Line, at: int) -> bool:
    """``2 bolts broken``, ``found 3 leaks``: how many there are of a thing is told; no value of it was measured."""
    token, before, after = line.tokens[at], _at(line, at - 1), _at(line, at + 1)
    starts = before is None or before.letter in ",;:.(" or before.text in _BEFORE_COUNTS
    if token.amount.dimension.startswith("pieces"):
        return starts and (after is None or after.letter not in "L(lhsd")
    if _small(token.amount) and after is not None and after.text in ("times", "time"):
        return True  # "came on 3 times"
    plural = (
        after is not None and after.letter == "w" and after.text.endswith("s") and after.text[-2:] not in ("ss", "us")
    )
    if not (starts and plural and _small(token.amount)) or after is None or after.text in _NO_THINGS:
        return False
    following = next((one for one in line.tokens[at + 1 :] if one.letter not in "w"), None)
    return following is None or following.letter not in "qx" or following.amount.bare


_BEFORE_COUNTS = frozenset(
    "found has had have with and only all first last other of saw missing lost broke replaced".split()
)
_NO_THINGS = frozenset(
    "opens closes reads shows holds drops rises falls drives steers trailers tags extends retracts "
    "counts is was".split()
)
_PAPERS = frozenset(
    {"tsb", "bulletin", "recall", "campaign", "ticket", "invoice", "order", "ro", "po", "ref", "part", "claim"}
)
"""Papers that are named by a number."""
_NAMERS = frozenset(
    {
        "code",
        "dot",
        "date",
        "serial",
        "id",
        "vin",
        "part",
        "ref",
        "reg",
        "number",
        "model",
        "size",
        "week",
        "year",
        "ticket",
        "job",
        "bulb",
        "type",
    }
)
"""What has a number of any length for a name."""
_SETTINGS = frozenset(
    {
        "gain",
        "notch",
        "channel",
        "level",
        "speed",
        "gear",
        "setting",
        "step",
        "stage",
        "mode",
        "gen",
        "version",
        "row",
        "class",
        "type",
        "no",
    }
)
"""What has a small number for a name wherever it stands."""


def _is_numbered(word: str) -> bool:
    return word.rstrip("s") in _NUMBERED_THINGS or word.startswith(
        ("sens", "snsr", "inj", "carb", "wind", "sol", "sw", "conn", "term")
    )


_NUMBERED_THINGS = frozenset(
    "valve coil relay inj injector bolt stud plug cell fuse port hose tank cap lobe hole lug ring pack "
    "string leg nozzle "
    "lamp light bearing journal cam rod piston spring pump fan motor tube tooth gear solenoid circuit "
    "outlet inlet leaf "
    "cavity stage section ram jack leg wire wheel tyre tire door window speaker connector splice ground stage step no "
    "number type class grade size level line row lobe segment duct vent".split()
)
"""Things of which there are several, so that a small number behind one says which."""


def _small(amount: Amount) -> bool:
    return (
        amount.bare
        and amount.shape == "whole"
        and not amount.than
        and not amount.signed
        and amount.value is not None
        and amount.value <= LARGEST_NAME
        and amount.text.isdigit()
    )


def _unit_amount_in_part(line: Line, at: int) -> bool:
    for token in line.tokens[at:]:
        if token.letter in ",;p()lhsd":
            return False
        if token.letter == "q":
            return not token.amount.bare
    return False


def _joined(line: Line) -> None:
    """``2 min 20 s`` is one time, ``10 m 23.4 cm`` one length: a whole amount with less than one of it behind."""
    tokens = line.tokens
    at = 0
    while at + 1 < len(tokens):
        one, other = tokens[at], tokens[at + 1]
        if one.letter == other.letter == "q" and (pair := _one_amount(one.amount, other.amount)):
            tokens[at : at + 2] = [replace(one, end=other.end, text=f"{one.text} {other.text}", held=pair)]
        at += 1


def _one_amount(one: Amount, other: Amount) -> Amount | None:
    big, small = find(one.unit), find(other.unit)
    if big is None or small is None or one.value is None or one.bare or other.bare:
        return None
    steps = {
        ("h", "min"): 60, ("min", "s"): 60, ("lb", "oz"): 16, ("gal", "qt"): 4, ("qt", "pt"): 2, ("L", "mL"): 1000,
        ("m", "cm"): 100, ("m", "mm"): 1000, ("cm", "mm"): 10, ("ft", "in"): 12, ("kg", "g"): 1000, ("km", "m"): 1000,
    }  # fmt: skip
    step = steps.get((big.name, small.name))
    if step is None or other.value is None or one.shape != "whole":
        return None
    if not 0 <= other.value < step or one.value < 0 or one.than or other.than or one.to or other.to:
        return None
    value = one.value * step + other.value
    return replace(other, text=mixed_text(value), value=value, shape="whole" if value.denominator == 1 else "decimal")


def _is_time(token: Token | None) -> bool:
    return token is not None and token.letter == "q" and token.amount.dimension == "time"


def _at(line: Line, at: int) -> Token | None:
    return line.tokens[at] if 0 <= at < len(line.tokens) else None


def _is(token: Token | None, letters: str) -> bool:
    return token is not None and token.letter in letters


def _later_amount(line: Line, at: int) -> bool:
    """Whether an amount follows in this part of the line."""
    for token in line.tokens[at:]:
        if token.letter == ";":
            return False
        if token.letter in "qx":
            return True
    return False
