"""Completing a line while it is typed: from this ticket, this vehicle, this code, the shop's past, and the notation.

Pure but for one question handed in: which phrases of the shop's past begin so. A candidate is always the whole line
as it would stand, so that what is taken is what was shown.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from ticket.assist.typing_context import Origin, TypingContext
from ticket.assist.vocabulary import (
    closed_lists,
    field_of,
    field_values,
    field_words,
    from_numbers,
    kind_words,
    new_pictures,
)
from ticket.job.kinds import KINDS
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.notes.lead import lead_of
from ticket.notes.segments import cuts
from ticket.store.index_rows import Phrase

MOST = 3
LONGEST = 400  # a longer line is being written, not looked up
_LEAST_SAVED = 2  # characters a candidate must save; less is typed faster than it is read
_AMOUNT = Regex(r"(?:\s*=?\s*[0-9][0-9.,/]*\s?(?:[xX×]|[A-Za-zµ°%]{1,8})(?=\s))?\s*")
_VALUE = Regex(r"(?:.*\s)?[<>]?[+\-\u2212]?(?:[0-9][0-9.,/]*|OL)\Z")
_WORD = Regex(r"[^\W\d_][\w\-]*\Z")
_CLAUSE = Regex(r"[;,:(]|\s-?[0-9]")
_MOST_WORDS = 8  # words before a value that may name what was measured

History = Callable[[str, str], Sequence[Phrase]]
Ranked = Iterator[tuple[Phrase, str]]


@dataclass(frozen=True, slots=True)
class Candidate:
    """One way to go on.

    Attributes:
        line: the whole line, once it is taken.
        shown: the part that matters, for a list.
        why: where it comes from, in a few words.
    """

    line: str
    shown: str
    why: str


def complete(line: str, known: TypingContext, history: History) -> tuple[Candidate, ...]:
    """At most :data:`MOST` ways to complete a line that ends where the cursor stands, best first.

    Args:
        line: what is typed so far; an empty line, several lines and very long ones are not completed.
        known: what the ticket and its surroundings hold.
        history: phrases of the shop's past by kind and beginning, most used first.
    """
    if "\n" in line or not line.strip() or len(line) > LONGEST:
        return ()
    found: list[Candidate] = []
    seen = {fold(line)}
    for candidate in _candidates(line, known, history):
        key = fold(candidate.line)
        if key not in seen and len(candidate.line.rstrip()) - len(line.rstrip()) >= _LEAST_SAVED:
            seen.add(key)
            found.append(candidate)
            if len(found) == MOST:
                break
    return tuple(found)


def next_word(line: str, taken: str) -> str:
    """The line with one word more of what would be taken; all of it where the candidate rewrites the line."""
    if not taken.startswith(line):
        return taken
    rest = taken[len(line) :]
    match = re.match(r"\s*\S+\s?", rest)
    return line + (match[0] if match else rest)


def _candidates(line: str, known: TypingContext, history: History) -> Iterator[Candidate]:
    lead = lead_of(line)
    kind = lead.kind or ("note" if lead.shop_only else "found")
    if not lead.kind:
        yield from (Candidate(line[: lead.end] + word, word.strip(), "word") for word in kind_words(line[lead.end :]))
    at = line.rfind(";", lead.end) + 1 if cuts(kind) else 0
    if at:
        yield from _field(line, at, kind, known, history)
    elif not KINDS[kind].inside:
        yield from _head(line, lead.end, kind, known, history)
    for rest in closed_lists(kind, line[lead.end :]):
        yield Candidate(line + rest, (line + rest).rpartition(",")[2].strip(), "word")
    yield from _going_on(line, lead.end, known)


def _head(line: str, end: int, kind: str, known: TypingContext, history: History) -> Iterator[Candidate]:
    """From the whole head of the line, or from what stands behind its amount."""
    body = line[end:]
    match = _AMOUNT.match(body) if kind in ("did", "used") else None
    amount, typed = (match[0].strip(), body[match.end() :]) if match else ("", body.lstrip())
    lead = f"{line[:end].rstrip()} " if line[:end].strip() else ""
    yield from (Candidate(lead + name, name, "new picture") for name in new_pictures(kind, typed, known))
    yield from (Candidate(lead + value, value, "this ticket") for value in from_numbers(kind, typed, known.ticket))
    yield from _behind(line, kind, typed, known, history)
    if kind != "told":
        for phrase, why in _ranked(kind, fold(typed), known, history):
            yield _whole(lead, amount, phrase, why)


def _whole(lead: str, amount: str, phrase: Phrase, why: str) -> Candidate:
    text = " ".join(part for part in (amount or phrase.amount, phrase.ahead, phrase.text) if part)
    if phrase.open:
        return Candidate(f"{lead}{text} ", f"{text} …{phrase.behind}", why)
    return Candidate(f"{lead}{text}{phrase.behind}", text + phrase.behind, why)


def _ranked(kind: str, wanted: str, known: TypingContext, history: History) -> Ranked:
    """What the ticket calls for, its own, its codes', the vehicle's, then the shop's; last those inside a text."""
    inside: list[tuple[Phrase, str]] = []
    for origin in known.origins:
        for folded, phrase in origin.phrases.get(kind, ()) if wanted or origin.offered else ():
            if folded.startswith(wanted):
                yield phrase, _why(origin, phrase)
            elif len(wanted) > 1 and f" {wanted}" in folded:
                inside.append((phrase, _why(origin, phrase)))
    if wanted:
        yield from ((phrase, _times(phrase)) for phrase in history(kind, wanted))
    yield from inside


