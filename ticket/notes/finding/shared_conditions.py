"""Conditions that are said once, in front of a list or behind it, and hold for every reading of the list."""

import re

from ticket.job.regex import Regex
from ticket.notes.finding.carried import MERELY, is_rest, is_twin
from ticket.notes.finding.circumstances import RUNS
from ticket.notes.finding.part_words import COMPARING, DOINGS
from ticket.notes.finding.stated import Reading, Walked, is_moment, is_told, is_whole_state
from ticket.notes.finding.tokens import Token

_HOW = Regex(
    r"(?:(?:at|with|in|engine|eng|key|ign|ignition|lights?|a/c|ac|all|full|no|fast|hot|slow|high|low) )*"
    r"(?:hot|cold|warm|cranking|idle|idling|running|on|off|rest|load|ambient|start)"
    r"|(?:after )?(?:sat |stood |parked |left |sitting )?overnight",
    re.I,
)
"""How a thing stood or ran while it was read, without a figure."""


def share_conditions(done: Walked) -> None:
    """Give each reading of a list what was said of all of it, in front of the first or behind the last."""
    for place, reading in enumerate(done.readings):
        behind = _list_from(done.readings[place:])
        _share_run(done, place, behind)
        _share_lead(done, place, behind)
        if behind and reading.pair and behind[0].pair and all(is_moment(one) for one in behind[0].when):
            behind[0].when += [one for one in reading.when if one.held and one not in behind[0].when]
    for place in range(len(done.readings) - 1, 0, -1):
        if not _list_from(done.readings[place:]):  # else the list goes on behind it
            _share_back(done, place)
    _share_closing(done)
    _share_heading(done)
    _share_air(done)


def _share_heading(done: Walked) -> None:
    """``roller test at 5 km/h, LF 2400 N RF 1700 N, diff 29 %``: the part in front of all says how all was read."""
    for clause in {reading.clause for reading in done.readings}:
        here = [one for one in done.readings if one.clause == clause]
        begun = done.parts[here[0].part][0].start
        # "case drain at 210 bar, LH motor 9 L/min, RH 2": the walk gives it to the first that has no name of its own
        told = list(dict.fromkeys(one for mate in here for one in mate.when if one.held and one.start < begun))
        for mate in here if told else ():
            mate.when = list(dict.fromkeys(mate.when)) or list(told)


_AIR = Regex(r"\b(?:amb(?:ient)?|oat|outside|outdoors)\b", re.I)


def _share_air(done: Walked) -> None:
    """``high 342 psi idle, 365 at 1500 rpm, ambient 106 F``: how warm the air was is of all that was read in it."""
    for clause in {reading.clause for reading in done.readings}:
        here = [one for one in done.readings if one.clause == clause]
        air = [one for mate in here for one in mate.when if one.held and _AIR.search(one.text)]
        for mate in here if air else ():
            held = {one.start for one in mate.when}
            mate.when += [one for one in dict.fromkeys(air) if one.start not in held][:1]


def _share_run(done: Walked, place: int, behind: list[Reading]) -> None:
    """How long, how fast or in which state: behind the first of a list it is of those behind it too."""
    reading = done.readings[place]
    behind_it = [one for one in reading.when if (one.held and _is_run(one)) or _is_driven(one) or _is_state(one)]
    if any(one.start < reading.token.start for one in behind_it):  # "after 10 min at 50 km/h LF 64 C, RF 118"
        behind_it = [one for one in reading.when if one in behind_it or one.start < reading.token.start]
    for mate in behind:
        elsewhere = mate.places != reading.places or mate.name != reading.name
        if behind_it and not mate.when and elsewhere:
            mate.when = list(behind_it)  # "hub RR 212 F after 15 min, LR 128": one drive for both
    soaked = [one for one in reading.when if one.held and _is_run(one) and one.text.split(" ")[-1] in RUNS]
    for mate in done.readings[place + 1 :] if soaked else ():
        alike = mate.clause == reading.clause and mate.amount.dimension == reading.amount.dimension
        mate.when = mate.when or (list(soaked) if alike else [])  # "IAT 212 F after 8 hr soak, ECT 99 F"


def _share_lead(done: Walked, place: int, behind: list[Reading]) -> None:
    """What leads the first of a list leads all of it."""
    reading = done.readings[place]
    ahead = [one for one in reading.when if not one.held and one.start < reading.token.start and _is_how(one)]
    for mate in done.readings[place + 1 :] if ahead else ():
        if mate.clause == reading.clause and not mate.when and _names_more(reading, mate):
            mate.when = list(ahead)  # "volt drop cranking 0.18 V live side, 0.62 V earth side"
    for mate in behind if ahead else ():
        if mate.token.start > reading.token.start and not any(_is_how(one) for one in mate.when):
            mate.when = [*ahead, *mate.when]


def _share_back(done: Walked, place: int) -> None:
    """What closes a list is of all of it, but of what was only watched on its way."""
    reading = done.readings[place]
    closing = [one for one in reading.when if one.start > reading.token.start and (one.held or _is_how(one))]
    for mate in _list_from(done.readings[place::-1]):
        # "9.9 V, dropped to 8.1 after 5 s": only its end was read then
        watched = mate.pair == "passing" and mate.part != reading.part
        if not watched and all(is_moment(one) or one in reading.when for one in mate.when):
            mate.when += [one for one in closing if one not in mate.when]


