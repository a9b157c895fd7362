"""Which limits judge which readings: by dimension and place, never the nearest number.

In doubt nobody is judged, and a question is asked.
"""

from dataclasses import replace
from fractions import Fraction

from ticket.job.regex import Regex
from ticket.notes.finding.bounds_in_words import DIRECTIONS
from ticket.notes.finding.carried import is_rest, purpose
from ticket.notes.finding.circumstances import SLOWEST
from ticket.notes.finding.in_turn import is_for
from ticket.notes.finding.limit_notation import in_notation, in_shares
from ticket.notes.finding.limit_units import IN_UNIT, far_off, of_known_unit
from ticket.notes.finding.limits_given import with_bound
from ticket.notes.finding.part_words import COMPARING, STATES
from ticket.notes.finding.same_thing import (
    LIKE_PLACES,
    SWITCHES,
    cranks_apart,
    rests_apart,
    speaks_of,
    subject_of,
    when_of,
)
from ticket.notes.finding.stated import PlacedLimits, Reading, Walked, is_driven
from ticket.notes.finding.tokens import GivenLimits, Places, Token
from ticket.notes.finding.under_conditions import CONDITIONS
from ticket.notes.finding.wear_sides import needed_side, side_of_new, wear_side
from ticket.readings.units import find

_NEAR, _APART = 3, 6
"""A bare limit belongs to readings at most so many times off it, if those of other dimensions are this far off."""
WHICH = "Which reading do these limits judge? Put them right behind it."
FOREIGN = "No reading here is in the unit of these limits. Which one do they judge?"
TWO_THINGS = "Do these limits hold for all of these readings? Put them behind each one they judge."
SEVERAL_LIMITS = "Several limits stand here. Put each behind the reading it judges."
TOO = "Do the limits behind hold for this reading too?"
WHICH_UNIT = "In which unit are these limits?"
WEAR_SIDE = "Is this the least or the largest that is allowed? Write min or max."


def allot(done: Walked) -> list[tuple[Token, str]]:
    """Give limits to readings, in place; what cannot be given comes back with its question."""
    asked: list[tuple[Token, str]] = []
    for limits in done.limits:
        question = _give(done, limits) or _spare(done, limits)
        if question:
            asked.append((limits.token, question))
        else:
            asked += [(_to_limits(reading.token, limits.token), TOO) for reading in _passed_over(done, limits)]
    judged = {reading.token.start for reading in done.readings if reading.limits is not None}
    return [(token, question) for token, question in asked if question != TOO or token.start not in judged]


def _to_limits(reading: Token, limits: Token) -> Token:
    """The piece from a reading to the limits behind it: the question is about the two together."""
    return replace(reading, end=max(reading.end, limits.end)) if reading.start < limits.start else reading


def _passed_over(done: Walked, limits: PlacedLimits) -> list[Reading]:
    """Readings of the same dimension that limits in a part of their own did not take: they may be meant too."""
    dimension = limits.given.dimension
    judged = [reading for reading in done.readings if reading.limits is limits.given or _holds(reading, limits)]
    names = {subject_of(reading) for reading in judged}
    places = {reading.places for reading in judged}
    return [
        reading for reading in done.readings
        if reading.limits is None and not reading.asked and not limits.given.own and not limits.given.at
        and (dimension in ("", reading.amount.dimension) or reading.amount.bare)
        and ((limits.alone and reading.token.start < limits.token.start) or _another(reading, names, places))
    ]  # fmt: skip


def _holds(reading: Reading, limits: PlacedLimits) -> bool:
    return reading.limits is not None and reading.limits.amounts[:1] == limits.given.amounts[:1]


def _another(reading: Reading, names: set[tuple[str, ...]], places: set[Places]) -> bool:
    """The same thing at another position, which no limits judge: a thin pad may not pass in silence."""
    return subject_of(reading) in names and bool(reading.places) and reading.places not in places


