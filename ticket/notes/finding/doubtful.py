"""Figures that stand where a reading would, and may as well have been done, filled in, tightened to or named.

A reading without limits of its own is stated only where its words leave no doubt that it was read. Three things make
it doubtful, whatever the thing is called: work was done to the thing in the words in front of it; it is measured in
what things are mostly filled, tightened, loaded or rated with, and no word says that it was measured; what happened at
it is denied. The first figure of a line is asked about like any other; so nobody has to have seen the word for it.
"""

from ticket.language.lexicon import look
from ticket.notes.finding.carried import is_rest
from ticket.notes.finding.lexicon import is_noun
from ticket.notes.finding.measures import DIMENSIONS, SAID_TO_BE_READ
from ticket.notes.finding.part_words import DOINGS, WHOLE_TOPICS
from ticket.notes.finding.sifting import is_count
from ticket.notes.finding.stated import Reading, Walked
from ticket.notes.finding.tokens import Token
from ticket.notes.finding.wear_sides import wear_side

_LOOKED_AT = frozenset({"check", "measure", "look"})
"""Work that only looks: a figure behind it was read."""
_LED = frozenset("to at by up down out back over about approx around until till @ with and".split())
"""What may stand between a word for work and the figure it was done to."""
_SET = frozenset({"set", "reset", "preset"})
_DENIED = frozenset("no not none without nil never".split())
_UP_TO = frozenset("to at until till up under over".split())


def doubtful(done: Walked) -> list[Reading]:
    """The readings that nothing on their line says were read."""
    found: list[Reading] = []
    for place, reading in enumerate(done.readings):
        stated = [one for one in done.readings[:place] if one not in found]
        numbered = _is_numbered(reading, done.readings[place + 1 :])
        if (
            numbered
            or _is_open(reading, done.readings)
            or (not _is_sure(reading) and _is_doubtful(done, reading, stated))
        ):
            found.append(reading)
    return found


def _is_open(reading: Reading, every: list[Reading]) -> bool:
    """``cyl 3 OL`` beside figures: nothing flows there, which some write down as a value and some as a state."""
    return reading.amount.text == "OL" and any(not one.amount.bare and one.amount.shape != "word" for one in every)


def _is_numbered(reading: Reading, later: list[Reading]) -> bool:
    """``entry 3 now 1.24 kohm``: in front of what is read now a bare number may be an entry's; "was 3" is a value."""
    bare = reading.token.amount.bare and reading.amount.shape == "whole" and not reading.when
    return bare and any(
        condition.text == "now"
        and reading.token.end <= condition.start < one.token.start
        and one.clause == reading.clause
        for one in later[:1]
        for condition in one.when
    )


def _is_sure(reading: Reading) -> bool:
    """Limits judge it, or it is one end of a change."""
    answered = reading.amount.bare and any(token.text in _ANSWERED for token in reading.name)
    return (reading.limits is not None and not answered) or bool(reading.pair)


_ANSWERED = frozenset("approved declined authorised authorized refused agreed said called told rang quoted".split())
"""Beside one of these a figure without a unit is a sum, a time or a number: ``chief approved on scene 1430``."""


def _is_doubtful(done: Walked, reading: Reading, stated: list[Reading]) -> bool:
    part = done.parts[reading.part]
    if reading.token not in part:
        return False
    lead, tail = span(part, part.index(reading.token))
    if lead and lead[-1].letter == "=":
        return False  # "m = 12.3 g": the sign says that it is the value
    words = [word for token in lead for word in token.text.split(" ")]
    dimension = reading.amount.dimension
    listed = any(one.amount.dimension == dimension for one in stated)  # "diff took 0.5 L, gearbox 1.2 L"
    plain = bool(lead) and not tail and all(token.letter in "pwn" and _is_thing(token) for token in lead)
    unmeasured = not listed and not plain and _is_unmeasured(reading, [*lead, *tail[:3]])
    counted = done.left or any(one[0].letter == "n" and one[0].text.isdecimal() for one in done.parts)
    sized = bool(counted) and not stated and _is_size(reading, lead, tail)
    bare = bool(stated) and _is_bare(reading, [one for one in done.readings if one is not reading])
    bare = bare or (bool(stated) and _is_misnamed(lead, dimension)) or _is_untold(done, reading)
    bare = bare or _is_beside(done, reading)
    bare = bare or (reading.amount.bare and not _ANSWERED.isdisjoint(words))
    return unmeasured or sized or bare or _is_done_to(words, dimension) or _is_denied(words)


def _is_thing(token: Token) -> bool:
    """``sump oil 5 L``: with nothing but the noun of the thing in front and nothing behind, it is what was read.

    Of what is screwed down it is as likely what it was tightened to: ``hub nut 280 Nm``.
    """
    fastened = token.text.removesuffix("s") in _FASTENERS
    return not fastened and (token.letter in "pn" or is_noun(token.text))


