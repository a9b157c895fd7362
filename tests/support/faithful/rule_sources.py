"""F1: no source, no sentence; and what may stand on no entry: a closed list of absences, and cautions."""

from collections.abc import Iterator, Sequence
from typing import Any

from support.faithful.finding import Finding
from support.faithful.language import Language
from support.faithful.tokens import Text, cut, find, spanned
from ticket.job.entry import Entry
from ticket.job.ticket import Ticket


def cited(
    text: Text, entries: Sequence[Entry], language: Language, *, reader: str, ticket: Ticket | None,
    earlier: Sequence[Ticket], caution: bool,
) -> Iterator[Finding]:  # fmt: skip
    """What is wrong with the sources themselves."""
    whole = len(text.raw)
    if not entries and (caution or ticket is None):
        yield Finding("F1", "The sentence names no source.", 0, whole)
    living = {entry.no for entry in ticket.living} if ticket else set()
    here = {entry.no: entry for entry in ticket.entries} if ticket else {}
    for entry in entries:
        if entry.struck or (here.get(entry.no) == entry and entry.no not in living):
            yield Finding("F1", f"Entry {entry.no} was taken back or replaced.", 0, whole)
        if reader != "shop" and (entry.shop_only or entry.kind == "note"):
            yield Finding("F1", f"Entry {entry.no} is for the shop only.", 0, whole)
    if caution:
        yield from _events(text, language)


def _events(text: Text, language: Language) -> Iterator[Finding]:
    """A caution states no event."""
    for hit in find(text, language, language.list("caution", "events")):
        yield Finding("F1", "A caution states no event.", *spanned(text, hit))
        return


def absence(text: Text, language: Language, ticket: Ticket, *, reader: str) -> Iterator[Finding]:
    """A sentence that rests on the ticket as a whole: one of the closed list, and true of the ticket."""
    start = 0
    for number in sorted(set(text.sentence)):
        words = [word for word, sentence in zip(text.words, text.sentence, strict=True) if sentence == number]
        keys = [word.key for word in words]
        row = next((row for row in language.data["absence"] if _fits(row["says"], keys, language)), None)
        start, end = words[0].start, words[-1].end
        if row is not None:
            for kind in _everywhere(ticket, reader) & set(row["absent"]):
                yield Finding("F1", f"The ticket holds an entry of the kind {kind}.", start, end)
        elif reader == "customer" or not _missing(text.raw[start:end], language, ticket):
            yield Finding(
                "F1", "Only a few sentences may rest on the ticket as a whole; this is none of them.", start, end
            )


def _everywhere(ticket: Ticket, reader: str) -> set[str]:
    """Kinds of entry that every concern of the ticket holds: an absence may be told of one concern alone."""
    seen = [entry for entry in ticket.living if reader == "shop" or not entry.shop_only]
    letters = {letter for entry in seen for letter in entry.concerns} or {""}
    held: dict[str, set[str]] = {}
    for entry in seen:
        held.setdefault(entry.kind, set()).update(entry.concerns or letters)
    return {kind for kind, concerns in held.items() if concerns >= letters}


def _fits(pattern: str, keys: list[str], language: Language) -> bool:
    """True where the words are those of the pattern, ``{}`` standing for any words at all."""
    head, gap, tail = pattern.partition("{}")
    first, last = [[word.key for word in cut(part, language).words] for part in (head, tail)]
    if not gap:
        return keys == first
    return (
        len(keys) >= len(first) + len(last) and keys[: len(first)] == first and (not last or keys[-len(last) :] == last)
    )


def _missing(said: str, language: Language, ticket: Ticket) -> bool:
    """The terse list of what was not recorded: each item on the list, and really missing."""
    items: dict[str, Any] = language.data["missing"]
    rest = cut(said, language).keys
    for phrase, place in sorted(items.items(), key=lambda item: -len(item[0])):
        words = cut(phrase, language).keys
        for i in range(len(rest) - len(words) + 1):
            if rest[i : i + len(words)] == words:
                if _recorded(place, ticket):
                    return False
                rest = rest[:i] + rest[i + len(words) :]
                break
    return not set(rest) - {language.data["and"], *language.data["surface"]["articles"]}


def _recorded(place: str, ticket: Ticket) -> bool:
    """True where the ticket holds what is said to be missing."""
    if place in ("odometer_in", "odometer_out"):
        return getattr(ticket.header, place) is not None
    kind, _, name = place.partition(".")
    facts = [entry.fact for entry in ticket.living if entry.kind == kind]
    return (bool(name) and bool(facts) and all(getattr(fact, name) for fact in facts)) or (
        bool(kind) and not name and bool(facts)
    )