def _give(done: Walked, limits: PlacedLimits) -> str:
    _leave_speeds(done, limits)
    given = limits.given = _with_purpose(done, limits)
    dimension = given.dimension
    readings = [r for r in done.readings if r.clause == limits.clause]
    before = [r for r in readings if r.token.start < limits.token.start]
    if not before:
        # "LF 7; RF 5; min 3": limits that are a part of their own reach back over a semicolon
        before = [r for r in done.readings if r.token.start < limits.token.start] if limits.alone else []
    fitting = [
        r for r in before
        if _fits(r, dimension) and _is_free(r) and not r.asked and (dimension or not is_driven(done, r))
    ]  # fmt: skip
    # limits in front judge what follows only where nothing else stands in front of them: not past a number in doubt
    behind = not fitting and not before and not _number_before(done, limits)
    if behind:
        fitting = [r for r in readings if _fits(r, dimension) and _is_free(r)]
    if given.more:
        return _in_turn(fitting, given)
    if before and fitting and before[-1].asked and before[-1] is not fitting[-1] and _fits(before[-1], dimension):
        return WHICH  # "caster LF 2.9, cross 1.2, max .75": what stands right before them is open
    fitting, question = _meant(fitting, limits)
    if question:
        return question
    if not fitting:
        return _unfit(before, given)
    if len({find(amount.unit) for amount in given.amounts if not amount.bare}) > 1:
        return SEVERAL_LIMITS
    if not dimension and _several_dimensions(before or readings) and not fitting[-1].amount.bare:
        fitting = _of_its_size(fitting, given)
        if not fitting:
            return WHICH_UNIT
    nearest = fitting[0] if behind else fitting[-1]
    bare = nearest.amount.bare and not nearest.places
    if bare and any(not r.amount.bare for r in fitting if r.clause == nearest.clause):
        return WHICH
    if _means_another(done, nearest, limits, behind=behind):
        nearest.asked = WHICH
        return WHICH
    return _share(done, fitting, nearest, limits, behind=behind)


def _with_purpose(done: Walked, limits: PlacedLimits) -> GivenLimits:
    """``spec 125-135 for cut out``: what stands behind "for" names the reading, where one is called so."""
    given = limits.given
    own = purpose([one for one in done.readings if one.token.start < limits.token.start], [given.when])
    return replace(given, own=own, when="") if own and not given.own else given


def _leave_speeds(done: Walked, limits: PlacedLimits) -> None:
    """``62 psi at 2100 rpm min 15 idle``: behind limits stands how fast they hold, where the reading says its own."""
    for reading in done.readings if limits.given.when else ():
        own = [one for one in reading.when if one.start < limits.token.start]
        if any(map(_turns, own)) and any(_turns(one) for one in reading.when if one not in own):
            reading.when = [one for one in reading.when if one in own or not _turns(one)]


def _turns(condition: Token) -> bool:
    """How fast the engine turned: idling, or so many turns, whose unit is often left out."""
    figures = [one.amount for one in condition.held or () if one.letter == "q"]
    turns = any(one.dimension == "rotation" or (one.bare and (one.value or 0) >= SLOWEST) for one in figures)
    return turns or "idle" in condition.text.casefold()


def _spare(done: Walked, limits: PlacedLimits) -> str:
    """Take limits back where a reading passes in the place of one that nobody named, or of the same thing.

    ``236 F idling, 101 F in traffic (under 220)``: what is told as in limits may be what was around the thing.
    """
    judged = [r for r in done.readings if _holds(r, limits) and r.token.start < limits.token.start]
    for nearest in judged[-1:]:
        mates = [r for r in done.readings if r.limits is None and r.amount.unit == nearest.amount.unit]
        before = [r for r in mates if r.clause == nearest.clause and r.token.start < nearest.token.start]
        if limits.given.when or _is_timed(nearest):
            continue  # "drain 180 mA, 22 mA after 25 min, under 50 is fine": what it came to
        alike = [r for r in before if not r.name or subject_of(r) == subject_of(nearest)]
        if _within(nearest, limits.given) and not all(_within(r, limits.given) for r in alike):
            nearest.limits, nearest.asked = None, WHICH
            return WHICH
    return ""


def _is_timed(reading: Reading) -> bool:
    return any(one.letter == "q" and one.amount.dimension == "time" for when in reading.when for one in when.held or ())


