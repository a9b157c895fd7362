"""Numbers that name a thing, words that announce limits, fillers between them: settled before the grammar runs."""

from dataclasses import replace
from itertools import pairwise

from ticket.language.lexicon import look
from ticket.notes.finding.circumstances import DAYS
from ticket.notes.finding.lexer import mixed_text
from ticket.notes.finding.lexicon import is_noun
from ticket.notes.finding.measures import DIMENSIONS
from ticket.notes.finding.neighbours import at_place, is_any
from ticket.notes.finding.part_words import DOINGS
from ticket.notes.finding.tokens import Amount, Line, Token
from ticket.readings.units import find

COUNTED_WORDS = frozenset(
    {"cca", "soc", "soh", "count", "counts", "cnt", "misfire", "misfires", "ph", "clicks", "turns"}
)
LARGEST_NAME = 99
"""A whole number above this behind a noun is no name of a thing of which there are several."""


FILLERS = frozenset(
    "is are would be about the a its it's thats that's of thickness value allowed for this thing one youd you'd at "
    "roughly reads says set reading figure".split()
)


_SURE_SOURCES = frozenset(
    {"book", "manual", "placard", "chart", "plate", "sticker", "maker", "factory", "law", "spec-sheet", "spec sheet"}
)


_WANTS = frozenset({"wants", "want", "needs", "asks for", "calls for"})
"""What a source that wants a figure says is a least or a largest value: the thing decides which."""


def settle_sources(line: Line) -> None:
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
                and not _ends_a_name(tokens, at)
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
            tokens[at] = replace(token, letter="u" if token.text in FILLERS else "w", held=None)


def settle_metal(line: Line) -> None:
    """``pads LF metal``: a value only beside a position or a thing that wears down to its backing; else a word."""
    for at, token in enumerate(line.tokens):
        if token.letter != "q" or token.text != "metal":
            continue
        before, after = at_place(line, at - 1), at_place(line, at + 1)
        worn = before is not None and before.text.startswith(("pad", "lining", "shoe", "brake", "friction"))
        if not (is_any(before, "p") or worn or (is_any(after, "p") and not is_any(before, "w"))):
            line.tokens[at] = replace(token, letter="w", held=None)


def _ends_a_name(tokens: list[Token], at: int) -> bool:
    """``clutch plate 7.4 mm``: behind other words, with no amount before it, the word is part of what was measured."""
    if tokens[at].text not in _ALSO_THINGS or at == 0 or tokens[at - 1].letter != "w":
        return False
    return not any(token.letter in "qx" for token in tokens[:at]) and tokens[at - 1].text not in ("the", "per", "by")


_ALSO_THINGS = frozenset("plate line tank label table tag door book data".split())


def drop_fillers(line: Line) -> None:
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
            opens = before is not None and before.letter in "lhsdv" and is_any(after, "qi")
            closes = (
                before is not None
                and before.letter == "q"
                and is_any(after, "lhdyz")
                and not is_any(at_place(line, stop + 1), "qi")
            )
            placed = (
                is_any(after, "p")
                and before is not None
                and before.letter in "@k"
                and before.text in ("at", "on", "in")
            )
            if placed:
                kept.pop()
                at = stop
                continue
            if not (opens or closes):
                kept += [replace(token, letter="w", held=None) for token in tokens[at:stop]]
            at = stop
            continue
        if tokens[at].text == "at" and tokens[at].letter == "@" and is_any(at_place(line, at + 1), "p"):
            at += 1  # "at LF", "at the top": where, not under which condition
            continue
        kept.append(tokens[at])
        at += 1
    line.tokens = kept


