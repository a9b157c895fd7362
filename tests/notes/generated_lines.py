"""Generated findings together with what they mean: a grammar of its own, written without the reader's words or rules.

A clause is a subject with places, values, units, conditions and limits in one of the orders people type them; a line is one to
three clauses. Each value stands between two marks while a line is built, so that its place in the finished text is known
whatever the slips (case, spaces, tabs) did to it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from random import Random

from generated_words import (
    MEASURES,
    MOST_NUMBERED,
    NAMES_WITH_DIGITS,
    NUMBER_CONDITIONS,
    NUMBERED,
    PLACES,
    REMARKS,
    SIZES,
    SPELLINGS,
    WORD_CONDITIONS,
    Measure,
    Span,
)

MARK, END = 0xE010, "\ue000"
Bound = tuple[Fraction, str]
_ONLY_IN_A_ROW = frozenset({"L/F", "R/F", "L/R", "R/R", "lt", "rt", "B1", "B2"})
"""Alone these may be both sides, remove and replace, long term, road test, a plug: no reader can know."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """One reading a line holds. `unit` "" is a bare number; `judged` is false where people differ about its limits."""

    of: str
    at: frozenset[str]
    value: Fraction
    unit: str
    mark: int
    to: Fraction | None = None
    than: str = "="
    when: str = ""
    low: Bound | None = None
    high: Bound | None = None
    judged: bool = True
    change: bool = False
    start: int = 0
    end: int = 0

    def verdict(self) -> str:
        """What the limits say about every value the reading may stand for."""
        if self.low is None and self.high is None:
            return "none"
        least, most = self._ends()
        low, high = (self._base(bound) if bound else None for bound in (self.low, self.high))
        below = low is not None and (least < low if self.than != "<" else most <= low)
        above = high is not None and (most > high if self.than not in {">", ">="} else self._over(least, high))
        if self.than == "~":
            below, above = low is not None and most < low, high is not None and least > high
        if below or above:
            return "undecided" if below and above else "low" if below else "high"
        inside = self.than != "<" or low is None
        inside = inside and (self.than not in {">", ">="} or high is None)
        if self.than == "<":
            inside = inside and high is not None and most <= high
        if self.than in {">", ">="}:
            inside = inside and low is not None and least >= low
        if self.than == "~":
            inside = (low is None or least >= low) and (high is None or most <= high)
        return "in" if inside else "undecided"

    def _over(self, least: Fraction, high: Fraction) -> bool:
        return least >= high if self.than == ">" else least > high

    def _ends(self) -> tuple[Fraction, Fraction]:
        least, most = self.value, self.to if self.to is not None else self.value
        if self.than == "~":
            least, most = least * Fraction(9, 10), most * Fraction(11, 10)
        return self._base((least, self.unit)), self._base((most, self.unit))

    @staticmethod
    def _base(amount: Bound) -> Fraction:
        return in_base(*amount)


def in_base(value: Fraction, unit: str) -> Fraction:
    """A value in the first unit of its dimension; a bare number as it stands."""
    if not unit:
        return value
    _dimension, size, zero = SIZES[unit]
    return value * size + zero


@dataclass(frozen=True, slots=True)
class Line:
    """A typed line, its readings, the classes of the grammar it uses; `ask` names what nobody could know about it."""

    text: str
    meanings: tuple[Meaning, ...]
    classes: tuple[str, ...]
    ask: str = ""
    clauses: tuple[str, ...] = ()


@dataclass(slots=True)
class Clause:
    """One clause while it is built."""

    text: str
    meanings: list[Meaning]
    classes: list[str]
    ask: str = ""
    alone: bool = False
    placed: bool = False


@dataclass(slots=True)
class Unit:
    """How one clause types its unit."""

    name: str
    typed: str
    glue: str

    def behind(self, number: str) -> str:
        return f"{number}{self.glue}{self.typed}" if self.typed else number


@dataclass(slots=True)
class Grammar:
    """The productions; one random source, one counter of marks a line."""

    rng: Random
    marks: int = 0
    used: list[str] = field(default_factory=list)

    # -- values ---------------------------------------------------------------------------------------------------
    def unit(self, span: Span) -> Unit:
        if 32 in span.fractions:
            typed, glue = self.rng.choice((("", ""), ("", ""), ('"', ""), ("nds", ""), ("in", " ")))
            return Unit(span.unit, typed, glue)
        typed, glued = self.rng.choice(SPELLINGS[span.unit])
        tight = typed in {'"', "°"} or (glued and self.rng.random() < 0.35)
        return Unit(span.unit, typed, "" if tight else " ")

    def number(self, span: Span) -> tuple[str, Fraction]:
        """A number as typed and its value."""
        if span.fractions:
            return self._fraction(span)
        value = self.rng.uniform(span.least, span.most)
        text = f"{value:.{span.decimals}f}"
        exact = Fraction(text)
        if text.startswith("0.") and self.rng.random() < 0.4:
            text = text[1:]
        elif exact >= 1000 and self.rng.random() < 0.3:
            text = f"{int(exact):,}"
        return text, exact

    def _fraction(self, span: Span) -> tuple[str, Fraction]:
        below = self.rng.choice(span.fractions)
        if below == 32:
            above = self.rng.randint(int(span.least), int(span.most))
            return f"{above}/32", Fraction(above, 32)
        whole = self.rng.randint(int(span.least), int(span.most) - 1)
        above = self.rng.randrange(1, below, 2)
        return f"{whole}{self.rng.choice(' -')}{above}/{below}", whole + Fraction(above, below)

    def mark(self, text: str) -> tuple[str, int]:
        self.marks += 1
        return f"{chr(MARK + self.marks)}{text}{END}", self.marks

    def amount(self, span: Span, unit: Unit) -> tuple[str, Meaning]:
        """One value with its unit: mostly plain, else a range or an inequality."""
        text, value = self.number(span)
        form = self.rng.choices(("=", "range", "<", ">", "~", ">="), (80, 8, 4, 4, 3, 1))[0]
        to = None
        if form == "range" and not span.fractions:
            other, to = self.number(span)
            if to == value or "," in text + other:
                to = None
            elif to < value:
                text, value, other, to = other, to, text, value
            if to is not None:
                text = f"{text}{self.rng.choice(('-', ' to ', '-', ' - '))}{other}"
        elif form in {"<", ">"} and not span.fractions:
            words = {"<": ("<", "< ", "less than ", "under "), ">": (">", "> ", "more than ", "over ")}[form]
            text = self.rng.choice(words) + text
        elif form == "~" and not span.fractions:
            text = self.rng.choice(("~", "about ", "approx ", "~ ")) + text
        elif form == ">=" and not span.fractions and value.denominator == 1:
            text += "+"
        than = form if form in {"<", ">", "~", ">="} and not text[0].isdigit() or text.endswith("+") else "="
        if text[0] == ".":
            than = "="
        if to is not None or than != "=":
            self.used.append(f"value {than if to is None else 'range'}")
        marked, mark = self.mark(text)
        return unit.behind(marked), Meaning("", frozenset(), value, unit.name, mark, to, than)

    def plain(self, span: Span) -> tuple[str, Meaning]:
        text, value = self.number(span)
        marked, mark = self.mark(text)
        return marked, Meaning("", frozenset(), value, span.unit, mark)

    # -- places ---------------------------------------------------------------------------------------------------
    def places(self, system: str, most: int = 4) -> list[tuple[str, frozenset[str]]]:
        """Two or more places of one system in one spelling, in the order people walk around a vehicle or not."""
        if system in PLACES:
            row = [(typed, frozenset(meaning)) for typed, meaning in self.rng.choice(PLACES[system])]
        else:
            spelling = self.rng.choice(NUMBERED[system])
            last = MOST_NUMBERED[system]
            first = 1 if self.rng.random() < 0.7 else self.rng.randint(1, max(1, last - 3))
            row = [(spelling.format(n), frozenset({f"{system} {n}"})) for n in range(first, last + 1)]
        row = row[: max(2, self.rng.randint(2, most))]
        if self.rng.random() < 0.15 and row[0][0] not in _ONLY_IN_A_ROW:
            self.rng.shuffle(row)
        return row

    # -- conditions -----------------------------------------------------------------------------------------------
    def condition(self, measure: Measure, span: Span) -> tuple[str, str]:
        """A condition as typed and its class; empty where the measure has none."""
        dimension = SIZES[span.unit][0]
        kinds = [
            k
            for k in measure.conditions
            if k not in NUMBER_CONDITIONS or SIZES[NUMBER_CONDITIONS[k][0]][0] != dimension
        ]
        if not kinds:
            return "", ""
        kind = self.rng.choice(kinds)
        if kind in NUMBER_CONDITIONS and (kind not in WORD_CONDITIONS or self.rng.random() < 0.5):
            name, least, most, step, markers = NUMBER_CONDITIONS[kind]
            typed, glued = self.rng.choice(SPELLINGS[name])
            marker = self.rng.choice(markers)
            number = str(self.rng.randrange(least, most + 1, step))
            return f"{marker}{number}{'' if glued and self.rng.random() < 0.3 else ' '}{typed}", "condition number"
        return self.rng.choice(WORD_CONDITIONS[kind]), "condition word"

    # -- limits ---------------------------------------------------------------------------------------------------
    def limits(
        self, measure: Measure, span: Span, unit: Unit, near: Fraction, *, bare_number: bool
    ) -> tuple[str, Bound | None, Bound | None]:
        """Limits near a value, as typed behind it or in front of a list, with what they mean."""
        side = measure.limit if self.rng.random() < 0.9 else self.rng.choice(("low", "high", "both"))
        other = self._limit_unit(span, unit, bare_number=bare_number)
        if side == "both":
            return self._both(span, other, near)
        text, value = self._limit_number(span, other, near, self.rng.choice((0.5, 0.8, 1.0, 1.2, 1.5)))
        return self._one_sided(side, other.behind(text)), *(
            ((value, other.name), None) if side == "low" else (None, (value, other.name))
        )

    def _limit_unit(self, span: Span, unit: Unit, *, bare_number: bool) -> Unit:
        roll = self.rng.random()
        if bare_number and roll < 0.4 and not span.fractions:
            self.used.append("limits without unit")
            return Unit(span.unit, "", "")
        if roll > 0.85 and not span.fractions:
            dimension = SIZES[span.unit][0]
            names = [u for u, (d, _s, _z) in SIZES.items() if d == dimension and u not in {span.unit, "cm", "min", "s"}]
            if names:
                name = self.rng.choice(names)
                self.used.append("limits in another unit")
                typed, _glued = self.rng.choice(SPELLINGS[name])
                return Unit(name, typed, "" if typed in {'"', "°"} else " ")
        return unit

    def _limit_number(self, span: Span, unit: Unit, near: Fraction, factor: float) -> tuple[str, Fraction]:
        """A number of the unit of the limits, near a value of the span's unit."""
        if 32 in span.fractions:
            above = max(1, min(24, round(float(near) * 32 * factor)))
            return f"{above}/32", Fraction(above, 32)
        if span.fractions:
            eighths = max(9, round(float(near) * 8 * factor)) | 1
            return f"{eighths // 8}-{eighths % 8}/8", Fraction(eighths, 8)
        base = in_base(near, span.unit)
        _dimension, size, zero = SIZES[unit.name]
        here = float((base - zero) / size) * factor
        decimals = span.decimals if unit.name == span.unit else 3 if abs(here) < 1 else 1
        text = f"{abs(here):.{decimals}f}"
        return (text[1:] if text.startswith("0.") and self.rng.random() < 0.3 else text), Fraction(text)

    def _one_sided(self, side: str, amount: str) -> str:
        behind_unit = not amount[-1].isdigit()
        low = [
            "min {}",
            "min. {}",
            "minimum {}",
            "at least {}",
            "not less than {}",
            "no less than {}",
            "spec min {}",
            "min: {}",
            "should be at least {}",
            "spec: min {}",
            "(>{})",
            "(> {})",
            "(≥ {})",
            "(>= {})",
            "({} or more)",
            "min spec {}",
        ]
        high = [
            "max {}",
            "max. {}",
            "maximum {}",
            "no more than {}",
            "not over {}",
            "not more than {}",
            "spec max {}",
            "max: {}",
            "should be under {}",
            "spec: max {}",
            "(<{})",
            "(< {})",
            "(≤ {})",
            "(<= {})",
            "({} or less)",
            "up to {}",
            "at most {}",
        ]
        if behind_unit:
            low.append("{} min")
            high.append("{} max")
        return self._wrapped(self.rng.choice(low if side == "low" else high).format(amount))

    def _both(self, span: Span, unit: Unit, near: Fraction) -> tuple[str, Bound | None, Bound | None]:
        if self.rng.random() < 0.2 and not span.fractions and unit.name == span.unit:
            middle, m = self._limit_number(span, unit, near, self.rng.choice((0.7, 1.0, 1.1, 1.4)))
            give, g = self._limit_number(span, unit, near, 0.1)
            shape = self.rng.choice(
                ("({} +/- {})", "({} ± {})", "(spec {} +/- {})", "({} +/-{})", "spec {} +/- {}", "({}±{})")
            )
            return shape.format(middle, unit.behind(give)), (m - g, unit.name), (m + g, unit.name)
        low, l_value = self._limit_number(span, unit, near, self.rng.choice((0.5, 0.7, 0.9, 1.2)))
        high, h_value = self._limit_number(span, unit, near, self.rng.choice((0.95, 1.3, 1.6, 2.0)))
        if h_value <= l_value:
            low, l_value, high, h_value = high, h_value, low, l_value
        if h_value == l_value:
            text = self._one_sided("low", unit.behind(low))
            return text, (l_value, unit.name), None
        shapes = [
            "({}-{})",
            "({} - {})",
            "({} to {})",
            "spec {}-{}",
            "spec: {} to {}",
            "specs {}-{}",
            "should be {} to {}",
            "s/b {}-{}",
            "range {}-{}",
            "normal {}-{}",
            "min {} max {}",
            "min {}, max {}",
            "between {} and {}",
            "limits {}-{}",
            "spec {} - {}",
        ]
        if span.fractions:  # `1-3/8-2-1/8` says nothing to anybody
            shapes = [s for s in shapes if "-" not in s]
        shape = self.rng.choice(shapes)
        first = unit.behind(low) if "to" in shape or "m" in shape and self.rng.random() < 0.3 else low
        if "min {}, max" in shape:
            shape = f"({shape})"
        return self._wrapped(shape.format(first, unit.behind(high))), (l_value, unit.name), (h_value, unit.name)

    def _wrapped(self, text: str) -> str:
        """With or without brackets; a bare inequality, range or "or more" is no limit without them."""
        if text.startswith("("):
            inside = text[1:-1]
            return f"[{inside}]" if self.rng.random() < 0.05 else text
        return f"({text})" if self.rng.random() < 0.6 else text

    def joined(self, text: str, limits: str) -> str:
        """A value or list with its limits behind it."""
        if not limits:
            return text
        self.used.append("limits in brackets" if limits[0] in "([" else "limits bare")
        return f"{text}{' ' if limits[0] in '([' else self.rng.choice((' ', ', '))}{limits}"

    # -- clauses --------------------------------------------------------------------------------------------------
    def begin(self, *, system: str = "", plain: bool = False) -> tuple[Measure, Span, Unit, str]:
        fitting = [
            m for m in MEASURES if (not system or system in m.places) and (not plain or not m.spans[0].fractions)
        ]
        measure = self.rng.choice(fitting)
        span = self.rng.choice(measure.spans)
        return measure, span, self.unit(span), self.rng.choice(measure.names)

    def single(self) -> Clause:
        """One subject, perhaps one place, one value, perhaps a condition and limits."""
        measure, span, unit, subject = self.begin()
        value, meaning = self.amount(span, unit)
        classes, at, place = ["single"], frozenset[str](), ""
        systems = [s for s in measure.places if s != "wheel"]
        if systems and self.rng.random() < 0.7:
            place, at = self.rng.choice(self.places(self.rng.choice(systems)))
            if place in _ONLY_IN_A_ROW or at in ({"left"}, {"right"}):
                place = at_words(at)
        text, form = self._ordered(subject, place, value)
        when, when_class = self.condition(measure, span) if self.rng.random() < 0.5 else ("", "")
        limits, low, high = "", None, None
        if self.rng.random() < 0.6:
            limits, low, high = self.limits(measure, span, unit, meaning.value, bare_number=True)
        text = self._finished(text, when, limits, value, form)
        classes += [form, when_class] if when else [form]
        done = replace(meaning, of=subject, at=at, when=when, low=low, high=high)
        return Clause(text, [done], classes, alone=limits[:1] in {"(", "["} or not limits, placed=bool(place))

    def _finished(self, text: str, when: str, limits: str, value: str, form: str) -> str:
        """Condition and limits behind a reading, in either order; a bare limit never stands before a condition."""
        if not when:
            return self.joined(text, limits)
        roll = self.rng.random()
        if roll < 0.2 and text.endswith(value) and form == "place before" and not when.startswith("@"):
            return self.joined(f"{text.removesuffix(value)}{when} {value}", limits)
        if roll < 0.35 and limits[:1] == "(":
            return f"{self.joined(text, limits)} {when}"
        return self.joined(f"{text}{self.rng.choice((' ', ' ', ', ')) if when[0] != '@' else ' '}{when}", limits)

    def _ordered(self, subject: str, place: str, value: str) -> tuple[str, str]:
        sign = self.rng.choice((" ", " ", " ", ": ", " = "))
        if not place:
            return f"{subject}{sign}{value}", "no place"
        shape = self.rng.choice(
            (
                "{p} {s}{=}{v}",
                "{p} {s}{=}{v}",
                "{s} {p}{=}{v}",
                "{s} {p}{=}{v}",
                "{s}{=}{v} {p}",
                "{v} {s} {p}",
                "{p}: {s} {v}",
                "{v} {p} {s}",
            )
        )
        text = shape.replace("{=}", sign).replace("{p}", place).replace("{s}", subject).replace("{v}", value)
        return text, "place before" if text.endswith(value) else "value first" if text.startswith(
            value
        ) else "place behind"

    def listed(self) -> Clause:
        """Several places, each with its value; unit each time, once, or never."""
        system = self.rng.choice(("corner", "side", "cylinder", "axle", "bank", "pin", "corner", "side"))
        measure, span, unit, subject = self.begin(system=system)
        places = self.places(system)
        units = self.rng.choice(("each", "once", "each"))
        behind = units == "each" and self.rng.random() < 0.25
        between = self.rng.choice((", ", " ", ", ", ",  ")) if not behind else ", "
        sign = self.rng.choice((" ", " ", ": ", "=", " = ")) if not behind else " "
        parts, meanings = [], []
        for place, at in places:
            number, meaning = self.plain(span)
            value = unit.behind(number) if units == "each" or place == places[-1][0] else number
            parts.append(f"{value} {place}" if behind else f"{place}{sign}{value}")
            meanings.append(replace(meaning, of=subject, at=at))
        head = subject + ("" if behind else self.rng.choice(("", ":", "", "")))
        clause = Clause(
            f"{head} {between.join(parts)}",
            meanings,
            ["list behind" if behind else "list", f"unit {units}", f"between {between!r}"],
        )
        return self._shared(clause, measure, span, unit)

    def _shared(self, clause: Clause, measure: Measure, span: Span, unit: Unit) -> Clause:
        """Limits and a condition said once for a whole list."""
        when, when_class = self.condition(measure, span) if self.rng.random() < 0.25 else ("", "")
        if when and not when.startswith("@"):
            clause.text = (
                f"{when} {clause.text}"
                if self.rng.random() < 0.3 and when in {"hot", "cold", "warm"}
                else f"{clause.text} {when}"
            )
            clause.meanings = [replace(m, when=when) for m in clause.meanings]
            clause.classes += [when_class, "condition shared"]
        if self.rng.random() < 0.5:
            limits, low, high = self.limits(measure, span, unit, clause.meanings[0].value, bare_number=True)
            clause.text = self.joined(clause.text, limits)
            clause.meanings = [replace(m, low=low, high=high) for m in clause.meanings]
            clause.classes.append("limits shared")
        return clause

    def rowed(self) -> Clause:
        """All places, then as many values."""
        system = self.rng.choice(("corner", "side", "cylinder", "axle"))
        measure, span, unit, subject = self.begin(system=system, plain=True)
        places = self.places(system)
        if system in NUMBERED:
            places = self._counted_row(system)
        names, values, meanings = [], [], []
        for place, at in places:
            number, meaning = self.plain(span)
            names.append(place)
            values.append(number)
            meanings.append(replace(meaning, of=subject, at=at))
        if system in NUMBERED:
            row = f"{self.rng.choice(('cyl', 'cyls', 'cylinders') if system == 'cylinder' else ('axle', 'axles'))} {self._numbers(names)}"
        else:
            slash = self.rng.random() < 0.4 and "/" not in "".join(names)
            row = ("/" if slash else self.rng.choice((" ", ", "))).join(names)
        between = self.rng.choice((" ", "/", ", ", " / "))
        sign = self.rng.choice((" ", ": ", " "))
        if system in NUMBERED and row[-1].isdigit():
            sign = ": "
        text = f"{subject} {row}{sign}{between.join(values[:-1] + [unit.behind(values[-1])])}"
        return self._shared(
            Clause(text, meanings, ["row", f"row of {system}", f"between {between!r}"]), measure, span, unit
        )

    def _counted_row(self, system: str) -> list[tuple[str, frozenset[str]]]:
        last = self.rng.randint(2, min(6, MOST_NUMBERED[system]))
        return [(str(n), frozenset({f"{system} {n}"})) for n in range(1, last + 1)]

    def _numbers(self, names: list[str]) -> str:
        return self.rng.choice(
            (f"{names[0]}-{names[-1]}", ",".join(names), f"{names[0]} to {names[-1]}", ", ".join(names))
        )

    def counted(self) -> Clause:
        """Numbered places whose word is said once or never: `cyl 1 120 2 125`, `1: 120, 2: 125`, `#1 120 #2 125`."""
        measure, span, unit, subject = self.begin(system="cylinder", plain=True)
        row = self._counted_row("cylinder")
        shape = self.rng.choice(
            (
                "cyl {n} {v}| {n} {v}",
                "{n}: {v}|, {n}: {v}",
                "#{n} {v}| #{n} {v}",
                "#{n} {v}|, #{n} {v}",
                "cyl {n} {v}|, {n} {v}",
                "{n}={v}| {n}={v}",
                "{n}-{v}|, {n}-{v}",
                "cyl {n}: {v}|, cyl {n}: {v}",
            )
        )
        first, later = shape.split("|")
        each = self.rng.random() < 0.3
        text, meanings = "", []
        for name, at in row:
            number, meaning = self.plain(span)
            while meaning.value in range(9):  # `cyl 1 2 2 47` says nothing to anybody
                number, meaning = self.plain(span)
            value = unit.behind(number) if each or name == row[-1][0] else number
            text += (later if text else first).format(n=name, v=value)
            meanings.append(replace(meaning, of=subject, at=at))
        return self._shared(Clause(f"{subject} {text}", meanings, ["counted", f"counted {shape}"]), measure, span, unit)

    def nested(self) -> Clause:
        """Places of two levels: corner and inner or outer, axle and side."""
        deep = self.rng.random() < 0.5
        outer, inner = ("corner", "wheel") if deep else ("axle", "side")
        measure, span, unit, subject = self.begin(system="wheel" if deep else "axle")
        upper, lower = self.places(outer, 3), self.places(inner, 2)
        each = self.rng.random() < 0.6
        if unit.name == "in" and unit.typed.startswith("in"):
            unit = Unit("in", "" if 32 in span.fractions else '"', "")
        groups, meanings = [], []
        for above, above_at in upper:
            cells = []
            for below, below_at in lower:
                number, meaning = self.plain(span)
                last = above == upper[-1][0] and below == lower[-1][0]
                cells.append(f"{below} {unit.behind(number) if each or last else number}")
                meanings.append(replace(meaning, of=subject, at=above_at | below_at))
            groups.append(f"{above} {' '.join(cells)}")
        text = f"{subject} {self.rng.choice((', ', ', ', ' ')).join(groups)}"
        return self._shared(Clause(text, meanings, ["nested", f"nested {outer}"]), measure, span, unit)

    def paired(self) -> Clause:
        """`L/R 5/4 mm`, `LF/RF 34/35 psi`."""
        system = self.rng.choice(("side", "corner"))
        measure, span, unit, subject = self.begin(system=system, plain=True)
        (a, a_at), (b, b_at) = (
            self.rng.choice(
                (
                    (("L", frozenset({"left"})), ("R", frozenset({"right"}))),
                    (("left", frozenset({"left"})), ("right", frozenset({"right"}))),
                )
            )
            if system == "side"
            else tuple(self.places("corner", 2)[:2])
        )
        if "/" in a + b:
            a, b = a.replace("/", ""), b.replace("/", "")
        first, m_first = self.plain(span)
        second, m_second = self.plain(span)
        text = f"{subject} {a}/{b} {first}{self.rng.choice(('/', ' / ', '/'))}{unit.behind(second)}"
        meanings = [replace(m_first, of=subject, at=a_at), replace(m_second, of=subject, at=b_at)]
        return self._shared(Clause(text, meanings, ["paired"]), measure, span, unit)

    def states(self) -> Clause:
        """One subject under two conditions."""
        name, first, second = self.rng.choice(
            (
                ("batt", "static", "cranking"),
                ("compression", "dry", "wet"),
                ("oil pressure", "cold", "hot"),
                ("oil pressure", "at idle", "@ 2000 rpm"),
                ("voltage drop", "no load", "loaded"),
                ("battery", "engine off", "engine running"),
            )
        )
        measure = next(m for m in MEASURES if name in m.names)
        span = measure.spans[0]
        unit = self.unit(span)
        before = self.rng.random() < 0.4 and not first.startswith("at")
        parts, meanings = [], []
        for when in (first, second):
            number, meaning = self.plain(span)
            value = unit.behind(number)
            parts.append(f"{when} {value}" if before else f"{value} {when}")
            meanings.append(replace(meaning, of=name, when=when))
        text = f"{name} {self.rng.choice((', ', ', ', ' ' if before else ', ')).join(parts)}"
        if self.rng.random() < 0.3:
            limits, low, high = self.limits(measure, span, unit, meanings[-1].value, bare_number=False)
            text = self.joined(text, limits)
            # Rule 6 of handing out limits: the last value has them, people differ about the other.
            meanings = [
                replace(meanings[0], judged=False),
                replace(meanings[1], low=low, high=high, judged=limits[:1] == "("),
            ]
        return Clause(text, meanings, ["states", "states before" if before else "states behind"])

    def changed(self) -> Clause:
        """A value that went to another."""
        measure, span, unit, subject = self.begin(plain=True)
        first, m_first = self.plain(span)
        second, m_second = self.plain(span)
        shape = self.rng.choice(
            (
                "{s} {a} -> {b}",
                "{s} {u} -> {b}",
                "{s} {u} before, {b} after",
                "{s} dropped from {u} to {b}",
                "{s} {u} before {b} after",
                "{s} before {u} after {b}",
            )
        )
        if "dropped" in shape and m_first.value < m_second.value:
            first, second, m_first, m_second = second, first, m_second, m_first
        text = shape.format(s=subject, a=first, u=unit.behind(first), b=unit.behind(second))
        return Clause(
            text,
            [replace(m, of=subject, change=True, judged=False) for m in (m_first, m_second)],
            ["change", f"change {shape}"],
        )

    def asked(self) -> Clause:
        """What nobody could know: the reader has to ask and may state nothing that hangs on it."""
        kind = self.rng.choice(("mohm", "two subjects", "places without values", "slip", "slip letter"))
        _measure, span, unit, subject = self.begin(system="corner", plain=True)
        number, meaning = self.plain(span)
        if kind == "mohm":
            number = f"{self.rng.randint(1, 90)}"
            text, meanings = f"ground strap {number} {self.rng.choice(('mohm', 'mohms', 'MOHM'))}", list[Meaning]()
        elif kind == "two subjects":
            a, b = self.rng.sample(("inlet", "outlet", "sump", "gallery", "port", "feed"), 2)
            x, y = self.rng.randint(20, 60), self.rng.randint(20, 60)
            text, meanings = f"{a} {x} psi {b} {y} psi (20-{self.rng.randint(40, 70)})", []
        elif kind == "places without values":
            values = " ".join(self.number(span)[0] for _ in range(3))
            text, meanings = f"{subject} LF RF LR RR {unit.behind(values)}", []
        else:
            bad = (
                f"{self.rng.randint(1, 9)},.{self.rng.randint(1, 9)}"
                if kind == "slip"
                else f"{self.rng.randint(1, 9)}.{self.rng.randint(1, 9)}o"
            )
            text, meanings = f"{subject} LF {unit.behind(bad)}", []
        del number, meaning
        return Clause(text, meanings, ["asked", f"asked {kind}"], ask=kind)

    def clause(self) -> Clause:
        kinds: tuple[tuple[Callable[[], Clause], int], ...] = (
            (self.single, 40),
            (self.listed, 18),
            (self.rowed, 8),
            (self.counted, 6),
            (self.nested, 8),
            (self.paired, 5),
            (self.states, 6),
            (self.changed, 4),
            (self.asked, 2),
        )
        made = self.rng.choices([k for k, _w in kinds], [w for _k, w in kinds])[0]()
        if len(made.meanings) == 1 and not made.ask:
            self._dressed(made)
        return made

    def _dressed(self, made: Clause) -> None:
        """Words that change nothing: a name with digits before it, a remark behind it."""
        roll = self.rng.random()
        if roll < 0.04:
            made.text = f"{self.rng.choice(NAMES_WITH_DIGITS)} {made.text}"
            made.classes.append("name with digits")
        elif roll < 0.12 and (not made.classes or "value first" not in made.classes):
            made.text = f"{made.text}{self.rng.choice((' ', ', '))}{self.rng.choice(REMARKS)}"
            made.classes.append("remark")

    # -- lines ----------------------------------------------------------------------------------------------------
    def line(self) -> Line:
        self.marks, self.used = 0, []
        clauses = [self.clause() for _ in range(self.rng.choices((1, 2, 3), (70, 22, 8))[0])]
        if any(c.ask for c in clauses):
            clauses = [next(c for c in clauses if c.ask)]
        between = "; "
        if len(clauses) > 1 and self._may_stand_with_commas(clauses):
            between = self.rng.choice((", ", "; "))
        if len({m.of for c in clauses for m in c.meanings}) < len(clauses) and len(clauses) > 1:
            clauses = clauses[:1]
        marked, slip = self._slipped(between.join(c.text for c in clauses))
        text, spans = unmarked(marked)
        meanings = tuple(replace(m, start=spans[m.mark][0], end=spans[m.mark][1]) for c in clauses for m in c.meanings)
        several = [f"clauses {len(clauses)} {between!r}"] if len(clauses) > 1 else []
        classes = [*(k for c in clauses for k in c.classes if k), *self.used, *several, *([slip] if slip else [])]
        return Line(
            text,
            meanings,
            tuple(dict.fromkeys(classes)),
            next((c.ask for c in clauses if c.ask), ""),
            tuple(unmarked(c.text)[0] for c in clauses),
        )

    def _may_stand_with_commas(self, clauses: list[Clause]) -> bool:
        """Commas part clauses only where nothing can go over them: a place, a bare limit, a bare number."""
        if not all(c.alone and len(c.meanings) == 1 for c in clauses) or "limits without unit" in self.used:
            return False
        if any(m.unit in {"C", "F", "rpm"} for c in clauses for m in c.meanings):
            return False  # beside another reading how warm and how fast it ran are conditions, said by comma or not
        return len({c.placed for c in clauses}) == 1

    def _slipped(self, text: str) -> tuple[str, str]:
        roll = self.rng.random()
        if roll < 0.06 and not re.search(r"[Mm]ohm|MOHM|mohm|kΩ|Ω", text):
            return text.lower(), "slip lower"
        if roll < 0.10 and not re.search(r"[Mm]ohm|MOHM|mohm|kΩ|Ω|nds", text):
            return text.upper(), "slip upper"
        if roll < 0.13:
            return re.sub(" ", "  ", text, count=3), "slip spaces"
        if roll < 0.15:
            return re.sub(r", (?=[A-Za-z])", ",", text), "slip comma"
        if roll < 0.17:
            return f" {text} ", "slip ends"
        if roll < 0.19:
            return text + ".", "slip period"
        return text, ""


def at_words(at: frozenset[str]) -> str:
    """A place written so that it stands alone: L may be a terminal or litres, left what remains, right correct."""
    if at <= {"left", "right"}:
        return "LH" if "left" in at else "RH"
    if not at <= {"left", "right", "front", "rear"}:
        return " ".join(at)
    return " ".join(sorted(at, key=("left", "right", "front", "rear").index))


def unmarked(text: str) -> tuple[str, dict[int, tuple[int, int]]]:
    """The text as typed, and where each marked value stands in it."""
    out: list[str] = []
    spans: dict[int, tuple[int, int]] = {}
    opened: int = 0
    for char in text:
        if char == END:
            spans[opened] = (spans[opened][0], len(out))
        elif MARK <= ord(char) < 0xF000:
            opened = ord(char) - MARK
            spans[opened] = (len(out), len(out))
        else:
            out.append(char)
    return "".join(out), spans


def generated(seed: int, count: int) -> Iterable[Line]:
    """So many lines, the same for the same seed."""
    grammar = Grammar(Random(seed))
    for _ in range(count):
        yield grammar.line()
