"""The order of a comma part, and what goes back from a value to those in front of it."""

import re
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from ticket.job.regex import Regex
from ticket.language.lexicon import look
from ticket.notes.finding.carried import is_twin
from ticket.notes.finding.circumstances import SLOWEST
from ticket.notes.finding.part_words import (
    COLOURS,
    COMPARING,
    CORNERS,
    DOINGS,
    FINER,
    SAYING_HOW,
    SETTING,
    STATES,
    SYSTEMS,
    before_clash,
)
from ticket.notes.finding.stated import Progress, Reading
from ticket.notes.finding.tokens import Amount, GivenLimits, Places, Token
from ticket.notes.finding.under_conditions import CONDITIONS

_MOST_WORDS = 4
WHERE = frozenset("on at in by near under over behind from to of going".split())
"""Words behind a value that begin so tell where it was read, and name nothing else."""


def is_postfix(tokens: list[Token]) -> bool:
    """Positions stand behind their values, one behind each: ``4.1 mm LR, 2.2 mm RR``."""
    every = [
        i for i, token in enumerate(tokens)
        if token.letter == "q" and not (i > 1 and tokens[i - 1].letter in "t-" and tokens[i - 2].letter == "p")
    ]  # fmt: skip
    # "228 F RH 2700 rpm": how fast, how warm or how long stands behind all, places included
    amounts = [i for i in every if tokens[i].amount.dimension not in CONDITIONS]
    amounts = amounts or [i for i in every if tokens[i].amount.dimension == "temperature"] or every
    places = [i for i, token in enumerate(tokens) if token.letter == "p"]
    if not amounts or not places or places[-1] < amounts[-1]:
        return False
    said = {direction for i in places if i < amounts[0] for direction, _ in tokens[i].held}
    if _within(tokens, amounts, places):
        return True
    if said & {direction for direction, _ in tokens[places[-1]].held}:
        return False
    kinds = {tuple(direction for direction, _ in tokens[one + 1].held) for one in amounts if one + 1 in places}
    behind = sum(one + 1 in places for one in amounts)
    if behind == len(amounts) and len(kinds) == 1 and places[-1] > amounts[-1] and said:
        return True
    if sum(one - 1 in places for one in amounts) == len(amounts) > 1:
        return False
    return not said or behind == len(amounts) or len(amounts) == 1


def places_end_early(tokens: list[Token]) -> bool:
    """``12 lb RF after match mounting 16 / 9``: a value with its place behind it opens the part, the last have none."""
    letters = "".join(token.letter for token in tokens)
    return re.match(r"q?qp[^pq]*Cq[/q]*\Z", letters.replace(":", "")) is not None


def _within(tokens: list[Token], amounts: list[int], places: list[int]) -> bool:
    """``front hubs 240 LF 150 RF``: a place right behind each of several values, each within the one in front."""
    front = [pair for i in places if i < amounts[0] for pair in tokens[i].held]
    behind = [tokens[one + 1].held for one in amounts if one + 1 in places]
    apart = len({tuple(pairs) for pairs in behind}) == len(behind) == len(amounts) > 1
    return bool(front) and apart and all(set(front) <= set(pairs) for pairs in behind)


def conditions_lead(tokens: list[Token]) -> bool:
    """Each condition stands before its values: ``oil pressure cold 84 psi hot 24 psi``; another may close the part."""
    told = [token for token in tokens if token.letter in "qC"]
    match = re.fullmatch("((?:C+q+){2,24})(C*)", "".join(token.letter for token in told))
    if match is None or not match[2]:
        return match is not None
    leading = {_sort_of(one) for one, other in pairwise(told) if (one.letter, other.letter) == ("C", "q")}
    return len(leading) == 1 and leading.isdisjoint(map(_sort_of, told[match.end(1) :]))


