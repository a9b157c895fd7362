"""What a finding states: measurements, what else was seen, and what is left over with its question."""

from dataclasses import dataclass, field, replace
from fractions import Fraction

from ticket.notes.finding.allotment import TOO, allot
from ticket.notes.finding.attachment import walk
from ticket.notes.finding.bound_words import BOUND, find_bounds, withdraw
from ticket.notes.finding.carried import (
    carry_units,
    limits_of_ranges,
    pair_moments,
    units_of_doings,
    units_of_fractions,
    units_of_measures,
    units_of_subjects,
    units_of_things,
)
from ticket.notes.finding.doubtful import doubtful
from ticket.notes.finding.further_figures import ungrounded
from ticket.notes.finding.grammar import parse
from ticket.notes.finding.lexer import tokens_of
from ticket.notes.finding.settling import settle
from ticket.notes.finding.shared_conditions import share_axles, share_conditions
from ticket.notes.finding.sifting import is_count, merely_told, sift
from ticket.notes.finding.stated import Reading, Walked, is_told
from ticket.notes.finding.strays import find_strays
from ticket.notes.finding.taken_out import find_taken_out
from ticket.notes.finding.tokens import GivenLimits, Token
from ticket.notes.finding.two_alike import WHICH_OF_TWO, name_the_other, unsided
from ticket.notes.finding.under_conditions import CONDITIONS
from ticket.notes.finding.unexplained import unexplained

UNREAD = "This number was not read. Name what it measures and where, or put the piece in quotes if it is a name."
TOO_LONG = "This is too long to be read as one finding. Write a line for each thing that was measured."
UNSURE = "What is not sure here? Nothing is judged while this stands."
WHICH_REAR = "Is rr the right rear here, or the rear? Write RR, or rear."
NO_UNIT = "In which unit is this?"
SEVERAL = "More than one reading stands here without a name. Name each, or give each its position."


@dataclass(frozen=True, slots=True)
class Doubt:
    """A piece of the text that is open.

    Attributes:
        text: one question that says what to type.
        start: position of its first character.
        end: position behind its last one.
        unread: nothing was made of it; else something was, and the question may change it.
        blocks: limits stand here that judge nothing until it is answered: the ticket must not be signed.
        answers: texts that may replace the piece, likeliest first.
    """

    text: str
    start: int
    end: int
    unread: bool = True
    blocks: bool = False
    answers: tuple[str, ...] = ()


@dataclass(slots=True)
class Statement:
    """Everything a finding's text was read as.

    Attributes:
        readings: the readings that are stated, in order.
        seen: pieces of the text that hold no reading, as places.
        doubts: what is open, in order.
        roles: where readings, limits, positions and conditions stand: first and last place, and the word for it.
    """

    readings: list[Reading] = field(default_factory=list)
    seen: list[tuple[int, int]] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)
    roles: list[tuple[int, int, str]] = field(default_factory=list)


