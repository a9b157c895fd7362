"""Numbers that only bound, advise, rate or set: behind such words stands what a thing should be, not what it is.

Where the words say which side is meant, the number is a limit (``finding/bounds_in_words.py``); else nothing is stated
and a person is asked. The tables are common practice, no source.
"""

from dataclasses import replace

from ticket.notes.finding.stated import Reading, Walked
from ticket.notes.finding.tokens import Line, Token

_BOUNDING = frozenset(
    "stamped stamp engraved embossed etched minimum min maximum max least limit limits limited"
    " advise advised advises advisory recommend recommended recommends needed required requirement allowed permitted"
    " allowable tolerance spec specs specified specification nominal rated rating table chart"
    " placard placarded"
    " should shud shd ought must supposed meant want wants wanted need needs require requires expect expects promise"
    " promises promised suggest suggests call calls ask asks demand demands"
    " told said wrote written claimed quoted reported".split()
)
"""Words beside a number that make it a bound, advice, a stamp, a rating, a wish, or what somebody else said."""
BOUND = "Is this a limit, and for which reading? Write min or max in front of it, right behind the reading."
_SET = frozenset(
    "pumped pressurised pressurized inflated filled aired torqued tightened nipped tensioned adjusted set preset"
    " charged pressured".split()
)
"""What was done to a thing until it stood at a value, before anything was read."""
_FELL_OR_ROSE = frozenset(
    "dropped sagged lowered raised climbed crept moved drifted pulled jumped fell rose sank settled recovered slowed"
    " reached warmed cooled heated leaked bled decayed changed swung worn rubbed chafed ground burnt eaten thinned"
    " rusted rotted corroded shrunk tested used closed opened closed-up wiped necked nicked gouged scored pitted"
    " stayed protected protects".split()
)
"""What a thing did by itself, or how it wore, until it stood at a value: that value was read."""


def find_bounds(done: Walked) -> list[Reading]:
    """Mark what parts state whose own words bound, advise, rate or set, so that no limits go to it."""
    found = [reading for reading in done.readings if _is_bounded(done, reading)]
    for reading in found:
        reading.asked = BOUND
    return found


def withdraw(done: Walked, bounds: list[Reading]) -> list[tuple[int, int]]:
    """Take them back; the places to ask about, each with the readings in front that it may be the limit of."""
    places = []
    # "tightened to 12 nm, .4": what goes on without words of its own goes with it
    going_on = [
        one for one in done.readings
        if one not in bounds and done.parts[one.part] == [one.token] and any(one.part == b.part + 1 for b in bounds)
    ]  # fmt: skip
    for bound in (*bounds, *going_on):
        done.readings.remove(bound)
        done.dropped.append(bound)
        done.left.append(replace(bound.token, letter="x"))
        meant = [
            one.token.start for one in done.readings
            if one.clause == bound.clause and one.part < bound.part and one.limits is None and _alike(one, bound)
        ]  # fmt: skip
        if meant:
            places.append((min(meant), bound.token.end))
    return places


def _alike(one: Reading, other: Reading) -> bool:
    return one.amount.dimension == other.amount.dimension or other.amount.bare


