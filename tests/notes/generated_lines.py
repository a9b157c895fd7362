"""Generated findings together with what they mean: a grammar of its own, written without the reader's words or rules.

A clause is a subject with places, values, units, conditions and limits in one of the orders people type them; a line is
one to three clauses. Each value stands between two marks while a line is built, so that its place in the finished text
is known whatever the slips (case, spaces, tabs) did to it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from random import Random

from generated_meaning import Clause, Line, Meaning, Unit, unmarked
from generated_pieces import ONLY_IN_A_ROW, Pieces
from generated_words import (
    MEASURES,
    MOST_NUMBERED,
    NAMES_WITH_DIGITS,
    NUMBERED,
    REMARKS,
    Measure,
    Span,
)


class Grammar(Pieces):
    """The productions of clauses and lines."""

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
            if place in ONLY_IN_A_ROW or at in ({"left"}, {"right"}):
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
            words = ("cyl", "cyls", "cylinders") if system == "cylinder" else ("axle", "axles")
            row = f"{self.rng.choice(words)} {self._numbers(names)}"
        else:
            slash = self.rng.random() < 0.4 and "/" not in "".join(names)
            row = ("/" if slash else self.rng.choice((" ", ", "))).join(names)
        between = self.rng.choice((" ", "/", ", ", " / "))
        sign = self.rng.choice((" ", ": ", " "))
        if system in NUMBERED and row[-1].isdigit():
            sign = ": "
        text = f"{subject} {row}{sign}{between.join([*values[:-1], unit.behind(values[-1])])}"
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
        _measure, span, unit, subject = self.begin(plain=True)
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


def generated(seed: int, count: int) -> Iterable[Line]:
    """So many lines, the same for the same seed."""
    grammar = Grammar(Random(seed))
    for _ in range(count):
        yield grammar.line()
