"""What is said once and holds for more: units of lists, and ranges that say what a reading should be."""

import re
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from ticket.job.regex import Regex
from ticket.notes.finding.circumstances import SLOWEST
from ticket.notes.finding.lexer import mixed_text
from ticket.notes.finding.lexicon import is_state
from ticket.notes.finding.limits_given import source_of, without_source
from ticket.notes.finding.measures import DIMENSIONS, is_length
from ticket.notes.finding.stated import PlacedLimits, Reading, Walked, is_told
from ticket.notes.finding.tokens import Amount, GivenLimits, Token
from ticket.readings.units import find

OPPOSITES = tuple(
    frozenset(pair.split("/"))
    for pair in (
        "in/out low/high lo/hi low/hi cut-in/cut-out cutin/cutout suction/discharge suction/disch suct/disch"
        " suct/discharge inlet/outlet supply/return"
        " before/after opens/closes open/close extend/retract raise/lower lift/lower up/down on/off min/max pos/neg"
        " positive/negative sin/cos sine/cosine prim/sec pri/sec primary/secondary"
    ).split()
)
"""Words for the two ends or ways of one thing."""


SAID_FIRST = frozenset(
    "mm mv ma psi kpa bar mbar volts volt amps ohms ohm kohm mohm rpm inhg lambda thou nm psig deg "
    "degrees inches".split()
)


_FOR_ALL = frozenset(
    {"each", "ea", "both", "either", "all", "round", "side", "all round", "per", "apiece", "all 4", "all four"}
)
"""Words behind a range that say it holds for every reading before it."""


MERELY = frozenset({"only", "just", "still", "barely"})
"""Words in front of a figure that say how little it is, and name nothing."""


def units_of_subjects(done: Walked) -> None:
    """``oil psi 18``, ``volts 13.1``: the unit stands among the words before the number."""
    for reading in done.readings:
        if not reading.amount.bare or reading.amount.shape == "word":
            continue
        before = [token for token in reading.name if token.start < reading.token.start]
        closing = [token for token in reading.subject[-1:] if token.start > reading.token.start]  # "4 osr, all mm"
        for token in (*before[::-1], *closing):
            known = find(token.text) if token.text in SAID_FIRST and not _is_rod(token, before) else None
            if known is not None:
                mates = [r for r in done.readings if reading.series and r.series == reading.series] or [reading]
                for mate in (mate for mate in mates if mate.amount.bare):
                    mate.amount = replace(mate.amount, unit=token.text, dimension=known.dimension, bare=False)
                reading.own = True
                if token in closing:  # "35 front 40 rear mm": what it names is said, so it names no thing
                    reading.subject = tuple(one for one in reading.subject if one is not token)
                    reading.name = tuple(one for one in reading.name if one is not token)
                break


def units_of_measures(done: Walked) -> None:
    """``coolant temp 198, oil temp 210, trans 185 F``: a measure is in the one unit of its kind on the line."""
    for reading in done.readings:
        kinds = [DIMENSIONS[token.text] for token in reading.name if token.text in DIMENSIONS]
        sure = kinds[-1] if kinds and len(kinds[-1]) == 1 else set[str]()
        alike = [
            one.amount for one in done.readings
            if one.clause == reading.clause and not one.amount.bare and one.amount.dimension in sure
        ]  # fmt: skip
        plain = reading.amount.bare and not reading.amount.to and reading.amount.shape in ("whole", "decimal")
        if plain and len({one.unit for one in alike}) == 1 and all(_in_reach(one, reading.amount) for one in alike):
            reading.amount = replace(reading.amount, unit=alike[0].unit, dimension=alike[0].dimension, bare=False)


def _is_rod(token: Token, words: list[Token]) -> bool:
    """``tow bar electrics 7 pin``: a bar of steel, where more words or the word for a rod stand beside it."""
    return token.text == "bar" and bool(words) and (token is not words[-1] or any(word.text in _RODS for word in words))


_RODS = frozenset(
    "tow roll sway torsion light draw track drag anti-roll stabiliser stabilizer drop crow pry wiper".split()
)