def name_things(line: Line) -> None:
    """Amounts that are names, and things that are named by them, become words."""
    tokens = line.tokens
    for at, token in enumerate(tokens):
        if token.letter == "q" and (
            _rated(line, at) or _is_text(line, at) or _coded(line, at) or _numbers_a_thing(line, at)
        ):
            tokens[at] = replace(token, letter="n", held=None)
    for at, token in enumerate(tokens[1:], 1):
        two_units = token.text in _LONE_UNITS and tokens[at - 1].letter == "q" and not tokens[at - 1].amount.bare
        loaded = is_any(at_place(line, at - 2), "k@")  # "112 C w 36 t on"
        tonnes = token.text == "t" and tokens[at - 1].letter == "q" and tokens[at - 1].amount.bare and not loaded
        if (two_units or tonnes) and token.letter == "w":
            tokens[at - 1] = replace(tokens[at - 1], letter="x", held=None)  # "12.2 A V": which of both is the unit?
    for at, token in enumerate(tokens):
        if token.letter == "g":
            tokens[at] = replace(token, letter="w", held=None)


def _rated(line: Line, at: int) -> bool:
    """``15 A fuse``, ``fuse 15``: a thing is named by its rating."""
    amount, rated = line.tokens[at].amount, at_place(line, at + 1)
    if is_any(at_place(line, at - 1), "i"):
        return False  # "if more than 0.5 the diode is bad": a bound
    if _is_fused(line, at):
        return True
    if rated is not None and rated.text in _KINDS and is_small(amount) and at and _read_behind(line, at):
        return True
    if is_any(at_place(line, at - 1), "g") and _whole_name(amount) and not is_any(rated, "(t-"):
        return True
    between = rated is not None and rated.text in _SORTS  # "40 A maxi fuse"
    rated = at_place(line, at + 2) if between else rated
    return rated is not None and rated.letter == "g" and not amount.than and _rates(amount, rated.text)


def _is_fused(line: Line, at: int) -> bool:
    """``motor 38 A, breaker 40 A``: behind a current, what the thing that guards it is rated for."""
    amount, before = line.tokens[at].amount, at_place(line, at - 1)
    rated = before is not None and before.text in _GUARDS and amount.dimension == "current" and amount.shape == "whole"
    return rated and any(one.letter == "q" and one.amount.dimension == "current" for one in line.tokens[:at])


def _read_behind(line: Line, at: int) -> bool:
    """No figure stands right behind the noun, but one with a unit further on."""
    behind = at_place(line, at + 2)
    return not is_any(behind, "q") and any(one.letter == "q" and not one.amount.bare for one in line.tokens[at + 2 :])


_KINDS = frozenset("way pole ply bolt spline speed core wire post prong groove rib leaf pin".split())
"""``7 way``, ``10 ply``: behind a small number they say which kind it is."""
_SORTS = frozenset("maxi mini slow blade inline main midi mega fusible glass ceramic".split())
_GUARDS = frozenset({"fuse", "breaker", "fusible", "maxi"})


def _coded(line: Line, at: int) -> bool:
    """``date code 2018``, ``serial 00417``, ``gear 2``: the word before has a number for a name."""
    amount, before, after = line.tokens[at].amount, at_place(line, at - 1), at_place(line, at + 1)
    digits = amount.bare and amount.text.isdecimal()
    if amount.bare and before is not None and before.text in _NAMERS:
        spanned = amount.shape == "decimal" or is_any(after, "t-")  # "5V ref 4.97", "5V ref 1 to 2 mm"
        return before.text != "ref" or not spanned
    if digits and amount.text[:1] == "0" and len(amount.text) > 2:
        return True
    if digits and amount.shape == "whole" and len(amount.text) == 4 and is_any(before, "pe"):
        return any(token.text in _NAMERS for token in line.tokens[:at])
    if before is None or before.text not in _SETTINGS or not is_small(amount):
        return False
    return not (before.text == "level" and is_any(after, "q"))  # "level 73 -52 mm": which is it?