def _is_bounded(done: Walked, reading: Reading) -> bool:
    """``we advise below 3 mm``, ``cut-off 90 C``: such a word stands in the part, with this number alone."""
    part = done.parts[reading.part]
    goes_on = any(one.part > reading.part and _alike(one, reading) for one in done.readings)
    step = goes_on and reading.token in part and _is_set(part, part.index(reading.token))
    if (reading.pair and not step) or reading.amount.shape == "word":
        return False
    at = part.index(reading.token) if reading.token in part else -1
    if (
        at > 0
        and part[at - 1].text in ("set", "setpoint")
        and any(_alike(o, reading) for o in done.readings if o is not reading)
    ):
        return True  # "4 C set 2 C": beside what was read stands what it was set to
    if sum(token.letter == "q" for token in part) > 1 or any(token.letter == "L" for token in part):
        return False
    if at < 0:
        return False
    words = {token.text for token in _beside(part, at) if token.letter in "wvlhsdyk"}
    before = any(one.part < reading.part and _alike(one, reading) for one in done.readings)
    behind = part[at + 1 : at + 3]
    if (
        behind
        and behind[0].text.split(" ")[0] == "of"
        and (behind[0].text.split(" ")[1:] or [behind[-1].text])[0] in _THAT
    ):
        return True
    if before and at > 1 and part[at - 1].text.endswith("to") and part[0].text.startswith("good"):
        return True  # "pads 3 mm, good down to 2"
    if before and reading.token.amount.bare and not reading.places and _is_for_all(done, reading):
        return True
    if (before or len(part) == at + 2) and _is_written(part[at + 1 :]):
        return True
    return not words.isdisjoint(_BOUNDING) or _is_set(part, at)


def _beside(part: list[Token], at: int) -> list[Token]:
    """The tokens around a number, up to the next figure on either side."""
    figures = [i for i, token in enumerate(part) if i != at and token.letter == "C" and token.held]
    first = max((i + 1 for i in figures if i < at), default=0)
    return part[first : min((i for i in figures if i > at), default=len(part))]


_THAT = frozenset("that this it them those these which spec rated nominal".split())
"""``80 % of that is the pass``: a share of what was told before."""
_EVERY = frozenset("both all each every either".split())


def _is_for_all(done: Walked, reading: Reading) -> bool:
    """``inner 85 outer 60 psi, both to be 100``: one figure for places that were just read one by one is a wish."""
    words = {word for token in done.parts[reading.part] for word in token.text.split(" ")}
    placed = [one for one in done.readings if one.part < reading.part and one.clause == reading.clause and one.places]
    return len({one.places for one in placed}) > 1 and not _EVERY.isdisjoint(words)


def _is_written(behind: list[Token]) -> bool:
    """``2.4 on the door``, ``640 CCA label``: where it is written, not where it was read, closes the part."""
    words = [token.text for token in behind]
    while words and words[0] in ("on", "in", "per", "by", "from", "the", "its"):
        words = words[1:]
    return len(words) == 1 and words[0].removesuffix("s") in _PAPERS


_PAPERS = frozenset(
    "door sticker placard plate label tag sidewall book manual chart table drawing sheet card brochure datasheet pillar"
    " handbook invoice".split()
)
"""What a specified value is written on."""


def _is_set(part: list[Token], at: int) -> bool:
    """``torqued all wheel nuts to 120 Nm``: what was done until the value was reached."""
    if at < 2 or part[at - 1].text.split(" ")[-1] != "to":
        return False
    return any(token.letter in "wc" and was_set(token.text) for token in part[: at - 1])


def was_set(word: str) -> bool:
    """Whether a word is a participle that tells of no fall, rise or wear: somebody brought the thing to a value."""
    text = word.rsplit(" ", maxsplit=1)[-1]
    done = text in _SET or text in _BROUGHT or (len(text) > _SHORTEST and text.endswith("ed"))
    return done and text not in _FELL_OR_ROSE


_BROUGHT = frozenset("brought blown taken built put let wound done torque air pump top".split())
_SHORTEST = 4  # letters of the shortest participle in -ed


def set_before(line: Line, at: int) -> tuple[int, int] | None:
    """``system pumped to 1.4 bar, lost 0.3``: the tokens of a set value that a reading in a later part follows."""
    tokens = line.tokens
    if at < 2 or tokens[at - 1].text != "to" or tokens[at - 2].text not in _SET:
        return None
    before = any(token.letter == "q" for token in tokens[:at])
    here = next((i for i in range(at + 1, len(tokens)) if tokens[i].letter in ",;"), len(tokens))
    behind = any(token.letter == "q" and not token.amount.bare for token in tokens[here:])
    return (at - 2, at + 1) if behind and not before else None