def _why(origin: Origin, phrase: Phrase) -> str:
    return f"{origin.why}, {phrase.uses} times" if phrase.uses > 1 else origin.why


def _times(phrase: Phrase) -> str:
    return f"used {phrase.uses} times" if phrase.uses > 1 else "used before"


def _behind(line: str, kind: str, typed: str, known: TypingContext, history: History) -> Iterator[Candidate]:
    """What followed a phrase that is typed out: unit and limits once the value stands; price or rate."""
    if kind in ("found", "proof") and _VALUE.match(typed):
        for phrase, why in _measured(kind, fold(typed), known, history):
            yield Candidate(line + phrase.behind, phrase.behind.strip(), why)
    elif typed and not typed[-1].isspace():
        whole = fold(typed)
        for phrase, why in _ranked(kind, whole, known, history):
            if phrase.behind and not phrase.open and fold(phrase.text) == whole:
                yield Candidate(line + phrase.behind, phrase.behind.strip(" ;,"), why)


def _measured(kind: str, folded: str, known: TypingContext, history: History) -> Ranked:
    """Phrases that name what the typed value measures, the longest name first."""
    words = folded.split(" ")[: _MOST_WORDS + 1]
    kinds = (kind, "found" if kind == "proof" else "proof")
    for end in range(len(words) - 1, 0, -1):
        name = " ".join(words[:end])
        for other in kinds:
            mine = [
                (phrase, origin.why)
                for origin in known.origins
                for text, phrase in origin.phrases.get(other, ())
                if text == name
            ]
            usual = [(item, "usual limits") for item in history(other, name)[:MOST] if fold(item.text) == name]
            yield from ((phrase, why) for phrase, why in [*mine, *usual] if phrase.open and phrase.behind)


def _field(line: str, at: int, kind: str, known: TypingContext, history: History) -> Iterator[Candidate]:
    """What a segment behind a semicolon may be: a field's word or flag, or the value behind its word."""
    before, segment = line[:at], line[at:].lstrip()
    led = field_of(kind, segment)
    if led is None:
        yield from (Candidate(f"{before} {word}", word.strip(), "word") for word in field_words(kind, segment, before))
        if kind == "ruled" and before.count(";") == 1:
            for phrase, why in _ranked("ruled.reason", fold(segment), known, history):
                yield Candidate(f"{before} {phrase.text}", phrase.text, why)
        return
    spec, typed = led
    for value in field_values(spec, typed, known):
        yield Candidate(f"{before} {spec.word} {value}", f"{spec.word} {value}", spec.title)
    if spec.shape == "text":
        for phrase, why in _ranked(f"{kind}.{spec.word}", fold(typed), known, history):
            yield Candidate(f"{before} {spec.word} {phrase.text}", phrase.text, why)


def _going_on(line: str, end: int, known: TypingContext) -> Iterator[Candidate]:
    """What stood behind the last word elsewhere on this ticket, on this vehicle's or beside this code."""
    match = _WORD.search(line, end)
    if match is None or len(match[0]) < 2:
        return
    before = line[end : match.start()].split()
    last = fold(before[-1]) if before else ""
    weaker: list[Candidate] = []
    word = fold(match[0])
    for text, folded, why in known.texts:
        for rest, follows in _after(text, folded, word, last):
            candidate = Candidate(line + rest, match[0] + rest, why)
            if follows:
                yield candidate
            elif len(word) > 2:
                weaker.append(candidate)
    yield from weaker


def _after(text: str, folded: str, word: str, last: str) -> Iterator[tuple[str, bool]]:
    """The rest of the clause behind each place where the word begins, and whether the word before it is the same."""
    at = folded.find(word)
    while at >= 0:
        if at == 0 or not folded[at - 1].isalnum():
            rest = text[at + len(word) :]
            stop = _CLAUSE.search(rest)
            clause = (rest[: stop.start()] if stop else rest).rstrip()
            if clause:
                yield clause, bool(last) and folded[:at].rstrip().endswith(last)
        at = folded.find(word, at + 1)