def _within(reading: Reading, given: GivenLimits) -> bool:
    """Whether the figures alone say that it passes; figures in another unit are not compared."""
    value, unit = reading.amount.value, reading.amount.unit
    low, high = (end if end and (end.bare or end.unit == unit) else None for end in (given.low, given.high))
    if value is None or (low is None and high is None):
        return False
    return not (low and low.value and value < low.value) and not (high and high.value and value > high.value)


def _is_free(reading: Reading) -> bool:
    """No limits judge it yet; one specified figure judges nothing."""
    held = reading.limits
    return held is None or held.amounts == (held.nominal,)


def _meant(fitting: list[Reading], limits: PlacedLimits) -> tuple[list[Reading], str]:
    """The readings that the condition and the words beside the limits fit, or a question where they fit none."""
    given = limits.given
    if given.at:  # "min 3 front" says nothing of the rear
        fitting = [r for r in fitting if not r.places or set(given.at) <= set(r.places)]
        if not fitting:
            return fitting, WHICH
    if given.when and not _for_all(given):
        fitting = [r for r in fitting if _under(r, given)] or fitting
    return _spoken_of(fitting, limits) if given.own else (fitting, "")


def _is_purpose(when: str) -> bool:
    """``100 tops for parked regen``: what it is wanted for says nothing of how it was read."""
    words = set(when.casefold().split())
    return when.casefold().startswith("for ") and not words & _HELD_UNDER and not any(map(str.isdecimal, when))


_SMALL = frozenset("at @ on the a of in with and by rpm c f".split())
_SAME = frozenset({"that", "this", "same", "those"})


def _for_all(given: GivenLimits) -> bool:
    """``spec 55 to 62 psi for both``: the words behind the limits say that they hold for every reading."""
    return set(given.when.casefold().split()) <= {"for", "on", "of", "both", "all", "each", "either"}


def _under(reading: Reading, given: GivenLimits) -> bool:
    """The reading was taken under the condition of the limits: its figure where it has one, else a word of it."""
    own, taken = (_words_of(text) for text in (given.when, " ".join(_conditions(reading))))
    figures = {word for word in own if word[0].isdecimal()}
    if own & _SAME and not figures:
        return True  # "at that speed"
    if "after" in own and len(figures) == 1:
        return any(word[0].isdecimal() and float(word) >= float(min(figures)) for word in taken)
    return figures <= taken if figures else bool(own & taken)


def _words_of(text: str) -> set[str]:
    """The words and figures of a condition, without what joins them."""
    return {word.replace(",", ".") for word in _PIECES.findall(text.casefold()) if word not in _SMALL}


_PIECES = Regex(r"[0-9]+(?:[.,][0-9]+)?|[^\W\d_]+")


def _means_another(done: Walked, nearest: Reading, limits: PlacedLimits, *, behind: bool) -> bool:
    """The limits hold under another condition, or another figure stands nearer to them."""
    given = limits.given
    if not behind and _another_between(done, nearest, limits):
        return True
    elsewhere = (
        given.when
        and not _for_all(given)
        and not _is_purpose(given.when)
        and not given.bracketed
        and not _under(nearest, given)
    )
    return bool(_at_odds(nearest, given) or elsewhere)


def _in_turn(fitting: list[Reading], given: GivenLimits) -> str:
    """As many limits as readings, in one order; where their conditions differ from those of the readings, nobody."""
    rows = (replace(given, more=()), *given.more)
    named = {subject_of(reading) for reading in fitting}
    fits = (
        len(rows) == len(fitting)
        and len({r.amount.dimension for r in fitting}) == 1
        and (len(named) == 1 or len(named) == len(rows))
    )
    if not fits or not all(is_for(row, _conditions(r)) for row, r in zip(rows, fitting, strict=True)):
        for reading in fitting:
            reading.asked = SEVERAL_LIMITS
        return SEVERAL_LIMITS
    asked = [_judge([reading], replace(row, when=""), reading) for row, reading in zip(rows, fitting, strict=True)]
    return next((question for question in asked if question), "")


