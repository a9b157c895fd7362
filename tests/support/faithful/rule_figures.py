"""F2 to F5: every figure, code, part number, name and date stands in the sources, with the same digits."""

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cache

from support.faithful.figures import CODE, COUNT, DATE, MONEY, QUANTITY, Figure, number, scan
from support.faithful.finding import Finding
from support.faithful.grounds import Grounds, spelled
from support.faithful.language import load
from support.faithful.supply import Supply, half_step
from support.faithful.tokens import Text, cut, find, spanned
from ticket.job.kinds import Used
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.readings import units

_ROUND = Fraction(1, 20)  # within a twentieth of a typed figure: a rounded one, not one of our own
_CLAUSE = 120  # letters around a figure that may hold its verdict
_ITEM = 8  # words behind a count that may name its part
_BESIDE = 8  # figures before and behind one that may be the typed one it converts
_BACK, _AHEAD = 20, 30  # letters before and behind a figure that may say about, below or above


def figures(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """What is wrong with the figures of a text."""
    supply = Supply(grounds)
    found = scan(text.raw, grounds.language)
    named = {figure.unit for figure in found if figure.kind == QUANTITY}
    for i, figure in enumerate(found):
        if figure.kind == QUANTITY:
            yield from _quantity(figure, found[max(0, i - _BESIDE) : i + _BESIDE], text, supply)
        elif figure.kind == MONEY:
            yield from _money(figure, text, supply)
        elif figure.kind == COUNT:
            yield from _count(figure, named, text, supply)
        elif (figure.kind, figure.text) not in supply.letters and not _dated(figure, supply):
            if figure.kind not in (CODE, DATE) and fold(figure.text) in supply.folded:
                continue  # the same letters under another kind: a phone number may look like a part number
            yield _finding("F5", figure, f"{figure.kind} {text.raw[figure.start : figure.end]} stands in no source")
    yield from _parts(text, found, grounds)
    yield from _ones(text, grounds, supply)
    yield from _names(text, grounds)


def _finding(rule: str, figure: Figure, reason: str) -> Finding:
    return Finding(rule, reason[:1].upper() + reason[1:] + ".", figure.start, figure.end)


def _dated(figure: Figure, supply: Supply) -> bool:
    """A date written without its year is any typed date of that day."""
    day = figure.text[4:]
    return figure.kind == DATE and ((day, True) in supply.days or ("?" in figure.text and (day, False) in supply.days))


def _near_words(figure: Figure, text: Text, words: tuple[str, ...], *, ahead: bool) -> bool:
    """True where one of the words stands right before the figure, or soon behind it in the same clause."""
    if ahead:
        part = re.split(r"[,;.(]", text.raw[figure.end : figure.end + _AHEAD], maxsplit=1)[0]
        return any(word in fold(part).split() for word in words)
    before = fold(text.raw[max(0, figure.start - _BACK) : figure.start])
    return before.endswith(tuple(word.strip() for word in words))


def _about(figure: Figure, text: Text, supply: Supply) -> bool:
    """True where the figure is told as one that may be somewhat more or less."""
    language = supply.grounds.language
    behind = fold(text.raw[figure.end : figure.end + _BACK])
    return _near_words(figure, text, language.list("about"), ahead=False) or behind.startswith(
        language.list("about_after")
    )


def _quantity(figure: Figure, found: Sequence[Figure], text: Text, supply: Supply) -> Iterator[Finding]:
    value = figure.value or Fraction(0)
    same = supply.by_unit.get(figure.unit, {}).get(value, [])
    if same:
        yield from _as_typed(figure, same, text, supply)
        return
    if figure.shy and figure.digits in supply.counts.get(value, ()):
        return  # the word behind it is no unit after all, or the unit was that of another figure
    typed_units = supply.units.get(figure.dimension, set())
    if not typed_units:
        yield _finding("F2", figure, f"no source holds a figure such as {_shown(figure, text)}")
        return
    if typed_units and figure.unit not in typed_units:
        if not supply.near(figure, half_step(figure.digits)):
            yield _finding("F3", figure, f"{_shown(figure, text)} is not what was typed in another unit")
        elif not _beside(figure, found, supply):
            yield _finding("F3", figure, f"{_shown(figure, text)} stands without the figure that was typed")
        return
    if supply.near(figure, half_step(figure.digits)) and _beside(figure, found, supply):
        return
    close = supply.near(figure, max(value * _ROUND, half_step(figure.digits)))
    what = "is not the figure that was typed" if close else "is a figure of its own: no source holds it"
    yield _finding("F3" if close else "F2", figure, f"{_shown(figure, text)} {what}")


def _shown(figure: Figure, text: Text) -> str:
    return text.raw[figure.start : figure.end].strip()


def _as_typed(figure: Figure, same: list[Figure], text: Text, supply: Supply) -> Iterator[Finding]:
    """The value was typed; were its digits and its sign?"""
    forecast = (figure.value, figure.unit) in supply.forecasts and len(same) == 1
    if forecast and supply.grounds.reader == "customer" and not _about(figure, text, supply):
        yield _finding("F3", figure, f"{_shown(figure, text)} is a forecast, so it is about that long")
    if not figure.word and not any(figure.digits == one.digits for one in same):
        yield _finding("F3", figure, f"{_shown(figure, text)} was typed with other digits: {same[0].text}")
        return
    if figure.value == 0 or any(one.negative == figure.negative for one in same):
        data = supply.grounds.language
        wrong = data.list("below") if all(one.text.startswith("+") for one in same) else ()
        if wrong and _near_words(figure, text, wrong, ahead=True):
            yield _finding("F3", figure, f"{_shown(figure, text)} was typed as above, not below")
        return
    away = supply.grounds.language.list("above" if same[0].negative else "below")
    if _near_words(figure, text, away, ahead=True):
        yield _finding("F3", figure, f"{_shown(figure, text)} was typed on the other side of nought: {same[0].text}")
        return
    words = supply.grounds.language.list("below" if same[0].negative else "above")
    low = supply.grounds.language.list("verdicts", "low") if same[0].negative else ()
    if figure.negative or not (
        _near_words(figure, text, words, ahead=True)
        or any(word in fold(text.raw[max(0, figure.start - _CLAUSE) : figure.end + _CLAUSE]) for word in low)
    ):
        yield _finding("F3", figure, f"{_shown(figure, text)} lost its sign: {same[0].text} below zero was typed")


def _beside(figure: Figure, found: Sequence[Figure], supply: Supply) -> bool:
    """True where the typed figure that this one converts stands in the same text."""
    for other in found:
        if other is figure or other.dimension != figure.dimension or other.unit == figure.unit or other.value is None:
            continue
        if other.value not in supply.by_unit.get(other.unit, {}) or figure.value is None:
            continue
        converted = units.convert(other.value, other.unit, figure.unit)
        if converted is not None and abs(converted - figure.value) <= half_step(figure.digits):
            return True
    return False


def _money(figure: Figure, text: Text, supply: Supply) -> Iterator[Finding]:
    digits = supply.money.get(figure.value or Fraction(0))
    if digits is None:
        close = supply.near_amount(figure.value or Fraction(0), _ROUND)
        yield _finding("F3" if close else "F2", figure, f"no source holds the amount {_shown(figure, text)}")
    elif figure.digits not in digits and not figure.word:
        yield _finding("F3", figure, f"{_shown(figure, text)} was typed with other digits: {min(digits)}")
    elif supply.grounds.reader == "customer" and figure.value in supply.estimates:
        if not _about(figure, text, supply):
            yield _finding("F3", figure, f"{_shown(figure, text)} is an estimate, so it is about that much")


def _count(figure: Figure, named: set[str], text: Text, supply: Supply) -> Iterator[Finding]:
    value = figure.value or Fraction(0)
    rest = figure.word and _near_words(figure, text, _other(supply), ahead=False)
    if value in (supply.others if rest else supply.groups if figure.word else supply.refs):
        return
    if value in supply.counts and not rest and (figure.word or figure.digits in supply.counts[value]):
        return
    if not figure.word and _bare(figure, named, supply):
        return
    rule, what = ("F4", "counts what is not cited") if figure.word else ("F2", "stands in no source")
    yield _finding(rule, figure, f"{figure.text} {what}")


def _other(supply: Supply) -> tuple[str, ...]:
    return supply.grounds.language.list("other")


def _bare(figure: Figure, named: set[str], supply: Supply) -> bool:
    """A number without a unit may be a typed quantity or amount whose unit is named nearby, or understood."""
    value = figure.value or Fraction(0)
    terse = supply.grounds.reader != "customer"
    for unit, values in supply.by_unit.items():
        if (unit in named or terse) and any(one.digits == figure.digits for one in values.get(value, ())):
            return True
    return terse and figure.digits in supply.money.get(value, ())


def _parts(text: Text, found: Sequence[Figure], grounds: Grounds) -> Iterator[Finding]:
    """Each part is counted as its own line counts it: "two new discs" is the line of the discs."""
    facts = grounds.facts(Used)
    if grounds.kinds != {"used"} or len(facts) < 2:
        return
    lines = [(number(fact.amount), _stems(fact.text, grounds)) for fact in facts]
    counts = [(figure.end, figure.value, figure) for figure in found if figure.kind == COUNT]
    ones = [spanned(text, hit) for hit in find(text, grounds.language, grounds.language.list("one_words"))]
    for end, value, figure in counts + [(end, Fraction(1), None) for _, end in ones]:
        first = bisect_left(text.starts, end)
        words: set[str] = set()
        for i in range(first, min(first + _ITEM, len(text.words))):
            if text.clause[i] != text.clause[first] or text.keys[i] == grounds.language.data["and"]:
                break
            words.add(text.stems[i])
        best = max((len(words & stems) for _, stems in lines), default=0)
        amounts = {amount for amount, stems in lines if best and len(words & stems) == best}
        if amounts and value not in amounts and not (figure is not None and text.in_quote(figure.start)):
            start = figure.start if figure is not None else end
            yield Finding(
                "F4", "That part was counted otherwise.", start, text.words[min(first, len(text.words) - 1)].end
            )


def _stems(typed: str, grounds: Grounds) -> set[str]:
    language = grounds.language
    texts = (cut(typed, language), cut(spelled(typed, language), language))
    return {word.stem for one in texts for word in one.words if word.key not in language.empty}


def _ones(text: Text, grounds: Grounds, supply: Supply) -> Iterator[Finding]:
    """ "One" counts only where parts are counted; elsewhere it is a pronoun."""
    ones = grounds.language.list("one_words")
    if grounds.kinds != {"used"} or Fraction(1) in supply.counts or grounds.typed(*ones):
        return
    for hit in find(text, grounds.language, ones):
        start, end = spanned(text, hit)
        yield Finding("F4", "One counts what is not cited.", start, end)


_CAPITAL = Regex(r"(?<![\w.!?:“\"(‘'’\-/&])[^\W\d_a-zà-ÿ][^\W\d_]+")


def _names(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """A capital inside a sentence that no source, header or dictionary knows may be an invented name."""
    starts = {0}
    for match in re.finditer(r"[.!?:;][\"”’)]*\s+[“\"(‘]*|[“\"(‘]|\n", text.raw):
        starts.add(match.end())
    quoted = {word.start for word, inside in zip(text.words, text.quoted, strict=True) if inside}
    known = _known(grounds)
    for match in _CAPITAL.finditer(text.raw):
        if match.start() in starts or match.start() in quoted:
            continue
        if fold(match.group()) not in known:
            yield Finding("F5", f"{match.group()} is named in no source.", match.start(), match.end(), advice=True)


def _known(grounds: Grounds) -> set[str]:
    names = grounds.keys | _everywhere(grounds.language.code)
    for ticket in (grounds.ticket, *grounds.earlier):
        if ticket is not None:
            header = ticket.header
            texts = (header.customer.name, header.vehicle.label, header.vehicle.plate, header.vehicle.vin)
            names |= {word for one in texts for word in fold(one).replace("-", " ").split()}
    return names


@cache
def _everywhere(code: str) -> frozenset[str]:
    """Words that may be written with a capital anywhere: months, days, units, what short forms stand for."""
    language = load(code)
    signs = {fold(unit.sign) for name in units.NAMES if (unit := units.find(name))}
    spelled = {word for words in language.plain.values() for word in words}
    return frozenset(signs | spelled | {"i", *language.data["months"], *language.data["weekdays"]})
