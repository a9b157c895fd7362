"""Measures of a story told in the shop's own system too, in brackets behind what was typed: "12 km (7.5 mi)".

The typed figure always stands first and unchanged. The factor is exact; the result is rounded as NIST SP 1038, 4.4,
teaches (from memory): to as many significant digits as were typed, one more where the converted figure begins with a
smaller digit. Temperatures keep the decimals typed.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.job.case import AS_TYPED, Case
from ticket.job.kinds import Found, Proof
from ticket.job.numbers import exact
from ticket.job.regex import Regex
from ticket.job.values import Limits, Ref, Run
from ticket.readings.inexact import parts
from ticket.readings.limit_bounds import as_limits
from ticket.readings.measured_groups import groups
from ticket.readings.pairing import measured
from ticket.readings.units import convert, convert_gap, find
from ticket.story.sentence import Lit, Part, Phrase, Section, Sentence, Val

if TYPE_CHECKING:
    from ticket.story.sections.files import Language

_FIGURE = r"[\u2212+-]?(?:[0-9]+ [0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9][0-9,]*(?:[.,][0-9]+)?)"
_WHOLE = Regex(rf"({_FIGURE})(?:[\u00a0 ]?(\D.*))?\Z")
_FIGURES = frozenset({"number", "size", "tolerance"})
_WORDS = frozenset({"told", "typed", "place"})
_SHY = frozenset({"in", "m"})  # units whose sign is a common word: only a figure by itself has them
_ROUND = 1000  # a whole figure from here on that ends in zeros is a round one
_LEAST = 2  # digits of what a round figure becomes


@dataclass(frozen=True)
class Shown:
    """How a language writes measures.

    Attributes:
        names: the words of units, and the units they stand for.
        links: what stands between the ends of a range.
        number: a figure with plain digits, as the language writes it, thousands set off where asked.
    """

    names: dict[str, str]
    links: frozenset[str]
    number: Callable[[str, bool], str]


@cache
def _pairs() -> dict[tuple[str, str], str]:
    text = Path(__file__).with_name("conversions.tsv").read_text(encoding="utf-8")
    rows = [line.split("\t") for line in text.split("\n") if line and not line.startswith("#")][1:]
    return {(typed, system): other for typed, system, other in rows}


def other_unit(unit: str, system: str) -> str:
    """The unit of the shop's system that stands for a typed one; empty where it is of that system already."""
    known = find(unit)
    return _pairs().get((known.name, system), "") if known is not None else ""


def converted(number: str, unit: str, system: str, *, gap: bool = False) -> tuple[str, str] | None:
    """A typed figure in the unit of the other system, rounded: its digits with a plain point, and the unit.

    Args:
        number: as typed.
        unit: as typed.
        system: ``US`` or ``metric``.
        gap: it is a difference, not a point (of temperatures).
    """
    other = other_unit(unit, system)
    value = exact(number.replace("\u2212", "-"))
    if not other or value is None:
        return None
    change = convert_gap if gap else convert
    result = change(value, unit, other)
    if result is None:
        return None
    known = find(other)
    temperature = known is not None and known.dimension == "temperature"
    if value == 0 and not temperature:
        return None
    decimals = _decimals(number) if temperature else _places(number, value, result)
    return _rounded(result, decimals), other


def _decimals(number: str) -> int:
    return len(number.partition(".")[2])


def _places(number: str, value: Fraction, result: Fraction) -> int:
    """Decimals of the result (below 0: tens, hundreds)."""
    digits = re.sub(r"[^0-9.]", "", number) if "/" not in number else "11"  # two digits of a fraction
    kept = digits.lstrip("0.").replace(".", "")
    if "." not in digits and abs(value) >= _ROUND and kept.endswith("0"):
        return max(len(kept.rstrip("0")), _LEAST) - 1 - _power(result)
    return len(kept) + (_first(result) < _first(value)) - 1 - _power(result)


def _decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


def _power(value: Fraction) -> int:
    """The power of ten of the first digit."""
    return _decimal(value).adjusted()


def _first(value: Fraction) -> int:
    return _decimal(value).normalize().as_tuple().digits[0]


def _rounded(value: Fraction, decimals: int) -> str:
    """Half away from zero, as the trade rounds; a figure of hundreds stays one of hundreds."""
    told = _decimal(value).quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP)
    return f"{told:f}" if decimals >= 0 else f"{int(told)}"


def in_both(case: Case, sections: tuple[Section, ...], shown: Shown) -> tuple[Section, ...]:
    """The sections with the measures of the other system behind the typed ones; unchanged for ``as typed``."""
    if case.settings.units == AS_TYPED:
        return sections
    pass_ = _Pass(case, shown)
    return tuple(
        replace(section, sentences=tuple(pass_.sentence(sentence) for sentence in section.sentences))
        for section in sections
    )