def is_of_the_next(tokens: list[Token], at: int) -> bool:
    """``cold 84 psi hot 24 psi at idle``: this condition is of the kind of the one in front of the value before it.

    In ``charging 13.9 V at idle 14.2 at 2000 rpm`` it is of the kind of the one behind the next value, and so of the
    value before.
    """
    figures = [i for i, token in enumerate(tokens) if token.letter == "q"]
    behind = [i for i, token in enumerate(tokens) if token.letter == "C" and i > figures[-1]]
    before = [i for i in range(at) if tokens[i].letter == "C"]
    if not behind or not before or tokens[before[-1]].text in SYSTEMS:
        return not behind or not before
    return _sort_of(tokens[at]) == _sort_of(tokens[before[-1]]) or _sort_of(tokens[at]) != _sort_of(tokens[behind[0]])


def _sort_of(condition: Token) -> str:
    """Whether a condition tells how warm it was, how fast an engine turned, or something else."""
    figures = [one.amount for one in condition.held or () if one.letter == "q"]
    turns = any(one.dimension == "rotation" or (one.bare and (one.value or 0) >= SLOWEST) for one in figures)
    words = set(condition.text.casefold().split())
    known = next((" ".join(sorted(sort)) for sort in _SORTS if words & sort), condition.text)
    return "fast" if turns or "idle" in words else known


_SORTS = (
    frozenset({"hot", "cold", "warm"}), frozenset({"wet", "dry"}), frozenset({"open", "closed", "shut"}),
    frozenset({"loaded", "unloaded", "load"}), frozenset({"cranking", "static", "rest", "resting", "running"}),
)  # fmt: skip


def words_stand_behind(tokens: list[Token]) -> bool:
    """No word and no position before the first value, and words behind it."""
    first = next((i for i, token in enumerate(tokens) if token.letter in "qwpn"), None)
    return first is not None and tokens[first].letter == "q"


def list_behind(every: list[Reading]) -> list[Reading]:
    """``27 % cyl 1, 38 % cyl 2 at idle``: the readings of a list whose places stand behind share what closes it."""
    own = every[-1]
    if not own.places and not (len(every) > 1 and is_twin(every[-2], own)):
        return [own]
    shared = [own]
    for one in reversed(every[:-1]):
        alike = one.name == own.name and one.clause == own.clause and one.amount.dimension == own.amount.dimension
        if one.when == own.when and one.clause == own.clause and is_twin(one, own):
            shared.append(one)
            continue
        if (
            not alike
            or one.when
            or one.places == own.places
            or {d for d, _ in one.places} != {d for d, _ in own.places}
        ):
            break
        shared.append(one)
    return shared


def is_aside(amount: Amount, following: Amount) -> bool:
    """``L R 16/93 °C 1400 rpm``: behind the unit of a list its speed or time is no further value."""
    aside = following.dimension in ("rotation", "speed", "time")
    return aside and not amount.bare and amount.dimension != following.dimension


def set_older(newer: Reading, older: Reading) -> None:
    """``31 s now, was 52``: the older value stands behind, of the same thing at the same place in the same unit."""
    older.pair, newer.pair = "before", "after"
    older.own = True
    older.places = older.places or newer.places
    older.subject, older.name = older.subject or newer.subject, older.name or newer.name
    one = older.amount
    if one.bare and not newer.amount.bare and one.shape != "word":
        older.amount = replace(one, unit=newer.amount.unit, dimension=newer.amount.dimension, bare=False)


def set_changed(before: Reading, after: Reading, *, passing: bool) -> None:
    """``12 -> 19 inHg``: one thing before and after."""
    before.pair = "passing" if passing else "before"
    after.own = True
    after.places = after.places or before.places
    after.subject = after.subject or before.subject
    if before.amount.bare and not after.amount.bare:
        before.amount = replace(before.amount, unit=after.amount.unit, dimension=after.amount.dimension, bare=False)