def _numbers_a_thing(line: Line, at: int) -> bool:
    """A small whole number right behind a noun, with a reading behind it, names the thing: ``valve 2 0.25 mm``."""
    amount, before, after = line.tokens[at].amount, at_place(line, at - 1), at_place(line, at + 1)
    if not is_small(amount) or before is None or before.letter not in "wP" or before.text in COUNTED_WORDS | _LEVELS:
        return False
    if _led_by_measure(line, at + 1):
        return True
    listed = [at_place(line, at + step) for step in (1, 2)]
    if all(is_any(one, "q") for one in listed) and all(
        is_small(one.amount) or one is listed[1] for one in listed if one
    ):
        return False  # "tyre 6 5 4 mm across": figures of one list
    if not amount.value:
        return False  # "12.1 V into the switch 0 out": nothing is numbered nought
    if is_any(after, "=") and is_any(at_place(line, at + 2), "q"):
        # "leak-down 3 = 62 %": the sign says which is the reading; "1=56 2=43 %" counts on
        following = at_place(line, at + 3)
        counts_on = is_any(following, "q") and is_any(at_place(line, at + 4), "=")
        return not (counts_on and following is not None and following.amount.value == (amount.value or 0) + 1)
    united = any(t.letter == "q" and not t.amount.bare for t in line.tokens[_part_start(line, at) : at])
    if united and is_numbered(before.text) and (after is None or after.letter in ",;)"):
        return True  # "42 % tank 1, 88 % tank 2"
    if after is not None and is_numbered(before.text) and _is_told(after):
        return True  # "glow plug 3 open, others 0.7 ohm"
    part = line.tokens[at + 1 : next((i for i in range(at, len(line.tokens)) if line.tokens[i].letter in ",;"), None)]
    named = any(
        one.text == before.text and other.text.isdecimal() for one, other in pairwise(line.tokens[: at - 1])
    )  # "air tank 1 drained 30 mL, tank 2 dry"
    if named and before.text not in _BEFORE_A_KIND and not any(token.letter in "qxL" for token in part):
        return True
    reading = (
        is_any(after, "qixu")
        or (is_any(after, "@o") and _unit_amount_in_part(line, at + 1))
        or (is_any(after, "w") and _unit_amount_in_part(line, at + 1))
        or (is_any(after, "p") and is_any(at_place(line, at + 2), "qi") and not _are_behind(line, at + 1))
    )  # "valve 3 exhaust 0.05"
    if before.text == "level" and is_any(after, "q"):
        return False  # "level 73 -52 mm": either may be the level
    doing = is_any(after, "w") and after is not None and after.text in DOINGS and before.letter == "w"
    doing = doing and is_noun(before.text)  # never "fan on 98 off 92 C"
    return reading and (is_numbered(before.text) or doing)  # "trailer hub 1 runs 180 F"


def _are_behind(line: Line, at: int) -> bool:
    """``tire 28 front 30 rear``: a place of the same direction stands behind the next figure too."""
    ways = {way for way, _ in line.tokens[at].held or ()}
    others = [one for one in (at_place(line, at + 2), *line.tokens[max(0, at - 4) : at]) if is_any(one, "p")]
    told = {way for one in others if one is not None for way, _ in one.held or ()}
    return bool(ways & told) and ways <= {"end", "side", "depth"}  # "front door 95 rear 70" goes on as well


_LEVELS = frozenset({"lo", "hi", "low", "high"})


def _part_start(line: Line, at: int) -> int:
    return next((i + 1 for i in range(at - 1, -1, -1) if line.tokens[i].letter in ",;("), 0)


def _is_told(word: Token) -> bool:
    """How a thing was found: open, stripped, weeping."""
    first = word.text.split(" ")[0]
    told = word.letter == "w" and any(one.form in ("past", "participle") or one.cls == "state" for one in look(first))
    return first in _BROKEN or told


_BROKEN = frozenset(
    "out off removed replaced swapped renewed changed open dead short shorted bad leaking missing cracked noisy loose"
    " broken seized stuck".split()
)
_LONE_UNITS = frozenset("mm cm psi kpa mpa bar v mv ma ohm ohms kohm mohm degf degc rpm hz khz nm inhg inh2o".split())


