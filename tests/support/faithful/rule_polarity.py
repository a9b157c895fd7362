"""F7: what was typed with a no is told with one, and the other way round."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from support.faithful.finding import Finding
from support.faithful.grounds import DENIED, FREE, Grounds
from support.faithful.language import Language
from support.faithful.tokens import Text, find, spanned

_LONG = 4  # letters of a word whose opposite may be made with a prefix
_SOON = 3  # words that a phrase of denial reaches
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
    forward = set(language.list("negation", "forward"))
    denied = {text.clause[i] for i in found.negations if text.keys[i] not in forward}
    at = set(found.negations)
    waiting = -1
    for i, key in enumerate(text.keys):
        if i in at:
            waiting = i
            denied.add(text.clause[i])  # a "no" says nothing of the words before it
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
    yield from _turned(text, grounds, mine, typed, brought, any_typed=any_typed)
    yield from _unheard(text, grounds, mine, brought)
    yield from _opposites(text, grounds)
    for hit in find(text, language, language.list("negation", "bare")):
        if not grounds.typed(" ".join(hit.phrase)):
            yield Finding("F7", "No story says so without “not”.", *spanned(text, hit))
    yield from _ruled_out(text, grounds)
    yield from _bare_limits(text, grounds)


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
    text: Text, grounds: Grounds, mine: Polarity, typed: dict[str, set[str]], brought: set[int], *, any_typed: bool
) -> Iterator[Finding]:  # fmt: skip
    stems = typed.keys()
    prefixes = grounds.language.list("negation", "prefixes")
    for i, sense in mine.by_word.items():
        if text.quoted[i]:
            continue
        word, stem = text.words[i], text.stems[i]
        known = typed.get(stem, set())
        if sense == PLAIN and known == {DENYING} and not _denied_before(text, i, brought):
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


def _denied_before(text: Text, i: int, brought: set[int]) -> bool:
    """True soon behind a phrase such as "no codes", in its clause."""
    return any(j in brought and text.clause[j] == text.clause[i] for j in range(max(0, i - _SOON), i))


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


def _unheard(text: Text, grounds: Grounds, mine: Polarity, brought: set[int]) -> Iterator[Finding]:
    """A negation that denies a figure, or a second one in a clause, where none was typed so."""
    language = grounds.language
    typed = max((_most_in_a_clause(one, grounds) for piece in grounds.pieces for one in piece.texts), default=0)
    phrases = Counter(text.clause[i] for i in brought if i - 1 not in brought)
    joining = {language.data["and"], *language.data["range_words"]}
    counted = Counter(text.clause[i] for i in mine.negations if not i or text.keys[i - 1] not in joining)
    answered = grounds.reader != "customer" and "told" in grounds.kinds  # "no 6 7" answers entries 6 and 7
    for i in mine.negations:
        word = text.words[i]
        after = text.keys[i + 1 : i + 2]
        if text.quoted[i]:
            continue
        if after and after[0][0].isnumeric() and not answered and not grounds.holds([word.key, *after]):
            yield Finding("F7", f"“{word.key} {after[0]}”: no figure was typed as denied.", word.start, word.end)
        elif counted[text.clause[i]] + phrases[text.clause[i]] > max(1, typed):
            yield Finding("F7", "Two negations in one clause, where one was typed.", word.start, word.end)
            return


def _most_in_a_clause(text: Text, grounds: Grounds) -> int:
    found = polarity_of(text, grounds.language).negations
    return max(Counter(text.clause[i] for i in found).values(), default=0)


def _bare_limits(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """ "More than 3 is allowed" has lost its no; "at least" is said of a least value, "no more than" of a largest."""
    language = grounds.language
    negations = set(language.list("negation", "words"))
    allowing = {text.clause[hit.first] for hit in find(text, language, language.list("negation", "allowing"))}
    for hit in find(text, language, language.list("negation", "beyond")):
        before = text.keys[hit.first - 1] if hit.first else ""
        if text.clause[hit.first] in allowing and before not in negations and not text.quoted[hit.first]:
            yield Finding("F7", "The limit lost its “no”.", *spanned(text, hit))


def _ruled_out(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """What was ruled out is not told as something that was there."""
    language = grounds.language
    if grounds.reader != "customer" or "ruled" not in grounds.kinds:
        return
    out = {text.sentence[hit.first] for hit in find(text, language, language.list("negation", "rules_out"))}
    denied = {text.clause[hit.first] for hit in find(text, language, language.list("negation", "words"))}
    others = {stem for piece in grounds.pieces if piece.role != DENIED for one in piece.texts for stem in one.stems}
    for piece in grounds.pieces:
        if piece.role != DENIED:
            continue
        own = {word.stem for word in piece.spelled.words if word.key not in language.empty} - others
        places = [
            i for i, stem in enumerate(text.stems)
            if stem in own and not text.quoted[i] and text.sentence[i] not in out
        ]  # fmt: skip
        if own and own <= {text.stems[i] for i in places} and not denied & {text.clause[i] for i in places}:
            start, end = text.words[places[0]].start, text.words[places[-1]].end
            yield Finding("F7", "What was ruled out is told as if it were so.", start, end)
