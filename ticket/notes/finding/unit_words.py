"""Which unit stands behind a number. Case, spaces and neighbours decide where a spelling means two things."""

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from ticket.job.regex import Regex
from ticket.language.lexicon import look
from ticket.readings.units import find


@dataclass(frozen=True, slots=True)
class UnitWord:
    """A unit on the line.

    Attributes:
        typed: the unit as typed, or the spelling it stands for.
        dimension: what it measures.
        end: position behind it.
        asked: a question where the spelling fits two units.
    """

    typed: str
    dimension: str
    end: int
    asked: str = ""


# ft3/min, m2, dB(A)
_REST = r"[^\s,;:()@=<>\d\0+\[\]]*(?:[23](?=/[a-z])[^\s,;:()@=<>\d\0+\[\]]*)?(?:[0-9²³]|(?<=dB)\(A\))?"
_PIECE = Regex(rf"(?: ?- ?(?=[a-zA-Z]{{1,4}}\b)| {{0,2}})((?:[^\W\d_]|[°℃℉%\"'”″′Ωµμ#]){_REST})")
_ALONE = Regex(r"[^\s,;:()@=<>\d\0+\[\]]" + _REST)
_MORE = Regex(r"[ .·-]{0,2}([A-Za-z²³0-9]{1,8})(?![A-Za-z0-9]|/[A-Za-z])")
_MARKS = {'"': "in", "”": "in", "″": "in", "''": "in", "'": "ft", "′": "ft"}
_SHORT_GLUED = {"c": "C", "f": "F", "a": "A"}  # in a hurry: 95c, 210f, 5a; only glued to the number
_CAPITALS = {"S": "s", "H": "h"}
"""On a line of capitals alone; elsewhere an S is a name."""
_NEVER = frozenset({"drop", "cycle", "click", "tooth", "can", "tube", "roll", "set", "pair", "piece", "bottle"})
"""One of these behind a figure is the next word: "30 to 87 drop 0.7 V"."""
_MOST_MINUTES = 240  # nobody waits longer at the bay: a larger number in front of "min" is a least value
_OFTEN_VERBS = frozenset({"drops", "turn", "turns", "clicks", "cycles"})
_MEG = frozenset({"meg", "megs", "megaohm", "megaohms", "megohms"})
_COUNTS = frozenset({"count", "counts", "cnt", "cnts"})
_MILLI_OR_MEGA = "Is this a thousandth of an ohm (mOhm) or a million ohms (Mohm)?"
_ELECTRIC = Regex(
    r"[0-9] ?(?:v|mv|volts?|hz|amps?|ohms?|kw)\b|\b(?:batt|battery|motor|mag|magnets?|winch|alt|pump|fan"
    r"|draw|draws|pulls?|current|load|charger|blower|window|wipers?|heater|starter|horn|glow|lamps?|solenoid|clutch)\b",
    re.I,
)
_LONE = Regex(r"(?<![A-Za-z])(?:[lrLR]|[lr]f|[lr]r|front|frt|rear)(?![A-Za-z])", re.I)
_OPACITY = Regex(r"m-1(?![\w.])")
_TIME = Regex(r" ?(?:s|sec|secs|seconds?|min|mins|minutes?|h|hrs?|hours?|days?|weeks?)\b", re.I)
_NUMBER = Regex(r" ?[<>~]?[-+]?\.?[0-9]")
_CURRENT = Regex(r"\b(?:current|draw|amps|amperage)\b", re.I)
_CLOSED = Regex(r" *(?:[,;()\[]|->|\Z)")
_RATED = Regex(r" (?:fuse|breaker|relay|circuit|fusible)", re.I)
_OUT_BEFORE = Regex(
    r"\b(?:out|outer|outboard)[:= ]{1,3}[0-9./ -]{1,8}\Z", re.I
)  # "out 4.0 in 2.3" goes round one wheel
_OUT = Regex(r"\b(?:out|outer|outboard)\b", re.I)
_TEMPERATURE = Regex(r"\btemps?\b|\btemperature", re.I)
_RIGHT = Regex(r"(?<![A-Za-z/])R(?![A-Za-z/])|(?<![A-Za-z])r(?=[ =:]{0,3}[0-9.])")
_SIDED = Regex(r" (?:front|rear|side|hand|inner|outer|upper|lower|door|wheel)\b", re.I)  # "2 L front bolts": left
_DEEPER = Regex(r" (?:inner|outer|inside|outside)\b", re.I)  # "3 F inner": at the front
_MINUTES_BEFORE = Regex(
    r"(?:@|\bat|\bafter|\bfor|\bwithin|\bin|\bran|\bran for|\bidled|\bof|\bevery) ?[~<>]? ?[0-9.]+ ?\Z", re.I
)