def told_how(walk: Progress, tokens: list[Token]) -> bool:
    """``3 psi in 1 min, service brakes applied``: behind readings, words that end in a state say how they were taken.

    They are of all that stands before them under no other condition: ``18.9 V in, 13.2 V out, full sun``.
    """
    last = walk.done.readings[-1:]
    words = [token for token in tokens if token.letter != "C" or not token.held]
    plain = all(token.letter in "wCejnp" for token in tokens)
    if not last or last[0].clause != walk.clause or not plain or not 1 < len(words) <= _MOST_WORDS:
        return False
    if any(one.cls in ("doing", "link") and one.form == "past" for one in look(words[0].text)):
        return False  # "138 F, stayed lit": what it did
    full = len(words) == len(("full", "sun")) and words[0].text in _HOW_MUCH and words[1].letter == "w"
    if not full and tokens[-1].text.split(" ")[-1] not in STATES | _BROUGHT_TO:
        return False
    how = replace(words[0], letter="C", end=words[-1].end, text=walk.line.said(words[0].start, words[-1].end), held=())
    for reading in walk.done.readings:
        mate = bool(last[0].series) and reading.series == last[0].series
        if reading.clause == walk.clause and (mate or reading is last[0] or reading.when == last[0].when):
            reading.when = [*(c for c in reading.when if c not in tokens), how]
    return True


_HOW_MUCH = frozenset({"full", "half", "quarter"})
_BROUGHT_TO = frozenset(
    "applied turning rest empty full laden unladen floored depressed pressed shut parked extended retracted".split()
)
"""What somebody brings a thing to before something is read: common practice, no source."""


def follows_and(walk: Progress, tokens: list[Token]) -> bool:
    """An "and" stands in front of the part: what closes it was said of what stands before the "and" too."""
    return walk.line.text[: tokens[0].start].rstrip().casefold().endswith(("and", "&"))


def counts_to(tokens: list[Token], last: Token, at: int) -> list[Token]:
    """The positions 2 to 6 of ``cyl 1-6``, or 2 of ``cyl 1, 2``."""
    direction, word = last.held[-1]
    name, _, first = word.rpartition(" ")
    number = tokens[at + 1] if at + 1 < len(tokens) else None
    if number is None or number.letter != "q" or not first.isdecimal() or not number.amount.text.isdecimal():
        return []
    if not number.amount.bare or not int(first) < int(number.amount.text) <= int(first) + 99:
        return []
    start = int(first) + 1 if tokens[at].letter in "-t" else int(number.amount.text)
    if tokens[at].letter in "/j," and start != int(first) + 1 and direction != "pin":
        return []
    if int(number.amount.text) - start > 23:
        return []
    return [
        replace(number, letter="p", held=((direction, f"{name} {n}"),))
        for n in range(start, int(number.amount.text) + 1)
    ]


def run_from(tokens: list[Token], at: int) -> tuple[list[Token], bool, int]:
    """The positions in a row from a token on, whether a mark joins them, and the place behind them."""
    run: list[Token] = []
    joined = False
    while at < len(tokens):
        token = tokens[at]
        if token.letter == "p":
            run.append(token)
            at += 1
        elif token.letter in "/j,-t" and run and at + 1 < len(tokens) and tokens[at + 1].letter == "p":
            joined = joined or token.letter in "/jt"
            at += 1
        elif token.letter in "-t/j," and run and counts_to(tokens, run[-1], at):
            run += counts_to(tokens, run[-1], at)
            tokens[at + 1] = run[-1]
            joined = True
            at += 2
        else:
            break
    return run, joined, at


def run_of_places(run: list[Token], places: list[Places], *, each: bool) -> tuple[list[Token], list[Places]]:
    """One value for places joined by a stroke: ``LF/RF 34 psi``; ``cyl 1 2 and 4 all 0.8 ohm`` was read at each."""
    numbered = len({place[-1][0] for place in places if place} & {"cyl", "pos", "axle", "pin"}) == 1
    if each and numbered:
        return run * len(places), places
    flat: Places = ()
    for place in places:
        flat += tuple(pair for pair in place if pair not in flat)
    return run, [flat]


