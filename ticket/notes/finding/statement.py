"""What a finding states: measurements, what else was seen, and what is left over with its question."""

from dataclasses import dataclass, field, replace
from fractions import Fraction

from ticket.notes.finding.allotment import TOO, allot
from ticket.notes.finding.attachment import DISTANCES, PlacedLimits, Reading, Walked, is_told, walk
from ticket.notes.finding.grammar import CONDITIONS, parse
from ticket.notes.finding.lexer import tokens_of
from ticket.notes.finding.settling import settle
from ticket.notes.finding.tokens import Amount, GivenLimits, Token
from ticket.readings.units import find

UNREAD = "This number was not read. Name what it measures and where, or put the piece in quotes if it is a name."
TOO_LONG = "This is too long to be read as one finding. Write a line for each thing that was measured."
UNSURE = "What is not sure here? Nothing is judged while this stands."
NO_UNIT = "In which unit is this?"
SEVERAL = "More than one reading stands here without a name. Name each, or give each its position."
_TIMED = (
    "stop",
    "open",
    "clos",
    "extend",
    "retract",
    "rais",
    "lower",
    "lift",
    "drift",
    "start",
    "crank",
    "time",
    "cycle",
    "build",
    "delay",
    "rise",
    "interval",
    "dwell",
    "pulse",
    "duration",
    "response",
    "recovery",
)
_FINE_TIMES = frozenset({"ms", "us", "µs", "msec"})
_COUNT_WORDS = ("count", "cnt", "misfire", "clicks", "turns", "teeth", "drops", "cca", "soc", "soh", "ph", "lambda")
_OPPOSITES = ({"in", "out"}, {"low", "high"}, {"lo", "hi"}, {"cut-in", "cut-out"}, {"cutin", "cutout"},
    {"suction", "discharge"},
              {"inlet", "outlet"}, {"supply", "return"}, {"before", "after"}, {"opens", "closes"}, {"extend",
                  "retract"}, {"raise", "lower"}, {"lift", "lower"}, {"up", "down"},
              {"on", "off"}, {"min", "max"}, {"high", "low"}, {"hi", "low"})  # fmt: skip


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
    """

    readings: list[Reading] = field(default_factory=list)
    seen: list[tuple[int, int]] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)


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
    _trailing_ranges(done)
    _carry_units(done)
    _subject_units(done)
    _carry_units(done)
    _strays(done)
    refused = allot(done)
    for token in done.unsure:
        refused.append((token, UNSURE))
        for reading in done.readings:
            reading.asked = reading.asked or UNSURE
    _carry_units(done)
    statement = Statement()
    left = _sift(done, again=again, tested=tested)
    _withdraw(done, left)
    for token, question in refused:
        statement.doubts.append(
            Doubt(question, token.start, token.end, unread=False, blocks=token.letter == "L" or question == TOO)
        )
    for part, question in done.doubts.items():
        span = _numbers(done, part)
        if span:
            statement.doubts.append(Doubt(question, *span))
    statement.readings = done.readings
    for reading in done.readings:
        if reading.amount.bare and reading.limits and any(t.text.startswith("temp") for t in reading.name):
            reading.asked = NO_UNIT
        if reading.amount.bare and reading.amount.shape != "word" and not _is_count(reading) and not again:
            statement.doubts.append(Doubt(NO_UNIT, reading.token.start, reading.token.end, unread=False))
        if reading.asked and not any(
            one.start < reading.token.end and reading.token.start < one.end for one in statement.doubts
        ):
            statement.doubts.append(Doubt(reading.asked, reading.token.start, reading.token.end, unread=False))
        if reading.amount.asked:
            # the limits wait for the same answer
            behind = [one.token.end for one in done.limits if one.token.start > reading.token.start]
            end = min(behind, default=reading.token.end)
            statement.doubts.append(
                Doubt(reading.amount.asked, reading.token.start, end, unread=False, blocks=bool(behind))
            )
    # what a road test was driven with is told, as its times and distances are
    statement.doubts += [] if tested and not done.readings else _fallen(done, statement.doubts)
    statement.seen = _seen(done)
    statement.doubts.sort(key=lambda doubt: (doubt.start, doubt.end))
    return statement


def _fallen(done: Walked, doubts: list[Doubt]) -> list[Doubt]:
    """Amounts of conditions whose reading is not stated: nothing else on the line tells them."""
    told = {condition.start for reading in done.readings for condition in reading.when}
    asked: dict[int, Doubt] = {}
    for condition in (one for reading in done.dropped for one in reading.when if one.held):
        covered = any(doubt.start < condition.end and condition.start < doubt.end for doubt in doubts)
        lasting = not done.limits and all(is_told(token.amount) for token in condition.held)
        if condition.start not in told and not covered and not lasting:
            asked[condition.start] = Doubt(UNREAD, condition.start, condition.end)
    return list(asked.values())


# ---------------------------------------------------------------------- units
def _subject_units(done: Walked) -> None:
    """``oil psi 18``, ``volts 13.1``: the unit stands among the words before the number."""
    for reading in done.readings:
        if not reading.amount.bare or reading.amount.shape == "word":
            continue
        behind = [token for token in reading.subject if token not in reading.name]
        for token in (*reading.name[-1:], *behind):
            known = find(token.text) if token.text in _SAID_FIRST else None
            if known is not None:
                mates = [r for r in done.readings if reading.series and r.series == reading.series] or [reading]
                for mate in (mate for mate in mates if mate.amount.bare):
                    mate.amount = replace(mate.amount, unit=token.text, dimension=known.dimension, bare=False)
                reading.own = True
                break


_SAID_FIRST = frozenset(
    "mm mv ma psi kpa bar mbar volts volt amps ohms ohm kohm mohm rpm inhg lambda thou nm psig deg "
    "degrees inches".split()
)


def _trailing_ranges(done: Walked) -> None:
    """A bare range that is all of its part, or stands right behind a reading, is what the reading should be."""
    for place, reading in enumerate(list(done.readings)):
        before = done.readings[place - 1] if place else None
        amount = reading.amount
        if not amount.to or before is None or before.amount.to or _placed_here(done, reading):
            continue
        if not amount.bare and amount.dimension != before.amount.dimension:
            continue
        alone = [t.letter for t in done.parts[reading.part] if t.letter != "C" and t.text not in _FOR_ALL] == ["q"]
        part = done.parts[reading.part]
        behind = _only_conditions(part, before.token, reading.token) and amount.bare and not before.amount.bare
        if not (alone or behind) or reading.clause != before.clause:
            continue
        ends = (
            replace(amount, to="", to_value=None),
            replace(amount, text=amount.to, value=amount.to_value, to="", to_value=None),
        )
        given = GivenLimits(low=ends[0], high=ends[1])
        done.limits.append(PlacedLimits(reading.token, given, reading.part, reading.clause, alone=alone))
    _named_ranges(done)
    taken = {limits.token.start for limits in done.limits}
    done.readings = [reading for reading in done.readings if reading.token.start not in taken]
    done.limits.sort(key=lambda limits: limits.token.start)


_FOR_ALL = frozenset(
    {"each", "ea", "both", "either", "all", "round", "side", "all round", "per", "apiece", "all 4", "all four"}
)
"""Words behind a range that say it holds for every reading before it."""


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


def _placed_here(done: Walked, reading: Reading) -> bool:
    """A position stands right before it."""
    part = done.parts[reading.part]
    at = part.index(reading.token) if reading.token in part else 0
    return at > 0 and part[at - 1].letter == "p"


def _carry_units(done: Walked) -> None:
    """A unit said once goes back over the list, then forward."""
    readings = done.readings
    for place in range(len(readings) - 1, 0, -1):
        later, one = readings[place], readings[place - 1]
        if one.amount.bare and not later.amount.bare and _one_list(one, later):
            one.amount = _with_unit(one, later)
    for place in range(1, len(readings)):
        one, later = readings[place - 1], readings[place]
        if later.amount.bare and not one.amount.bare and _one_list(one, later):
            later.amount = _with_unit(later, one)


def _with_unit(reading: Reading, other: Reading) -> Amount:
    return replace(reading.amount, unit=other.amount.unit, dimension=other.amount.dimension, bare=False)


def _one_list(one: Reading, other: Reading) -> bool:
    if one.clause != other.clause or one.amount.shape == "word":
        return one.amount.shape == "word" and one.series == other.series != 0
    if one.series and one.series == other.series:
        return True
    if one.name == other.name and one.name and (one.when or other.when or one.pair or other.pair):
        return other.amount.bare and one.amount.dimension != "cranking current"
    words, others = {t.text for t in one.name}, {t.text for t in other.name}
    if _rest(others) or _rest(words):
        return True
    if one.places and other.places and words == others:
        return True
    if words & others and one.part == other.part:
        return True
    differ = (words - others) | (others - words)
    return any(pair <= differ for pair in _OPPOSITES)


def _rest(words: set[str]) -> bool:
    return any(
        word.split(" ")[0] in ("others", "other", "rest", "the", "remaining", "all") and word != "the" for word in words
    )


# ---------------------------------------------------------------------- conditions that carry no mark
def _strays(done: Walked) -> None:
    """Speed, temperature or time right beside a reading of another dimension is the condition it was taken under."""
    limited: set[str] = set()
    for reading in list(done.readings):
        dimension = reading.amount.dimension
        limited = _limited(done, reading.clause)
        if dimension not in CONDITIONS or reading.limits:
            continue
        if dimension in limited:
            _spanned(done, reading, limited)
            continue
        host = _host(done, reading, limited)
        if host is None:
            continue
        for one in [r for r in done.readings if host.series and r.series == host.series] or _list_behind(done, host):
            one.when += [replace(reading.token, letter="C", held=(reading.token,)), *reading.when]
            one.own = True
        if host.part == reading.part and not host.places and not _placed_here(done, host):
            host.places = reading.places  # "26 C LH 600 rpm": the place stands between a value and its condition
        if host.part == reading.part and not _named_apart(reading, host) and not host.subject:
            host.subject = reading.subject
        done.readings.remove(reading)
    _swap(done, {dimension for limits in done.limits for dimension in _limited(done, limits.clause)})


def _limited(done: Walked, clause: int) -> set[str]:
    """What the limits of a ``;`` part are measured in; limits that stand alone may reach over a semicolon."""
    own = {(r.clause, r.amount.dimension) for r in done.readings}
    found: set[str] = set()
    for limits in done.limits:
        dimensions = {amount.dimension for amount in limits.given.amounts if not amount.bare}
        if limits.clause == clause:
            found |= dimensions
        elif limits.alone:
            found |= {one for one in dimensions if (limits.clause, one) not in own}
    return found


def _list_behind(done: Walked, host: Reading) -> list[Reading]:
    """``6.2 bar bank 1, 3.8 bar bank 2 3100 rpm``: a list whose places stand behind shares what closes it."""
    group = [host]
    for one in reversed(done.readings[: done.readings.index(host)]):
        alike = one.name == host.name and one.clause == host.clause and one.amount.dimension == host.amount.dimension
        if (
            not alike
            or one.when
            or not host.places
            or {d for d, _ in one.places} != {d for d, _ in host.places}
            or one.places == host.places
        ):
            break
        group.append(one)
    return group


def _spanned(done: Walked, reading: Reading, limited: set[str]) -> None:
    """``50 to 90 psi 2 min 20 s, max 3 min``: the range before a limited time is what it took the time for."""
    place = done.readings.index(reading)
    before = done.readings[place - 1] if place else None
    if before is None or before.part != reading.part or not before.amount.to or before.amount.dimension in limited:
        return
    reading.when.append(replace(before.token, letter="C", held=(before.token,)))
    reading.subject, reading.own = reading.subject or before.subject, True
    done.readings.remove(before)


def _warm_at_speed(reading: Reading, stray: Reading) -> bool:
    """``coolant 95 C at 2500 rpm``: of the two the temperature was read."""
    return (reading.amount.dimension, stray.amount.dimension) == ("temperature", "rotation")


def _host(done: Walked, reading: Reading, limited: set[str]) -> Reading | None:
    """The reading a stray amount is the condition of."""
    others = [
        r for r in done.readings
        if r is not reading and r.clause == reading.clause and not r.amount.bare
        and (r.amount.dimension not in CONDITIONS or _warm_at_speed(r, reading))
    ]  # fmt: skip
    if not others:
        return None
    here = [r for r in others if r.part == reading.part]
    place = done.readings.index(reading)
    nearest = min(here or others, key=lambda r: (abs(done.readings.index(r) - place), done.readings.index(r) > place))
    if reading.places and reading.amount.dimension != "rotation" and _placed_here(done, reading):
        return None
    if here and not _named_apart(reading, nearest):
        return nearest
    if (
        not here
        and reading.amount.dimension == "temperature"
        and _of_a_fluid(reading)
        and done.readings.index(nearest) < place
    ):
        return nearest
    if not here and not _own_words(done, reading) and done.readings.index(nearest) < place:
        return nearest
    if reading.amount.dimension == "rotation" and limited and reading.amount.dimension not in limited:
        return nearest
    return None


_FLUIDS = frozenset(
    "oil coolant water fluid fuel atf engine eng air amb outside gearbox trans tank tyre tire hyd".split()
)


def _of_a_fluid(reading: Reading) -> bool:
    """``oil 50 C`` beside a reading of another dimension says how warm it was, not what was measured."""
    words = [token.text for token in reading.name]
    return 0 < len(words) < 3 and all(word in _FLUIDS or word == "temp" for word in words)


def _named_apart(reading: Reading, other: Reading) -> bool:
    return bool(reading.name) and reading.name != other.name


def _own_words(done: Walked, reading: Reading) -> bool:
    """Words in front of it in its part; those behind ("600 rpm rechecked") say how it is, not what it is."""
    part = done.parts[reading.part]
    return any(token.letter in "wnp" for token in part if token.start < reading.token.start or not reading.name)


def _swap(done: Walked, limited: set[str]) -> None:
    """``85-100 psi in 52 s (max 45 s)``: where limits fit only the condition, that is the reading."""
    if not limited:
        return
    for reading in done.readings:
        if reading.amount.dimension in limited:
            return
    for reading in done.readings:
        for condition in reading.when:
            amounts = [t for t in condition.held or () if t.letter == "q" and t.amount.dimension in limited]
            if len(amounts) == 1:
                old = reading.token
                reading.when = [c for c in reading.when if c is not condition]
                reading.when.append(replace(old, letter="C", held=(old,)))
                reading.token, reading.amount = amounts[0], amounts[0].amount
                break


# ---------------------------------------------------------------------- what is no reading
def _sift(done: Walked, *, again: bool, tested: bool) -> set[int]:
    """Take out what only looks like a reading; the starts of amounts that are left over."""
    left = {token.start for token in done.left if token.letter == "x"}
    kept: list[Reading] = []
    for reading in done.readings:
        if _is_reading(done, reading, again=again):
            kept.append(reading)
            continue
        done.dropped.append(reading)
        if tested and not reading.amount.bare:
            continue
        if is_told(reading.amount):
            done.left.append(reading.token)
        else:
            done.left.append(reading.token)
            left.add(reading.token.start)
    done.readings = kept
    done.left = [token for token in done.left if not _merely_told(done, token, tested=tested)]
    return left


_MOST_OF_A_THING = 24  # "plates showing on 4 5 & 11" lists places, not readings
_LASTING = frozenset(
    "test tested retest drive drove driven road rt ran run running idled idle soaked sat stayed waited "
    "watched warm started start "
    "overnight parked cranked".split()
)


def _merely_told(done: Walked, token: Token, *, tested: bool) -> bool:
    """``hose test 10 min, stayed dry``, ``road test 28 km``: how long or how far, beside no reading and no limits."""
    if token.letter != "q" or not is_told(token.amount):
        return False
    if tested:
        return True
    part = next((part for part in done.parts if token in part), [])
    if part == [token]:  # "wiggle test of the wiring, 15 min": the words of how it was done stand beside it
        part = [one for part in done.parts for one in part]
    return not done.limits and any(one.text in _LASTING or one.letter in "kC" for one in part)


def _is_reading(done: Walked, reading: Reading, *, again: bool) -> bool:
    amount = reading.amount
    words = [token.text for token in reading.subject]
    if amount.bare and "cca" in words:
        reading.amount = replace(amount, unit="CCA", dimension="cranking current", bare=False)
        return True
    if reading.limits is not None or amount.shape == "word":
        return True
    later = _later_part(done, reading)
    if (
        later
        and (amount.to or amount.than in ("<", ">"))
        and not _placed_here(done, reading)
        and reading.token.amount.bare
        and reading.pair == ""
    ):
        return any(_rest({t.text}) for t in reading.name)
    if later and amount.to and not _placed_here(done, reading) and reading.name and not reading.places:
        # what else should it be, where nothing before is measured in its unit?
        return bool(amount.dimension) and all(
            r.amount.dimension not in ("", amount.dimension) for r in done.readings if r is not reading
        )
    if amount.bare:
        series = sum(r.series == reading.series for r in done.readings) if reading.series else 0
        mates = [r.amount for r in done.readings if reading.series and r.series == reading.series]
        places = all(one.shape == "whole" and (one.value or 0) <= _MOST_OF_A_THING for one in mates)
        listed = (series > 2 and not places) or (series == 2 and reading.places)
        counted = any(word.startswith(_COUNT_WORDS) for word in words)
        part = done.parts[reading.part]
        placed = reading.places and any(token.letter == "p" for token in part)
        placed = placed or any(token.letter == "e" for token in part) or any(_rest({t.text}) for t in reading.name)
        measured = amount.shape in ("decimal", "fraction") and reading.name and _closes(part, reading.token)
        return bool(again or listed or counted or placed or measured)
    if amount.unit in DISTANCES or amount.dimension == "speed":
        return False
    if amount.dimension == "time" and amount.unit not in _FINE_TIMES:
        took = any(t.amount.to for c in reading.when for t in c.held or () if t.letter == "q")
        part = done.parts[reading.part]
        at = part.index(reading.token) if reading.token in part else 0
        took = took or (at > 0 and part[at - 1].text in ("in", "within"))
        return took or any(word.startswith(_TIMED) and not word.startswith("crankshaft") for word in words)
    return not amount.dimension.startswith("pieces")


def _is_count(reading: Reading) -> bool:
    return any(token.text.startswith(_COUNT_WORDS) for token in reading.subject)


def _later_part(done: Walked, reading: Reading) -> bool:
    """A reading stands before it in another part: a bare range or bound here is more likely what it should be."""
    return any(r.part < reading.part for r in done.readings)


def _closes(part: list[Token], token: Token) -> bool:
    """A decimal right at the end of what is said, before limits or a condition, is a figure rather than a name."""
    at = part.index(token) if token in part else -1
    if at < 1 or part[at - 1].letter not in "wpu":
        return False
    return at + 1 == len(part) or part[at + 1].letter in "LC"


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


def _numbers(done: Walked, part: int) -> tuple[int, int] | None:
    if part < 0:
        return None
    states = {r.token.start for r in done.readings}
    told = {condition.start for reading in done.readings for condition in reading.when}
    open_ = [t for t in done.parts[part] if t.letter in "qx" and t.start not in states]
    open_ += [
        t for t in done.parts[part] if t.letter == "C" and t.held and t.start not in told
    ]  # its reading fell, so it goes too
    tokens = sorted(open_, key=lambda t: t.start) or [t for t in done.parts[part] if t.letter in "qxL"]
    return (tokens[0].start, tokens[-1].end) if tokens else None


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


def is_leftover(token: Token) -> bool:
    """Whether a token could be a fact: any number."""
    return token.letter in "qx"


def bounds(given: GivenLimits) -> tuple[Fraction | None, Fraction | None]:
    """The least and the largest allowed value of limits, in their own unit."""
    low = given.low.value if given.low else None
    high = given.high.value if given.high else None
    if given.nominal and given.tolerance and given.nominal.value is not None and given.tolerance.value is not None:
        low = given.nominal.value - given.tolerance.value
        high = given.nominal.value + given.tolerance.value
    return low, high