def unit_end(text: str, at: int) -> int:
    """Position behind the unit that starts at ``at``, or ``at`` itself where none does."""
    match = _ALONE.match(text, at)
    if match is None:
        return at
    found = _longest(text, at, match[0])
    word = match[0].rstrip(".,;:!?")
    return found.end if found else at + len(word) * (find(word) is not None)


def unit_at(text: str, at: int) -> UnitWord | None:
    """The unit behind the number that ends at ``at``; ``None`` where there is none."""
    match = _PIECE.match(text, at)
    if match is None:
        return None
    piece, start = match[1], match.start(1)
    glued = start == at
    found = _longest(text, start, piece)
    if found is None and piece == "a" and (_RATED.match(text, start + 1) or _ends_current(text, start + 1)):
        return UnitWord("A", "current", start + 1)  # "15 a fuse" on a line of small letters
    warm = piece in ("f", "c") and (_LONE.search(text) is None or _TEMPERATURE.search(text) is not None)
    spaced = not glued and (warm or (piece == "a" and _ELECTRIC.search(text) is not None))
    if (
        found is None
        and (glued or spaced)
        and piece.rstrip(".") in _SHORT_GLUED
        and not text[start + 1 : start + 2].isalnum()
    ):
        typed = _SHORT_GLUED[piece.rstrip(".")]
        unit = find(typed)
        found = UnitWord(typed, unit.dimension if unit else "", start + 1)
    if found is None and piece in _CAPITALS and text.isupper():
        unit = find(_CAPITALS[piece])
        found = UnitWord(_CAPITALS[piece], unit.dimension if unit else "", start + 1)
    if found is None or not _means(text, at, start, found, glued=glued):
        return None
    if (
        text[found.end : found.end + 1] == "."
        and found.typed.casefold() in _SHORTENED
        and text[found.end + 1 : found.end + 2] in (" ", ",", ")", "]", ";", "-")
    ):
        return replace(found, end=found.end + 1)  # "0.149 in. LR": the period belongs to the unit
    return found


_SHORTENED = frozenset({"in", "ft", "qt", "pt", "oz", "gal", "sec", "hr", "hrs", "lb", "lbs", "amp", "deg"})
"""Units that are written with a period because they are shortened words."""


def _ends_current(text: str, at: int) -> bool:
    """``motor current 226 a``: a current is named, and no noun follows that "a" could go with."""
    return _CLOSED.match(text, at) is not None and _CURRENT.search(text) is not None


_RATE = Regex(r"/(?:h|hr|hour|min|s|sec|day|km|mi|mile|100)\b", re.I)


def _longest(text: str, start: int, piece: str) -> UnitWord | None:
    folded = piece.casefold().rstrip(".")
    if folded in ("mohm", "mohms") and piece[:4] not in ("Mohm", "mOhm", "MOhm"):
        return UnitWord(piece.rstrip("."), "resistance", start + len(piece.rstrip(".")), _MILLI_OR_MEGA)
    if _OPACITY.match(text, start):
        return UnitWord("m-1", "opacity", start + 3)  # how dark smoke is
    several = _several(text, start, piece)
    if several is not None:
        return several
    for end in _ends(piece):
        typed = piece[:end]
        if _RATE.match(piece, end):
            continue  # "0 ml/hr": a rate is no amount
        if typed in _MARKS:
            return UnitWord(_MARKS[typed], "length", start + end)
        if typed.casefold() in _MEG:
            return UnitWord("Mohm", "resistance", start + end)
        if typed.casefold() in _COUNTS:
            return UnitWord("count", "count", start + end)
        known = "" if typed.casefold() in _NEVER else _known(typed)
        if known and _ends_word(text, start + end):
            return UnitWord(typed, known, start + end)
    return None


@lru_cache(maxsize=4096)
def _known(typed: str) -> str:
    unit = find(typed)
    return unit.dimension if unit else ""