def pair_moments(done: Walked) -> None:
    """``0.9 V before cleaning, 0.1 after``: two readings of one thing, the one before the work, the other after it."""
    for before, after in pairwise(done.readings):
        if before.pair or after.pair or before.clause != after.clause:
            continue
        moments = [{token.text.casefold()[:3] for token in one.when} for one in (before, after)]
        one_kind = after.amount.bare or before.amount.dimension == after.amount.dimension
        inherited = not after.name or after.name == before.name
        if not (one_kind and inherited):
            continue
        worked = _is_after_work(after) and not moments[0] & _NEWER
        if worked or ("bef" in moments[0] and moments[1] & _NEWER):
            before.pair, after.pair = "before", "after"
        elif moments[0] & _NEWER and moments[1] & _OLDER:
            before.pair, after.pair = "after", "before"


def _is_after_work(reading: Reading) -> bool:
    """``after cleaning 0.04``: no figure says after how long, so it is after something was done."""
    return any(token.text.casefold().startswith("after ") and not token.held for token in reading.when)


_NEWER, _OLDER = {"aft", "now"}, {"bef", "was"}
_EIGHTHS = ("4", "8", "16", "32", "64")
_NOT_LENGTHS = (
    "turn", "tank", "throttle", "pedal", "pt", "pint", "qt", "quart", "gal", "cup", "rev", "load", "full", "charge",
    "level", "ton", "time", "hour", "way", "open",
)  # fmt: skip


def units_of_fractions(done: Walked) -> None:
    """``shoes 1/16 lt``: eighths, sixteenths and 32nds of nothing are of an inch, unless turns or fluids are told."""
    words = [token.text for part in done.parts for token in part if token.letter in "wncCe"]
    if any(word.startswith(_NOT_LENGTHS) for word in words):
        return
    for reading in done.readings:
        amount = reading.amount
        bottom = amount.text.rpartition("/")[2]
        whole = amount.text.rpartition("/")[0].strip()
        fine = bottom in _EIGHTHS[1:] or (bottom in _EIGHTHS and any(join in whole for join in "- "))
        if amount.bare and amount.shape == "fraction" and fine and amount.value is not None and not amount.to:
            reading.amount = replace(amount, unit="in", dimension="length", bare=False)


_READS = frozenset(
    "reads read shows show measures measured gets opens closes kicks cuts lets goes sits stays stands drops"
    " dropped falls fell loses lost rises rose climbs climbed sags sagged bleeds settles".split()
)
_LOSES = frozenset("drops dropped loses lost falls fell".split())
_NEAR_IN_SIZE = 4


def units_of_doings(done: Walked) -> None:
    """``hood reads 412 microns, roof reads 118``: a bare figure that a thing reads, where all else is of one unit."""
    for reading in done.readings:
        amount = reading.amount
        united = [
            r.amount for r in done.readings if r.clause == reading.clause and not r.amount.bare and r.amount.value
        ]
        said = {word for token in reading.name for word in re.split("[ -]", token.text)}
        if not amount.bare or amount.to or not amount.value or amount.shape in ("word", "k") or not said & _READS:
            continue
        if len({(one.dimension, one.unit) for one in united}) != 1 or any(is_told(one) for one in united):
            continue
        off = [abs(amount.value / one.value) for one in united if one.value]
        lost = bool(said & _LOSES) and "to" not in said  # "62 psi holds, drops 5 in 10 min": so much of it
        if lost or all(1 / _NEAR_IN_SIZE <= one <= _NEAR_IN_SIZE for one in off):
            reading.amount = replace(amount, unit=united[0].unit, dimension=united[0].dimension, bare=False)