def is_at_another_place(tokens: list[Token], run: list[Token], known: set[str]) -> bool:
    """``axle 1 torque 164 Nm, drum LF 4 mm``: words of its own and a place of its own leave the place before."""
    first = next((i for i, token in enumerate(tokens) if token.letter == "q"), len(tokens))
    words = [token for token in tokens[:first] if token.letter == "w"] or [t for t in tokens if t.letter == "w"]
    if all(token.text in known for token in words):
        return False
    return not {direction for token in run for direction, _ in token.held} <= FINER


def said_again(tokens: list[Token], at: int, made: list[Reading]) -> bool:
    """``comp 155 150 70 wet #3 75``: behind the condition stands a place that was read already: under it, again."""
    place = tokens[at + 1] if at + 1 < len(tokens) else None
    value = tokens[at + 2] if at + 2 < len(tokens) else None
    bare = not tokens[at].held and tokens[at].text.split(" ")[0] not in SAYING_HOW
    if place is None or place.letter != "p" or value is None or value.letter != "q" or not bare:
        return False
    return any(set(place.held) <= set(one.places) or _alike(place.held, one.places) for one in made)


def _alike(held: Places, places: Places) -> bool:
    """``#4`` is the cylinder that was named in words."""
    one, other = (dict(pairs).get("cyl", "").rpartition(" ")[2] for pairs in (held, places))
    return one == other != ""


def closes_states(made: list[Reading], given: GivenLimits) -> bool:
    """``13.9 V at idle 14.3 at 2000 rpm spec 13.6 - 14.8``: limits behind one thing in its states are as if apart."""
    states = [one.when for one in made]
    alike = (
        len({one.name for one in made}) == 1 and len({one.amount.dimension for one in made if one.amount.dimension}) < 2
    )
    return len(made) > 1 and alike and all(states) and not (given.bracketed or given.when or given.own)


def place_all(made: list[Reading], run: list[Token]) -> bool:
    """A position of a new direction behind a list is shared: ``n/s 210 o/s 200 kg fronts``; whether it was."""
    more = tuple(pair for token in run for pair in token.held)
    directions = {direction for direction, _ in more}
    group = [one for one in made if one.places and not directions & {d for d, _ in one.places}]
    shared = bool(group) and len(directions) == len(more)
    for reading in group if shared else ():
        reading.places = (*reading.places, *more)
    return shared


def are_both_sides(places: list[Places], amounts: list[Amount]) -> bool:
    """``pads front 5 5 rear 4 4 mm``: two alike at one end; which is the left one is asked."""
    ends = len(places) == 1 and {way for way, _ in places[0]} in ({"end"}, {"axle"})
    alike = len(amounts) == len("qq") and amounts[0].bare and len({one.shape for one in amounts}) == 1
    low, high = sorted(abs(one.value or Fraction(0)) for one in amounts[:2])
    return ends and alike and high <= low * _APART


_APART = 4  # two of one kind on a vehicle lie at most so many times apart


def place_kept(stack: dict[str, str], subject: tuple[Token, ...], *, own_words: bool) -> Places:
    """A corner goes on to the next thing at it, a numbered pin or cell does not."""
    if not own_words:
        return tuple(stack.items())
    both = any(token.text in COMPARING for token in subject)  # "imbalance 32 %" is of both sides
    kept = [direction for direction in CORNERS if not (both and direction == "side")]
    return tuple(pair for pair in stack.items() if pair[0] in kept)