def _ends(piece: str) -> list[int]:
    """Lengths of a piece that may be a unit, the longest first."""
    ends = [len(piece), len(piece.rstrip(".!?\"'"))]
    ends += [i for i, char in enumerate(piece) if char in "/-.\"'”″′" and i]
    if piece[:2] == "''":
        ends.append(2)
    if piece[0] in "\"'”″′%°#":
        ends.append(1)
    return sorted({end for end in ends if end}, reverse=True)


def _ends_word(text: str, end: int) -> bool:
    return not (text[end - 1].isalpha() and text[end : end + 1].isalpha())


def _several(text: str, start: int, piece: str) -> UnitWord | None:
    """Units of two or three words: ft lb, in Hg, deg C, fl oz, K ohms."""
    end, best = start + len(piece.rstrip(".")), None
    typed = text[start:end]
    for _ in range(3):
        match = _MORE.match(text, end)
        if match is None:
            break
        end = match.end()
        typed = f"{typed} {match[1]}"
        joined = typed.replace('"', "in")
        for spelling in (typed, joined, typed.replace(" ", ""), joined.replace(" ", "")):
            known = _known(spelling)
            if known and len(spelling) > 1 and _is_compound(spelling):
                best = UnitWord(spelling, known, end)
                break
    return best


_COMPOUNDS = Regex(
    r"(?:deg(?:rees)? ?[CF]|(?:ft|lb|lbs|in|lbf)[ .-]?(?:lbs?|ft|in|lbf)|(?:imp(?:erial)? )?(?:fl ?oz"
    r"|fluid ounces?)|in ?hg|(?:in|mm) ?h2o|in ?w\.?c|mm ?hg"
    r"|newton[ -]met(?:er|re)s?|(?:foot|inch|ft)[ -]pounds?|pound[ -](?:feet|inches)|inch(?:es)? of mercury"
    r"|pounds per square inch|deg(?:rees)? (?:celsius|fahrenheit|centigrade)"
    r"|(?:lit(?:er|re)s?|gallons?) (?:per|a) minute"
    r"|k ?ohms?|m ?ohms?|meg ?ohms?|miles (?:per|an) hour|per cent|grams per second|sp gr|imp(?:erial)? \w+|n ?m)\Z",
    re.I,
)


def _is_compound(spelling: str) -> bool:
    return _COMPOUNDS.match(spelling) is not None


def _means(text: str, at: int, start: int, found: UnitWord, *, glued: bool) -> bool:
    """Whether the spelling is a unit here: "in", "min" and single letters may be words or positions instead."""
    typed, behind = found.typed, text[found.end :]
    if _POWER.match(behind) and not glued_power(typed):
        return False
    if typed.casefold() == "l/h" and (typed != "L/h" or "r/h" in text.casefold()):
        return False  # "L/H 6/32": the left hand
    if typed.casefold() == "sec" and not glued and _PRIMARY.search(text):
        return False  # "prim tank 790 sec tank 760 kPa": beside the primary the secondary
    if typed.casefold() in _OFTEN_VERBS and _NUMBER.match(behind):
        return False
    if typed.casefold() == "in" and text[start : start + 1] not in ('"', "”", "″", "'"):
        if _CLOSED.match(behind) and _BOUNDED.search(text, max(0, at - 24), at):
            return True  # "pads in 13 out 3 mm (min 0.4 in)"
        geared = _GEAR.match(behind) is not None and _IN_GEAR.search(text) is not None
        return not geared and _OUT_BEFORE.search(text, max(0, at - 24), at) is None and _inch(text, behind, found)
    if typed.casefold() == "min" and text[start : found.end].casefold() == "min":
        return _minutes(text, at, behind, glued=glued)
    if typed == "vac" and _SWITCHED.match(behind):
        return False  # "52 vac off": the vacuum hose
    if not glued and typed in "Ww" and (_COMPARED.match(behind) or behind[:2] == "/ "):
        return False  # "3 w new": with a new one; "11.4 W/ BLOWER ON"
    if not glued and len(typed) == 1 and typed in "LlFCANRVmgsh":
        return _letter(text, typed, start, behind)
    return not (typed == "A" and behind[:2].upper() == "/C")


