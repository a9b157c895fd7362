"""The figures a sentence may hold: those typed in its sources, and what may be worked out from them."""

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator
from datetime import datetime, timedelta
from fractions import Fraction

from support.faithful.figures import (
    CODE,
    COUNT,
    DATE,
    MONEY,
    PART,
    QUANTITY,
    SUB,
    Figure,
    number,
    quantity,
    scan,
)  # fmt: skip
from support.faithful.grounds import Grounds, Reading
from ticket.job.entry import Entry
from ticket.job.kinds import Code, Did, Found, Later, Offer, Proof, Used
from ticket.job.numbers import step
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.job.values import Run
from ticket.readings import units
from ticket.readings.inexact import parts
from ticket.readings.limit_bounds import as_limits
from ticket.readings.pairing import measured
from ticket.story.facts.answered import same_item

_AMOUNTS = ("total", "ceiling", "estimate", "price", "core", "cost", "parts", "deposit")
_STRUCTURED = frozenset({*_AMOUNTS, "hours", "less", "amount", "run", "code", "sub"})  # what they are, no prose
_TIMES = ("calendar", "time")
_PIECES = ("x", "set", "pair", "pcs", "")
_FAR = timedelta(hours=14)  # the furthest a local day is from the same moment in UTC


class Supply:
    """The typed figures of the sources, ready to be asked."""

    def __init__(self, grounds: Grounds) -> None:
        self.grounds = grounds
        self.letters: set[tuple[str, str]] = set()
        self.folded: set[str] = set()
        self.days: set[tuple[str, bool]] = set()
        self.by_unit: dict[str, dict[Fraction, list[Figure]]] = {}
        self.by_dimension: dict[str, list[Fraction]] = {}
        self.units: dict[str, set[str]] = {}
        self.money: dict[Fraction, set[str]] = {}
        self.counts: dict[Fraction, set[str]] = {}
        self.groups: set[Fraction] = set()
        self.others: set[Fraction] = set()
        self.refs: set[Fraction] = set()
        self.forecasts: set[tuple[Fraction, str]] = set()
        self.estimates: set[Fraction] = set()
        for figure in self._figures():
            self._take(figure)
        for values in self.by_dimension.values():
            values.sort()
        self.amounts = sorted(self.money)
        self.groups |= {Fraction(count) for count in self._groups()}
        if grounds.reader != "customer":
            self.refs |= {Fraction(no) for no in self._references()}
        firm = {number(fact.total) for fact in grounds.facts() if getattr(fact, "total", "")}
        self.estimates -= firm

    def _take(self, figure: Figure) -> None:
        if figure.kind == QUANTITY and figure.value is not None:
            value = figure.signed
            self.by_unit.setdefault(figure.unit, {}).setdefault(abs(value or Fraction(0)), []).append(figure)
            self.units.setdefault(figure.dimension, set()).add(figure.unit)
            self.by_dimension.setdefault(figure.dimension, []).append(_in_base(figure.value, figure.unit))
            if figure.shy:
                self.counts.setdefault(figure.value, set()).add(figure.digits)
        elif figure.kind == MONEY and figure.value is not None:
            self.money.setdefault(figure.value, set()).add(figure.digits)
        elif figure.kind == COUNT and figure.value is not None:
            self.counts.setdefault(figure.value, set()).add(figure.digits)
        else:
            self.letters.add((figure.kind, figure.text))
            self.folded.add(fold(figure.text))
            if figure.kind == DATE:
                self.days.add((figure.text[4:], "?" in figure.text))

    def near(self, figure: Figure, slack: Fraction) -> bool:
        """True where a typed figure of the same dimension is at most ``slack`` away, in the figure's unit."""
        values = self.by_dimension.get(figure.dimension, [])
        if figure.value is None or not values:
            return False
        low, high = _in_base(figure.value - slack, figure.unit), _in_base(figure.value + slack, figure.unit)
        low, high = min(low, high), max(low, high)
        place = bisect_left(values, low)
        return place < len(values) and values[place] <= high

    def near_amount(self, value: Fraction, share: Fraction) -> bool:
        """True where a typed amount is at most this share of itself away."""
        place = bisect_left(self.amounts, value / (1 + share))
        return place < len(self.amounts) and self.amounts[place] <= value / (1 - share)

    def _figures(self) -> Iterator[Figure]:
        grounds, language = self.grounds, self.grounds.language
        for text in grounds.derived:
            figures = scan(text, language)
            self.forecasts |= {(f.value, f.unit) for f in figures if f.value is not None and f.dimension in _TIMES}
            yield from figures
        for entry in grounds.entries:
            yield from self._entry(entry)
            if entry.amended:
                yield from _around(entry.at)
        for piece in grounds.pieces:
            if piece.entry is not None and piece.field not in _STRUCTURED:
                for one in piece.texts:
                    yield from scan(one.raw, language)
        if grounds.ticket is not None:
            yield from self._header(grounds.ticket)
        for ticket in grounds.earlier:
            yield from self._header(ticket)
            yield from _around(*(at for at in (ticket.opened, ticket.closed) if at is not None))

    def _entry(self, entry: Entry) -> Iterator[Figure]:
        """The figures of the fields that are more than prose."""
        fact = entry.fact
        if isinstance(fact, Found | Proof):
            for taken in measured(self.grounds.home(entry), entry, self.grounds.earlier).groups:
                yield from self._run(taken.run)
        if isinstance(fact, Code):
            yield Figure(CODE, fact.code.upper(), 0, 0)
            yield Figure(SUB, fact.sub.upper(), 0, 0)
        for name in _AMOUNTS:
            yield from self._money(name, getattr(fact, name, ""), estimate=isinstance(fact, Offer | Later))
        if isinstance(fact, Did | Offer) and fact.hours:
            yield from self._quantity(fact.hours, "h")
        if isinstance(fact, Did) and fact.less:
            yield from self._quantity(fact.less, "h")
        if isinstance(fact, Used):
            yield from self._used(fact)

    def _run(self, run: Run) -> Iterator[Figure]:
        for value in run.values:
            said = parts(value.number)
            yield from self._quantity(said.number, run.unit)
            yield from self._quantity(said.to, run.unit)
            yield from scan(value.label, self.grounds.language)
        bare = [value for value in run.values if not value.label]
        if len(bare) > 1:
            yield from (Figure(COUNT, str(place), 0, 0, Fraction(place)) for place in range(1, len(bare) + 1))
        if run.limits:
            bracket, limits = as_limits(run.limits, run.unit), run.limits
            for text in (bracket.low_text, bracket.high_text, limits.low, limits.high, limits.nominal, limits.tol):
                yield from self._quantity(text, limits.unit or run.unit)
            yield from self._quantity(limits.spread, limits.spread_unit or run.unit)

    def _quantity(self, typed: str, unit: str) -> Iterator[Figure]:
        figure = quantity(typed, unit) if typed else None
        if figure is not None:
            yield figure

    def _money(self, name: str, typed: str, *, estimate: bool) -> Iterator[Figure]:
        for figure in scan(typed, self.grounds.language) if isinstance(typed, str) else ():
            if figure.value is not None:
                if estimate and name == "estimate":
                    self.estimates.add(figure.value)
                yield Figure(MONEY, figure.text, 0, 0, figure.value)
                break

    def _used(self, fact: Used) -> Iterator[Figure]:
        yield from self._quantity(fact.amount, fact.unit)
        value = number(fact.amount)
        if value is not None and fact.unit in _PIECES:
            yield Figure(COUNT, fact.amount, 0, 0, value)
        if fact.part:
            yield Figure(PART, fact.part.casefold(), 0, 0)

    def _header(self, ticket: Ticket) -> Iterator[Figure]:
        header = ticket.header
        for text in (header.vehicle.label, header.vehicle.plate, header.vehicle.vin, header.customer.name):
            yield from scan(text, self.grounds.language)
        for odometer in (header.odometer_in, header.odometer_out):
            if odometer is not None:
                yield from self._quantity(odometer.number, odometer.unit)
        yield Figure(COUNT, str(ticket.number), 0, 0, Fraction(ticket.number))

    def _groups(self) -> Iterator[int]:
        """How many readings, good and bad ones, and entries are cited, for each group and in all."""
        grounds = self.grounds
        groups: dict[tuple[int, int], list[Reading]] = {}
        for reading in grounds.readings:
            groups.setdefault((id(reading.entry), -1), []).append(reading)
            groups.setdefault((id(reading.entry), reading.group), []).append(reading)
        for group in (*groups.values(), grounds.readings):
            by_verdict = Counter(reading.verdict for reading in group)
            good = by_verdict["in"]
            yield from (len(group), good, len(group) - good, by_verdict["low"] + by_verdict["high"])
            self.others |= {Fraction(good), Fraction(len(group) - good), Fraction(max(len(group) - 1, 0))}
        kinds = Counter(entry.kind for entry in grounds.entries)
        if set(kinds) != {"used"}:  # parts are counted by their amounts
            yield from (*kinds.values(), len(grounds.entries))
            self.others |= {Fraction(count - 1) for count in kinds.values()}
        waiting = [*grounds.facts(Later), *self._offers_alone()]
        for pressing in (frozenset({"do now", "do not drive"}), frozenset({"do not drive"})):
            yield sum(self._judged(fact, pressing) for fact in waiting)
        yield len(waiting)

    def _judged(self, fact: Later | Offer, judgements: frozenset[str]) -> bool:
        """Whether it is judged so, by its own word or, without one, by that of an offer it stands for."""
        words = [fact.judgement]
        if isinstance(fact, Later) and not fact.judgement:
            cited = ((one.no, one.fact) for one in self.grounds.entries)
            words = [one.judgement for no, one in cited if isinstance(one, Offer) and same_item(no, one, fact)]
        return not judgements.isdisjoint(words)

    def _offers_alone(self) -> Iterator[Offer]:
        """The cited offers that no cited deferred item stands for."""
        laters = list(self.grounds.facts(Later))
        for entry in self.grounds.entries:
            fact = entry.fact
            if isinstance(fact, Offer) and not any(same_item(entry.no, fact, later) for later in laters):
                yield fact

    def _references(self) -> Iterator[int]:
        """Numbers of entries, which the terse copies print."""
        facts = self.grounds.facts()
        yield from (entry.no for entry in self.grounds.entries)
        yield from (ref.no for fact in facts for ref in getattr(fact, "refs", ()))
        yield from (ref.no for fact in facts for one in getattr(fact, "answers", ()) for ref in one.to)


def _in_base(value: Fraction, name: str) -> Fraction:
    """A value in the base unit of its dimension; as it is where the unit is unknown."""
    unit = units.find(name)
    return value * unit.factor + unit.offset if unit else value


def half_step(digits: str) -> Fraction:
    """Half of the last digit of a printed number."""
    last = step(digits) if len(digits) <= 40 else None
    return (last or Fraction(0)) / 2


def _around(*moments: datetime) -> Iterator[Figure]:
    """The days that moments may be on the wall of any shop."""
    days = {(at + shift).date() for at in moments for shift in (-_FAR, 0 * _FAR, _FAR)}
    yield from (Figure(DATE, day.isoformat(), 0, 0) for day in sorted(days))