def units_of_things(done: Walked) -> None:
    """Marks that stand for one unit of this thing: inches of vacuum, degrees of a temperature that nobody named."""
    for reading in done.readings:
        words = [token.text for token in (*reading.subject, *reading.when)]
        amount = reading.amount
        inches = amount.dimension == "length" and amount.unit.casefold() in ('"', "in", "inch", "inches")
        behind = [token.text for token in reading.subject if token.start > reading.token.start][:2]
        if inches and behind[-1:] == ["water"] and len(behind) in (1, 2) and behind[0] in ("of", "water"):
            reading.amount = replace(amount, unit="inH2O", dimension="pressure")
        elif inches and _is_vacuum(words):
            reading.amount = replace(amount, unit="inHg", dimension="pressure")
        elif amount.bare and amount.shape == "whole" and (amount.value or 0) >= SLOWEST and "revs" in words:
            reading.amount = replace(amount, unit="rpm", dimension="rotation", bare=False)
        elif amount.bare and amount.shape == "decimal" and (_is_voltage(amount, words) or _is_of_supply(reading)):
            reading.amount = replace(amount, unit="V", dimension="voltage", bare=False)
        elif amount.bare and amount.shape == "k" and amount.value and _is_resistance(reading, words):
            value = amount.value / 1000
            held = replace(amount, text=mixed_text(value), value=value, shape="decimal")
            reading.amount = replace(held, unit="kohm", dimension="resistance", bare=False)
        elif amount.bare and amount.shape == "whole" and _is_compression(amount, words):
            reading.amount = replace(amount, unit="psi", dimension="pressure", bare=False)
        elif amount.bare and (unit := _unit_of_length(done, reading, words)):
            reading.amount = replace(amount, unit=unit, dimension="length", bare=False)
        elif amount.dimension == "angle" and any(word.startswith(_WARM) for word in words):
            reading.amount = replace(amount, unit="", dimension="", bare=True)


_COMPRESSION_IN_PSI = (60, 400)


def _is_compression(amount: Amount, words: list[str]) -> bool:
    """``comp 150 148 95 152``: whole figures of that size are psi; bar is smaller, kilopascals are larger."""
    value, (least, most) = amount.value, _COMPRESSION_IN_PSI
    return (
        any(word in ("comp", "comps", "compression") for word in words) and value is not None and least <= value <= most
    )


_INCH_DECIMAL = Regex(r"\.[0-9]{3}")


def _unit_of_length(done: Walked, reading: Reading, words: list[str]) -> str:
    """``rotor runout .006``: three decimals and no nought are of an inch; ``runout 0.09 mm, disc 0.14``."""
    amount = reading.amount
    if amount.shape != "decimal" or amount.to:
        return ""
    united = {
        one.amount.unit.casefold() for one in done.readings if not one.amount.bare and one.clause == reading.clause
    }
    if united == {"mm"}:
        return "mm" if is_length(words) else ""
    return "in" if _INCH_DECIMAL.fullmatch(amount.text) and (is_length(words) or "wear" in words) else ""


_RESISTING = ("sender", "sensor", "thermistor", "ntc", "resistor", "resistance", "ohm")
_NO_RESISTANCE = ("speed", "rpm", "hz", "freq", "volt", "signal", "count", "pressure", "psi")


def _is_resistance(reading: Reading, words: list[str]) -> bool:
    """``temp sender 2.4k at 70F``: thousands of a sender of warmth are kilohms; of a speed they are turns or cycles."""
    named = any(word.startswith(_RESISTING) for word in words) and not any(w.startswith(_NO_RESISTANCE) for w in words)
    sure = any(word.startswith(("thermistor", "ntc", "resist", "ohm")) for word in words)
    fine = "." in reading.token.text and "speed" not in words  # "abs sensor 1.19 k"
    return named and (sure or fine or any(word.startswith("temp") for word in words))


_CHARGED = ("charging", "batt", "alternator", "volt")
_NOT_VOLTS = (
    "belt",
    "drain",
    "draw",
    "amp",
    "cca",
    "sg",
    "grav",
    "hydro",
    "temp",
    "load",
    "age",
    "min",
    "resist",
    "ripple",
)
_VOLTS = (5, 60)


def _is_voltage(amount: Amount, words: list[str]) -> bool:
    """``charging 13.2 at idle``: a decimal of a battery or of what charges it, of the size of its voltage."""
    value = amount.value
    sized = value is not None and _VOLTS[0] <= value <= _VOLTS[1] and not amount.than and not amount.to
    named = any(word.startswith(_CHARGED) or word.casefold() in ("alt", "b+") for word in words)
    return sized and named and not any(word.startswith(_NOT_VOLTS) for word in words)


_SUPPLY = Regex(r"[0-9]+ ?v(?:olts?)?", re.I)


