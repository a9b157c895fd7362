"""Limits in the notation of the readings they judge: behind 32nds a whole number is in 32nds."""

from dataclasses import replace
from fractions import Fraction

from ticket.job.regex import Regex
from ticket.notes.finding.lexer import mixed_text
from ticket.notes.finding.stated import Reading
from ticket.notes.finding.tokens import Amount, GivenLimits, Line

_TOLERANCE_APART = Regex(r"(?<=L),?aq(?=[,;]|\Z)")


def find_tolerance_apart(line: Line) -> None:
    """``book 750 and 2400, +/-50``: behind specified values stands what each of them may be off."""
    for match in reversed(list(_TOLERANCE_APART.finditer(line.letters))):
        place, figure = match.start() - 1, line.tokens[match.end() - 1]
        given = line.tokens[place].held
        if all(one.nominal is not None and one.amounts == (one.nominal,) for one in (given, *given.more)):
            more = tuple(replace(one, tolerance=figure.amount) for one in given.more)
            held = replace(given, tolerance=figure.amount, more=more)
            line.tokens[place : match.end()] = [replace(line.tokens[place], end=figure.end, held=held)]


def in_notation(members: list[Reading], given: GivenLimits) -> GivenLimits:
    """Behind readings in 32nds a whole limit without a unit means 32nds too."""
    shapes = {reading.amount.shape for reading in members}
    if shapes == {"32nds"}:
        bottom = members[0].amount.text.rpartition("/")[2] or "32"
        if bottom not in ("32", "64"):
            bottom = "32"
        return _each(given, lambda a: _over(a, bottom) if a.bare and a.shape == "whole" else a)
    if all(reading.amount.unit[:1] in "kK" and reading.amount.unit for reading in members):
        return _each(given, lambda a: _kilo(a) if a.bare and a.shape == "k" else a)  # 48K ohms (max 20K)
    if shapes == {"k"}:
        return _each(given, lambda a: _times(a) if a.bare and a.value is not None and a.value < 20 else a)
    return given


def _each(given: GivenLimits, change: "object") -> GivenLimits:
    fields = {
        name: change(amount)  # type: ignore[operator]
        for name in ("low", "high", "nominal", "tolerance", "wear")
        if (amount := getattr(given, name)) is not None
    }
    return replace(given, **fields)


def _over(amount: Amount, bottom: str) -> Amount:
    value = amount.value / int(bottom) if amount.value is not None else None
    return replace(
        amount, text=f"{amount.text}/{bottom}", value=value, unit="in", dimension="length", bare=False, shape="32nds"
    )


def _times(amount: Amount) -> Amount:
    value = (amount.value or Fraction(0)) * 1000
    return replace(amount, value=value, text=mixed_text(value))


def _kilo(amount: Amount) -> Amount:
    value = (amount.value or Fraction(0)) / 1000
    return replace(amount, value=value, text=mixed_text(value), shape="decimal")


def in_shares(nearest: Reading, given: GivenLimits) -> GivenLimits:
    """``230 +/- 6 %``: so many hundredths of the value in the middle; of a reading in percent so many points."""
    nominal, tolerance = given.nominal, given.tolerance
    if nominal is None or tolerance is None or tolerance.unit != "%" or nominal.unit == "%":
        return given
    unit = {"unit": nominal.unit, "dimension": nominal.dimension, "bare": nominal.bare}
    points = nominal.bare and nearest.amount.unit == "%"
    if points or tolerance.value is None or nominal.value is None:
        return replace(given, tolerance=replace(tolerance, **unit))  # type: ignore[arg-type]
    value = abs(nominal.value) * tolerance.value / 100
    share = replace(tolerance, text=mixed_text(value), value=value, shape="decimal", **unit)  # type: ignore[arg-type]
    return replace(given, tolerance=share)
