"""Typed pieces and told clauses as the same tokens, so that one can be held against the other."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from ticket.job.numbers import exact
from ticket.job.regex import Regex
from ticket.language.lexicon import Word, look
from ticket.language.records import Span
from ticket.language.spans import spans
from ticket.readings.units import find
from ticket.story.judge.tables import Tables, stem, tables

FIGURE, SIDE, NO, MARK, WORD = "figure", "side", "no", "mark", "word"
CONTRACTED = Regex(r"(?:wo|ca|do|does|did|is|was|are|were|has|have|had|could|would|should)n['’]?t\Z")
_THOUSANDS = Regex(r"(\d+(?:\.\d+)?)k\Z", re.IGNORECASE)
_TIMES = Regex(r"(?:x(\d+)|(\d+)x)\Z", re.IGNORECASE)
_NUMBER = Regex(r"\d+(?:\.\d+)?")
_KERB = Regex(r"(?:([no])/?s/?([fr])?|([lr])h([fr]))\Z")  # nearside and offside, left and right; front and rear
_BREAKS = frozenset(",;:.!?()—–")
_LINKS = frozenset("and but so because while when which who then if until although where since after before".split())


@dataclass(frozen=True, slots=True)
class Token:
    """One word, figure, side, no or mark.

    Attributes:
        kind: one of the names above.
        text: in small letters, short forms resolved.
        root: without endings, one word for all that say the same.
        start: place of its first character.
        end: place behind the last one.
        words: what the word may be.
        value: of a figure, exact.
        top: of a range, its other end.
        unit: of a figure.
        first: it opens what was typed as one character group; the rest of a resolved short form does not.
    """

    kind: str
    text: str
    root: str
    start: int
    end: int
    words: tuple[Word, ...] = ()
    value: Fraction | None = None
    top: Fraction | None = None
    unit: str = ""
    first: bool = True

    def is_a(self, *classes: str) -> bool:
        """Whether the word may be of one of these classes."""
        return any(word.cls in classes for word in self.words)

    def form_of(self, cls: str) -> str:
        """Which form of a class the word is; empty where it is none."""
        return next((word.form for word in self.words if word.cls == cls), "")


@lru_cache(maxsize=2048)
def tokens(text: str, where: str = "found") -> tuple[Token, ...]:
    """The tokens of a text, typed or told. Total and linear."""
    lists = tables()
    out: list[Token] = []
    for span in spans(text, where):
        for token in _of(span, lists):
            degree = token.text in ("c", "f") and text[token.start - 1 : token.start] == "°"
            if degree and len(out) > 1 and out[-1].text == "°" and out[-2].kind == FIGURE:
                out[-2:] = [replace(out[-2], unit="degC" if token.text == "c" else "degF", end=token.end)]
            else:
                out.append(token)
    return tuple(_numbered(_without_idioms(_rates(_lettered(_tens(out), text))), where))


def _tens(given: list[Token]) -> list[Token]:
    """A number in two words: twenty-six is 26."""
    out: list[Token] = []
    for token in given:
        ten, units = out[-1] if out else None, token.value if token.text.isalpha() else None
        tens = ten is not None and ten.text.endswith("ty") and ten.value and ten.value % 10 == 0
        if ten is not None and ten.value and tens and units in range(1, 10) and token.root == str(units):
            value = ten.value + (units or 0)
            out[-1] = replace(token, text=ten.text + token.text, root=str(value), start=ten.start, value=value)
        else:
            out.append(token)
    return out


_RATES = {
    ("lb", "per", "square", "inch"): "psi", ("mi", "per", "hour"): "mph", ("km", "per", "hour"): "km/h",
    ("", "revolutions", "per", "minute"): "rpm", ("", "revs", "per", "minute"): "rpm",
    ("gal", "per", "minute"): "gpm", ("L", "per", "minute"): "L/min", ("in", "of", "mercury"): "inHg",
}  # fmt: skip
_A = {"a": "per", "an": "per"}


def _rates(given: list[Token]) -> list[Token]:
    """A unit told in several words: 38 pounds per square inch is 38 psi."""
    out: list[Token] = []
    for token in given:
        out.append(token)
        for words, unit in _RATES.items():
            figure = out[-len(words)] if len(out) >= len(words) else None
            said = tuple(_A.get(one.text, one.text) for one in out[len(out) - len(words) + 1 :])
            if figure is not None and figure.kind == FIGURE and (figure.unit, *said) == words:
                out[-len(words) :] = [replace(figure, unit=unit, end=token.end)]
                break
    return out


def _lettered(given: list[Token], text: str) -> list[Token]:
    """A lone letter right behind a figure is its unit: 14 L, 3 h. A small l beside an r is a side."""
    out: list[Token] = []
    across = any(token.root in ("right", "r") for token in given)
    for token, behind in zip(given, (*given[1:], None), strict=False):
        before = out[-1] if out else None
        if before is not None and before.kind == FIGURE and not before.unit and token.text == "in":
            if behind is None or behind.kind == MARK or behind.is_a("be"):  # nothing that it could stand in front of
                out[-1] = replace(before, unit="in", end=token.end)
                continue
        bare = before is not None and before.kind == FIGURE and not before.unit and before.text[-1:].isdecimal()
        lone = token.kind == WORD and text[token.start : token.end] in _LETTERS and text[token.end - 1] != "."
        if (
            before is not None
            and bare
            and lone
            and token.start - before.end <= 1
            and not (token.text == "l" and across)
        ):
            unit = find(_LETTERS[text[token.start : token.end]])
            out[-1] = replace(before, unit=unit.name if unit else "", end=token.end)
        else:
            out.append(token)
    return out


_LETTERS = {"L": "L", "l": "L", "h": "h", "s": "s", "m": "m", "g": "g"}

_ADRIFT = _LINKS | frozenset(
    "in on over at for with open off out until till without behind by to alone too as for unless any".split()
)

_WHOLLY = frozenset("through away down up out off now across".split())  # "rusted right through"


def _without_idioms(given: list[Token]) -> list[Token]:
    """ "All right" is a state, and "left" what remains or was left: neither is a side."""
    out: list[Token] = []
    rights = any(token.root == "right" for token in given)
    for token, behind in zip(given, (*given[1:], None), strict=False):
        before = out[-1] if out else None
        ends = behind is None or behind.kind not in (WORD, SIDE)
        if before is None:
            out.append(token)
        elif (before.text, token.text) == ("in", "front") and behind is not None and behind.text == "of":
            out.append(replace(token, kind=WORD, root="before"))
        elif (before.text, token.text) == ("all", "right") and (ends or (behind and not behind.is_a("thing"))):
            out[-1] = replace(before, text="all right", root="ok", end=token.end, words=look("ok"))
        elif token.text == "right" and behind is not None and behind.text in _WHOLLY and not before.is_a("det"):
            out.append(replace(token, kind=WORD, root="wholly"))
        elif token.text == "left" and not rights and (ends or (behind and behind.text in _ADRIFT)) and _leaves(before):
            out.append(replace(token, kind=WORD, root=stem("leave")))
        else:
            out.append(token)
    return out


def _leaves(before: Token) -> bool:
    """ "3 mm left", "can be left"."""
    return before.kind in (FIGURE, MARK) or before.text == "tread" or before.is_a("be", "has")


def _numbered(given: list[Token], where: str) -> Iterator[Token]:
    """ "No 3 injector" is a number, not a denial; among answers it is one."""
    for i, token in enumerate(given):
        behind = given[i + 1] if i + 1 < len(given) else None
        label = token.kind == NO and token.text == "no" and where != "told" and behind is not None
        if label and behind is not None and behind.kind == FIGURE and not behind.unit and behind.text.isdecimal():
            yield replace(token, kind=WORD, text="number", root="number")
        else:
            yield token


def _of(span: Span, lists: Tables) -> Iterator[Token]:
    if span.value or span.cls in ("figure", "count"):
        yield from _figure(span, lists)
        return
    if span.cls in ("mark", "join") and not span.base[:1].isalpha():
        yield Token(MARK, span.base, span.base, span.start, span.end)
        return
    if kerb := _KERB.match(span.text.lower()):
        name = {"n": "nearside", "o": "offside", "l": "left", "r": "right"}[kerb[1] or kerb[3]]
        yield Token(SIDE, name, lists.data["sides"]["words"][name], span.start, span.end)
        if kerb[2] or kerb[4]:
            end = "front" if "f" in (kerb[2], kerb[4]) else "rear"
            yield Token(SIDE, end, end, span.start, span.end, first=False)
        return
    first = True
    for word in _parts(span):
        made = _word(word, span, lists)
        yield replace(made, first=first)
        first = False


def _parts(span: Span) -> list[str]:
    """A short form of several words, and words tied by a hyphen, word by word."""
    base = span.base.lower().replace("’", "'")
    if span.cls == "label" or any(char.isdecimal() for char in base):
        return [part for part in re.split(r"\s+", base) if part] or [base]
    return [part for part in re.split(r"[\s/-]+", base) if part] or [base]


def _word(word: str, span: Span, lists: Tables) -> Token:
    start, end = span.start, span.end
    if word in lists.data["speech"]["no"] or CONTRACTED.match(word):
        return Token(NO, word, "no", start, end)
    if span.cls == "side" or (word in lists.data["sides"]["words"] and span.cls != "doing"):
        side = lists.data["sides"]["words"].get(word, word)
        return Token(SIDE if side else WORD, word, side or stem(word), start, end, look(word))
    if word in lists.numbers:
        value = lists.numbers[word]
        return Token(FIGURE, word, str(value), start, end, value=value)
    if word.lstrip("#").isascii() and word.lstrip("#").isdecimal():
        value = Fraction(word.lstrip("#"))
        return Token(FIGURE, word.lstrip("#"), str(value), start, end, value=value)
    for pattern, factor in ((_THOUSANDS, 1000), (_TIMES, 1)):
        if found := pattern.match(word):
            value = Fraction(next(group for group in found.groups() if group)) * factor
            return Token(FIGURE, word, str(value), start, end, value=value)
    root = stem(word)
    return Token(WORD, word, lists.same.get(root, root), start, end, look(word))


def _figure(span: Span, lists: Tables) -> Iterator[Token]:
    typed = span.value or span.base
    ends = re.split(r"\s?(?:-|–|to)\s?", typed) if re.fullmatch(r"[\d.]+\s?(?:-|–|to)\s?[\d.]+", typed) else [typed]
    value = _exact(ends[0], lists)
    if value is None:
        yield Token(WORD, span.base.lower(), span.base.lower(), span.start, span.end, look(span.base.lower()))
        return
    top = _exact(ends[1], lists) if len(ends) > 1 else None
    yield Token(FIGURE, typed, str(value), span.start, span.end, value=value, top=top, unit=span.unit)


def _exact(typed: str, lists: Tables) -> Fraction | None:
    word = typed.strip().lower()
    if word in lists.numbers:
        return lists.numbers[word]
    mixed = re.fullmatch(r"(\d+)[- ](\d+)/(\d+)", word)
    if mixed and int(mixed[3]):
        return int(mixed[1]) + Fraction(int(mixed[2]), int(mixed[3]))
    return exact(word.lstrip("+").replace("−", "-"))


def clauses(given: Sequence[Token]) -> list[list[Token]]:
    """Tokens parted at marks and at words that begin another statement; a bracket is a statement of its own."""
    out: list[list[Token]] = [[]]
    for token in given:
        if token.kind == MARK and token.text in _BREAKS:
            out.append([])
        elif token.text in _LINKS:
            out.append([token])
        else:
            out[-1].append(token)
    return [one for one in out if any(token.kind != WORD or token.text not in _LINKS for token in one)]


@dataclass(frozen=True, eq=False)
class Statement:
    """A told text, cut once.

    Attributes:
        text: as told.
        low: in small letters, typographic apostrophes made plain; places stay.
        tokens: all of it.
        sentences: tokens between full stops and semicolons, in clauses.
        language: of the lists that rules look into.
    """

    text: str
    low: str
    tokens: tuple[Token, ...]
    sentences: tuple[tuple[tuple[Token, ...], ...], ...]
    lists: Tables

    @property
    def clauses(self) -> tuple[tuple[Token, ...], ...]:
        """All clauses in order."""
        return tuple(clause for sentence in self.sentences for clause in sentence)


def statement(text: str, language: str = "en") -> Statement:
    """A told text as clauses."""
    plain = text.replace("’", "'").replace("\u00a0", " ").replace("\u202f", " ")
    given = tokens(plain, "story")
    whole: list[list[Token]] = [[]]
    for token in given:
        if token.kind == MARK and token.text in ".;!?":
            whole.append([])
        else:
            whole[-1].append(token)
    sentences = tuple(tuple(map(tuple, clauses(one))) for one in whole if one)
    return Statement(text, plain.lower(), given, sentences, tables(language))


def span_of(clause: Sequence[Token]) -> tuple[int, int]:
    """Where a clause stands."""
    return (clause[0].start, clause[-1].end) if clause else (0, 0)


def abbreviates(short: str, word: str) -> bool:
    """Whether the letters of a short form stand in a word in order, the first one first."""
    if not (1 < len(short) <= len(word) // 2 + 1) or not short.isalpha() or short[0] != word[0]:
        return False
    at = 0
    for letter in word:
        at += at < len(short) and short[at] == letter
    return at == len(short)


def numbers_in(text: str) -> set[Fraction]:
    """Every run of digits of a text as a number: parts of labels, of counts such as 20/20, of codes."""
    return {Fraction(one) for one in _NUMBER.findall(text)}