_COMPARED = Regex(r" (?:an? )?(?:new|old|clean|fresh|good|spare|known)\b", re.I)
_BOUNDED = Regex(r"(?:\b(?:min|max|spec|limit|least|most|minimum|maximum)\b[.:= ]{1,3}|[<>]=? ?)[0-9./ -]{1,8}\Z", re.I)
_GEAR = Regex(r" (?:[dnrp1-6]|drive|reverse|park|neutral|[1-6](?:st|nd|rd|th))\b(?![./])", re.I)
_IN_GEAR = Regex(r"\bin (?:d|n|p|drive|park|neutral|reverse|[1-6](?:st|nd|rd|th))\b(?![./])", re.I)
"""``55 psi in d 210 in r``: in which gear, where a gear that is no side is named."""
_PRIMARY = Regex(r"(?<![a-z])(?:pri|prim|primary)(?![a-z])", re.I)
_SWITCHED = Regex(r" (?:on|off|hose|line|advance|pump)\b", re.I)
_POWER = Regex(r"(?:\^|\*\*)?-1\b(?![.,0-9])|\^")


def glued_power(typed: str) -> bool:
    """A unit that already holds its power, such as m-1."""
    return typed.endswith(("-1", "⁻¹"))


def _inch(text: str, behind: str, found: UnitWord) -> bool:
    """Whether "in" behind a number is an inch: no preposition, no inlet, no intake valve, no toe."""
    if _TOES.search(text) and re.search(r"[0-9] ?mm\b", text, re.I):
        return False  # toe in, toe out
    if _CLOSED.match(behind) and (_OUT_BEHIND.search(text, 0, found.end) or _OUT_BEHIND.match(behind)):
        return False  # "2.35 out, 2.25 in": the two ends of one thing
    if _is_inside(behind) or _is_inlet(text, behind, found.end) or _IN_A_TIME.match(behind):
        return False
    number = _NUMBER.match(behind)
    if number is None:
        first = re.match(r"\W*([a-z]+)", behind.casefold())
        return first is None or not first[1].startswith(_NO_INCHES) or first[1].startswith("allow")
    rest = behind[number.end() :].lstrip("0123456789./")
    return _TIME.match(rest) is None and _OUT.search(behind) is None


_IN_A_TIME = Regex(
    r" an? (?:min|minute|hour|hr|sec|second|day|week|month|mile|km|row)\b"
    r"|,? (?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may(?! be)|june?|july?|aug(?:ust)?|sept?(?:ember)?"
    r"|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?|spring|summer|autumn)\b",
    re.I,
)
"""How long it took, or when it was read: ``was 4.6 in Aug``."""
_NO_INCHES = (
    "the",
    "park",
    "drive",
    "neutral",
    "gear",
    "reverse",
    "crank",
    "cab",
    "winter",
    "summer",
    "it",
    "total",
    "all",
    "one",
    "some",
    "traffic",
    "town",
    "motion",
    "service",
    "use",
    "shade",
    "place",
    "order",
    "first",
    "second",
    "third",
    "fourth",
    "forward",
)
"""Words behind "in" that make it a preposition."""
_VALVED = Regex(r"[ ,]+[0-9.]+(?: ?mm)? ?(?:ex|exh|exhaust|out)\b", re.I)
_OUTLET = Regex(r"\b(?:outlet|out(?! of)|return|discharge)\b", re.I)
_ANOTHER = Regex(r"[0-9] ?(?:°? ?[CF]|deg ?[CF]?|V|psi|bar|kPa|ppm)\b")


def _is_inlet(text: str, behind: str, end: int) -> bool:
    """``0.35 in 0.60 ex``, ``95 C outlet, 80 in``: beside the other valve or the other end of a flow."""
    if _VALVED.match(behind):
        return True
    before = text[: end - len("in")]
    if before[-1:].isdigit() and re.search(r"[0-9]\.[0-9]+\Z", before):
        return False  # "play 1.13in": a decimal with its unit glued to it
    return _CLOSED.match(behind) is not None and bool(_OUTLET.search(before) and _ANOTHER.search(before))


_TOES = Regex(r"toe|\btracking\b", re.I)
_OUT_BEHIND = Regex(r"(?:(?<=[0-9])|, {0,2}[0-9.]{1,7}) {0,2}out(?= ?[,;(]|\Z)", re.I)
_INSIDE = Regex(r" (?:an? |the |its )?([a-z]+),? [0-9.]")


def _is_inside(behind: str) -> bool:
    """``piston 53.92 in bore 54.05``: the part it lies in follows, with a figure of its own."""
    match = _INSIDE.match(behind.casefold())
    if match is None or match[1] in _COUNTED:
        return False  # "2-1/2in axle 1": where, by its number
    return any(one.cls == "thing" and one.kind == "part" for one in look(match[1]))