def is_set_to(words: list[Token], *, changed: bool) -> bool:
    """``aired to 100``, ``let down to 35``: words for setting what was read before to another value."""
    texts = [word for token in words for word in token.text.split(" ")]
    if texts[:1] and texts[0] in ("set", "reset") and set(texts[1:]) <= {"all", "both", "each", "them", "to"}:
        return True  # "others 0.3, set all 0.35"
    return bool(texts) and (changed or texts[-1] == "to") and all(text in SETTING for text in texts)


_PUT_TO = Regex(
    r"\b(?:pumped|aired|filled|inflated|pressuri[sz]ed|charged|set|adjusted|torqued)(?: up| down| back)? to \Z", re.I
)


def is_put_to(walk: Progress, value: Token) -> bool:
    """``no drip, pumped up to 15 psi``: before anything was read, what it was set to for the test."""
    return not walk.done.readings and _PUT_TO.search(walk.line.text, 0, value.start) is not None


def name_behind(walk: Progress, made: list[Reading], words: list[Token], *, words_lead: bool) -> None:
    """The words behind the last value of a part name it, and the list it closes."""
    last = made[-1]
    group = [r for r in made if r.series and r.series == last.series] or [last]
    before = walk.done.readings[-1:]
    if words_lead and before and before[0].clause != walk.clause and last.subject == walk.subject:
        walk.subject = ()  # "runout 0.1 mm; 3 bar fuel pressure": behind a semicolon another thing is named
        for reading in group:
            reading.subject = reading.name = ()
    for reading in group:
        reading.subject = (*reading.subject, *(t for t in words if t not in reading.subject))
        if (
            words_lead and words[0].text not in WHERE
        ):  # another name: limits behind it are not shared with what stands before
            said = {t.text for t in reading.name}
            reading.name = (*reading.name, *(t for t in words if t.letter == "w" and t.text not in said))
        reading.own = True


def name_by_rating(tokens: list[Token]) -> None:
    """``12 V batt 11.87 V``: an amount in front of a noun, before the reading, is part of the name."""
    if len(tokens) < len("qwq") or tokens[0].letter != "q" or tokens[1].letter != "w" or tokens[0].amount.bare:
        return
    if tokens[0].amount.dimension == "voltage" and tokens[0].amount.shape == "decimal":
        return  # "12.6 V battery 11.9 V starter": a rating has no tenths
    if tokens[0].amount.dimension in ("volume", "length"):
        return  # "20 L adblue 1 L coolant": nothing is named by how much of it there is
    rated = tokens[0].amount.dimension in ("voltage", "current", "power", "charge")
    if any(token.letter == "q" and (rated or token.amount.dimension not in CONDITIONS) for token in tokens[2:]):
        tokens[0] = replace(tokens[0], letter="n", held=None)


_INSIDE = frozenset("in into on onto of for with".split())


def names_next(tokens: list[Token], at: int) -> bool:
    """``pin 49.2 mm in 50.1 bush``, ``1/8 worn on a 2 in pin``: a figure between a preposition and a noun is of it."""
    at += len(tokens) > at + 1 and tokens[at].text in _INSIDE and tokens[at + 1].text in ("a", "an", "the")
    behind = tokens[at + 1 : at + 3]
    led = tokens[at].text in _INSIDE or tokens[at].text in ("a", "an", "the")
    if not led or len(behind) < len("qw"):
        return False
    number, noun = behind
    return number.letter == "q" and noun.letter == "w" and noun.text not in DOINGS


def beside_the_one(place: Places, last: Reading) -> Places:
    """``left front tie rod end ..., right one``: it differs from the one before in what is said, and in no more."""
    said = dict(place)
    return (*((direction, said.pop(direction, word)) for direction, word in last.places), *said.items())