def read_statement(text: str, *, again: bool = False, tested: bool = False) -> Statement:
    """Read the text of a finding.

    Args:
        text: what was typed behind the word, quoted spans blanked.
        again: values are measured again, so that a bare number is one.
        tested: a test was made: times and distances are told, not asked about.
    """
    line = tokens_of(text)
    if not line.whole:
        numbers = [token for token in line.tokens if token.letter in "qx"]
        return Statement(doubts=[Doubt(TOO_LONG, numbers[0].start, len(text))] if numbers else [])
    settle(line)
    parse(line)
    done = walk(line)
    alike = name_the_other(done)
    find_taken_out(done)
    pair_moments(done)
    limits_of_ranges(done)
    units_of_things(done)
    carry_units(done)
    units_of_subjects(done)
    units_of_measures(done)
    carry_units(done)
    units_of_fractions(done)
    units_of_doings(done)
    find_strays(done)
    share_conditions(done)
    share_axles(done)
    bounds = find_bounds(done)
    loose = ungrounded(done)
    for reading in loose:
        reading.asked = reading.asked or UNREAD
    refused = allot(done)
    done_to = [reading for reading in doubtful(done) if reading not in loose]
    loose += done_to
    _let_go(done, [reading for reading in loose if reading not in bounds])
    for token in done.unsure:
        refused.append((token, UNSURE))
        for reading in done.readings:
            reading.asked = reading.asked or UNSURE
    carry_units(done)
    statement = Statement(doubts=[Doubt(BOUND, *place, unread=False) for place in withdraw(done, bounds)])
    _withdraw(done, sift(done, again=again, tested=tested))
    statement.doubts += _leave_unread(done, unexplained(done, again=again))
    if tested:
        _drive_heads(done)
    for token, question in refused:
        start, end = _with_circumstances(done, token)
        statement.doubts.append(
            Doubt(question, start, end, unread=False, blocks=token.letter == "L" or question == TOO)
        )
    for part, question in done.doubts.items():
        span = _numbers(done, part)
        if span:
            statement.doubts.append(Doubt(question, *span))
    statement.readings = done.readings
    for reading in done.readings:
        _ask_about(done, reading, statement.doubts, again=again)
    statement.doubts += _which_rear(done, text)
    statement.doubts += [
        Doubt(WHICH_OF_TWO, one.token.start, one.token.end, unread=False)
        for one in (*alike, *unsided(done))
        if one in done.readings
    ]
    statement.doubts += _untold(done, statement.doubts, tested=tested)
    statement.doubts = [_quotable(doubt, text, done_to) for doubt in statement.doubts]
    statement.seen = _seen(done)
    statement.roles = _roles(done)
    statement.doubts.sort(key=lambda doubt: (doubt.start, doubt.end))
    return statement


def _which_rear(done: Walked, text: str) -> list[Doubt]:
    """``rr 27 psi`` in small letters with no side on the line: of a car the right rear, of a motorcycle the rear."""
    ends = [token for part in done.parts for token in part if token.letter == "p" and token.text == "rr"]
    alone = [token for token in ends if token.held == _REAR]
    read = [one.token.end for one in done.readings if alone and set(_REAR) <= set(one.places)]
    if not read or max(read) < alone[0].end:
        return []
    start, end = alone[0].start, max(read)
    behind = text[alone[0].end : end]
    return [Doubt(WHICH_REAR, start, end, unread=False, answers=(f"RR{behind}", f"rear{behind}"))]


_REAR = (("end", "rear"),)


def _quotable(doubt: Doubt, text: str, done_to: list[Reading]) -> Doubt:
    """What was likely done or named rather than read: quotes around it say so."""
    piece = text[doubt.start : doubt.end]
    inside = any(doubt.start <= one.token.start < doubt.end for one in done_to)
    return replace(doubt, answers=(f'"{piece}"',)) if inside and doubt.unread and '"' not in piece else doubt


def _drive_heads(done: Walked) -> None:
    """``road test 20 km, no leaks, hub 60 C``: a drive or a run that opens the line is how all behind it was read."""
    first = done.parts[0] if done.parts else []
    told = [token for token in first if token.letter == "q"]
    driven = not _DRIVES.isdisjoint(word for token in first[:3] for word in token.text.split(" "))
    if len(told) != 1 or not driven or not is_told(told[0].amount) or told[0].amount.dimension == "speed":
        return
    drive = replace(told[0], letter="C", held=(told[0],))
    for reading in done.readings:
        if reading.part and not any(is_told(one.amount) for condition in reading.when for one in condition.held or ()):
            reading.when.append(drive)


_DRIVES = frozenset(
    "road roadtest rt drive drove driven tested ran run idled soaked towed hauled worked cycled".split()
)


