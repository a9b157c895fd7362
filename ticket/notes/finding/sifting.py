"""What only looks like a reading: bare numbers, times and distances, places, what a thing should be."""

from dataclasses import replace

from ticket.notes.finding.carried import is_rest, is_twin, placed_here
from ticket.notes.finding.stated import Reading, Walked, is_told
from ticket.notes.finding.tokens import DISTANCES, Token

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


_AGES = frozenset({"yr", "year", "month", "mo", "week", "wk", "day"})
_FINE_TIMES = frozenset({"ms", "us", "µs", "msec"})


_COUNT_WORDS = ("count", "cnt", "misfire", "clicks", "turns", "teeth", "drops", "cca", "soc", "soh", "ph", "lambda")


_MOST_OF_A_THING = 24  # "plates showing on 4 5 & 11" lists places, not readings


_LASTING = frozenset(
    "test tested retest drive drove driven road rt ran run running idled idle soaked sat stayed waited "
    "watched warm started start "
    "overnight parked cranked".split()
)


def sift(done: Walked, *, again: bool, tested: bool) -> set[int]:
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
    done.left = [token for token in done.left if not merely_told(done, token, tested=tested)]
    return left


def merely_told(done: Walked, token: Token, *, tested: bool) -> bool:
    """``hose test 10 min, stayed dry``, ``road test 28 km``: how long or how far, beside no reading and no limits."""
    if token.letter != "q" or not is_told(token.amount):
        return False
    if tested:
        return True
    part = next((part for part in done.parts if token in part), [])
    if part == [token]:  # "wiggle test of the wiring, 15 min": the words of how it was done stand beside it
        part = [one for part in done.parts for one in part]
    return not done.limits and any(one.text in _LASTING or one.letter in "kC" for one in part)


def _are_places(done: Walked, reading: Reading) -> bool:
    """``glow plugs 1, 2 and 4 are 0.9 ohm``: small bare numbers before a value with a unit are where it was read."""
    mates = [r for r in done.readings if reading.series and r.series == reading.series]
    typed = [mate.token.amount for mate in mates]
    small = all(one.bare and one.shape == "whole" and 0 < (one.value or 0) <= _MOST_OF_A_THING for one in typed)
    if len(mates) < 2 or not small or reading.places:
        return False
    others = [r for r in done.readings if r.part == reading.part and r not in mates]
    return any(not one.token.amount.bare and one.token.start > reading.token.start for one in others)


def _is_filled_in(done: Walked, reading: Reading) -> bool:
    """``1.5 pt brake fluid DOT 4``: so much of a fluid opens the line and is all it says; it was used, not measured."""
    first, *behind = done.parts[reading.part]
    priced = [c for c in reading.when if c.text.startswith("@") and c.held and c.held[0].amount.bare]
    alone = reading.amount.dimension == "volume" and len(done.readings) == 1
    if alone and priced and priced[0].held[0].amount.shape == "decimal" and not done.limits:
        return True  # "gear oil 75W-90 1.9 L @ 11.20"
    alone = alone and first is reading.token and reading.part == 0
    return alone and not done.limits and not reading.places and all(token.letter in "wn" for token in behind)


def _is_reading(done: Walked, reading: Reading, *, again: bool) -> bool:
    amount = reading.amount
    words = [token.text for token in reading.subject]
    if amount.bare and "cca" in words:
        reading.amount = replace(amount, unit="CCA", dimension="cranking current", bare=False)
        return True
    if _are_places(done, reading) or _is_filled_in(done, reading) or _is_circumstance(done, reading):
        return False
    if reading.limits is not None or amount.shape == "word":
        return True
    if _is_applied(reading) or _is_put_in(reading):
        return False
    later = _later_part(done, reading)
    if (
        later
        and (amount.to or amount.than in ("<", ">"))
        and not placed_here(done, reading)
        and reading.token.amount.bare
        and reading.pair == ""
    ):
        return any(is_rest({t.text}) for t in reading.name)
    rest = any(is_rest({t.text}) for t in reading.name) and done.readings[0].clause == reading.clause
    if later and amount.to and not (rest or placed_here(done, reading) or reading.places) and reading.name:
        # what else should it be, where nothing before is measured in its unit?
        return bool(amount.dimension) and all(
            r.amount.dimension not in ("", amount.dimension) for r in done.readings if r is not reading
        )
    if amount.bare:
        return again or _is_bare_reading(done, reading, words)
    if amount.unit.casefold() in DISTANCES or amount.dimension == "speed":
        return False
    if amount.dimension == "calendar" or amount.unit.casefold().rstrip("s") in _AGES:
        return False  # "battery 4 yr old"
    if amount.dimension == "time" and amount.unit.casefold() not in _FINE_TIMES:
        took = any(t.amount.to for c in reading.when for t in c.held or () if t.letter == "q")
        part = done.parts[reading.part]
        at = part.index(reading.token) if reading.token in part else 0
        denied = any(token.text in ("no", "not", "none", "without") for token in part[:at])  # "no drops in 30 min"
        timed = at > 0 and part[at - 1].text in ("in", "within") and not denied
        took = took or (timed and not _so_many(part[:at]))
        return took or any(word.startswith(_TIMED) and not word.startswith("crankshaft") for word in words)
    return not amount.dimension.startswith("pieces")