def _share_closing(done: Walked) -> None:
    """``alt 13.8 V, draw 62 A at 2000 rpm all loads on``: how all the things of a line were read, said once behind."""
    for clause in {reading.clause for reading in done.readings}:
        *before, last = [one for one in done.readings if one.clause == clause]
        closing = [one for one in last.when if one.start > last.token.start and not is_moment(one)]
        led = len(last.when) - len(closing)
        if not any(map(_holds_for_all, closing)) or last.pair or not (led or _are_apart(before, last)):
            continue
        for mate in reversed(before):
            own = [one for one in mate.when if one not in closing]
            if mate.pair or len(own) != led or any(one.start > mate.token.start for one in own):
                break
            if _may_stand_so(mate, last, closing):
                mate.when = [*own, *closing]


def _are_apart(before: list[Reading], last: Reading) -> bool:
    """Nothing but the condition tells two of one thing at one place apart: then it is of the last alone."""
    return not any(
        one.amount.dimension == last.amount.dimension and one.places == last.places and _thing(one) == _thing(last)
        for one in before
    )


def _thing(reading: Reading) -> frozenset[str]:
    return frozenset(word for token in reading.name for word in token.text.split(" ")) - DOINGS


def _may_stand_so(mate: Reading, last: Reading, closing: list[Token]) -> bool:
    """A thickness or a weight is the same at every speed; a battery may have been read before the engine ran."""
    if mate.amount.bare or mate.amount.dimension in _LASTING:
        return mate.amount.dimension == last.amount.dimension
    rested = any(token.text.startswith("batt") for token in mate.name) and last.amount.dimension == "voltage"
    return not rested or any(not one.held for one in closing)


_LASTING = frozenset({"length", "mass", "angle", "volume", "area", "share"})


def _holds_for_all(condition: Token) -> bool:
    """How fast, how warm or in which state, and after how long a run; what was waited for is of one figure."""
    words = condition.text.casefold().split()
    if words[0] in ("before", "since", "once"):
        return False
    amounts = [one.amount for one in condition.held or () if one.letter == "q"]
    if words[0] in ("after", "in", "within", "for", "over"):
        return bool(amounts) and _is_run(condition) and words[0] == "after"
    return bool(amounts) or _is_how(condition) or is_whole_state(condition) or _is_state(condition)


def _names_more(reading: Reading, mate: Reading) -> bool:
    """The name of the first goes on in the other, which has nothing of its own but words behind its value."""
    said = [token for token in reading.name if token.start < reading.token.start]
    own = [token for token in mate.name if token not in said and token.start < mate.token.start]
    same = bool(said) and all(token in mate.name for token in said) and not own
    return same and mate.amount.dimension == reading.amount.dimension


def share_axles(done: Walked) -> None:
    """``rear rollers n/s 150 o/s 143 kg, imbalance 5 %``: what compares two sides is of the axle said for both."""
    said = [token.held for part in done.parts for token in part if token.letter == "p"]
    heads = {held[0] for held in said if len(held) == 1}
    for at, reading in enumerate(done.readings):
        if reading.places or COMPARING.isdisjoint(token.text for token in reading.name):
            continue
        sides = [dict(one.places) for one in done.readings[:at] if one.clause == reading.clause][-2:]
        shared = [pair for pair in sides[0].items() if pair in sides[-1].items()] if len(sides) > 1 else []
        if sides and len({one.get("side") for one in sides} - {None}) > 1:
            reading.places = tuple(pair for pair in shared if pair[0] in ("end", "axle") and pair in heads)


def _list_from(readings: list[Reading]) -> list[Reading]:
    """The readings that go on from the first, each differing from the one beside it in its place or moment alone."""
    first, found = readings[0], list[Reading]()
    for reading in readings[1:]:
        last = found[-1] if found else first
        if reading.clause != first.clause or not _are_mates(last, reading):
            break
        found.append(reading)
    return found


def _are_mates(one: Reading, other: Reading) -> bool:
    """One thing at two places, before and after, or under two figures of one condition; or the two ends of a thing."""
    if one.amount.dimension != other.amount.dimension:
        return False
    if is_rest({token.text for token in other.name}):
        return True  # "no 3 62 mL in 60 s, the rest 18 to 22"
    if is_twin(one, other):
        return True
    placed = one.places != other.places and {d for d, _ in one.places} == {d for d, _ in other.places}
    moments = bool(one.pair and other.pair)
    names = [tuple(token.text for token in r.name if token.text not in MERELY) for r in (one, other)]
    return names[0] == names[1] and (placed or moments or _figures(one) == _figures(other) != [])


def _figures(reading: Reading) -> list[str]:
    return ["figure" for one in reading.when if one.held]


def _is_run(condition: Token) -> bool:
    """After or in so long or so far: of one run, which all the readings of a list were taken after or in."""
    led = condition.text.casefold().startswith(("after ", "in ", "over ", "within ", "for "))
    return led and all(is_told(one.amount) for one in condition.held)


def _is_driven(condition: Token) -> bool:
    """``RF signal 0 Hz @ 20 mph, LF 410 Hz``: how fast it went or turned."""
    held = [one.amount.dimension for one in condition.held or () if one.letter == "q"]
    return bool(held) and set(held) <= {"speed", "rotation"}


def _is_state(condition: Token) -> bool:
    """``LR drop 1.3 V lamps on, RR 0.06``: a thing was switched on or off, for both."""
    return not condition.held and condition.text.casefold().endswith((" on", " off", " running", " applied"))


def _is_how(condition: Token) -> bool:
    return not condition.held and _HOW.fullmatch(condition.text.strip()) is not None
