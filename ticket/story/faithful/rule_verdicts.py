"""F21 and F22: too low, within limits and their like say what the comparison says, and nothing where it says nothing."""

from collections.abc import Iterator
from typing import NamedTuple

from ticket.job.kinds import Found, Proof
from ticket.story.faithful.figures import COUNT, QUANTITY, scan
from ticket.story.faithful.finding import Finding
from ticket.story.faithful.grounds import Grounds
from ticket.story.faithful.rule_words import typed_good
from ticket.story.faithful.tokens import Text, find, spanned

_MEANS = {"low": "low", "high": "high", "in": "good", "undecided": "undecided", "none": "none"}
_GAP = 14  # letters between a figure and a bare verdict of the terse readers


class Said(NamedTuple):
    """A verdict told: low, high, good or undecided; where it stands."""

    verdict: str
    start: int
    end: int


def verdicts(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Verdict words that do not fit the readings they stand beside."""
    said = list(_said(text, grounds))
    yield from _contradicted(text, grounds, said)
    if not said:
        return
    by_digits: dict[str, set[str]] = {}
    for reading in grounds.readings:
        for digits in _digits(reading.typed):
            by_digits.setdefault(digits, set()).add(_MEANS.get(reading.verdict, "none"))
    cited = {verdict for known in by_digits.values() for verdict in known}
    values = [
        (figure.start, by_digits[figure.digits]) for figure in scan(text.raw, grounds.language)
        if figure.kind in (QUANTITY, COUNT) and figure.digits in by_digits
    ]  # fmt: skip
    for one, known in _bound(said, values, text):
        if known is None and not cited:
            if not grounds.typed(text.raw[one.start : one.end].lower()) and not _words_allow(one, grounds):
                yield Finding("F21", "No reading with limits is cited for this verdict.", one.start, one.end)
            continue
        yield from _held(one, cited if known is None else known, text, grounds)


def _digits(typed: str) -> set[str]:
    body = typed.lstrip("<>≤≥~ ").lstrip("+-−").replace(",", "")
    return {body, typed.casefold()}


def _held(one: Said, known: set[str], text: Text, grounds: Grounds) -> Iterator[Finding]:
    shown = text.raw[one.start : one.end]
    if one.verdict in known or grounds.typed(shown.lower()):
        return
    if known == {"undecided"}:
        yield Finding("F22", f"“{shown}”: the reading cannot be judged against its limits.", one.start, one.end)
    elif known == {"none"}:
        yield Finding("F21", f"“{shown}”: no limits were recorded.", one.start, one.end)
    else:
        yield Finding("F21", f"“{shown}” is not what the limits say.", one.start, one.end)


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
            bracket = text.raw[: word.start].endswith(("): ", ") "))
            if key in flat and i not in taken and (bracket or (len(before) < 3 and not before.strip(" ,:"))):
                found.append(Said(flat[key], word.start, word.end))
    yield from sorted(found, key=lambda one: one.start)


def _bound(
    said: list[Said], values: list[tuple[int, set[str]]], text: Text
) -> Iterator[tuple[Said, set[str] | None]]:  # fmt: skip
    """Each verdict with what is known of the reading it belongs to: the last one before it, else those behind it."""
    place = 0
    for k, one in enumerate(said):
        since = said[k - 1].end if k else 0
        until = said[k + 1].start if k + 1 < len(said) else len(text.raw)
        before: set[str] | None = None
        while place < len(values) and values[place][0] < one.start:
            if values[place][0] >= since:
                before = values[place][1]
            place += 1
        if before is not None:
            yield one, before
            continue
        behind = [known for start, known in values[place : place + 64] if one.end <= start < until]
        if not behind:
            yield one, None
        elif all(one.verdict in known for known in behind):
            yield one, {one.verdict}
        else:
            yield one, next(known for known in behind if one.verdict not in known)


def _words_allow(one: Said, grounds: Grounds) -> bool:
    """Without any reading a verdict may repeat the words of a finding: "ok", "normal", "low"."""
    language = grounds.language
    if one.verdict == "good":
        return grounds.typed(*language.list("verdicts", "typed_good"))
    return grounds.typed(*language.list("verdicts", one.verdict), *language.list("verdicts", "typed_bad"), one.verdict)


def _contradicted(text: Text, grounds: Grounds, said: list[Said]) -> Iterator[Finding]:
    """A reading out of limits whose words call it good is asked about; until then neither is told."""
    for entry in grounds.entries:
        fact = entry.fact
        if not isinstance(fact, Found | Proof) or not typed_good(fact, grounds):
            continue
        words = grounds.verdicts(entry)
        if not words & {"low", "high"} or "in" in words:
            continue
        good = list(find(text, grounds.language, grounds.language.list("verdicts", "typed_good")))
        if good and said and any(one.verdict in words for one in said):
            yield Finding(
                "F21", "The words call the reading good, the limits bad: ask before telling.", *spanned(text, good[0])
            )
            return
