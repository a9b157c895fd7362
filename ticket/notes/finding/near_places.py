"""Whether a word that may be a place is one here: what stands beside it decides."""

from dataclasses import replace
from itertools import pairwise

from ticket.job.promise import MONTHS
from ticket.language.lexicon import look
from ticket.notes.finding.lexicon import Phrase, is_noun
from ticket.notes.finding.naming import is_numbered, is_small
from ticket.notes.finding.neighbours import at_place, is_any, is_time, later_amount
from ticket.notes.finding.part_words import EDGES, PRONOUNS
from ticket.notes.finding.tokens import Line, Places, Token

_DEEP = frozenset({"", "length", "time"})
"""What lies inner and outer is as thick as so much, or a tyre; of all else what goes in and comes out is told."""
_INLETS = frozenset(
    "toe tracking hose hoses cooler condenser evaporator evap radiator rad pump line pipe flow doc dpf scr turbo "
    "heater core coolant "
    "air water filter vent duct governor gov compressor switch relay solenoid cuts-out cuts-in cut-out cut-in".split()
)
ONE_LETTER = frozenset({"l", "r", "f"})
_LEFTS, RIGHTS = frozenset({"lt", "left", "lh", "l"}), frozenset({"rt", "right", "rh", "r"})
_DUALS = frozenset({"lo", "li", "ro", "ri"})
_MATES = {"lt": RIGHTS, "rt": _LEFTS} | {one: _DUALS - {one} for one in _DUALS}
_FOUR_CORNERS = frozenset({"fl", "fr", "rl"})
_VALVES = ("valve", "vlv", "lash", "clear", "clr", "tappet", "shim", "lift")
_FACED = (
    "pad", "lining", "shoe", "tread", "tyre", "tire", "brake", "dual", "disc", "disk", "rotor", "caliper", "wheel",
    "rib", "edge", "drum", "hub", "bush", "bearing", "brg", "rear", "front", "lf", "rf", "lr", "rr", "lh", "rh",
    "n/s", "o/s", "ns", "os",
)  # fmt: skip
"""What has an inner and an outer face, or stands at a corner; of all else what comes in and goes out is told."""
_SWITCH_VERBS = frozenset("back cut cuts kick kicks come comes go goes pull pulls drop drops lock locks switch".split())
_MONTHS = frozenset(word[:short] for word in MONTHS for short in (3, len(word))) | {"sept"}
"""Their names, short and in full."""


def is_unsettled(token: Token) -> bool:
    """Whether it is not decided yet which of its rows a word is."""
    return isinstance(token.held, tuple) and bool(token.held) and isinstance(token.held[0], Phrase)


def held_places(token: Token) -> Places:
    """The directions of a position, settled or not."""
    return (token.held[0].places if is_unsettled(token) else token.held or ()) if token.letter == "p" else ()


def near_place(line: Line, at: int, row: Phrase, *, number_before: bool, number_after: bool, alone: set[str]) -> bool:
    """Whether a word that is a place only beside something is one at this index."""
    before, after = at_place(line, at - 1), at_place(line, at + 1)
    word = line.tokens[at].text
    way = row.places[0][0] if row.places else ""
    ends = {"front", "rear", "back"} & {token.text.split(" ")[0] for token in line.tokens}
    if _at_the(line, at) and (
        way == "level" or (way == "end" and len(ends) > 1) or (way == "depth" and _closes_part(line, at))
    ):
        return True
    if _is_a_word(line, at, row):
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
        when = word == "in" and after is not None and after.text in _MONTHS  # "was 0.6 in Aug"
        here = {"number_before": number_before, "number_after": number_after, "beside": beside}
        return not when and _in_or_out(line, at, **here)
    if word in _MATES:
        return _has_a_mate(line, at, near=number_after or number_before or beside)
    if word in ONE_LETTER:
        near = number_after or number_before or _beside_a_side(line, at) or {"l", "r"} <= alone
        return _has_a_like(line, at) or (near and not _is_a_sign(line, at, alone))
    if row.places and row.places[0][0] == "valve":
        return (number_after or number_before) and any(token.text.startswith(_VALVES) for token in line.tokens)
    if word in ("ns", "os") and _says_sides(line):
        return True
    tilts = word == "back" and any(token.text.startswith(("forward", "fwd")) for token in line.tokens)
    if word == "back" and after is not None and after.letter == "w" and is_noun(after.text):
        return False  # "14 psi back pressure"
    return (number_after or number_before or beside) and not tilts


