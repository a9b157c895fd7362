"""What a finding was read as, as plain records: the one place where these tests touch the reader."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from ticket.job.values import Limits, Run, Value
from ticket.notes.finding.stated import Reading
from ticket.notes.finding.statement import Statement, bounds, read_statement
from ticket.readings.limit_bounds import convert_limits
from ticket.readings.units import find
from ticket.readings.verdict import judge

NAMES_OF_UNITS = {"Ohm": "ohm", "kOhm": "kohm", "MOhm": "Mohm", "degC": "C", "degF": "F"}
Bound = tuple[Fraction, str]


@dataclass(frozen=True, slots=True)
class Record:
    """One stated reading; `verdict` is empty where the value is no plain figure."""

    of: str
    at: frozenset[str]
    value: Fraction | None
    to: Fraction | None
    than: str
    unit: str
    when: str
    low: Bound | None
    high: Bound | None
    verdict: str
    numbers: frozenset[Fraction]
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Answer:
    """Everything a line was read as: readings, and the pieces that a person is asked about."""

    records: tuple[Record, ...]
    doubts: tuple[tuple[int, int], ...]
    unread: tuple[tuple[int, int], ...]


def answer_of(text: str) -> Answer:
    """Read one line."""
    statement: Statement = read_statement(text)
    records = tuple(_record(text, reading) for reading in statement.readings)
    doubts = tuple((doubt.start, doubt.end) for doubt in statement.doubts)
    return Answer(records, doubts, tuple((doubt.start, doubt.end) for doubt in statement.doubts if doubt.unread))


def _record(text: str, reading: Reading) -> Record:
    amount = reading.amount
    unit = _unit(amount.unit)
    low, high = _bounds(reading)
    words = [word for _direction, word in reading.places]
    when = " ".join(text[token.start : token.end] for token in reading.when)
    of = " ".join(text[token.start : token.end] for token in reading.subject)
    numbers = {amount.value, amount.to_value}
    if reading.limits is not None:
        numbers |= {given.value for given in reading.limits.amounts} | {
            given.to_value for given in reading.limits.amounts
        }
        shown = (*reading.limits.amounts, *((reading.limits.spread,) if reading.limits.spread else ()))
        numbers |= {value for given in shown for value in numbers_in(given.text)}
        when += f" {reading.limits.when}" if reading.limits.when else ""
    at = _at(words)
    numbers |= set(numbers_in(f"{when} | {of} | {' | '.join(words)} | {amount.text} | {amount.to}"))
    exact = frozenset(value for value in numbers if value is not None)
    start, end = reading.token.start, reading.token.end
    return Record(
        of,
        at,
        amount.value,
        amount.to_value,
        amount.than or "=",
        unit,
        when,
        low,
        high,
        _verdict(reading),
        exact,
        start,
        end,
    )


def _unit(typed: str) -> str:
    known = find(typed) if typed else None
    return NAMES_OF_UNITS.get(known.name, known.name) if known else typed


def _at(words: list[str]) -> frozenset[str]:
    """Positions with one spelling: `# 3` and `cyl 3` are cylinder 3, `left front` is left and front."""
    out: set[str] = set()
    for word in words:
        name, _, number = word.rpartition(" ")
        if number.isdigit():
            out.add(f"{ {'cyl': 'cylinder', '#': 'cylinder'}.get(name, name) } {number}")
        else:
            out |= set(word.split())
    return frozenset(out)


def _bounds(reading: Reading) -> tuple[Bound | None, Bound | None]:
    given = reading.limits
    if given is None or reading.asked or reading.amount.asked:
        return None, None
    unit = next((_unit(amount.unit) for amount in given.amounts if amount.unit), _unit(reading.amount.unit))
    low, high = bounds(given)
    return (low, unit) if low is not None else None, (high, unit) if high is not None else None


def _verdict(reading: Reading) -> str:
    amount = reading.amount
    low, high = _bounds(reading)
    if amount.to or amount.than not in {"", "="} or amount.value is None or (low is None and high is None):
        return "" if low or high else "none"
    unit = (low or high or (Fraction(0), ""))[1]
    limits: Limits | None = Limits(low=_typed(low), high=_typed(high))
    own = amount.unit or unit
    if find(unit) is not find(own) and limits is not None:
        limits = convert_limits(limits, "degC" if unit == "C" else "degF" if unit == "F" else unit, own)
    if limits is None:
        return "none"
    return judge(Run((Value(amount.text),), own, limits))[0].word


def _typed(bound: Bound | None) -> str:
    return (
        ""
        if bound is None
        else str(bound[0])
        if bound[0].denominator < 65
        and bound[0].denominator & (bound[0].denominator - 1) == 0
        and bound[0] < 1
        and bound[0] > 0
        else _decimal(bound[0])
    )


def _decimal(value: Fraction) -> str:
    places = 0
    while (value * 10**places).denominator != 1 and places < 12:
        places += 1
    return f"{float(value):.{places}f}" if abs(value) < 10**9 else str(value.numerator)


NUMBER = re.compile(
    r"(?<![\w.])(?:(\d{1,3})(?:-| {1,3})(\d{1,2})/(2|4|8|16|32|64)(?!\d)"
    r"|(\d{1,2})/(2|4|8|16|32|64)(?!\d)|\d{1,3}(?:,\d{3})+(?!\d)|\d*\.?\d+)"
)


def numbers_in(text: str) -> list[Fraction]:
    """Every number of a text that is no part of a word, by itself."""
    return [_exact(match) for match in NUMBER.finditer(text)]


def number_places(text: str) -> list[tuple[Fraction, int, int]]:
    """Every number of a text with its place."""
    return [(_exact(match), match.start(), match.end()) for match in NUMBER.finditer(text)]


def _exact(match: re.Match[str]) -> Fraction:
    if match[1]:
        return int(match[1]) + Fraction(int(match[2]), int(match[3]))
    if match[4]:
        return Fraction(int(match[4]), int(match[5]))
    return Fraction(match[0].replace(",", ""))