_AXLES = frozenset("steer steers drive drives trailer trailers tag lift pusher".split())


def _spoken_of(fitting: list[Reading], limits: PlacedLimits) -> tuple[list[Reading], str]:
    """The readings that the words beside the limits speak of, or a question where they speak of none."""
    given = limits.given
    named = [r for r in fitting if all(speaks_of(r, (word,)) for word in given.own)]
    named = named or [r for r in fitting if speaks_of(r, given.own)]
    if not named and COMPARING & set(given.own):
        return fitting, WHICH  # "in 27 C out 9 C, delta min 15": how far they lie apart
    if not named and not limits.alone and given.bracketed:
        return fitting, WHICH if fitting else FOREIGN
    if not named and (len({subject_of(r) for r in fitting}) > 1 or not _AXLES.isdisjoint(given.own)):
        return fitting, WHICH  # "rf 7/32 lr 3/32, steer min 4/32"
    return named or fitting, ""


def _share(done: Walked, fitting: list[Reading], nearest: Reading, limits: PlacedLimits, *, behind: bool) -> str:
    """Judge the nearest and what differs from it in place alone; a rival makes it a question."""
    given = limits.given
    members = _members(fitting, nearest, behind=behind, alone=limits.alone and not given.when)
    if given.when and _for_all(given):
        every = set(given.when.casefold().split()) & {"both", "all", "each", "either"}
        alike = [r for r in fitting if r.amount.bare or r.amount.dimension == nearest.amount.dimension]
        members = alike if every else [r for r in alike if subject_of(r) == subject_of(nearest)]
    if given.spread is not None and not given.amounts and not given.own:
        apart = [r for r in fitting if not (COMPARING | {"cross"}).isdisjoint(token.text for token in r.name)]
        if apart:  # "cross caster 1.50, max diff .5": it was measured itself
            return _judge(apart[-1:], replace(given, high=given.spread, spread=None), apart[-1])
        members = [r for r in fitting if r.amount.dimension == nearest.amount.dimension]
    others = [r for r in fitting if r not in members and _rival(r, nearest, limits)]
    if others and not given.own:
        for reading in (*members, *others):
            reading.asked = TWO_THINGS
        return TWO_THINGS
    if given.own and not given.bracketed and limits.alone:
        # "the 5 volt lines have to be 4.9 to 5.1": every reading that all of the words speak of
        members += [r for r in fitting if r not in members and all(speaks_of(r, (word,)) for word in given.own)]
    members += _onward(done, nearest, limits) if not behind else []
    if _has_decayed(nearest) and {when_of(reading) for reading in members} != {when_of(nearest)}:
        for reading in members:
            reading.asked = reading.asked or (TOO if reading is not nearest else "")
        members = [nearest]
    return _judge(members, given, nearest)


def _has_decayed(reading: Reading) -> bool:
    """``51 psi KOEO, bleeds to 30 in 5 min, min 48``: what is left after a while is what the limits are for."""
    timed = any(one.amount.dimension == "time" for condition in reading.when for one in condition.held or ())
    return timed and any(word in _DECAYING for token in reading.name for word in token.text.split(" "))


_DECAYING = frozenset(
    "bleeds bled decays decayed drops dropped falls fell leaks leaked sinks sank creeps crept".split()
)


def _onward(done: Walked, nearest: Reading, limits: PlacedLimits) -> list[Reading]:
    """``LR 254 mm, max 255, RR 256``: the only limits of a line hold for the same thing on its other side too."""
    if len(done.limits) > 1 or limits.given.own or limits.given.when:
        return []
    return [
        reading for reading in done.readings
        if reading is not nearest and reading.limits is None and not reading.asked
        and (reading.token.start > limits.token.start or reading.clause != nearest.clause)
        and subject_of(reading) == subject_of(nearest) and reading.amount.dimension == nearest.amount.dimension
        and when_of(reading) == when_of(nearest) and _on_another_side(reading, nearest)
    ]  # fmt: skip