class _Pass:
    def __init__(self, case: Case, shown: Shown) -> None:
        self.case = case
        self.system = case.settings.units
        self.shown = shown
        spelled = sorted((name for name in shown.names if name not in _SHY), key=len, reverse=True)
        names = "|".join(re.escape(name) for name in spelled)
        self.inside = re.compile(rf"(?<![\w.,/-])({_FIGURE})[\u00a0 ]?({names})(?![\w/²])")

    def sentence(self, sentence: Sentence) -> Sentence:
        """One sentence with its brackets."""
        return replace(sentence, parts=tuple(self._parts(sentence.parts)))

    def _parts(self, parts: Phrase) -> Iterator[Part]:
        low: tuple[Val, str] | None = None
        for i, part in enumerate(parts):
            before = parts[i - 1] if i else None
            if isinstance(part, Lit):
                yield part
                continue
            if part.op in _WORDS:
                yield from self._words(part)
                continue
            found = _WHOLE.match(part.text) if part.op in _FIGURES else None
            unit = self._unit(part, found[2] or "") if found else ""
            if found is None or not unit:
                low = None
                yield from self._words(part)
                continue
            yield part
            if self._goes_on(parts, i):
                low = (part, found[1])
                continue
            gap = isinstance(before, Lit) and "+/-" in before.text
            ends = [low[1], found[1]] if low is not None else [found[1]]
            link = before.text if low is not None and before is not None else ""
            yield from self._bracket(part, ends, unit, link, gap=gap)
            low = None

    def _goes_on(self, parts: Phrase, i: int) -> bool:
        """The low end of a range, whose bracket stands behind the high one."""
        link, high = (*parts[i + 1 : i + 3], None, None)[:2]
        return isinstance(link, Lit) and link.text in self.shown.links and isinstance(high, Val) and high.op in _FIGURES

    def _unit(self, part: Val, typed: str) -> str:
        """The unit told behind a figure, or that of the run a bare figure stands in."""
        if typed:
            return self.shown.names.get(typed, "")
        if part.field != "run":
            return ""
        run = self._run(part.no, part.text)
        return run.unit if run is not None else ""

    def _run(self, ref: Ref, shown: str) -> Run | None:
        """The readings of an entry that a told figure stands among; ``None`` where it may be of either of two units."""
        home = self.case.ticket
        if ref.ticket not in (0, home.number):
            home = next((ticket for ticket in self.case.earlier if ticket.number == ref.ticket), home)
        entry = home.entry(ref.no)
        if entry is None or not isinstance(entry.fact, Found | Proof):
            return None
        own = groups(entry.fact)
        if len(own) < 2:
            return own[0].run if own else None
        digits = _plain(shown.split("\u00a0", maxsplit=1)[0]).lstrip("-")
        runs = [taken.run for taken in measured(home, entry, self.case.earlier).groups]
        told = [run for run in runs if any(digits in _digits(text) for text in _texts(run))]
        return told[0] if len({run.unit for run in told}) == 1 else None

    def _bracket(self, part: Val, ends: list[str], unit: str, link: str, *, gap: bool) -> Iterator[Part]:
        run = self._run(part.no, part.text)
        limits = run.limits if run is not None and run.limits is not None else Limits()
        gap = gap or (bool(limits.spread) and limits.spread == ends[-1])
        pairs = [converted(_plain(end), unit, self.system, gap=gap) for end in ends]
        if any(pair is None for pair in pairs):
            return
        told = [pair for pair in pairs if pair is not None]
        bare = [self._written(number, other, sign=False) for number, other in told[:-1]]
        text = link.join(_signed(one, part) for one in [*bare, self._written(*told[-1])])
        yield from (Lit(" ("), replace(part, op="converted", text=text), Lit(")"))

    def _written(self, number: str, unit: str, *, sign: bool = True) -> str:
        known = find(unit)
        shown = self.shown.number(number, unit in ("mi", "km"))
        return f"{shown}\u00a0{known.sign}" if sign and known is not None else shown

    def _words(self, part: Val) -> Iterator[Part]:
        """Figures with units inside told words."""
        at = 0
        for match in self.inside.finditer(part.text):
            unit = self.shown.names[match[2]]
            pair = converted(_plain(match[1]), unit, self.system)
            if pair is not None:
                yield replace(part, text=part.text[at : match.end()])
                yield from (Lit(" ("), replace(part, op="converted", text=self._written(*pair)), Lit(")"))
                at = match.end()
        if at < len(part.text) or not at:
            yield replace(part, text=part.text[at:])


def _texts(run: Run) -> Iterator[str]:
    yield from (value.number for value in run.values)
    if run.limits is not None:
        bracket, limits = as_limits(run.limits, run.unit), run.limits
        yield from (bracket.low_text, bracket.high_text, limits.low, limits.high, limits.nominal, limits.tol)
        yield limits.spread


def _digits(typed: str) -> tuple[str, ...]:
    said = parts(typed)
    return tuple(_plain(text).lstrip("-") for text in (said.number, said.to) if text)


def _plain(figure: str) -> str:
    """A told figure with a plain minus and without thousands marks."""
    return figure.replace("\u2212", "-").replace(",", "").lstrip("+")


def _signed(text: str, part: Val) -> str:
    """A distance from a mark has no sign; elsewhere a minus is told as one."""
    return text.lstrip("-\u2212") if part.op == "size" else text.replace("-", "\u2212", 1)


def measures(language: "Language") -> Shown:
    """How a language writes measures."""
    from ticket.readings.units import NAMES

    known = [unit for name in NAMES if (unit := find(name)) is not None]
    spelled = [(word, unit.name) for unit in known for word in (unit.name, unit.sign)]
    spelled += language.leaves.unit_words()
    links = frozenset(_between(language.catalogue.text(name)) for name in ("limit.range", "value.range", "line.range"))
    return Shown(names_of(spelled), links, lambda digits, group: language.leaves.number(digits, grouping=group))


def _between(pattern: str) -> str:
    return pattern.partition("{low}")[2].partition("{high}")[0]


def names_of(spellings: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Words of units with the unit they stand for, those with a unit in the other system only."""
    held = {typed for typed, _ in _pairs()}
    return {name: unit for name, unit in spellings if unit in held}