def _is_of_supply(reading: Reading) -> bool:
    """``12V rail 13.9``, ``5 V supply reads 4.1``: what is called by its voltage is measured in it."""
    if reading.amount.to or reading.amount.than:
        return False
    return any(token.letter == "n" and _SUPPLY.fullmatch(token.text) is not None for token in reading.name)


_WARM = ("coolant", "temp", "ambient", "thermostat", "stat", "vent", "oil", "exhaust")


def _is_vacuum(words: list[str]) -> bool:
    return any(word in ("vac", "vacuum", "manifold") for word in words) and not any(
        word in ("hose", "line", "pump", "gap") for word in words
    )


def limits_of_ranges(done: Walked) -> None:
    """A bare range that is all of its part, or stands right behind a reading, is what the reading should be."""
    for place, reading in enumerate(list(done.readings)):
        before = done.readings[place - 1] if place else None
        amount = reading.amount
        if not amount.to or before is None or before.amount.to or placed_here(done, reading):
            continue
        if not (amount.bare or before.amount.bare) and amount.dimension != before.amount.dimension:
            continue
        if _is_after_work(reading):
            continue  # "14 clicks, 3 to 5 after adjusting"
        part = done.parts[reading.part]
        part, named = without_source(part)
        alone = [t.letter for t in part if t.letter != "C" and t.text not in _FOR_ALL] == ["q"]
        behind = _bounds_it(part, before, reading)
        if behind and _may_bound_another(part, before, reading):
            done.left.append(replace(reading.token, letter="x"))  # "9.4 A cuts off at 52 psi 45-55"
            done.readings.remove(reading)
            continue
        if not (alone or behind) or reading.clause != before.clause:
            continue
        ends = (
            replace(amount, to="", to_value=None),
            replace(amount, text=amount.to, value=amount.to_value, to="", to_value=None),
        )
        own = purpose(done.readings[:place], [token.text for token in part])
        source = source_of(named) if named else ""
        when = _apart_from(before, part)
        given = GivenLimits(low=ends[0], high=ends[1], own=own, source=source, when=when)
        done.limits.append(PlacedLimits(reading.token, given, reading.part, reading.clause, alone=alone))
    _named_ranges(done)
    taken = {limits.token.start for limits in done.limits}
    done.readings = [reading for reading in done.readings if reading.token.start not in taken]
    done.limits.sort(key=lambda limits: limits.token.start)


def _apart_from(before: Reading, part: list[Token]) -> str:
    """``12.4 kohm at 20 C, 9.5-10.5 at 25 C``: the condition of the range, where the reading has one of its kind."""
    told = [(token, one.amount) for token in part if token.letter == "C" for one in token.held or ()]
    own = {one.amount.dimension for condition in before.when for one in condition.held or () if one.letter == "q"}
    return next((token.text for token, amount in told if amount.dimension in own), "")


def _bounds_it(part: list[Token], before: Reading, reading: Reading) -> bool:
    """Nothing but conditions stands between a value and the range behind it, and it is of the same kind."""
    one, span = before.amount, reading.amount
    if not _only_conditions(part, before.token, reading.token):
        return False
    if span.bare:
        return not one.bare or _is_bound(one, span)
    return part[part.index(reading.token) - 1].letter == "C" and (one.bare or one.dimension == span.dimension)


def _may_bound_another(part: list[Token], before: Reading, reading: Reading) -> bool:
    """A figure in a condition between the two lies as near to a range without a unit."""
    between = part[part.index(before.token) + 1 : part.index(reading.token)]
    held = [one.amount for token in between for one in token.held or () if one.letter == "q"]
    loads = [one for one in held if one.dimension not in ("rotation", "temperature", "time", "speed", "turns")]
    return reading.amount.bare and any(_in_reach(one, reading.amount) for one in loads)


def _is_bound(one: Amount, span: Amount) -> bool:
    """``gap .041 .016-.031``: in one form, and no small whole numbers, which may as well be a list."""
    fine = one.shape == span.shape == "decimal"
    return fine or (one.shape == span.shape == "whole" and (one.value or 0) >= _NO_COUNT <= (span.value or 0))


_NO_COUNT = 10


