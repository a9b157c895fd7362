"""F25 and F26: plain words for the customer, and a clean surface for everybody."""

import re
from collections.abc import Iterator

from ticket.job.kinds import Did, Says, Used
from ticket.job.regex import Regex
from ticket.job.text import fold, visible
from ticket.readings import units
from ticket.story.faithful.figures import PART, QUANTITY, number, scan
from ticket.story.faithful.finding import Finding
from ticket.story.faithful.grounds import Grounds
from ticket.story.faithful.language import Language
from ticket.story.faithful.tokens import Text, find, sentences_of, spanned, words_of

_EMPTY_BRACKETS = Regex(r"\(\s{0,8}\)|\[\s{0,8}\]|“\s{0,8}”")
_LOOSE_STOP = Regex(r"[^\s.,;:!?…]\s([.,;:!?])(?=\s|\Z)")
_DOUBLE_STOP = Regex(r"[,;:]\s{0,4}[,;:.]|(?<!\.)\.\.(?!\.)")
_BRACKET = Regex(r"\([^()]{0,400}\)")
_QUOTE = Regex(r"“[^“”]{0,4000}”")
_TYPED = 4  # of five words that must be typed for a long sentence to be the typist's own


def surface(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Flaws a reader sees: doubled words, stray units, loose stops, length."""
    yield from _doubled(text, grounds)
    yield from _units(text, grounds)
    yield from _stops(text, grounds)
    yield from _both_not(text, grounds)
    yield from _agreement(text, grounds)
    yield from _openings(text, grounds)
    yield from _length(text, grounds)


def plain(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Short forms, part numbers and hours that a customer should not meet (F25)."""
    if grounds.reader != "customer":
        return
    language = grounds.language
    customers = {key for piece in grounds.pieces if piece.entry and isinstance(piece.entry.fact, Says)
                 for key in piece.typed.keys}  # fmt: skip
    for i, word in enumerate(text.words):
        if text.quoted[i] or word.key in customers:
            continue
        shown = text.raw[word.start : word.end]
        if shown in language.capital_jargon or shown.removesuffix("s") in language.capital_jargon:
            yield Finding("F25", f"{shown} is a short form of the trade.", word.start, word.end)
    for hit in find(text, language, sorted(language.jargon)):
        start, end = spanned(text, hit)
        if not set(hit.phrase) & customers and not (text.raw[start:end].isdigit() or len(text.raw[start:end]) < 2):
            yield Finding("F25", f"“{text.raw[start:end]}” is a word of the trade.", start, end)
    parts = {fold(fact.part) for fact in grounds.facts(Used) if fact.part}
    hours = {number(fact.hours) for fact in grounds.facts(Did) if fact.hours} - {None}
    looked = any(True for _ in find(text, language, language.list("work", "hours_told")))
    typed = {fold(figure.digits) for piece in grounds.pieces if piece.field != "hours"
             for figure in scan(piece.typed.raw, language)}  # fmt: skip
    for figure in scan(text.raw, language):
        if figure.kind == PART and fold(figure.text) in parts and not text.in_quote(figure.start):
            yield Finding("F25", "Part numbers stand in the itemised lines.", figure.start, figure.end)
        billed = figure.kind == QUANTITY and figure.unit == "h" and figure.value in hours
        if billed and not looked and figure.digits not in typed:
            yield Finding("F25", "Billed hours stand in the itemised lines.", figure.start, figure.end)


def _doubled(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """The same word twice in a row, unless it was typed so."""
    fine = set(grounds.language.list("surface", "may_double"))
    for i in range(1, len(text.words)):
        one, two = text.words[i - 1], text.words[i]
        if one.key != two.key or one.key in fine or one.key[0].isnumeric() or text.quoted[i]:
            continue
        if text.raw[one.end : two.start].isspace() and not grounds.holds([one.key, two.key]):
            yield Finding("F26", f"“{two.key}” stands twice.", one.start, two.end)


_AFTER = Regex(r"[ \u00a0]?([^\s,.;:()\[\]“”\"]{1,12})")


def _units(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """A second unit right behind a figure's own."""
    language = grounds.language
    shy = set(language.data["shy_units"])
    for figure in scan(text.raw, language):
        if figure.kind != QUANTITY:
            continue
        after = _AFTER.match(text.raw, figure.end)
        unit = units.find(after[1]) if after else None
        if after is None or unit is None or fold(after[1]) in shy or (len(after[1]) < 2 and after[1].isalpha()):
            continue
        typed = f"{text.raw[figure.start : figure.end]}{after[0]}"
        if not any(fold(typed) in fold(piece.typed.raw) for piece in grounds.pieces):
            yield Finding("F26", f"“{after[1]}” is a second unit.", figure.start, after.end())


def _stops(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Empty brackets, a space before a stop, two stops, two semicolons outside a list."""
    typed = "\n".join(piece.typed.raw for piece in grounds.pieces)
    loose = {stop for stop in ",;:.!?" if f" {stop}" in typed or f"\n{stop}" in f"\n{typed}"}
    if grounds.reader != "customer" and any(piece.typed.raw.rstrip()[-1:] in ",;:.!?" for piece in grounds.pieces):
        loose |= set(",;:.!?")  # the terse copies join typed texts as they are
    for pattern, reason in (
        (_EMPTY_BRACKETS, "Empty brackets."),
        (_LOOSE_STOP, "A space stands before the stop."),
        (_DOUBLE_STOP, "Two stops stand together."),
    ):
        for match in pattern.finditer(text.raw):
            stop = match.group()[-1]
            if match.group() not in typed and stop not in loose:
                yield Finding("F26", reason, match.start(), match.end())
    hidden = [i for i, letter in enumerate(text.raw) if visible(letter) != letter]
    for i in hidden[:1]:
        if text.raw[i] not in typed:
            yield Finding("F26", "A character that nobody sees stands in the text.", i, i + 1)
    if grounds.reader == "customer":
        for sentence in sentences_of(text.raw):
            bare = _QUOTE.sub("", sentence)
            if (
                bare.count(";") > 1
                and f"; {grounds.language.data['and']} " not in bare
                and ":" not in bare
                and bare.count(";") > typed.count(";")
            ):
                at = text.raw.find(sentence)
                yield Finding("F26", "More than one semicolon stands in a sentence.", at, at + len(sentence))


def _both_not(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """ "Both have not" may mean none, or not both."""
    language = grounds.language
    both = {hit.first for hit in find(text, language, language.list("surface", "both"))}
    negations = set(language.list("negation", "words"))
    waiting: int | None = None
    for i, key in enumerate(text.keys):
        if i in both:
            waiting = i
        elif waiting is not None and text.clause[i] != text.clause[waiting]:
            waiting = None
        elif waiting is not None and key in negations and not grounds.holds(text.keys[waiting : i + 1]):
            word = text.words[waiting]
            yield Finding(
                "F26", f"“{word.key} … {key}” may mean none, or not {word.key}.", word.start, text.words[i].end
            )
            waiting = None


def _agreement(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """A before a consonant, an before a vowel; one volt, two volts; they were."""
    language = grounds.language
    for hit in find(text, language, language.list("surface", "agreement")):
        if not grounds.holds(list(hit.phrase)):
            yield Finding("F26", f"“{' '.join(hit.phrase)}” does not agree.", *spanned(text, hit))
    silent, sounded = language.list("surface", "silent_h"), language.list("surface", "vowel_except")
    for i in range(len(text.words) - 1):
        article, word = text.words[i], text.words[i + 1]
        if article.key not in ("a", "an") or text.quoted[i] or not text.raw[article.end : word.start].isspace():
            continue
        if not word.key.isascii() or not word.key.isalpha() or text.raw[word.start : word.end].isupper():
            continue
        vowel = (word.key[0] in "aeiou" and not word.key.startswith(sounded)) or word.key.startswith(silent)
        if vowel != (article.key == "an") and not grounds.holds([article.key, word.key]):
            yield Finding("F26", f"“{article.key} {word.key}”: the article does not fit.", article.start, word.end)
    for figure in scan(text.raw, language):
        unit = units.find(figure.unit) if figure.kind == QUANTITY and not figure.word else None
        if unit is None or unit.one == unit.many or text.in_quote(figure.start):
            continue
        shown = text.raw[figure.start : figure.end]
        single = figure.text.lstrip("+-−") == "1"
        spelled = grounds.reader == "customer" and unit.one != unit.sign
        if spelled and shown.endswith(f" {unit.many}" if single else f" {unit.one}"):
            yield Finding("F26", f"“{shown}”: figure and unit do not agree.", figure.start, figure.end)


def opening(sentence: str, language: Language) -> tuple[str, ...]:
    """The first two words of a sentence without its articles."""
    articles = set(language.list("surface", "articles"))
    found: list[str] = []
    for word in words_of(sentence[:200], language):
        if word.key not in articles:
            found.append(word.key)
        if len(found) == 2:
            break
    return tuple(found)


def _openings(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Two sentences in a row that begin alike."""
    if grounds.reader != "customer":
        return
    before: tuple[str, ...] = ()
    for sentence in sentences_of(_QUOTE.sub(lambda match: "“" + "x" * (len(match.group()) - 2) + "”", text.raw)):
        mine = opening(sentence, grounds.language)
        if len(mine) == 2 and mine == before:
            yield Finding("F26", "Two sentences begin alike.", 0, len(text.raw))
            return
        before = mine


def _length(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """A sentence over the limit, brackets and quotes left out, the items of a list each on their own."""
    if grounds.reader != "customer":
        return
    most = int(grounds.language.data["surface"]["most_words"])
    for sentence in sentences_of(text.raw):
        bare = _BRACKET.sub("", _QUOTE.sub("", sentence))
        head, colon, items = bare.partition(":")
        parts = [head, *re.split(r"[;,]", items)] if colon else [bare]
        longest = max((list(words_of(part, grounds.language)) for part in parts), key=len)
        if len(longest) <= most:
            continue
        typed = sum(word.stem in grounds.stems or word.key in grounds.language.empty for word in longest)
        if typed * 5 < len(longest) * _TYPED:
            at = max(text.raw.find(sentence), 0)
            yield Finding("F26", f"A sentence of more than {most} words.", at, at + len(sentence), advice=True)
