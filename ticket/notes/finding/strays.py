"""Conditions that carry no mark: a speed, a warmth, a time or a load beside what was read, and which was read."""

from dataclasses import replace
from fractions import Fraction

from ticket.notes.finding.carried import placed_here
from ticket.notes.finding.circumstances import FLUIDS
from ticket.notes.finding.lexicon import is_noun
from ticket.notes.finding.measures import DIMENSIONS
from ticket.notes.finding.stated import Reading, Walked, is_run_at, is_told
from ticket.notes.finding.under_conditions import CONDITIONS


def find_strays(done: Walked) -> None:
    """Speed, temperature or time right beside a reading of another dimension is the condition it was taken under."""
    limited: set[str] = set()
    for reading in list(done.readings):
        if not any(one is reading for one in done.readings):
            continue  # it is the condition of one before it by now
        dimension = reading.amount.dimension
        limited = _limited(done, reading.clause)
        if (dimension not in CONDITIONS and not _is_load(done, reading)) or reading.limits or reading.pair == "after":
            continue
        if dimension == "rotation" and (reading.amount.value or 0) < _SLIPPING and reading.name:
            continue  # "TCC slip 8 rpm": no engine turns so slowly
        if dimension == "temperature" and reading.name and is_run_at(reading):
            continue  # "coolant 95 C at 2500 rpm 14.1 V": it was read under a condition of its own
        if dimension in limited:
            _spanned(done, reading, limited)
            continue
        host = _host(done, reading, limited) or _ran_meanwhile(done, reading)
        if host is None:
            continue
        aside = host.part != reading.part and _of_a_fluid(reading)  # "22 psi at idle, 62 at 1800 rpm, oil 185 F"
        alike = [one for one in done.readings if one.clause == host.clause and one.name == host.name]
        behind = host.token.start < reading.token.start and host.part != reading.part
        if behind and dimension == "rotation" and not reading.places:
            alike, aside = _all_before(done, reading), True
        under = [replace(reading.token, letter="C", held=(reading.token,)), *reading.when]
        for one in alike if aside else _under_the_same(done, host):
            one.when += [told for told in under if told not in one.when]  # else each trebles them
            one.own = True
        if host.part == reading.part and not host.places and not placed_here(done, host):
            host.places = reading.places  # "26 C LH 600 rpm": the place stands between a value and its condition
        if host.part == reading.part and not _named_apart(reading, host) and not host.subject:
            host.subject = reading.subject
        done.readings.remove(reading)
    _swap(done, {dimension for limits in done.limits for dimension in _limited(done, limits.clause)})


_SLIPPING = 200  # turns a minute below which no engine runs


def _ran_meanwhile(done: Walked, reading: Reading) -> Reading | None:
    """``high 14.2 bar low 2.1 bar, compressor 4000 rpm``: alone in a part behind what was read in other units."""
    before = [one for one in _all_before(done, reading) if one.amount.dimension not in ("", "rotation")]
    alone = all(one is reading or one.part != reading.part for one in done.readings)
    plain = reading.amount.dimension == "rotation" and not (reading.places or reading.amount.to or reading.amount.than)
    return before[-1] if plain and alone and before else None


def _all_before(done: Walked, reading: Reading) -> list[Reading]:
    """``alternator 14.4 V, battery 13.6 V, engine 2000 rpm``: how fast it ran is of all that stands in front."""
    before = [one for one in done.readings if one.clause == reading.clause and one.part < reading.part]
    return [one for one in before if not is_run_at(one)]


def _under_the_same(done: Walked, host: Reading) -> list[Reading]:
    """The readings a condition behind ``host`` is for: its list, or all that share one condition already."""
    listed = [r for r in done.readings if host.series and r.series == host.series] or _list_behind(done, host)
    shared = [r for r in done.readings if host.when and r.clause == host.clause and r.when == host.when]
    return shared if len(shared) > len(listed) else listed


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
    """``50 to 90 psi 2 min 20 s, max 3 min``: the range beside a limited time is what it took the time for."""
    place = done.readings.index(reading)
    beside = [*done.readings[max(0, place - 1) : place], *done.readings[place + 1 : place + 2]]
    spans = [
        one for one in beside if one.part == reading.part and one.amount.to and one.amount.dimension not in limited
    ]
    for span in spans[:1]:
        reading.when.append(replace(span.token, letter="C", held=(span.token,)))
        reading.subject, reading.own = reading.subject or span.subject, True
        done.readings.remove(span)


def _warm_at_speed(reading: Reading, stray: Reading) -> bool:
    """``coolant 95 C at 2500 rpm``: of the two the temperature was read."""
    return (reading.amount.dimension, stray.amount.dimension) == ("temperature", "rotation")