def purpose(readings: list[Reading], texts: list[str]) -> tuple[str, ...]:
    """``125-135 for cut out``: the name behind "for", where a reading is called so."""
    told = [text.casefold()[len("for ") :] for text in texts if text.casefold().startswith("for ")]
    names = {token.text for reading in readings for token in reading.name}
    return tuple(name for text in told for name in (text.replace(" ", "-"), text) if name in names)[:1]


def _only_conditions(part: list[Token], one: Token, other: Token) -> bool:
    """Nothing but conditions stands between the two tokens of a part."""
    if one not in part or other not in part:
        return False
    return all(token.letter == "C" for token in part[part.index(one) + 1 : part.index(other)])


def _named_ranges(done: Walked) -> None:
    """``inlet 0.27, exhaust 0.24; inlet 0.22-0.28, exhaust 0.27-0.33``: a range under the name of a reading."""
    for place, reading in enumerate(done.readings):
        amount = reading.amount
        before = [r for r in done.readings[:place] if not r.amount.to and r.part < reading.part]
        if not amount.to or not before or any(limits.token is reading.token for limits in done.limits):
            continue
        if any(limits.part == reading.part for limits in done.limits):
            continue  # it has limits of its own, so it was measured
        if done.parts[reading.part][0] is reading.token:
            continue  # "29-69 psi axle 2": limits under a name come behind the name
        words = tuple(t.text for t in reading.name) + tuple(w for _, place_ in reading.places for w in place_.split())
        named = [r for r in before if words and _called(r, words)]
        if len(named) == 1 and (amount.bare or named[0].amount.bare or amount.dimension == named[0].amount.dimension):
            low = replace(amount, to="", to_value=None)
            high = replace(amount, text=amount.to, value=amount.to_value, to="", to_value=None)
            given = GivenLimits(low=low, high=high, own=words)
            done.limits.append(PlacedLimits(reading.token, given, reading.part, reading.clause, alone=True))


def _called(reading: Reading, words: tuple[str, ...]) -> bool:
    own = {t.text for t in reading.name} | {w for _, place in reading.places for w in place.split()}
    return all(word in own for word in words)


def placed_here(done: Walked, reading: Reading) -> bool:
    """A position stands right before it."""
    part = done.parts[reading.part]
    at = part.index(reading.token) if reading.token in part else 0
    return at > 0 and part[at - 1].letter == "p"


def is_twin(one: Reading, other: Reading, *, bare: bool = False) -> bool:
    """``inlet 46 C, outlet 61 C``: two ends of one thing, read in one go."""
    words, others = ({token.text for token in reading.name} for reading in (one, other))
    same = one.amount.dimension == other.amount.dimension and one.amount.bare == bare
    return same and any(pair <= words ^ others for pair in OPPOSITES)


def carry_units(done: Walked) -> None:
    """A unit said once goes back over the list, then forward."""
    readings = done.readings
    for one, later in pairwise(readings):
        if one.series and one.series == later.series and later.amount.bare and not one.amount.bare:
            later.amount = _with_unit(later, one)  # a list is of one unit, whatever stands behind it
    for place in range(len(readings) - 1, 0, -1):
        later, one = readings[place], readings[place - 1]
        if one.amount.bare and not later.amount.bare and _one_list(one, later) and not _told_before(readings[:place]):
            one.amount = _with_unit(one, later)
    for place in range(1, len(readings)):
        one, later = readings[place - 1], readings[place]
        if (
            later.amount.bare
            and not one.amount.bare
            and _one_list(one, later)
            and not _lies_elsewhere(readings, one, later)
        ):
            later.amount = _with_unit(later, one)


def _lies_elsewhere(readings: list[Reading], one: Reading, later: Reading) -> bool:
    """``0.19 bar at 2500``: no second reading of one thing is so many times the first."""
    value, own = later.amount.value, one.amount.value
    if not value or not own:
        return False
    far = not later.places and later.amount.shape != "k"
    far = far and max(abs(value / own), abs(own / value)) >= _ANOTHER_WORLD
    return far or _nearer(readings, one, later)


_ANOTHER_WORLD = 500


