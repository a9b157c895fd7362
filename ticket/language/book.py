"""The phrasebook at work: which wording fits a line, and what it says there.

Whoever asks gives spans, so a phrase fits whatever short forms a line was typed in. Of several wordings that fit, the
one for a whole line goes before one for a clause, more fixed words before fewer, the shop's own before the one that
comes with the program. Two that are as good as each other and say different things: neither.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import islice

from ticket.job.book_entry import SHIPPED, BookEntry, Phrasebook
from ticket.language import filling
from ticket.language.filling import Filling
from ticket.language.forms import regular_past, third
from ticket.language.lexicon import TYPED
from ticket.language.phrasebook import NO_BOOK, Phrases, Taught
from ticket.language.records import Booked, Span
from ticket.language.shipped import shipped
from ticket.language.slots import kind_of, pieces, tidied
from ticket.language.spans import spans as read_spans

SEEN = frozenset({"found", "proof", "cause"})
"""Lines that state what was seen: a phrase kept from one of them fits the others. What is only supposed, feared or
ruled out is never told in words that were kept for a fact, nor the other way round."""

_KINDS = {"noise": "matter"}  # told like what is there or is not: "no whine"
_REMEMBERED = 4096
_SLOT_WORDS = {"n": "7 mm", "count": "7", "side": "left", "thing": "hose", "state": "worn", "code": "P0117"}


@dataclass(frozen=True, slots=True)
class Item:
    """One place of a phrase: a word that must stand there, or a slot."""

    key: str = ""
    slot: str = ""


@dataclass(frozen=True, slots=True)
class Pattern:
    """A phrase ready to be matched."""

    entry: BookEntry
    items: tuple[Item, ...]

    @property
    def words(self) -> int:
        """How many words are fixed."""
        return sum(bool(item.key) for item in self.items)

    @property
    def rank(self) -> tuple[bool, int, bool]:
        """What makes one go before another; higher is better."""
        return self.entry.size == "line", self.words, self.entry.no != SHIPPED


@dataclass(frozen=True, slots=True)
class Fit:
    """A wording that fits, with what stands in its places."""

    entry: BookEntry
    told: str
    filled: Filling


class Book:
    """The phrases somebody kept, asked by reading and telling (see :class:`ticket.language.phrasebook.Phrases`).

    Args:
        entries: those that may be told.
        words: another book whose words are known too.
        language: whose wordings it answers with, whatever it is asked for: reading asks in the language of the typed
            lines, and one story is told in one language. Empty: the language asked for.
    """

    def __init__(self, entries: Iterable[BookEntry], words: Phrases = NO_BOOK, language: str = "") -> None:
        self.entries = tuple(entries)
        self.language = language
        self._also = words
        self._words: dict[str, dict[str, Taught]] = {}
        self._lines: dict[tuple[str, str], list[Pattern]] = {}
        for entry in self.entries:
            if entry.size != "word":
                self._add(entry)
            elif entry.where == "doing":
                for clause in _clauses_of(entry):
                    self._add(clause)
            else:
                self._learn(entry)
        self._remembered: dict[tuple[tuple[Span, ...], str, str], tuple[Fit, ...]] = {}

    def _add(self, entry: BookEntry) -> None:
        pattern = compiled(entry.typed, entry.where)
        if pattern:
            key = max((item.key for item in pattern), key=len)
            self._lines.setdefault((entry.language, key), []).append(Pattern(entry, pattern))

    def _learn(self, entry: BookEntry) -> None:
        """The shop's own word replaces a shipped one; the store lets no shop have two of its own."""
        held = self._words.setdefault(entry.language, {})
        many = entry.told_plural or entry.plural
        for typed, told in ((entry.typed, entry.told), (entry.plural, many)):
            if typed and (entry.no != SHIPPED or typed.casefold() not in held):
                cls = f"{entry.gender}p" if entry.gender and typed == entry.plural else entry.gender
                held[typed.casefold()] = Taught(_KINDS.get(entry.where, entry.where), told, many, cls)

    def word(self, base: str, language: str) -> Taught | None:
        """What somebody entered for a word nobody listed.

        What a word is does not hang on the language; how it is told does.
        """
        typed = base.casefold()
        found = self._words.get(language, {}).get(typed)
        if found is None and language == TYPED:
            held = (words[typed] for words in self._words.values() if typed in words)
            found = next((Taught(one.kind, base) for one in held), None)
        return found or self._also.word(base, language)

    def match(self, spans: tuple[Span, ...], where: str, language: str) -> Booked | None:
        """The one wording that fits all these spans; ``None`` for none, or two as good that say different things."""
        best = self.fits(spans, where, language)
        if not best or len({fit.told for fit in best}) > 1:
            return None
        held = tuple((name, " ".join(span.text for span in filled)) for name, filled in best[0].filled)
        return Booked(str(best[0].entry.no or best[0].entry.typed), best[0].told, held)

    def fits(self, spans: tuple[Span, ...], where: str, language: str) -> tuple[Fit, ...]:
        """The best wordings that fit all these spans, as good as each other."""
        language = self.language or language
        key = (spans, where, language)
        if key not in self._remembered:
            if len(self._remembered) > _REMEMBERED:
                self._remembered.clear()
            self._remembered[key] = tuple(self._best(spans, where, language))
        return self._remembered[key]

    def clashes(self, language: str) -> tuple[tuple[BookEntry, BookEntry], ...]:
        """Pairs of entries told differently that fit the same phrase as well: neither of them is ever told."""
        found = []
        seen: dict[tuple[object, ...], Pattern] = {}
        for (spoken, _), patterns in self._lines.items():
            for pattern in patterns if spoken == language else ():
                shape = tuple(replace(item, slot=kind_of(item.slot)) for item in pattern.items)
                where = "seen" if pattern.entry.where in SEEN else pattern.entry.where
                other = seen.setdefault((shape, where, pattern.rank), pattern)
                if other.entry.told != pattern.entry.told:
                    found.append((other.entry, pattern.entry))
        return tuple(found)

    def every(self, spans: tuple[Span, ...], language: str) -> Iterator[Fit]:
        """Whatever fits all these spans, kept from lines of any kind, in no order of worth: for a person to look at."""
        for pattern, filled in self._candidates(spans, language):
            told = filling.told(pattern.entry, filled, self)
            if told:
                yield Fit(pattern.entry, told, filled)

    def _candidates(self, spans: tuple[Span, ...], language: str) -> Iterator[tuple[Pattern, Filling]]:
        for key in dict.fromkeys(word for span in spans for word in words_of(span)):
            for pattern in self._lines.get((language, key), ()):
                filled = self._filled(pattern.items, spans)
                if filled is not None:
                    yield pattern, filled

    def _best(self, spans: tuple[Span, ...], where: str, language: str) -> Iterator[Fit]:
        candidates = [
            (pattern, filled)
            for pattern, filled in self._candidates(spans, language)
            if fits_kind(pattern.entry.where, where)
        ]
        best = max((pattern.rank for pattern, _ in candidates), default=None)
        for pattern, filled in candidates:
            if pattern.rank == best:
                told = filling.told(pattern.entry, filled, self)
                if told:
                    yield Fit(pattern.entry, told, filled)

    def _filled(self, items: Sequence[Item], spans: tuple[Span, ...]) -> Filling | None:
        """What stands in the slots; ``None`` where it does not fit, or fits in two ways."""
        ways = list(islice(self._ways(items, spans), 2))
        return ways[0] if len(ways) == 1 else None

    def _ways(self, items: Sequence[Item], spans: tuple[Span, ...]) -> Iterator[Filling]:
        if not items:
            if not spans:
                yield ()
            return
        first, rest = items[0], items[1:]
        if not first.slot:
            words = words_of(spans[0]) if spans else ()
            if words and tuple(item.key for item in items[: len(words)]) == words:
                yield from self._ways(items[len(words) :], spans[1:])
            return
        longest = len(spans) - sum(bool(item.slot) for item in rest)  # every further slot needs a span of its own
        for width in range(1, (longest if kind_of(first.slot) == "thing" else min(longest, 1)) + 1):
            held = spans[:width]
            if filling.fits(kind_of(first.slot), held, self):
                for behind in self._ways(rest, spans[width:]):
                    yield ((first.slot, held), *behind)