def _host(done: Walked, reading: Reading, limited: set[str]) -> Reading | None:
    """The reading a stray amount is the condition of."""
    others = [
        r for r in done.readings
        if r is not reading and r.clause == reading.clause and not r.amount.bare
        and (r.amount.dimension not in CONDITIONS - limited or _warm_at_speed(r, reading))
        and not (is_told(r.amount) and r.amount.dimension not in limited)
        and not _charged_beside(r, reading)
    ]  # fmt: skip
    if not others:
        return None
    here = [r for r in others if r.part == reading.part]
    place = done.readings.index(reading)
    nearest = min(here or others, key=lambda r: (abs(done.readings.index(r) - place), done.readings.index(r) > place))
    if reading.places and reading.amount.dimension != "rotation" and placed_here(done, reading):
        return None
    if here and (not _named_apart(reading, nearest) or _joins_a_condition(done, reading, nearest)):
        return nearest
    if (
        not here
        and reading.amount.dimension == "temperature"
        and _of_a_fluid(reading)
        and done.readings.index(nearest) < place
    ):
        return nearest
    if not here and not _own_words(done, reading):
        behind = done.readings.index(nearest) > place
        if not behind or (nearest.part == reading.part + 1 and nearest.name == reading.name):
            return nearest  # "oil pressure, hot, 2500 rpm, 40 psi": named before, read behind
    if reading.amount.dimension == "rotation" and limited and reading.amount.dimension not in limited:
        return None if _turns_itself(reading) else nearest
    return None


def _is_load(done: Walked, reading: Reading) -> bool:
    """``drift 90 mm in 10 min 1500 kg``: a weight behind a reading, without a word of its own, was hung on it."""
    place = done.readings.index(reading)
    before = done.readings[place - 1] if place else None
    alone = done.parts[reading.part] == [reading.token]  # "1/4 in in 30 min, 800 lb"
    if before is None or not (alone or before.part == reading.part) or before.name != reading.name:
        return False
    return reading.amount.dimension == "mass" and before.amount.dimension not in ("", "mass")


_ENGINES = frozenset("engine eng idle rpm revs rev speed throttle crank cranking tach tacho motor gov governor".split())


def _turns_itself(reading: Reading) -> bool:
    """``pump 4200 rpm``: a thing of its own turned so fast, not the engine while something else was read."""
    words = [token.text for token in reading.name if token.letter == "w"]
    turned = bool(words) and is_noun(words[-1]) and words[-1] not in DIMENSIONS
    return turned and _ENGINES.isdisjoint(words)


_CHARGED = ("charg", "chg", "batt", "alt")
_AROUND = frozenset("battery amb outside air shed garage workshop yard bay day morning electrolyte".split())


def _charged_beside(host: Reading, reading: Reading) -> bool:
    """``chg 28.2 V, coolant 88 C``: how warm the engine was says nothing of how it charged; both were read."""
    named = any(token.text.startswith(_CHARGED) for token in host.name) and host.amount.dimension == "voltage"
    warm = reading.amount.dimension == "temperature" and bool(reading.name) and reading.part != host.part
    return named and warm and _AROUND.isdisjoint(token.text for token in reading.name)


def _of_a_fluid(reading: Reading) -> bool:
    """``oil 50 C`` beside a reading of another dimension says how warm it was, not what was measured."""
    words = [token.text for token in reading.name]
    fluid = any(word in FLUIDS for word in words)
    return fluid and len(words) < len("wwp") and all(word in FLUIDS or word == "temp" for word in words)


def _joins_a_condition(done: Walked, reading: Reading, host: Reading) -> bool:
    """``2610 psi at 2100 rpm oil 140F``: how warm a fluid was goes on with the condition it stands right behind."""
    if reading.amount.dimension != "temperature" or not _of_a_fluid(reading) or not host.when:
        return False
    part = done.parts[reading.part]
    at = part.index(reading.name[0]) if reading.name[0] in part else 0
    if not at or part[at - 1].letter != "C" or host.token.start > reading.token.start:
        return False
    bare = [one.value for held in done.limits for one in held.given.amounts if one.bare and one.value]
    read, warm = host.amount.value, reading.amount.value
    # bare limits may be the fluid's: only those that lie near the reading and far from the warmth are not
    return all(bool(read and warm) and _apart(one, read) < min(_NEAR, _apart(one, warm)) for one in bare)


_NEAR = Fraction(2)


def _apart(one: Fraction, other: Fraction | None) -> Fraction:
    """How many times the larger holds the smaller; nothing lies far from nought or below it."""
    if not other or one <= 0 or other <= 0:
        return Fraction(10**9)
    return max(one / other, other / one)


_HOW_FAST = frozenset("held on at in running idling engine eng revs rev rpm speed driving drive cruising to".split())


_SPUN = frozenset("turning revved revving spinning spun holding pulling bringing her it up with while".split())


def _named_apart(reading: Reading, other: Reading) -> bool:
    words = {token.text for token in reading.name} - {token.text for token in other.name}
    if reading.amount.dimension == "rotation" and words <= _HOW_FAST | _SPUN:
        return False  # "held 2500 rpm": how it was done, not what was read
    return bool(reading.name) and reading.name != other.name


def _own_words(done: Walked, reading: Reading) -> bool:
    """Words in front of it in its part; those behind ("600 rpm rechecked") say how it is, not what it is."""
    part = done.parts[reading.part]
    before = [token for token in part if token.start < reading.token.start or not reading.name]
    if reading.amount.dimension == "rotation" and all(t.text in _HOW_FAST for t in before if t.letter in "wn"):
        before = [token for token in before if token.letter == "p"]
    return any(token.letter in "wnp" for token in before)


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