def _nearer(readings: list[Reading], one: Reading, later: Reading) -> bool:
    """``59.2 Hz 118 V, no load 61.5``: the figure lies far nearer to one of another unit than to the last."""
    value, own = later.amount.value, one.amount.value
    if not value or not own or later.series == one.series != 0:
        return False
    others = [
        r.amount.value for r in readings
        if r.clause == later.clause and r.amount.value and not r.amount.bare and r.token.start < later.token.start
        and r.amount.dimension not in ("", one.amount.dimension) and r.name == one.name
    ]  # fmt: skip
    off = max(abs(value / own), abs(own / value))
    return any(max(abs(value / other), abs(other / value)) * _CLEARLY < off for other in others)


_CLEARLY = Fraction(3, 2)


def _told_before(readings: list[Reading]) -> bool:
    """The rest of something has the unit of what was read before it, never of what comes behind."""
    rest, before = readings[-1], readings[:-1]
    united = any(r.clause == rest.clause and not r.amount.bare for r in before)
    return united and is_rest({token.text for token in rest.name})


def _with_unit(reading: Reading, other: Reading) -> Amount:
    plain = other.amount.dimension == "resistance" and other.amount.shape != "k"
    unit = "kohm" if plain else other.amount.unit
    if reading.amount.shape == "k" and unit[:1] in "kK" and reading.amount.value is not None:
        value = reading.amount.value / 1000  # "1.1k ohm, 2.6k", "0.5 ohm, secondary 14k": thousands of the unit
        made = replace(reading.amount, value=value, text=mixed_text(value), shape="decimal")
        return replace(made, unit=unit, dimension=other.amount.dimension, bare=False)
    if other.token.amount.shape == "k" and other.amount.dimension == "resistance" and _is_plain(reading.amount):
        return replace(reading.amount, unit="ohm", dimension="resistance", bare=False)  # "2.3k cold 310 hot"
    return replace(reading.amount, unit=other.amount.unit, dimension=other.amount.dimension, bare=False)


def _is_plain(amount: Amount) -> bool:
    """A whole figure too large to be thousands of an ohm beside some that were typed so."""
    return amount.shape == "whole" and (amount.value or 0) >= _HUNDRED


_HUNDRED = 100


def _one_list(one: Reading, other: Reading) -> bool:
    turning = [mate for mate in (one, other) if mate.amount.dimension == "rotation"]
    if turning and any(mate.amount.bare and mate.amount.shape == "decimal" for mate in (one, other)):
        return False  # "14.4 V, engine 2500 rpm, was 12.6": no engine speed
    if one.clause != other.clause or one.amount.shape == "word":
        return one.amount.shape == "word" and one.series == other.series != 0
    if one.series and one.series == other.series:
        return True
    if one.name == other.name and one.name and (one.when or other.when or one.pair or other.pair):
        moments = {one.pair, other.pair} == {"before", "after"} or _each_in_its_state(one, other)
        return (other.amount.bare or moments) and one.amount.dimension != "cranking current"
    if one.name == other.name and one.name and other.part == one.part + 1 and _told_where(other):
        return other.amount.bare and _in_reach(one.amount, other.amount)
    if other.pair == "after" and one.pair in ("before", "passing"):
        return True  # "12.4 V at rest, drags down to 8.9": one value on its way
    words, others = ({t.text for t in r.name if t.text not in _FOR_ALL | MERELY} for r in (one, other))
    if words and others and (words <= others or others <= words) and _comparable(one.amount, other.amount):
        return True
    if is_rest(others) or (is_rest(words) and (not others or words & others)):
        return True  # "auger bearing 94 C, other end 41 C, grease gun 3 strokes": the rest ends the list
    if one.places and other.places and words == others:
        return True
    if one.part == other.part and (words & others or (one.amount.signed and other.amount.signed)):
        return True  # "stft +8 ltft +14 %"
    return _is_of_one_kind(one, other, words, others)