def _ask_about(done: Walked, reading: Reading, doubts: list[Doubt], *, again: bool) -> None:
    """Add what is open about a reading that is stated: its unit, its limits, or what it is."""
    start, end = reading.token.start, reading.token.end
    if reading.amount.bare and reading.limits and _unit_is_open(done, reading, again=again):
        reading.asked = NO_UNIT
    if reading.amount.bare and reading.amount.shape != "word" and not is_count(reading) and not again:
        stop = max(end, _limits_end(done, reading) if reading.asked else 0)
        doubts.append(Doubt(NO_UNIT, start, stop, unread=False))
    if reading.asked and not any(one.start < end and start < one.end for one in doubts):
        doubts.append(Doubt(reading.asked, start, max(end, _limits_end(done, reading)), unread=False))
    if reading.amount.asked:
        # the limits wait for the same answer
        behind = [one.token.end for one in done.limits if one.token.start > start]
        doubts.append(Doubt(reading.amount.asked, start, min(behind, default=end), unread=False, blocks=bool(behind)))


def _let_go(done: Walked, loose: list[Reading]) -> None:
    """Take back figures that nothing says to be readings."""
    for reading in loose:
        mates = [one for one in done.readings if one.part == reading.part and one not in loose]
        done.left.append(reading.token if mates else replace(reading.token, letter="x"))
        _take_back(done, reading)


def _leave_unread(done: Walked, strange: list[Reading]) -> list[Doubt]:
    for reading in strange:
        _take_back(done, reading)
    return [Doubt(UNREAD, reading.token.start, reading.token.end) for reading in strange]


def _take_back(done: Walked, reading: Reading) -> None:
    """A reading is stated no longer, and what was read beside it is not judged."""
    done.readings.remove(reading)
    done.dropped.append(reading)
    for mate in done.readings if reading.amount.shape != "word" else ():
        if mate.part == reading.part:
            mate.asked = mate.asked or (UNREAD if mate.limits else "")


def _limits_end(done: Walked, reading: Reading) -> int:
    """Where the limits of a reading end: what is asked about it is asked about them too."""
    given = reading.limits.amounts if reading.limits else ()
    return max((one.token.end for one in done.limits if given and one.given.amounts == given), default=0)


def _unit_is_open(done: Walked, reading: Reading, *, again: bool) -> bool:
    """A temperature, or ``rears 3 and 5, min 4``, where neither a thing nor a unit is named anywhere."""
    given = reading.limits
    nameless = not reading.subject and given is not None and not given.bracketed
    bare = given is not None and all(amount.bare for amount in given.amounts)
    words = {token.text.removesuffix("s") for token in reading.subject}
    in_two = (
        bare
        and given is not None
        and given.source != "law"
        and bool(words & {"tyre", "tire"})
        and reading.amount.shape in ("decimal", "whole")
    )
    doubled = bare and (_stands_unplaced(done, reading) or (_is_lost(reading) and _passes(reading)))
    return any(t.text.startswith("temp") for t in reading.name) or ((nameless or in_two or doubled) and not again)


_LOST = (
    "leak",
    "bleed",
    "bled",
    "decay",
    "drift",
    "creep",
    "crept",
    "sink",
    "sank",
    "loss",
    "lost",
    "drop",
    "fell",
    "fall",
)


def _is_lost(reading: Reading) -> bool:
    """``ram leak-down 14, limit 15``: what is lost is so far, so much, so many of a pressure or so long."""
    words = (word for token in reading.name for word in token.text.split(" "))
    return any(word.startswith(_LOST) for word in words) and not is_count(reading)


def _passes(reading: Reading) -> bool:
    value = reading.amount.value
    low, high = bounds(reading.limits) if reading.limits else (None, None)
    return value is not None and not (low is not None and value < low) and not (high is not None and value > high)


def _stands_unplaced(done: Walked, reading: Reading) -> bool:
    """``case drain 6 and 11, max 8``: two of one thing, at no place and under nothing that tells them apart."""
    mates = [one for one in done.readings if one.part == reading.part and one.name == reading.name]
    return len(mates) == len("qq") and not any(one.places or one.when or one.pair for one in mates)