_FASTENERS = frozenset("nut bolt stud screw plug capscrew clamp lug axle-nut spindle".split())


def _is_done_to(words: list[str], dimension: str) -> bool:
    """``bolts all checked at 145 Nm``, ``chain shortened 30 mm``: behind a word for work stands what was done."""
    while words and words[-1] in _LED:
        words = words[:-1]
    word = words[-1] if words else ""
    if word in _SET:
        return True
    meant = look(word)
    if (
        word in DOINGS
        or word in SAID_TO_BE_READ.get(dimension, ())
        or any(one.cls in ("thing", "state") for one in meant)
    ):
        return False
    looking = _LOOKED_AT if dimension != "torque" else frozenset()  # a torque is checked by turning
    worked = [one for one in meant if one.cls == "work" and one.form in ("past", "participle")]
    return any(one.kind not in looking for one in worked)


def _is_denied(words: list[str]) -> bool:
    """``no drip pumped up to 15 psi``: what did not happen up to there."""
    return len(words) > 1 and words[0] in _DENIED and words[-1] in _UP_TO


def _is_unmeasured(reading: Reading, beside: list[Token]) -> bool:
    """``bolts checked at 145 Nm``, ``topped adblue 20 L``, ``ramp loaded 24000 lb``."""
    measured = SAID_TO_BE_READ.get(reading.amount.dimension)
    if measured is None or reading.places or any(condition.held for condition in reading.when):
        return False
    words = {word for token in (*beside, *reading.subject) for word in token.text.replace("-", " ").split(" ")}
    return measured.isdisjoint(words) and measured.isdisjoint(token.text for token in (*beside, *reading.subject))


def _is_misnamed(lead: list[Token], dimension: str) -> bool:
    """``outlet temp RH 3200 rpm``: what stands right in front is measured in something else; a temp sensor is not."""
    named = [token.text for token in lead if token.letter == "w"][-1:]
    measured = DIMENSIONS[named[0]] if named and named[0] in _PLAIN else set()
    return bool(measured) and dimension not in measured and dimension in _SHOWN


_PLAIN = frozenset({"temp", "temperature", "voltage", "volts", "resistance", "amps"})
_SHOWN = frozenset({"temperature", "voltage", "current", "resistance", "rotation"})


def _is_bare(reading: Reading, others: list[Reading]) -> bool:
    """``recovered 0.9 lb, charge is 1.75``: a further figure of another thing, in no unit, at no place, in no list."""
    words = {token.text for token in reading.name}
    alone = not (reading.places or reading.series or reading.when or is_rest(words) or words & WHOLE_TOPICS)
    shared = any(words & {token.text for token in one.name} for one in others)
    return reading.amount.bare and alone and bool(words) and not shared and not is_count(reading)


def _is_untold(done: Walked, reading: Reading) -> bool:
    """``pressures 32 36 35 31``, ``rears 4 and 2``: several bare figures of which nothing says what is what."""
    mates = [one for one in done.readings if one.series == reading.series] if reading.series else []
    apart = len({one.places for one in mates}) == len(mates)
    bare = all(one.amount.bare and not one.when and not one.limits for one in mates)
    return len(mates) > 1 and bare and not apart and not is_count(reading)


def _is_beside(done: Walked, reading: Reading) -> bool:
    """``0.21 mm tir, 0.1``: alone behind a comma, in no unit, behind one reading with its unit: a bound as likely."""
    before = done.readings[: done.readings.index(reading)]
    alone = done.parts[reading.part] == [reading.token] and reading.token.amount.bare
    plain = not (reading.places or reading.when or reading.amount.to)
    return (
        alone and plain and len(before) == 1 and not before[0].token.amount.bare and before[0].clause == reading.clause
    )


def _is_size(reading: Reading, lead: list[Token], tail: list[Token]) -> bool:
    """``winch line 19 mm, 3 broken wires``: how large a part is that wears in no such way, beside what was counted."""
    amount = reading.amount
    round_ = amount.dimension == "length" and amount.shape in ("whole", "fraction") and not amount.than
    if not round_ or reading.places or reading.when or tail or not lead or wear_side(reading):
        return False
    return any(one.cls == "thing" and one.kind == "part" for one in look(lead[-1].text)[:1])


def span(part: list[Token], at: int) -> tuple[list[Token], list[Token]]:
    """The tokens on either side of a figure, up to the next figure or limits."""
    figures = [i for i, one in enumerate(part) if i != at and (one.letter in "qL" or (one.letter == "C" and one.held))]
    first = max((i + 1 for i in figures if i < at), default=0)
    return part[first:at], part[at + 1 : min((i for i in figures if i > at), default=len(part))]