def _so_many(before: list[Token]) -> bool:
    """``8 crossings in 10 s``: how many of something happened in that time, which nobody measured."""
    counted, thing, _within = before[-3:] if len(before) > len("qw") else (None, None, None)
    return counted is not None and thing is not None and counted.letter in "nx" and thing.text.endswith("s")


def _is_bare_reading(done: Walked, reading: Reading, words: list[str]) -> bool:
    """A figure without a unit was read where it stands in a list, at a place or beside its other end, or is counted."""
    amount = reading.amount
    series = sum(r.series == reading.series for r in done.readings) if reading.series else 0
    mates = [r.amount for r in done.readings if reading.series and r.series == reading.series]
    places = all(one.shape == "whole" and (one.value or 0) <= _MOST_OF_A_THING for one in mates)
    listed = (series > 2 and not places) or (series == 2 and reading.places)
    counted = any(word.startswith(_COUNT_WORDS) for word in words)
    part = done.parts[reading.part]
    placed = reading.places and any(token.letter == "p" for token in part)
    placed = placed or any(token.letter == "e" for token in part) or any(is_rest({t.text}) for t in reading.name)
    beside = done.readings.index(reading)
    mates_beside = done.readings[max(0, beside - 1) : beside] + done.readings[beside + 1 : beside + 2]
    listed = listed or any(is_twin(reading, one, bare=True) for one in mates_beside)
    # "gasket set 23.80": a decimal without a unit on a line that measures nothing else is as well a price
    sure = amount.shape == "fraction" or any(not one.amount.bare for one in done.readings)
    sure = sure and amount.shape in ("decimal", "fraction")
    measured = sure and reading.name and _closes(part, reading.token)
    return bool(listed or counted or placed or measured)


_FILLED = frozenset("used added topped filled refilled poured tipped charged recharged".split())


def _is_put_in(reading: Reading) -> bool:
    """``bled the brakes, used 1 L DOT 4``: behind a word for filling it went in, it was not measured."""
    sold = reading.amount.dimension in ("volume", "mass")
    return sold and bool(reading.name) and reading.name[0].text.split(" ")[0] in _FILLED


_DONE_UP = frozenset("torqued retorqued tightened retightened redone nipped".split())


def _is_applied(reading: Reading) -> bool:
    """``hitch ball torqued 200 Nm``: what somebody tightened it to; "broke loose at 40 Nm" was read."""
    words = {word for token in reading.name for word in token.text.split(" ")}
    return reading.amount.dimension == "torque" and not words.isdisjoint(_DONE_UP)


_HOURS = frozenset({"h", "hr", "hrs", "hour", "hours"})
_NOISY = frozenset(
    "howls whines squeals squeaks grinds knocks rattles clunks chatters hisses groans moans ticks slips stalls dies"
    " misses misfires shudders shakes vibrates jerks hunts surges smokes leaks drips sticks binds drags quits cranks"
    " starts start stinks smells creaks pops bangs clicks hums drones screams roars growls jumps hesitates".split()
)
"""What a thing does that is complained about: common practice, no source."""
_NOISES = ("whin", "hum", "rumbl", "vibrat", "shak", "shudder", "judder", "nois", "rattl", "clunk", "growl", "squeal")


def _is_circumstance(done: Walked, reading: Reading) -> bool:
    """``pump howls below 20F``: when it does so; ``2.5h main pump out``: hours that open a line are somebody's work."""
    part = done.parts[reading.part]
    if reading.amount.unit.casefold() in _HOURS and done.parts[0][:1] == [reading.token]:
        return True
    behind = next((token.text for token in part if token.start > reading.token.start), "")
    if behind == "old" and (reading.amount.bare or is_told(reading.amount)):
        return True  # "belt 62k old"
    before = [token for token in part if token.start < reading.token.start and token.letter == "w"]
    if reading.token.amount.bare and before and before[-1].text.startswith(_NOISES):
        return True  # "rear diff whine 45 to 55": how fast it was driven
    bounded = reading.amount.than in ("<", ">", "<=", ">=") and reading.amount.dimension == "temperature"
    return bounded and bool(before) and before[-1].text in _NOISY


def is_count(reading: Reading) -> bool:
    """Whether its words say that it counts something, which has no unit."""
    return any(
        token.text.startswith(_COUNT_WORDS) and (token.start > reading.token.start or token.text not in _ALSO_VERBS)
        for token in reading.subject
    )


_ALSO_VERBS = frozenset({"drops", "turns", "clicks"})
"""In front of a figure they say what a thing did: ``drops 12 in 15 s``."""


def _later_part(done: Walked, reading: Reading) -> bool:
    """A reading stands before it in another part: a bare range or bound here is more likely what it should be."""
    return any(r.part < reading.part for r in done.readings)


def _closes(part: list[Token], token: Token) -> bool:
    """A decimal right at the end of what is said, before limits or a condition, is a figure rather than a name."""
    at = part.index(token) if token in part else -1
    if at < 1 or part[at - 1].letter not in "wpu" or part[at - 1].text in ("a", "an"):
        return False  # "washer a 2,40": so much a piece
    return at + 1 == len(part) or part[at + 1].letter in "LC"