def _on_another_side(reading: Reading, nearest: Reading) -> bool:
    """Two of one kind on a vehicle: they differ in the side, the depth or a number, never in front and rear."""
    if any(is_rest({token.text}) for token in reading.name):
        return True
    one, other = dict(reading.places), dict(nearest.places)
    return one != other and one.keys() == other.keys() and one.get("end") == other.get("end")


_AT_ODDS = (
    {"hot", "cold"},
    {"idle", "rpm"},
    {"loaded", "unloaded"},
    {"laden", "unladen"},
    {"full", "empty"},
    {"static", "cranking"},
    {"wet", "dry"},
    {"open", "closed"},
    {"up", "down"},
    {"in", "out"},
    {"high", "low"},
    {"high", "down"},
    {"low", "up"},
)


_HELD_UNDER = STATES.union(*_AT_ODDS, {"crank", "rest", "resting", "rpm", "revs", "warm"})


def _at_odds(reading: Reading, given: GivenLimits) -> bool:
    """Limits for the cold say nothing of a hot reading."""
    words = _conditions(reading) | {token.text for token in reading.subject if token.text in DIRECTIONS}
    own = set(given.when.casefold().split()) | set(given.own)
    return any(len(pair & words) == 1 and len(pair & own) == 1 and pair & words != pair & own for pair in _AT_ODDS)


def _conditions(reading: Reading) -> set[str]:
    return {word for condition in reading.when for word in condition.text.casefold().split()}


def _another_between(done: Walked, nearest: Reading, limits: PlacedLimits) -> bool:
    """A figure of a condition stands nearer to the limits, and may be meant: ``cuts off at 52 psi, 45-55``."""
    if not limits.alone or limits.given.dimension:
        return False
    tokens = [token for part in done.parts[nearest.part + 1 : limits.part] for token in part if token.letter == "C"]
    amounts = [one.amount for token in tokens for one in token.held or () if one.letter == "q"]
    return any(not amount.bare and amount.dimension not in CONDITIONS for amount in amounts)


def _number_before(done: Walked, limits: PlacedLimits) -> bool:
    return any(token.letter in "qx" and token.start < limits.token.start for part in done.parts for token in part)


def _unfit(before: list[Reading], given: GivenLimits) -> str:
    if given.nominal is not None and given.tolerance is None and given.bracketed:
        return ""  # "(12 mm)" behind a name is part of the name
    return FOREIGN if before else WHICH


def _of_its_size(fitting: list[Reading], given: GivenLimits) -> list[Reading]:
    """Where readings of several dimensions stand, a bare limit is for the last, if near that and off the rest."""
    bounds = [abs(amount.value) for amount in given.amounts if amount.value]
    off: dict[str, Fraction] = {}
    for reading in fitting:
        value = abs(reading.amount.value) if reading.amount.value else None
        if value is None or not bounds:
            return []
        own = min(max(value / bound, bound / value) for bound in bounds)
        off[reading.amount.dimension] = min(own, off.get(reading.amount.dimension, own))
    last = fitting[-1].amount.dimension  # figures alone never reach past the reading the limits stand behind
    near = off.pop(last)
    apart = min(off.values(), default=Fraction(_APART))
    close = last not in CONDITIONS and near <= _CLOSE_BY and apart >= near * _CLOSE_BY
    sure = close or (near <= _NEAR and apart >= _APART)
    return [one for one in fitting if one.amount.dimension == last] if sure else []


_CLOSE_BY = Fraction(3, 2)


def _fits(reading: Reading, dimension: str) -> bool:
    own = reading.amount.dimension
    alike = {own, dimension} <= {"current", "cranking current"}
    return not dimension or dimension == own or reading.amount.bare or alike


def _several_dimensions(readings: list[Reading]) -> bool:
    return len({r.amount.dimension for r in readings if not r.amount.bare}) > 1


