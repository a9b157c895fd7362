"""F7: what was typed with a no is told with one, and the other way round."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from ticket.story.faithful.finding import Finding
from ticket.story.faithful.grounds import DENIED, FREE, Grounds
from ticket.story.faithful.language import Language
from ticket.story.faithful.tokens import Text, find

_LONG = 4  # letters of a word whose opposite may be made with a prefix
PLAIN, DENYING, UNSURE = "plain", "denied", "unsure"


@dataclass(slots=True)
class Polarity:
    """For each content word of a text: ``denied`` right behind a negation, ``plain`` in a clause without one."""

    by_word: dict[int, str] = field(default_factory=dict)
    negations: list[int] = field(default_factory=list)
    heads: dict[int, int] = field(default_factory=dict)


def polarity_of(text: Text, language: Language, without: Iterable[int] = ()) -> Polarity:
    """Which words of a text are denied; negations at the places ``without`` do not count."""
    ignored = set(without)
    found = Polarity()
    found.negations = [
        hit.first
        for hit in find(text, language, language.list("negation", "words"), quoted=True)
        if hit.first not in ignored
    ]
    denied = {text.clause[i] for i in found.negations}
    at = set(found.negations)
    waiting = -1
    for i, key in enumerate(text.keys):
        if i in at:
            waiting = i
            continue
        if i in ignored or key in language.empty or key.isnumeric():
            continue
        if text.clause[i] not in denied:
            found.by_word[i] = PLAIN
        elif waiting >= 0 and text.clause[waiting] == text.clause[i]:
            found.by_word[i] = DENYING
            found.heads[i] = waiting
            waiting = -1
        else:
            found.by_word[i] = UNSURE
    return found


def polarity(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Words told with the opposite sense of what was typed."""
    language = grounds.language
    typed = _typed(grounds)
    brought = set(_brought(text, grounds))
    mine = polarity_of(text, language, brought)
    any_typed = any(True for piece in grounds.pieces for one in piece.texts if polarity_of(one, language).negations)
    yield from _turned(text, grounds, mine, typed, any_typed=any_typed)
    yield from _opposites(text, grounds)
    yield from _ruled_out(text, grounds)


def _typed(grounds: Grounds) -> dict[str, set[str]]:
    """How each word was typed: plain, denied or not to be told."""
    typed: dict[str, set[str]] = {}
    for piece in grounds.pieces:
        for text in piece.texts:
            found = polarity_of(text, grounds.language)
            for i, sense in found.by_word.items():
                typed.setdefault(text.stems[i], set()).add(UNSURE if piece.role in (DENIED, FREE) else sense)
    return typed


def _brought(text: Text, grounds: Grounds) -> Iterator[int]:
    """Words of the phrases that deny something because of the kind of entry, not of its words."""
    listed: dict[tuple[str, ...], set[str]] = {}
    for phrase, kinds in grounds.language.data["negation"]["brought"]:
        listed.setdefault(tuple(phrase.split()), set()).update(kinds.split())
    carried = [" ".join(phrase) for phrase, kinds in listed.items() if "*" in kinds or kinds & grounds.kinds]
    for hit in find(text, grounds.language, carried):
        yield from range(hit.first, hit.last)


def _turned(
    text: Text, grounds: Grounds, mine: Polarity, typed: dict[str, set[str]], *, any_typed: bool
) -> Iterator[Finding]:  # fmt: skip
    stems = typed.keys()
    prefixes = grounds.language.list("negation", "prefixes")
    for i, sense in mine.by_word.items():
        if text.quoted[i]:
            continue
        word, stem = text.words[i], text.stems[i]
        known = typed.get(stem, set())
        if sense == PLAIN and known == {DENYING}:
            yield Finding(
                "F7", f"“{word.key}” was typed with a negation, and the sentence lost it.", word.start, word.end
            )
        elif sense == DENYING and known == {PLAIN}:
            yield Finding("F7", f"“{word.key}” was typed without a negation.", word.start, word.end)
        elif sense == DENYING and not known and not any_typed:
            no = text.words[mine.heads[i]]
            yield Finding("F7", f"“{no.key}” was not typed: no source denies anything.", no.start, word.end)
        elif not known and len(stem) >= _LONG and any(f"{prefix}{stem}" in stems for prefix in prefixes):
            yield Finding("F7", f"The opposite of “{word.key}” was typed.", word.start, word.end)


def _opposites(text: Text, grounds: Grounds) -> Iterator[Finding]:
    language = grounds.language
    written = {key for piece in grounds.pieces for key in piece.typed.keys}
    for pair in language.data["negation"]["opposites"]:
        for said, typed in (pair, pair[::-1]):
            if language.stem(said) in grounds.stems or typed not in written:
                continue
            for i, key in enumerate(text.keys):
                if key == said and not text.quoted[i]:
                    word = text.words[i]
                    yield Finding("F7", f"“{typed}” was typed, not “{said}”.", word.start, word.end)


def _ruled_out(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """What was ruled out is not told as something that was there."""
    language = grounds.language
    if grounds.reader != "customer" or "ruled" not in grounds.kinds:
        return
    if any(True for _ in find(text, language, language.list("negation", "rules_out"))):
        return
    if any(True for _ in find(text, language, language.list("negation", "words"))):
        return
    others = {stem for piece in grounds.pieces if piece.role != DENIED for one in piece.texts for stem in one.stems}
    for piece in grounds.pieces:
        own = {word.stem for word in piece.spelled.words if word.key not in language.empty} - others
        places = [i for i, stem in enumerate(text.stems) if stem in own and not text.quoted[i]]
        if piece.role == DENIED and own and own <= {text.stems[i] for i in places}:
            start, end = text.words[places[0]].start, text.words[places[-1]].end
            yield Finding("F7", "What was ruled out is told as if it were so.", start, end)
