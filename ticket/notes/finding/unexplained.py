"""Figures beside a reading that nothing on their line says to be readings, whatever the words around them are.

They are looked for last, when every rule that could have named, limited or listed them has been asked; what is found
here is left unread with its question. Each rule speaks of how the figures stand, so that it holds for words nobody has
listed: a figure right behind a condition with a figure is more of the condition; an open end behind what was read is
what would be bad; a rating stands in front of the noun it belongs to; a further figure without a word, a place, a
condition or a list of its own is anything.
"""

from ticket.language.lexicon import look
from ticket.notes.finding.carried import is_rest
from ticket.notes.finding.doubtful import span
from ticket.notes.finding.lexicon import is_noun
from ticket.notes.finding.sifting import is_count
from ticket.notes.finding.stated import Reading, Walked


def unexplained(done: Walked, *, again: bool) -> list[Reading]:
    """The readings to take back.

    Args:
        done: all that was found.
        again: values are measured again, so that a bare number is one.
    """
    found = []
    for place, reading in enumerate(done.readings):
        moved = bool(reading.pair) and not reading.amount.to  # a value that moved is none that moved to a span
        if reading.limits is not None or moved or reading.amount.shape == "word" or _is_of_the_rest(done, reading):
            continue
        before = done.readings[:place]
        bare = _is_bare(done, reading) and not again
        strange = any(rule(done, reading, before) for rule in _STRANGE)
        if bare or strange or _is_rating(done, reading, place):
            found.append(reading)
    return found


def _is_of_the_rest(done: Walked, reading: Reading) -> bool:
    """``0.9 the rest``, ``everything else 1.27``."""
    words = {token.text for token in (*reading.name, *reading.subject)}
    return is_rest(words) or "everything" in words or any(token.letter == "e" for token in done.parts[reading.part])


def _is_bare(done: Walked, reading: Reading) -> bool:
    """``cell 14 only 1,165``: alone in no unit, at no place, on a line without limits that would say what it is."""
    mates = [one for one in done.readings if one.part == reading.part and one is not reading]
    told = reading.places or done.limits or is_count(reading) or reading.amount.shape == "fraction"
    return reading.token.amount.bare and (_counts(done, reading) or (reading.amount.bare and not (mates or told)))


def _counts(done: Walked, reading: Reading) -> bool:
    """``mount 2 tires and patch plug RR``: a whole number in front of several of a thing says how many."""
    part = done.parts[reading.part]
    at = part.index(reading.token) + 1 if reading.token in part else len(part)
    behind = part[at].text if at < len(part) and part[at].letter == "w" else ""
    many = any(one.cls == "thing" and one.form == "many" and one.kind == "part" for one in look(behind))
    return many and reading.amount.shape == "whole" and not is_count(reading)


def _goes_on_with_a_condition(done: Walked, reading: Reading, before: list[Reading]) -> bool:
    """``flow 38 l/min at 1800 rpm 150 bar``: right behind a condition with a figure, of what was read before it."""
    part = done.parts[reading.part]
    at = part.index(reading.token) if reading.token in part else 0
    led = at > 0 and part[at - 1].letter == "C" and bool(part[at - 1].held)
    own = any(condition.start > reading.token.start for condition in reading.when)  # "28 psi at idle 62 at 2100 rpm"
    return led and not own and any(one.part == reading.part for one in before)


def _is_open_end(done: Walked, reading: Reading, before: list[Reading]) -> bool:
    """``18.4 A on hi, over 16 on hi is bad``: behind what was read in its unit, at no place and of no thing."""
    alike = any(one.amount.dimension == reading.amount.dimension for one in before)
    if not alike or reading.amount.than not in ("<", ">") or reading.places:
        return False
    part = done.parts[reading.part]
    lead, _ = span(part, part.index(reading.token)) if reading.token in part else ([], [])
    return not any(is_noun(token.text) for token in lead)


def _is_span_behind(_done: Walked, reading: Reading, before: list[Reading]) -> bool:
    """``14.2 V at 5000 rpm now 13.5-14.8``: behind what was read in its unit a span is as likely what it should be."""
    alike = any(one.amount.dimension == reading.amount.dimension for one in before)
    return alike and bool(reading.amount.to) and not reading.places


def _is_warmth_behind(_done: Walked, reading: Reading, before: list[Reading]) -> bool:
    """``345 bar wide open oil 52 C``: in one part with what else was read, how warm something was meanwhile."""
    beside = [one for one in before if one.part == reading.part and one.amount.dimension != "temperature"]
    return reading.amount.dimension == "temperature" and bool(beside)


def _has_nothing_of_its_own(_done: Walked, reading: Reading, before: list[Reading]) -> bool:
    """``batt 12.6 V 710 cca``, ``high idle 2430, +/-50``."""
    own = reading.own or reading.places or reading.when or reading.series
    beside = reading.token.amount.bare or any(one.part == reading.part for one in before)
    return bool(before) and not own and beside


def _is_bare_size(done: Walked, reading: Reading, _before: list[Reading]) -> bool:
    """``hose 5/8 rub on the bracket``: a fraction in no unit between words, at no place, as likely says how large."""
    if reading.token not in done.parts[reading.part]:
        return False
    lead, tail = span(done.parts[reading.part], done.parts[reading.part].index(reading.token))
    bare = reading.token.amount.bare and reading.token.amount.shape == "fraction"
    return bare and bool(lead) and bool(tail) and not (reading.places or reading.when)


def _is_of_a_fraction(done: Walked, reading: Reading, _before: list[Reading]) -> bool:
    """``about 1/2 mm rock``: two values of one place, or the half of one."""
    part = done.parts[reading.part]
    at = part.index(reading.token) if reading.token in part else 0
    for first in (at, at - 2):
        pair = part[max(0, first) : max(0, first) + 3] if first >= 0 else []
        if [one.letter for one in pair] != ["q", "/", "q"]:
            continue
        mates = [one for one in done.readings if one.token in (pair[0], pair[2])]
        over, under = pair[0].amount, pair[2].amount
        halved = over.shape == under.shape == "whole" and under.value in _HALVED and (over.value or 0) < under.value
        return halved and len({one.places for one in mates}) == 1
    return False


_HALVED = frozenset({2, 4, 8, 16})
_STRANGE = (
    _is_bare_size, _is_of_a_fraction,
    _goes_on_with_a_condition, _is_open_end, _is_span_behind, _is_warmth_behind, _has_nothing_of_its_own,
)  # fmt: skip


def _is_rating(done: Walked, reading: Reading, place: int) -> bool:
    """``40 A maxi fuse good, 12.5 V in``, ``48 V batt. cell 7 1.84 V``: it opens its part, and a noun follows."""
    behind = [one for one in done.readings[place + 1 :] if one.clause == reading.clause]
    if not _opens(done, reading) or reading.places or reading.when or not behind:
        return False
    return not _opens(done, behind[0])  # "12.6 V battery, 8.9 V starter": each has its name behind it


def _opens(done: Walked, reading: Reading) -> bool:
    """It is the first of its part, and a noun or a word that nobody knows follows."""
    part = done.parts[reading.part]
    if part[0] is not reading.token:
        return False
    _, tail = span(part, 0)
    return bool(tail) and tail[0].letter in "wn" and (is_noun(tail[0].text) or not look(tail[0].text))