def _members(fitting: list[Reading], nearest: Reading, *, behind: bool, alone: bool) -> list[Reading]:
    """The nearest, then back while place alone differs; or a whole list; or the two ends of a change."""
    order = fitting if behind else fitting[::-1]
    members = [nearest]
    for reading in order[1:]:
        last = members[-1]
        same = subject_of(reading) == subject_of(nearest)
        listed = bool(reading.series) and reading.series == nearest.series
        change = {last.pair, reading.pair} in ({"after", "before"}, {"after", "passing"})
        change = change and not ("passing" in (last.pair, reading.pair) and rests_apart(reading, nearest))
        placed = bool(reading.places) or _words_differ(reading, nearest)
        alike = when_of(reading) == when_of(nearest) and placed
        twin = alone and not _unlike(reading, nearest)
        if _switches(reading, nearest):
            break
        if not ((same and (alike or (alone and not cranks_apart(reading, nearest)))) or listed or change or twin):
            break
        members.append(reading)
    return members


_TWINS = (
    {"opens", "closes"}, {"opens", "shuts"}, {"open", "close"}, {"in", "out"}, {"up", "down"}, {"lift", "tilt"},
    {"raise", "lower"}, {"lifts", "lowers"},
    {"positive", "negative"}, {"pos", "neg"}, {"sin", "cos"},
    {"forward", "back"}, {"forward", "reverse"}, {"fronts", "rears"}, {"inlet", "outlet"}, {"primary", "secondary"},
)  # fmt: skip
"""Words by which one thing is measured in its two ways."""
_SWITCHED = frozenset({"pressure", "temperature", "voltage", "rotation"})


def _switches(reading: Reading, nearest: Reading) -> bool:
    """``opens 180 psi closes 140 psi, min 150``: what switches at two values has a limit of its own for each."""
    if reading.amount.dimension not in _SWITCHED:
        return False
    one, other = ({token.text for token in r.name} & SWITCHES for r in (reading, nearest))
    return one != other


def _unlike(reading: Reading, nearest: Reading) -> bool:
    """Whether limits behind both, in a part of their own, may be for one alone: another thing, load or size."""
    if reading.amount.dimension != nearest.amount.dimension or reading.amount.bare != nearest.amount.bare:
        return True
    if cranks_apart(reading, nearest):
        return True
    one, other = (set(subject_of(r)) for r in (reading, nearest))
    pair = one ^ other
    return bool(pair) and not any(pair <= twin for twin in _TWINS)


def _words_differ(reading: Reading, nearest: Reading) -> bool:
    """The subjects differ in nothing but which of several like things they name."""
    tokens = (*reading.name, *nearest.name)
    return any(token.text in LIKE_PLACES or token.letter == "n" for token in tokens)


def _rival(reading: Reading, nearest: Reading, limits: PlacedLimits) -> bool:
    """Another thing of the same dimension that the limits might be meant for as well."""
    if reading.amount.bare or reading.amount.dimension != nearest.amount.dimension:
        return False
    if when_of(reading) != when_of(nearest):
        return limits.alone and subject_of(reading) != subject_of(nearest)
    if subject_of(reading) == subject_of(nearest) and not nearest.own:
        return False
    return reading.part == nearest.part or limits.alone


def _judge(members: list[Reading], given: GivenLimits, nearest: Reading) -> str:
    if given.doubt:
        for reading in members:
            reading.asked = SEVERAL_LIMITS
        return SEVERAL_LIMITS
    given = in_notation(members, in_shares(nearest, given))
    if given.wear is not None:
        side = needed_side(nearest, given) if given.needed else wear_side(nearest) or side_of_new(nearest, given)
        if not side:
            return WEAR_SIDE
        given = with_bound(replace(given, wear=None), side, given.wear)
    members = of_known_unit(members, given)
    if not members:
        return IN_UNIT
    if far_off(members, given):
        for reading in members:
            reading.asked = WHICH_UNIT
        return WHICH_UNIT
    for reading in members:
        if reading.pair == "passing" and _is_timed(nearest):
            continue
        specified = reading.limits.nominal if reading.limits else None
        reading.limits = replace(given, nominal=given.nominal or specified) if given.spread is None else given
        if reading.amount.bare and given.dimension:
            unit = next(a.unit for a in given.amounts if not a.bare)
            reading.amount = replace(reading.amount, unit=unit, dimension=given.dimension, bare=False)
    return ""
