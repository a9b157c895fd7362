"""The pieces of generated findings: values with their units, places, conditions, limits, each in many spellings."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from random import Random

from generated_meaning import END, MARK, Bound, Meaning, Unit, in_base
from generated_words import (
    MOST_NUMBERED,
    NUMBER_CONDITIONS,
    NUMBERED,
    PLACES,
    SIZES,
    SPELLINGS,
    WORD_CONDITIONS,
    Measure,
    Span,
)

ONLY_IN_A_ROW = frozenset({"L/F", "R/F", "L/R", "R/R", "lt", "rt", "B1", "B2"})
"""Alone these may be both sides, remove and replace, long term, road test, a plug: no reader can know."""


@dataclass(slots=True)
class Pieces:
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
        than = form if (form in {"<", ">", "~", ">="} and not text[0].isdigit()) or text.endswith("+") else "="
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
        if self.rng.random() < 0.15 and row[0][0] not in ONLY_IN_A_ROW:
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
        first = unit.behind(low) if "to" in shape or ("m" in shape and self.rng.random() < 0.3) else low
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