def take_moments(words: list[Token], behind: list[Token], walk: Progress) -> tuple[list[Token], list[Token]]:
    """The words without those that say which end of the work a value is, and these as conditions.

    ``leakdown now 1 psi, was 5``; ``went from 61 to 43 F after the recharge``.
    """
    worked = any(token.letter == "C" and token.text.casefold().startswith("after") for token in behind)
    if behind and behind[0].letter == "r" and worked and len(words) > 1 and words[-1].text == "from":
        return words[:-1], [replace(words[-1], letter="C", held=())]
    now = [token for token in words if token.text == "now"]
    older = any(token.text in ("was", "were", "before") for token in walk.line.tokens)
    if now and older and len(words) > len(now):
        return [token for token in words if token not in now], [replace(now[-1], letter="C", held=())]
    return words, []


def close_by_place(walk: Progress, place: Places) -> None:
    """``split 1 1/2 in along the seam, o/s``: a place that closes the line is that of its only reading."""
    readings = walk.done.readings
    if len(readings) == 1 and not readings[0].places:
        readings[0].places = place


def with_thing(walk: Progress, words: tuple[Token, ...]) -> tuple[Token, ...]:
    """What was named before, without what it did then, and what it does now."""
    done = DOINGS | COLOURS
    return (*(token for token in walk.subject if not set(re.split("[ -]", token.text)) <= done), *words)


def in_another_unit(walk: Progress, run: list[Token], *, anywhere: bool = False) -> bool:
    """``pad 4 mm; charging: 26.7 V``: the thing measured last is none that has this unit."""
    known = [one for one in walk.done.readings if one.amount.dimension or not anywhere]
    last, mine = known[-1:], run[-1].amount.dimension
    apart = bool(last) and (anywhere or last[0].clause != walk.clause)
    return bool(apart and mine and last[0].amount.dimension not in ("", mine))


def series_of(walk: Progress, made: list[Reading], subject: tuple[Token, ...], *, placed: bool) -> int:
    """The number of the list a value stands in: that of the value before where both have positions."""
    readings = made or walk.done.readings[-1:]
    last = readings[-1] if readings else None
    alike = last is not None and last.name == subject and last.clause == walk.clause
    if last and alike and last.series:
        return last.series
    walk.series += 1
    if last and alike and last.places and placed:
        last.series = walk.series
    return walk.series


def stacked(walk: Progress, run: list[Token]) -> list[Places]:
    """Positions of different directions make one; a direction said again begins the next."""
    said: set[str] = set()
    made: list[dict[str, str]] = []
    if _are_whole(run):
        made = [dict(one.held) | dict(other.held) for one, other in zip(run[::2], run[1::2], strict=True)]
        run = []
    for token in run:
        directions = {direction for direction, _ in token.held}
        told = made[-1] if made else {}
        again = any(told.get(way, word) != word for way, word in token.held if way in said)  # "rears, RR" is one
        if made and not again:
            made[-1] = made[-1] | dict(token.held)
            said |= directions
            continue
        made.append(before_clash(made[-1] if made else walk.stack, list(directions)) | dict(token.held))
        said = directions
    if made:
        walk.stack = made[-1]
    return [tuple(one.items()) for one in made]


def _are_whole(run: list[Token]) -> bool:
    """``LH front, LH rear, RH front``: two directions each time, so none goes on with the one before."""
    ways = ["+".join(direction for direction, _ in token.held) for token in run]
    return len(ways) > len("pp") and len(ways) % 2 == 0 and ways[0] != ways[1] and ways == ways[:2] * (len(ways) // 2)


def now_follows(walk: Progress, tokens: list[Token], at: int) -> bool:
    """``was 4 psi, now 31 psi`` and ``14.2 V now, was 12.4``: both ends of a change stand on the line."""
    was = any(token.letter == "v" and token.text in ("was", "were") for token in tokens[:at])
    behind = tokens[at] if at < len(tokens) else None
    before = behind is not None and behind.text.startswith("before")
    now = any(token.text == "now" or token.letter == "r" for token in walk.line.tokens)
    set_to = any(one.text in SETTING and other.text == "to" for one, other in pairwise(walk.line.tokens))
    return was and (before or now or set_to)