def _whole_name(amount: Amount) -> bool:
    """``fuse 15``, ``bulb 1157``; never a decimal or the end of a range: ``relay 25.9 to 37.2 mm``."""
    return amount.bare and not amount.than and amount.shape == "whole"


def _rates(amount: Amount, thing: str) -> bool:
    """Things are named by volt, ampere and watt; ``54 psi outlet 32 psi`` are two readings."""
    if amount.dimension == "resistance":
        return thing == "resistor"
    if amount.dimension == "voltage" and amount.shape == "decimal":
        return False  # "batt 12.6 V starter 11.9 V": what was read; a rating has no tenths
    if amount.bare and amount.shape == "decimal" and thing not in _GUARDS:
        return False  # "crank volts 18.6 starter draw 410 A": nothing but a fuse is called by a figure with tenths
    return amount.bare or amount.dimension in ("voltage", "current", "power", "charge", "length", "torque", "mass")


def _is_text(line: Line, at: int) -> bool:
    """An amount that is part of the words: denied, the number of a paper, or a label in front of them."""
    token, before, after = line.tokens[at], at_place(line, at - 1), at_place(line, at + 1)
    if before is not None and before.text in ("no", "without") and not token.amount.bare:
        return True  # "no 12 V at the lamp": nothing was read
    if _is_count_of_things(line, at) or _is_kind_of_thing(line, at) or _are_in_a_state(line, at):
        return True
    if not token.amount.bare:
        return False
    if is_any(before, ":-") and at > 1 and (line.tokens[at - 2].text in _PAPERS or line.tokens[at - 2].letter == "n"):
        return before is not None and not (before.letter == ":" and line.tokens[at - 2].letter == "n")
    return at == 0 and is_any(after, ":") and not any(one.letter in "qxp" for one in line.tokens[1:])


def _are_in_a_state(line: Line, at: int) -> bool:
    """``wheel nuts LR 3 loose``: how many of them are so, where another figure tells what was measured."""
    token, after = line.tokens[at], at_place(line, at + 1)
    so = after is not None and after.text in _BROKEN - {"open", "out", "off"}
    if so and is_small(token.amount) and (is_any(at_place(line, at + 2), "o") or _is_state_told(line, at - 2)):
        return True  # "3 loose of 10", "3 broken 5 loose"
    if is_any(at_place(line, at - 1), "o") and at > 2 and line.tokens[at - 3].letter == "n":
        return line.tokens[at - 2].text in _BROKEN and is_small(token.amount)
    measured = any(one.letter == "q" and not one.amount.bare for one in line.tokens)
    before = line.tokens[at - 1] if at else None
    several = before is not None and (before.letter == "p" or (before.letter == "w" and before.text.endswith("s")))
    return so and measured and is_small(token.amount) and several


def _is_state_told(line: Line, at: int) -> bool:
    """A count of broken or loose ones stands at this index."""
    number, state = at_place(line, at), at_place(line, at + 1)
    return number is not None and number.text.isdecimal() and state is not None and state.text in _BROKEN


def _is_kind_of_thing(line: Line, at: int) -> bool:
    """``cap lets go at 11 psi, it is a 15 psi cap``: an amount before a thing named before says which it is."""
    before, after = at_place(line, at - 1), at_place(line, at + 1)
    if before is None or before.text not in ("a", "an") or not is_any(after, "wg") or line.tokens[at].amount.bare:
        return False
    noun = after.text if after is not None else ""
    if noun in DAYS and line.tokens[at].amount.dimension == "temperature":
        return False
    if at > 1 and line.tokens[at - 2].text in _BEFORE_A_KIND:
        return any(token.letter == "q" for token in line.tokens[:at])  # "it's a 140 A unit", "low on a 7 L sump"
    return any(token.text == noun for token in line.tokens[:at])