def _untold(done: Walked, doubts: list[Doubt], *, tested: bool) -> list[Doubt]:
    """Every number of the line is stated, a condition or limits of a reading, a name or asked about; here the rest."""
    stated = {reading.token.start for reading in done.readings}
    told = [condition for reading in done.readings for condition in reading.when]
    given = {id(limits.token) for limits in done.limits if _is_held(done, limits.given)}
    # how long or how far a test was is no reading that fell
    fell = [one for one in done.dropped if not is_told(one.amount) or one.token in done.left]
    silent = tested or not (done.readings or fell or done.limits)
    found: list[Doubt] = []
    for token in (token for part in done.parts for token in part):
        amounts = [token] if token.letter in "qx" else list(token.held or ()) if token.letter in "CH" else []
        open_ = bool(amounts) or (token.letter == "L" and id(token) not in given)
        lasting = [one.letter == "q" and (is_told(one.amount) or _how_often(done, token, one)) for one in amounts]
        alike = {one.amount.dimension for one in amounts if one.letter == "q"} & {
            r.amount.dimension for r in done.readings
        }
        merely = bool(amounts) and all(lasting) and not alike
        merely = merely and (silent or merely_told(done, token, tested=tested))
        circumstances = bool(amounts) and all(
            one.letter == "q" and one.amount.dimension in CONDITIONS for one in amounts
        )
        span = any(one.letter == "q" and one.amount.to for one in amounts)  # "rose from 20 C to 85 C in 10 min"
        merely = merely or (token.letter == "C" and silent and circumstances and not span)  # "rattle at 2000 rpm"
        if not open_ or token.start in stated or merely or id(token) in given:
            continue
        covering = [*((one.start, one.end) for one in doubts), *((one.start, one.end) for one in told)]
        if any(start < token.end and token.start < end for start, end in covering):
            continue
        if any(token.start <= start < token.end for start in stated):
            continue  # limits that fit the condition alone made it the reading
        found.append(Doubt(UNREAD, token.start, token.end))
    return found


def _how_often(done: Walked, condition: Token, count: Token) -> bool:
    """``road test 6 mi with 8 turns to full lock``: beside how far or how long a test went, how often it was done."""
    amount = count.amount
    part = next((part for part in done.parts if condition in part), [condition])
    named = count.end < condition.end or any(one.letter == "w" for one in part[part.index(condition) + 1 :][:1])
    counted = amount.dimension == "turns" or (amount.bare and named)
    if condition.letter != "C" or not counted or amount.shape != "whole" or amount.than or amount.to:
        return False
    return any(one.letter == "q" and is_told(one.amount) and one.start < condition.start for one in part)


def _is_held(done: Walked, given: GivenLimits) -> bool:
    """A reading has these limits, or had them before it was taken back with a question of its own."""
    figures = {amount.value for amount in (*given.amounts, given.spread) if amount}
    if not figures or (given.bracketed and given.nominal is not None and given.tolerance is None):
        return True
    held = (one.limits for one in (*done.readings, *done.dropped) if one.limits)
    return any(figures & {amount.value for amount in (*one.amounts, one.spread) if amount} for one in held)


def _withdraw(done: Walked, left: set[int]) -> None:
    """A part with a number that nobody explains, or with two nameless readings, states nothing."""
    gone: set[int] = set()
    for index, part in enumerate(done.parts):
        mine = [reading for reading in done.readings if reading.part == index]
        nameless = [reading for reading in mine if not reading.own and not reading.pair and not reading.when]
        first_named = mine and mine[0].subject
        if index in done.doubts:
            gone.add(index)
        elif any(token.start in left for token in part):
            gone.add(index)
            done.doubts[index] = UNREAD
        elif len(nameless) > 1 or (len(nameless) == 1 and len(mine) > 1 and not first_named):
            gone.add(index)
            done.doubts[index] = SEVERAL
    for token in done.left:
        index = next((i for i, part in enumerate(done.parts) if token in part), -1)
        if index not in gone:
            done.doubts.setdefault(index, UNREAD)
    done.dropped += [reading for reading in done.readings if reading.part in gone]
    done.readings = [reading for reading in done.readings if reading.part not in gone]