def _is_a_word(line: Line, at: int, row: Phrase) -> bool:
    """``dead centre``, ``8 mm in the driver line of sight``: it names no edge, or helps to name a thing."""
    word, after = line.tokens[at].text, at_place(line, at + 1)
    if word in ("driver", "drivers"):
        return after is not None and after.letter not in "qxip,;:()-/="
    if word == "back" and at and line.tokens[at - 1].text in _WENT:
        return True  # "comes back 5.01 V"
    centre = bool(row.places) and row.places[0] in (("depth", "center"), ("depth", "middle"))
    return centre and not _among_edges(line, at)


def _has_a_mate(line: Line, at: int, *, near: bool) -> bool:
    """Alone they are long term, road test, low and an order; beside a mate, and in ``rt rear``, they are sides."""
    word, after = line.tokens[at].text, at_place(line, at + 1)
    if word in ("lt", "rt") and after is not None and any(way == "end" for way, _ in held_places(after)):
        return True
    return near and not _MATES[word].isdisjoint(token.text for token in line.tokens)


def _has_a_like(line: Line, at: int) -> bool:
    """The opposite letter stands in front of the same noun, and a figure behind both."""
    noun, figure = at_place(line, at + 1), at_place(line, at + 2)
    opposite = {"f": "r", "r": "f", "l": "r"}[line.tokens[at].text]
    if not is_any(noun, "w") or not is_any(figure, "q") or noun is None:
        return False
    pairs = {(one.text, other.text) for one, other in pairwise(line.tokens)}
    return (opposite, noun.text) in pairs or (line.tokens[at].text == "r" and ("l", noun.text) in pairs)


def _is_a_sign(line: Line, at: int, alone: set[str]) -> bool:
    """``60 D, 60 R``, ``L = 10.2 m``, ``1.2 l/km``, ``CAN L``: the letter of a gear, a quantity, a unit or a name."""
    word, after = line.tokens[at].text, at_place(line, at + 1)
    rate = is_any(after, "/") and is_any(at_place(line, at + 2), "w")
    gears = {token.text.removeprefix("in ") for token in line.tokens}
    geared = word == "r" and not gears.isdisjoint({"d", "n", "p"})
    equals = at == 0 and is_any(after, "=") and not {"l", "r"} <= alone
    return rate or geared or equals or _letters_a_name(line, at)


def _letters_a_name(line: Line, at: int) -> bool:
    """``CAN H to CAN L``, ``relay A 12 V, relay L 0 V``: the word in front has other letters as well."""
    before = line.tokens[at - 1].text if at else ""
    letters = {
        other.text for one, other in pairwise(line.tokens) if one.text == before and len(other.text) == 1
    }  # fmt: skip
    return bool(before) and any(letter.isalpha() and letter not in ONE_LETTER for letter in letters)


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


def _in_capitals(line: Line, at: int) -> bool:
    typed = line.text[line.tokens[at].start : line.tokens[at].end]
    return typed.isupper() and any(
        token.letter == "w" and line.text[token.start : token.end].islower() for token in line.tokens
    )


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
        held = token.held[0].places if is_unsettled(token) else token.held
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


def places_of_nouns(line: Line) -> None:
    """Make words of places that only help to name a thing: ``inner spring``, and ``1/16 in at the rear joint``.

    What is kept as a word is told with the name, so nothing is lost; a place that the hand did not mean is a fault.
    """
    tokens = line.tokens
    begun = 0
    for at, token in enumerate(tokens):
        begun = at if token.letter in ",;" else begun
        noun = at_place(line, at + 1)
        if token.letter != "p" or token.text not in _ADJECTIVES or noun is None or noun.letter != "w":
            continue
        named = is_noun(noun.text) or (token.text in _DEEP_WORDS and not _is_verb(noun.text))  # "inner cv"
        if not named or noun.text in EDGES or noun.text.startswith(_FACED):
            continue
        if token.text in _DEEP_WORDS:
            others = {other.text for place, other in enumerate(tokens) if place != at}
            named = not others & (_DEEP_WORDS - {token.text})
        else:
            led = at - 1 - (tokens[at - 1].text in ("the", "its", "a"))
            behind = any(one.letter == "q" for one in tokens[begun:at])
            named = behind and led > begun and tokens[led].text in _LEADING
        if named:
            tokens[at] = replace(token, letter="w", held=None)


_WENT = frozenset("comes came come goes went go get gets got put puts is pull pulled push set turn turned".split())


def _is_verb(word: str) -> bool:
    return any(one.cls in ("doing", "link", "state", "work") for one in look(word)) or word in PRONOUNS


_DEEP_WORDS = frozenset({"inner", "outer", "inboard", "outboard"})
_ADJECTIVES = frozenset("front rear left right upper lower top bottom middle".split()) | _DEEP_WORDS
_LEADING = frozenset("at on in of by near to from behind under over".split())