_BEFORE_A_KIND = frozenset("is its it's was on of for from off into like".split())


def _is_count_of_things(line: Line, at: int) -> bool:
    """``2 bolts broken``, ``found 3 leaks``: how many there are of a thing is told; no value of it was measured."""
    token, before, after = line.tokens[at], at_place(line, at - 1), at_place(line, at + 1)
    if is_any(before, "o") and is_any(at_place(line, at - 2), "lhsd"):
        return False  # "max of 3 says the book"
    starts = before is None or before.letter in ",;:.(" or before.text in _BEFORE_COUNTS
    if token.amount.dimension.startswith("pieces"):
        return starts and (after is None or after.letter not in "L(lhsd")
    if token.amount.text == "1" and is_small(token.amount) and _is_one_thing(before, after):
        return True  # "spring snapped 1 coil off"
    if is_small(token.amount) and after is not None and after.text in _SO_OFTEN:
        return True  # "came on 3 times", ".006 .007 .009 in 3 places"
    plural = (
        after is not None and after.letter == "w" and after.text.endswith("s") and after.text[-2:] not in ("ss", "us")
    )
    if not (starts and plural and is_small(token.amount)) or after is None or after.text in _NO_THINGS:
        return False
    following = next((one for one in line.tokens[at + 1 :] if one.letter not in "w"), None)
    if following is None or following.letter not in "qx" or not isinstance(following.held, Amount):
        return True
    return following.amount.bare


def _is_one_thing(before: Token | None, after: Token | None) -> bool:
    """Behind what happened, in front of the noun of a thing: one of it."""
    happened = before is not None and any(one.form in ("past", "participle") for one in look(before.text))
    return happened and after is not None and after.letter == "w" and is_noun(after.text)


_SO_OFTEN = frozenset("times time places spots points positions locations".split())
_BEFORE_COUNTS = frozenset(
    "found has had have with and only all first last other of saw missing lost broke replaced".split()
)
_NO_THINGS = frozenset(
    "looks seems feels sounds "
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


def _led_by_measure(line: Line, at: int) -> bool:
    """``remote 1 flow 72 L/min``: the word for a measure in front of a figure in its unit; the number before names."""
    word, figure = at_place(line, at), at_place(line, at + 1)
    known = DIMENSIONS.get(word.text, set()) if word is not None and word.letter == "w" else set()
    return is_any(figure, "q") and figure is not None and figure.amount.dimension in known


def is_numbered(word: str) -> bool:
    """Whether there are several of a thing of this name, told apart by numbers."""
    return word.rstrip("s") in _NUMBERED_THINGS or word.startswith(
        ("sens", "snsr", "inj", "carb", "wind", "sol", "sw", "conn", "term")
    )


_NUMBERED_THINGS = frozenset(
    "block valve coil relay inj injector bolt stud plug cell fuse port hose tank cap lobe hole lug ring pack "
    "string leg nozzle "
    "lamp light bearing journal cam rod piston spring pump fan motor tube tooth gear solenoid circuit "
    "outlet inlet leaf "
    "cavity stage section ram jack leg wire wheel tyre tire door window speaker connector splice ground stage step no "
    "number type class grade size level line row lobe segment duct vent".split()
)
"""Things of which there are several, so that a small number behind one says which."""


def is_small(amount: Amount) -> bool:
    """A bare whole number that may say which of several things is meant."""
    return (
        amount.bare
        and amount.shape == "whole"
        and not amount.than
        and not amount.signed
        and amount.value is not None
        and amount.value <= LARGEST_NAME
        and amount.text.isdecimal()
    )


def _unit_amount_in_part(line: Line, at: int) -> bool:
    for token in line.tokens[at:]:
        if token.letter in ",;p()lhsd":
            return False
        if token.letter == "q":
            return not token.amount.bare
    return False


def join_amounts(line: Line) -> None:
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