_COUNTED = frozenset("axle axles cyl cyls cylinder cylinders pin pins bank wheel sensor injector corner".split())
_COUNTED_BEFORE = Regex(r"(?<![a-z])(?:cyl|cylinder|axle|pin|bank)\.? {0,3}#? ?[0-9]{1,2}\Z", re.I)


_LEAST_OF = Regex(
    r"\.? (?:thickness|size|thick|tread|depth|stamped|spec|limit|allowed|legal|wear)\b|\.? ?(?:is|=|:) ?\.?[0-9]", re.I
)


def _minutes(text: str, at: int, behind: str, *, glued: bool) -> bool:
    waited = _MINUTES_BEFORE.search(text[max(0, at - 24) : at]) is not None
    if _COUNTED_BEFORE.search(text, max(0, at - 16), at) or (not waited and _LEAST_OF.match(behind)):
        return False  # "9.7 mm axle 2 min. 4.9 mm": the figure is the axle's; "22.1 min thickness 22"
    digits = re.search(r"[0-9.,]+ ?\Z", text[:at])
    long = digits and re.fullmatch(r"[0-9]{3,9}", digits[0].strip()) and int(digits[0]) > _MOST_MINUTES
    if long and _NUMBER.match(behind):
        return False  # "62 psi at 2100 min 15"
    if waited:
        return True
    if long:
        return False
    number = _NUMBER.match(behind)
    if number is None and digits and not any(char.isdecimal() for char in text[: digits.start()]):
        return True  # "wiggle test, 15 min, no change": there is nothing it could be the least value of
    if number is None:
        before = text[max(0, at - 24) : at]
        announced = re.search(
            r"(?:spec|specs|s/b|should be|shoud be|shld be|limit|legal|book|needs?|wants?|requires?|at least|says"
            r"|gives|must be|to be|(?:call|ask)s? for)[: ]*[0-9./,-]+ ?\Z|"
            r"(?:[,;] |\. )\s*[0-9./,-]+ ?\Z|\(\s*[0-9./,-]+ ?\Z",
            before,
            re.I,
        )
        part = announced is not None and announced[0].lstrip()[:1] in ",;."
        word = re.match(r"\W*(\w+)", behind)
        if part and word and re.search(rf"\b{word[1]}\b", text[:at], re.I):
            return False  # "8.7 cranking, 9.6 min cranking": the least under the condition named before
        return announced is None or (part and behind.strip()[:1] not in ("", ",", ";", "."))
    rest = behind[number.end() :].lstrip("0123456789./")
    return glued or _TIME.match(rest) is not None


_GRADE = Regex(r" [0-9]{1,2}w-?[0-9]{2}\b", re.I)  # "9.5 L 80w90": litres of an oil
_FAHRENHEIT = Regex(r"[0-9] ?F\b")
_WARM_AIR = Regex(r"(?<![0-9.,/])[1-9][0-9]{1,2} \Z")
_OUTDOORS = Regex(
    r" (?:outside|outdoors|ambient|amb|oat)\b(?! (?:edge|shoulder|pad|dual|tread|tire|tyre|rib)s?\b)", re.I
)


def _is_air(text: str, start: int, behind: str) -> bool:
    """``190 psi, 85 F outside``: a whole number of two or three digits that is as warm as the air may be."""
    return _OUTDOORS.match(behind) is not None and _WARM_AIR.search(text, max(0, start - 5), start) is not None


def _letter(text: str, typed: str, start: int, behind: str) -> bool:
    if behind[:1] == "/" and behind[1:2].isalpha():
        return False
    if typed in "Ff" and _TEMPERATURE.search(text):
        return True  # "outlet temp L 97 F, R 88 F": the line says itself that F is a unit
    if typed == "F" and (len(_FAHRENHEIT.findall(text)) > 1 or _is_air(text, start, behind)):
        return True  # two values cannot both stand at the front
    if typed in "LFl" and (_RIGHT.search(text) or (_SIDED if typed != "F" else _DEEPER).match(behind)):
        return False
    if typed in "LFRl" and _NUMBER.match(behind) and not _GRADE.match(behind):
        return False
    capital = text[start : start + 1] == "A" and not text.isupper()  # among small letters it is no article
    return typed != "A" or capital or not behind.startswith(" b") or behind.startswith((" before", " bef "))
