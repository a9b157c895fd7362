"""The ground a further number stands on: what makes it a second reading, and no size, setting, wish or distance.

The first figure of a line is what the line is about. Any figure behind it may as well name, set, allow or place
something, and no list of the words for that ends. So it is stated only where something says that it was read: a
position, a condition or a moment of its own, the name of a thing, or words for what the thing before did.
"""

from ticket.language.lexicon import look
from ticket.notes.finding.carried import OPPOSITES, SAID_FIRST
from ticket.notes.finding.doubtful import span
from ticket.notes.finding.lexicon import is_noun, is_state
from ticket.notes.finding.part_order import WHERE
from ticket.notes.finding.part_words import COLOURS, DOINGS, PRONOUNS, WHOLE_TOPICS
from ticket.notes.finding.stated import Reading, Walked
from ticket.notes.finding.tokens import Token

_MEASURED_AT = frozenset("read taken measured checked tested".split())
_DENIED = frozenset({"no", "not", "never", "without", "cut-off", "cutoff", "threshold", "trip", "trips"})
"""Words in front of a further figure that say it was not reached, or where something switches."""
_STAGES = frozenset("warn alarm alert stop derate limp cutout trip".split())
"""Right in front of a further figure: at which value something steps in."""
_HOLDS = frozenset("takes capacity".split())  # "0.9 L came out takes 1.4"
_WORDS = "wnPugkoe"
_NAMING = 2  # words behind a figure among which its noun stands: "0.5 mm radial play"


def ungrounded(done: Walked) -> list[Reading]:
    """The readings behind the first that nothing in their part says to be one."""
    found: list[Reading] = []
    for place, reading in enumerate(done.readings):
        before = done.readings[:place]
        mates = [one for one in before if one.series and one.series == reading.series]
        listed = [one for one in mates if one.part == reading.part or one.places]
        loose = listed[-1] in found if listed else not _is_grounded(done, reading, before)
        if place and loose:
            found.append(reading)
    return found


def _is_grounded(done: Walked, reading: Reading, before: list[Reading]) -> bool:
    part = done.parts[reading.part]
    if reading.pair or reading.token not in part or reading.amount.shape == "word":
        return True
    lead, tail = span(part, part.index(reading.token))
    here = any(one.part == reading.part for one in before)
    lead = lead[1:] if here and lead and lead[0].text in _OF_SIZE else lead  # "4 in long 10 in behind the hanger"
    words = [token for token in lead if token.letter in _WORDS]
    if not here and _stood_at(lead, reading, before):
        return False
    if (
        (words and words[-1].text in _STAGES)
        or any(token.text in _DENIED for token in words)
        or _is_distance(reading, tail)
        or (words and words[-1].text in _HOLDS and reading.amount.dimension in ("volume", "mass"))
        or _is_to_be_set(words)
    ):
        return False  # "no flow over 6 L/min"
    placed = any(token.letter in "pe" for token in lead)
    if tail and tail[0].letter in "yz" and not placed:
        return False  # "5 bar hot, to 3 bar ok"
    differs = any(token.letter in "peCcr" for token in tail[:1]) or _tells_where(reading, tail, before)
    lead = lead[1:] if here and lead and lead[0].text in _MEASURED_AT else lead
    placed_by = len(lead) > 1 and (lead[0].text in WHERE or lead[-1].text in ("of", "out of"))
    if here and placed_by:
        return differs  # "30 mm at the rim 450 mm wheel": the words tell where the value before was read
    if any(_names(token) or token.text in WHOLE_TOPICS for token in words):
        return True
    said = {word for one in before for token in one.subject for word in token.text.split(" ")} | _GOING_ON
    goes_on = all(set(token.text.replace("-", " ").split(" ")) <= said for token in words)
    if not goes_on or reading.amount.dimension == "turns":
        return False
    differs = differs or any(token.letter in "peCcr" for token in lead)
    return bool(words or differs or not tail) or _is_named_behind(tail)


def _stood_at(lead: list[Token], reading: Reading, before: list[Reading]) -> bool:
    """``0.35 Mohm, tester at 500 V``: what something else stood at meanwhile, or a reading of its own."""
    other = reading.amount.dimension not in {one.amount.dimension for one in before}
    noun = lead[-2] if len(lead) > 1 and lead[-1].letter == "@" else None
    return other and noun is not None and is_noun(noun.text) and not is_state(noun.text)


_OF_SIZE = frozenset("left remaining thick deep wide long high worn gone".split())
"""Words behind a figure that end what was said of it: ``40 % left, rears 15``."""
_GOING_ON = DOINGS | COLOURS | PRONOUNS | _OF_SIZE | {word for pair in OPPOSITES for word in pair}


def _is_distance(reading: Reading, tail: list[Token]) -> bool:
    """``12 mm in from the edge``: how far away it was measured."""
    return reading.amount.dimension == "length" and any(token.text == "from" for token in tail[:2])


def _is_to_be_set(words: list[Token]) -> bool:
    """``machine to 21.5``: what is to be done until then, in front of "to", where no word tells what happened."""
    if len(words) < len("wt") or words[-1].text != "to":
        return False
    said = {word for token in words[:-1] for word in token.text.replace("-", " ").split(" ")}
    return not said & _GOING_ON and not any(
        one.form in _HAPPENED or one.cls == "state" for w in said for one in look(w)
    )


_HAPPENED = frozenset({"past", "participle", "third", "gerund"})


def _tells_where(reading: Reading, tail: list[Token], before: list[Reading]) -> bool:
    """``12.4 V at the nose, 9.8 at the tail``; a length "from the edge" is no reading but where the first was taken."""
    if len(tail) < len("Pw") or tail[0].text not in WHERE or reading.amount.than not in ("", "~"):
        return False
    lengths = reading.amount.dimension == "length" and any(one.amount.dimension == "length" for one in before)
    return not (lengths and tail[0].text in _AWAY) and tail[1].text not in PRONOUNS - {"the", "its"}


_AWAY = frozenset("from behind over under by near to".split())


def _is_named_behind(tail: list[Token]) -> bool:
    """``0.5 mm radial play``, ``4.3 empty``: the words right behind a figure name it, or say how the thing was."""
    words = [token for token in tail if token.letter in _WORDS][:_NAMING]
    return any(_names(token) for token in words) or (bool(words) and is_state(words[0].text))


def _names(token: Token) -> bool:
    """Whether a word is the noun of a thing or of what is measured, or a name."""
    if token.letter in "ne" or token.text in SAID_FIRST:
        return True  # "cranking volts 9.2"
    return any(is_noun(word) for word in (token.text.replace("-", ""), *token.text.replace("-", " ").split(" ")))