def _clauses_of(doing: BookEntry) -> Iterator[BookEntry]:
    """What something does, as clauses: each form in which the word is typed behind a thing, told of what was seen."""
    base = doing.typed.removesuffix("s") if not doing.typed.endswith("ss") else doing.typed
    past = doing.past or (regular_past(base) if doing.language == TYPED else doing.told)
    typed = dict.fromkeys((third(base), base, regular_past(base), *([doing.past] if doing.language == TYPED else [])))
    for form in typed:
        if form:
            told = replace(doing, size="clause", where="found", typed=f"{{thing}} {form}", told=f"{{thing}} {past}")
            yield tidied(replace(told, past=""))


def fits_kind(kept: str, asked: str) -> bool:
    """Whether a phrase kept from one kind of line may be told of another."""
    return kept == asked or {kept, asked} <= SEEN


def words_of(span: Span) -> tuple[str, ...]:
    """What fixed words are compared with: what the span stands for, whatever way it was typed."""
    told = f"{span.value} {span.unit}" if span.value else span.base.casefold()
    return tuple(told.split())


@lru_cache(maxsize=4096)
def compiled(typed: str, where: str) -> tuple[Item, ...]:
    """The places of a phrase; none where it holds no word of its own.

    Every slot is read with something in its place first, since what a short form means hangs on what stands beside it.
    """
    parts = pieces(typed)
    text, ranges = "", {}
    for part in parts:
        if part.slot:
            word = _SLOT_WORDS.get(kind_of(part.slot), "")
            ranges[len(text), len(text) + len(word)] = part.slot
            text += word
        else:
            text += part.text
    held = read_spans(text, where)
    items = _items(held, ranges)
    if items is None:  # a word of the phrase was read together with one that stood in for a slot
        items = [
            item
            for part in parts
            for item in (
                [Item(slot=part.slot)]
                if part.slot
                else [Item(word) for span in read_spans(part.text.strip(), where) for word in words_of(span)]
            )
        ]
    return tuple(items) if any(item.key for item in items) else ()


def _items(held: Sequence[Span], ranges: Mapping[tuple[int, int], str]) -> list[Item] | None:
    items: list[Item] = []
    for span in held:
        slot = ranges.get((span.start, span.end))
        if slot is None and any(start < span.end and span.start < end for start, end in ranges):
            return None
        items += [Item(slot=slot)] if slot else [Item(word) for word in words_of(span)]
    return items if sum(bool(item.slot) for item in items) == len(ranges) else None


@lru_cache(maxsize=8)
def all_of(own: Phrasebook) -> Book:
    """Both books with what is not looked at yet: nothing of it is told, a person may be shown it."""
    return Book((*(one for one in own.entries if one.state != "back"), *shipped()))


@lru_cache(maxsize=16)
def book_of(own: Phrasebook, language: str = "") -> Book:
    """The shop's book with the one that comes with the program behind it, for a story in a language."""
    return Book((*own.told, *shipped()), language=language)
