"""How wide a wording is kept: from the whole line with places for its things and figures down to one phrase as typed.

The typed line and the words it was told in are held beside each other. What stands in both (a figure, a side, a thing)
may become a place, so that the same wording fits other lines; what does not stays fixed.
"""

import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from ticket.job.book_entry import BookEntry
from ticket.job.regex import Regex
from ticket.language import filling
from ticket.language.book import Book
from ticket.language.lexicon import TYPED
from ticket.language.phrasebook import Phrases
from ticket.language.records import Span
from ticket.language.slots import flaw, tidied
from ticket.language.spans import spans as read_spans

_STOPS = frozenset(",;")
_FORMS = ("the", "bare", "of", "to", "in")
_KINDS = {"figure": "n", "count": "count", "side": "side", "code": "code"}
_CUTS = Regex(r"\s*[,;]\s+(?:and\s+)?|\.\s+")


@dataclass(frozen=True, slots=True)
class _Place:
    """Spans of the line that are told, in these words, at a place of the wording."""

    kind: str
    held: tuple[Span, ...]
    start: int
    end: int


def widths(line: str, where: str, wording: str, language: str, book: Phrases) -> tuple[BookEntry, ...]:
    """The entries that this wording of this line may become, widest first; only such as nothing speaks against.

    The whole line comes first, then the phrases between its commas (as clauses), each with all its places, then
    without the places for things, then as typed. A line of one phrase is kept as that phrase.
    """
    found: dict[tuple[str, str, str], BookEntry] = {}
    whole = read_spans(line, where)
    for size, held, told in _parts(line, where, whole, wording):
        for made in _entries(size, held, where, told, language, book):
            if not flaw(made) and _says(made, held, where, book) == _compared(tidied(replace(made, told=told)).told):
                found.setdefault((made.size, made.typed, made.told), made)
    return tuple(found.values())


def _says(made: BookEntry, held: tuple[Span, ...], where: str, book: Phrases) -> tuple[str, ...]:
    """What an entry would tell of the very spans it was made from."""
    fits = Book([made], words=book).fits(held, where, made.language)
    return _compared(fits[0].told) if len(fits) == 1 else ()


def _compared(told: str) -> tuple[str, ...]:
    """The words of a wording, however its figures are written."""
    return tuple(f"{one.value} {one.unit}" if one.value else one.text.casefold() for one in read_spans(told))


def _parts(
    line: str, where: str, whole: tuple[Span, ...], wording: str
) -> Iterator[tuple[str, tuple[Span, ...], str]]:  # fmt: skip
    """The whole line, and its pieces where the wording falls into as many."""
    cuts = [i for i, span in enumerate(whole) if span.text in _STOPS]
    told = [one for one in _CUTS.split(wording.strip().removesuffix(".")) if one]
    if not cuts:
        yield "clause", whole, wording
        return
    yield "line", whole, wording
    if len(told) == len(cuts) + 1:
        edges = [-1, *cuts, len(whole)]
        for (start, end), words in zip(itertools.pairwise(edges), told, strict=True):
            if held := whole[start + 1 : end]:
                yield "clause", held, words


def _entries(
    size: str, held: tuple[Span, ...], where: str, told: str, language: str, book: Phrases
) -> Iterator[BookEntry]:  # fmt: skip
    places = _places(held, told, language, book)
    kinds = ("thing", "state")
    for chosen in (places, [one for one in places if one.kind not in kinds], []):
        typed, wording = _with_places(held, told, chosen)
        yield tidied(BookEntry(language, size, where, typed, wording))


def _places(held: tuple[Span, ...], told: str, language: str, book: Phrases) -> list[_Place]:
    """What of the line is found again in the wording, in typed order, no two over each other."""
    found: list[_Place] = []
    i = 0
    while i < len(held):
        place = next(_candidates(held, i, told, found, language, book), None)
        if place:
            found.append(place)
        i += len(place.held) if place else 1
    return found


def _candidates(
    held: tuple[Span, ...], i: int, told: str, taken: list[_Place], language: str, book: Phrases
) -> Iterator[_Place]:  # fmt: skip
    for end in range(len(held), i, -1):
        group = held[i:end]
        if filling.things(group, book):
            for form in _FORMS:
                words = filling.thing_told(group, language, form, book)
                for place in _found("thing", group, words, told, taken):
                    lead = "" if form in ("the", "bare") else told[place.start :].split(" ", 1)[0] + " "
                    if filling.form_behind(language, told[: place.start] + lead) == form:
                        yield place
    kind = _KINDS.get(held[i].cls)
    if kind:
        for words in (*_same_figures(held[i], told), *_told_forms(held[i], language)):
            yield from _found(kind, held[i : i + 1], words, told, taken)


def _same_figures(span: Span, told: str) -> Iterator[str]:
    """The figures of the wording that are this one, in whatever way the unit is written there."""
    if span.value:
        for other in read_spans(told):
            if (other.value, other.unit) == (span.value, span.unit):
                yield other.text


def _told_forms(span: Span, language: str) -> Iterator[str]:
    if span.cls == "figure":
        yield span.text
    elif span.cls != "side" or language == TYPED:
        yield span.base
        yield span.text


def _found(kind: str, held: tuple[Span, ...], words: str, told: str, taken: list[_Place]) -> Iterator[_Place]:
    """The one place where these words stand in the wording; none where they stand twice, or inside another place."""
    hits = list(re.finditer(rf"(?<![\w.,]){re.escape(words)}(?![\w]|[.,]\d)", told, re.IGNORECASE)) if words else []
    if len(hits) != 1:
        return
    start, end = hits[0].span()
    if all(end <= one.start or one.end <= start for one in taken):
        yield _Place(kind, held, start, end)


def _with_places(held: tuple[Span, ...], told: str, places: list[_Place]) -> tuple[str, str]:
    kinds = [place.kind for place in places]
    names: dict[int, str] = {}
    for i, place in enumerate(places):
        number = kinds[: i + 1].count(place.kind) if kinds.count(place.kind) > 1 else ""
        names[id(place)] = f"{{{place.kind}{number}}}"
    inside = {span.start: (names[id(place)], place.held[-1].end) for place in places for span in place.held[:1]}
    typed: list[str] = []
    over = -1
    for span in held:
        if span.start in inside:
            name, over = inside[span.start]
            typed.append(name)
        elif span.start >= over:
            typed.append(span.text if span.value else span.base)
    for place in sorted(places, key=lambda one: -one.start):
        told = told[: place.start] + names[id(place)] + told[place.end :]
    return " ".join(typed).replace(" ,", ",").replace(" ;", ";"), told
