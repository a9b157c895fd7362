"""F21 and F22: too low, within limits and their like say what the comparison says, and nothing where it says none."""

from bisect import bisect_left
from collections.abc import Iterator
from typing import NamedTuple

from support.faithful.figures import COUNT, QUANTITY, scan
from support.faithful.finding import Finding
from support.faithful.grounds import Grounds, Reading
from support.faithful.rule_sides import sides_of
from support.faithful.rule_words import typed_good
from support.faithful.tokens import Text, find, spanned
from ticket.job.kinds import Found, Proof

_MEANS = {"low": "low", "high": "high", "in": "good", "undecided": "undecided", "none": "none"}
_LIMIT = "a limit"
_ITEMS = 64  # readings listed behind one verdict
_GAP = 14  # letters between a figure and a bare verdict of the terse readers


class Said(NamedTuple):
    """A verdict told: low, high, good or undecided; where it stands."""

    verdict: str
    start: int
    end: int


class Value(NamedTuple):
    """A figure that a verdict may be about, and what the readings of these digits are."""

    start: int
    end: int
    known: set[str]


def verdicts(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Verdict words that do not fit the readings they stand beside."""
    said = list(_said(text, grounds))
    yield from _results(text, grounds)
    if grounds.reader == "customer":
        yield from _contradicted(text, grounds, said)
    if not said:
        return
    cited = {_MEANS.get(reading.verdict, "none") for reading in grounds.readings}
    parting = _parting(text, grounds)
    for one, known in _bound(said, _values(text, grounds), text, parting):
        if known is None and not cited:
            if not grounds.typed(text.raw[one.start : one.end].lower()) and not _words_allow(one, grounds):
                yield Finding("F21", "No reading with limits is cited for this verdict.", one.start, one.end)
        elif known is None:
            yield from _held(one, _meant(one, text, parting, grounds) or cited, text, grounds)
        else:
            yield from _held(one, known, text, grounds)


def _values(text: Text, grounds: Grounds) -> list[Value]:
    """The figures of a text that are readings, places of counted readings, or limits."""
    readings: dict[str, set[str]] = {}
    places: dict[str, set[str]] = {}
    for reading in grounds.readings:
        for digits in {*reading.digits, reading.typed.casefold()}:
            readings.setdefault(digits, set()).add(_MEANS.get(reading.verdict, "none"))
        if reading.counted:
            places.setdefault(str(reading.place), set()).add(_MEANS.get(reading.verdict, "none"))
    limits = {digits for reading in grounds.readings for digits in reading.limits}
    old = _old(text, grounds)
    values = []
    for figure in scan(text.raw, grounds.language):
        if figure.kind not in (QUANTITY, COUNT) or old[figure.start]:
            continue
        if figure.digits in readings:
            values.append(Value(figure.start, figure.end, readings[figure.digits]))
        elif figure.kind == COUNT and not figure.word and figure.digits in places:
            values.append(Value(figure.start, figure.end, places[figure.digits]))
        elif figure.kind == QUANTITY and figure.digits in limits:
            values.append(Value(figure.start, figure.end, {_LIMIT}))
    return values


def _old(text: Text, grounds: Grounds) -> list[bool]:
    """For each character whether it stands in brackets or right behind "down from": no verdict is about it."""
    old = [False] * (len(text.raw) + 1)
    inside = False
    for i, letter in enumerate(text.raw):
        inside = (inside or letter == "(") and letter != ")"
        old[i] = inside
    moved = (*grounds.language.list("down_from"), *grounds.language.list("up_from"))
    for hit in find(text, grounds.language, moved):
        if hit.last < len(text.words):
            word = text.words[hit.last]
            old[max(0, word.start - 1) : word.end] = [True] * (word.end - max(0, word.start - 1))
    return old


def _results(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """A test is told as passed or not as it was."""
    proofs = grounds.facts(Proof)
    if not proofs:
        return
    tests = [entry for entry in grounds.entries if isinstance(entry.fact, Proof)]
    failed = any(grounds.verdicts(entry) & {"low", "high"} for entry in tests) or any(
        proof.result == "failed" for proof in proofs
    )
    unsolved = grounds.typed(*grounds.language.list("verdicts", "unsolved"))
    for name, wrong in (("passed", failed), ("failed", not failed and not unsolved)):
        for hit in find(text, grounds.language, grounds.language.list("verdicts", name)):
            if wrong and not grounds.typed(" ".join(hit.phrase)):
                yield Finding("F21", "That is not how the test ended.", *spanned(text, hit))


def _held(one: Said, known: set[str], text: Text, grounds: Grounds) -> Iterator[Finding]:
    shown = text.raw[one.start : one.end]
    good = set(grounds.language.list("verdicts", "typed_good")) & set(shown.lower().split())
    if one.verdict in known or grounds.typed(shown.lower(), *good) or (known == {"good"} and _inside(shown, grounds)):
        return
    if known == {"undecided"}:
        yield Finding("F22", f"“{shown}”: the reading cannot be judged against its limits.", one.start, one.end)
    elif known == {"none"}:
        yield Finding("F21", f"“{shown}”: no limits were recorded.", one.start, one.end)
    elif known == {_LIMIT}:
        yield Finding("F21", f"“{shown}” stands beside a limit, not beside a reading.", one.start, one.end)
    else:
        yield Finding("F21", f"“{shown}” is not what the limits say.", one.start, one.end)


def _inside(shown: str, grounds: Grounds) -> bool:
    """Above the only limit is within where that is the least, below it where it is the most."""
    bounds = {reading.bound for reading in grounds.readings}
    return any(
        bounds == {bound} and shown.lower() in grounds.language.list("verdicts", name)
        for bound, name in (("low", "above_limit"), ("high", "below_limit"))
    )


def _said(text: Text, grounds: Grounds) -> Iterator[Said]:
    language = grounds.language
    found: list[Said] = []
    taken: set[int] = set()
    for verdict in ("low", "high", "good", "undecided"):
        for hit in find(text, language, language.list("verdicts", verdict)):
            found.append(Said(verdict, *spanned(text, hit)))
            taken.update(range(hit.first, hit.last))
    if grounds.reader != "customer":
        figures = [figure.end for figure in scan(text.raw, language)]
        flat: dict[str, str] = language.data["verdicts"]["flat"]
        place = 0
        for i, key in enumerate(text.keys):
            word = text.words[i]
            while place < len(figures) and figures[place] <= word.start:
                place += 1
            before = text.raw[figures[place - 1] : word.start] if place else " " * _GAP
            bracket = text.raw[max(0, word.start - 3) : word.start].endswith(("): ", ") "))
            if key in flat and i not in taken and (bracket or (len(before) < 3 and not before.strip(" ,:"))):
                found.append(Said(flat[key], word.start, word.end))
    yield from sorted(found, key=lambda one: one.start)


def _parting(text: Text, grounds: Grounds) -> list[int]:
    """Places where another statement begins: a semicolon, "and", "while" and their like, a comma without "which"."""
    language = grounds.language
    relative = set(language.data["relative"])
    words = {*language.data["clause_words"], language.data["and"]} - relative
    found = [word.start for word in text.words if word.key in words]
    for i, letter in enumerate(text.raw):
        if letter in ";\n":
            found.append(i)
        elif letter == "," and not text.raw[i + 1 : i + 2].isdigit():
            after = bisect_left(text.starts, i)
            if after < len(text.words) and text.keys[after] not in relative:
                found.append(i)
    return sorted(found)


def _bound(
    said: list[Said], values: list[Value], text: Text, parting: list[int]
) -> Iterator[tuple[Said, set[str] | None]]:  # fmt: skip
    """Each verdict with what is known of the reading it is about: the last one before it, else those listed behind."""
    place = 0
    for k, one in enumerate(said):
        since = said[k - 1].end if k else 0
        until = said[k + 1].start if k + 1 < len(said) else len(text.raw)
        before: set[str] | None = None
        while place < len(values) and values[place].end <= one.start:
            value = values[place]
            apart = bisect_left(parting, value.end) < bisect_left(parting, one.start)
            before = value.known if value.end >= since and not apart else None
            place += 1
        if before is not None:
            yield one, before
            continue
        near = place < len(values) and values[place].start - one.end < _GAP
        stop = text.raw[one.end : one.end + 1]
        listed = values[place : place + _ITEMS] if stop == ":" or (stop == "," and near) else []
        behind = [value.known for value in listed if one.end <= value.end < until and value.known != {_LIMIT}]
        if not behind:
            yield one, None
        elif all(one.verdict in known for known in behind):
            yield one, {one.verdict}
        else:
            yield one, next(known for known in behind if one.verdict not in known)


def _meant(one: Said, text: Text, parting: list[int], grounds: Grounds) -> set[str]:
    """Without a figure a verdict is about the readings whose name and side stand in its statement."""
    first = bisect_left(parting, one.start)
    start = parting[first - 1] if first else 0
    end = parting[first] if first < len(parting) else len(text.raw)
    span = range(bisect_left(text.starts, start), bisect_left(text.starts, end))
    words = {text.stems[i] for i in span if text.keys[i] not in grounds.language.empty}
    named = sides_of(text.raw[start:end], grounds.language)
    scored = [(_alike(reading, words, named, grounds), reading) for reading in grounds.readings]
    best = max((score for score, _ in scored), default=0)
    return {_MEANS.get(reading.verdict, "none") for score, reading in scored if best and score == best}


def _alike(reading: Reading, words: set[str], named: frozenset[str], grounds: Grounds) -> int:
    """How many words of its name a reading shares with a statement; none where the sides differ."""
    own = sides_of(f"{reading.name} {reading.label}", grounds.language)
    if named and own and not named <= own:
        return 0
    stems = grounds.name_stems(reading)
    return len(words & stems)


def _words_allow(one: Said, grounds: Grounds) -> bool:
    """Without any reading a verdict may repeat the words of a finding: "ok", "normal", "low"."""
    language = grounds.language
    if one.verdict == "good":
        return grounds.typed(*language.list("verdicts", "typed_good"))
    return grounds.typed(*language.list("verdicts", one.verdict), *language.list("verdicts", "typed_poor"), one.verdict)


def _contradicted(text: Text, grounds: Grounds, said: list[Said]) -> Iterator[Finding]:
    """A reading out of limits whose words call it good is asked about; until then neither is told."""
    for entry in grounds.entries:
        fact = entry.fact
        if not isinstance(fact, Found | Proof) or not typed_good(fact, grounds):
            continue
        words = grounds.verdicts(entry)
        if not words & {"low", "high"} or "in" in words:
            continue
        limits = find(text, grounds.language, grounds.language.list("verdicts", "limit_said"))
        taken = {i for hit in limits for i in range(hit.first, hit.last)}
        hits = find(text, grounds.language, grounds.language.list("verdicts", "typed_good"))
        good = [hit for hit in hits if hit.first not in taken]
        if good and said and any(one.verdict in words for one in said):
            reason = "The words call the reading good, the limits bad: ask before telling."
            yield Finding("F21", reason, *spanned(text, good[0]))
            return