def _is_of_one_kind(one: Reading, other: Reading, words: set[str], others: set[str]) -> bool:
    """The names are of one kind, though they differ: opposites, numbers, windings, or the states of one thing."""
    if other.amount.bare and _one_sort(one, other, bool(words & others)) and _in_reach(one.amount, other.amount):
        return True
    if _goes_on(one, other):
        return True
    if _are_windings(one, other) and _comparable(one.amount, other.amount):
        return True
    differ = (words - others) | (others - words)
    if words < others and other.amount.bare and all(is_state(word) for word in others - words):
        return _in_reach(one.amount, other.amount)  # "210 F towing, 180 empty"
    return any(pair <= differ for pair in OPPOSITES)


def _each_in_its_state(one: Reading, other: Reading) -> bool:
    """``oil press 84 cold 24 psi hot``: one thing in two states, side by side, each told in words."""
    stated = all(r.when and not any(token.held for token in r.when) for r in (one, other))
    alike = [token.text for token in one.when] == [token.text for token in other.when]
    plain = "fraction" not in (one.amount.shape, other.amount.shape)  # "3/4 hot": of a whole
    return stated and plain and not alike and one.part == other.part and _in_reach(one.amount, other.amount)


def _one_sort(one: Reading, other: Reading, shared: bool) -> bool:
    """``cell voltages 3.61 V, cell 17 3.38``, ``winding S1-S3 13.8 ohm, S2-S4 14.1``: decimals of one sort."""
    decimals = other.amount.shape == one.amount.shape == "decimal"
    lettered = bool(one.name and other.name) and one.name[-1].letter == other.name[-1].letter == "n"
    nameless = not one.name and not other.name and bool(one.when and other.when)  # "14.3 V idle, 14.1 loaded"
    return nameless or _are_numbered(one, other) or (decimals and (shared or lettered))


def _are_numbered(one: Reading, other: Reading) -> bool:
    """``pump 1 690 psi, pump 2 410``: the names differ in their number alone."""
    names = [[token.text for token in reading.name] for reading in (one, other)]
    plain = [[word for word in name if not word.isdecimal()] for name in names]
    return (
        plain[0] == plain[1] != []
        and names[0] != names[1]
        and all(len(p) < len(n) for p, n in zip(plain, names, strict=True))
    )


def _goes_on(one: Reading, other: Reading) -> bool:
    """``prim 124 psi sec 122 aux 110``: a third in the same form behind one whose unit is that of the first."""
    carried = one.token.amount.bare and not one.amount.bare and other.amount.bare and one.part == other.part
    short = sum(token not in one.name for token in other.name) == 1
    alike = not other.amount.to and one.amount.shape == other.amount.shape
    return carried and short and alike and _in_reach(one.amount, other.amount)


def _are_windings(one: Reading, other: Reading) -> bool:
    """``phases U-V 0.62 ohm, V-W 0.63``: the names end in two letters each, between which it was measured."""
    ends = [reading.name[-1].text if reading.name else "" for reading in (one, other)]
    return ends[0] != ends[1] and all(len(end) == len("u-v") and end[1] == "-" for end in ends)


def _told_where(reading: Reading) -> bool:
    """``60 at the slackest``: nothing but a place stands behind the figure."""
    behind = [token for token in reading.subject if token not in reading.name]
    return bool(behind) and behind[0].text in ("at", "on", "in") and behind[0].start > reading.token.start


def _in_reach(one: Amount, other: Amount) -> bool:
    """Neither is more than so many times the other."""
    if not one.value or not other.value:
        return False
    return 1 / _NEAR_IN_SIZE <= abs(other.value / one.value) <= _NEAR_IN_SIZE


_ALIKE = 8
"""Two figures of one thing that lie at most so many times apart may be of one unit."""


def _comparable(one: Amount, other: Amount) -> bool:
    """``feed 12.4 V at the nose, 9.8 at the tail``: a decimal of the same thing, of the same size."""
    bare = one if one.bare else other
    if bare.shape != "decimal" or not one.value or not other.value or bare.to or one.bare == other.bare:
        return False
    return 1 / _ALIKE <= abs(one.value / other.value) <= _ALIKE


def is_rest(words: set[str]) -> bool:
    """Whether a name says that it is of the others, or of the rest."""
    return any(
        word.split(" ")[0]
        in (
            "others",
            "other",
            "rest",
            "the",
            "remaining",
            "all",
        )
        and word != "the"
        for word in words
    )