def _with_circumstances(done: Walked, token: Token) -> tuple[int, int]:
    """The place of limits that were not given, with the conditions and positions of their part that no reading has."""
    part = next((part for part in done.parts if token in part), []) if token.letter == "L" else []
    if any(one.letter == "q" for one in part):
        return token.start, token.end
    placed = {pair for reading in done.readings for pair in reading.places}
    told = {condition.start for reading in done.readings for condition in reading.when}
    more = [
        t
        for t in part
        if (t.letter == "C" and t.start not in told) or (t.letter == "p" and not placed.issuperset(t.held))
    ]
    every: list[Token] = [token, *more]
    return min(one.start for one in every), max(one.end for one in every)


def _numbers(done: Walked, part: int) -> tuple[int, int] | None:
    if part < 0:
        return None
    states = {r.token.start for r in done.readings}
    told = {condition.start for reading in done.readings for condition in reading.when}
    open_ = [t for t in done.parts[part] if t.letter in "qxX" and t.start not in states]
    if open_:  # its reading fell, so its conditions and places are asked about with it
        placed = {pair for reading in done.readings for pair in reading.places}
        open_ += [t for t in done.parts[part] if t.letter == "C" and t.start not in told]
        open_ += [t for t in done.parts[part] if t.letter == "p" and not placed.issuperset(t.held)]
    tokens = sorted(open_, key=lambda t: t.start) or [t for t in done.parts[part] if t.letter in "qxXL"]
    return (tokens[0].start, tokens[-1].end) if tokens else None


_ROLE_OF = {"L": "limit", "p": "position", "C": "condition", "H": "condition", "c": "condition"}


def _roles(done: Walked) -> list[tuple[int, int, str]]:
    """Where the readings stand, and in the text around them limits, positions and conditions."""
    if not done.readings:
        return []
    found = {(one.token.start, one.token.end): "reading" for one in done.readings}
    tokens = [
        *(token for part in done.parts for token in part),
        *(token for one in done.readings for token in one.when),
    ]
    for token in tokens:
        if token.letter in _ROLE_OF:
            found.setdefault((token.start, token.end), _ROLE_OF[token.letter])
    return sorted((start, end, word) for (start, end), word in found.items())


def _seen(done: Walked) -> list[tuple[int, int]]:
    """The parts that belong to no reading as places in the text."""
    read = {reading.part for reading in done.readings}
    spans = [(token.start, token.end) for reading in done.readings for token in (*reading.subject, *reading.when)]
    used = {t.start for part in done.parts for t in part if any(start <= t.start < end for start, end in spans)}
    taken = {pair for reading in done.readings for pair in reading.places}
    places: list[tuple[int, int]] = []
    for index, part in enumerate(done.parts):
        told = [
            t
            for t in part
            if t.letter in "wnpqxyC" and t.start not in used and not (t.letter == "p" and taken.issuperset(t.held))
        ]
        if index in read or not told:
            continue
        places.append((part[0].start, part[-1].end))
    return places


def bounds(given: GivenLimits) -> tuple[Fraction | None, Fraction | None]:
    """The least and the largest allowed value of limits, in their own unit."""
    low = given.low.value if given.low else None
    high = given.high.value if given.high else None
    if given.nominal and given.tolerance and given.nominal.value is not None and given.tolerance.value is not None:
        low = given.nominal.value - given.tolerance.value
        high = given.nominal.value + given.tolerance.value
    return low, high
