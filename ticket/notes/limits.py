"""The bracket behind a run: ``(min 22.0 per maker)``, ``(-3 to 0)``, ``(9.6 +/- 0.2)``, ``(min 140, spread 25 %)``."""

import re

from ticket.job.numbers import NUMBER, SIGNED, exact
from ticket.job.values import Limits
from ticket.notes.pen import Pen
from ticket.notes.shapes import LONGEST_NUMBER
from ticket.notes.spans import Body
from ticket.readings.digits import finite
from ticket.readings.limits import convert_limits
from ticket.readings.units import convert, convert_gap, same

LONGEST = 200
"""Longest text that is looked at as limits."""

_PER = re.compile(r"(?:\A|[\s,])per\s+(?!cent\b|hour\b|minute\b|second\b)", re.I)
_LEGAL = re.compile(r"(?:,?\s+|\A)(?:legal(?: limit| minimum| maximum)?|by law)\s*:?(?=\s|\Z)", re.I)
_COMMA = re.compile(r",\s+|\s*;\s*")
_LEAST = re.compile(rf"(?:min\.?|minimum|at least|>=|≥)\s*({SIGNED})(.*)", re.I | re.S)
_MOST = re.compile(rf"(?:max\.?|maximum|at most|<=|≤)\s*({SIGNED})(.*)", re.I | re.S)
_AROUND = re.compile(rf"({SIGNED})(.*?)\s*(?:\+/-|\+-|±)\s*({NUMBER})(.*)", re.S)
_BETWEEN = re.compile(rf"({SIGNED})(.*?)\s*\bto\s+({SIGNED})(.*)", re.I | re.S)
_DASHED = re.compile(rf"({NUMBER})\s*[-–]\s*({NUMBER})(.*)", re.S)
_SHOULD = re.compile(r"(?:s/b|should be)\s+", re.I)
_SPREADS = {"spread", "spread_unit"}
_SPREAD = re.compile(rf"spread\s+({NUMBER})(.*)", re.I | re.S)


def limits_in(content: Body, unit: str) -> Limits | None:
    """The limits a bracket states for a run of that unit.

    Args:
        content: what stands between the brackets.
        unit: unit of the run; limits typed in another are brought to it where a decimal holds them exactly, and keep
            the unit typed where none does.

    Returns:
        ``None`` where anything in the bracket is no limit, or one limit is given twice.
    """
    bare, source = content.bare, ""
    per = _PER.search(bare)
    if per:
        source = content.cut(per.end()).text
        bare = bare[: per.start()]
    elif len(bare) <= LONGEST and (legal := _LEGAL.search(bare)):
        source = "law"
        bare = f"{bare[: legal.start()]} {bare[legal.end() :]}"
    if len(bare) > LONGEST:
        return None
    found: dict[str, str] = {}
    for part in _COMMA.split(bare.strip()):
        one = _limit(part.strip(), unit)
        if one is None or found.keys() & one.keys() - {"unit"}:
            return None
        if found.keys() - _SPREADS and one.keys() - _SPREADS and found.get("unit") != one.get("unit"):
            return None  # two bounds in two units
        found |= one
    return Limits(**found, source=source)


def _limit(text: str, unit: str) -> dict[str, str] | None:
    text = _SHOULD.sub("", text, count=1) if _SHOULD.match(text) else text
    if match := _LEAST.fullmatch(text):
        return _checked(unit, {"low": match[1]}, match[2])
    if match := _MOST.fullmatch(text):
        return _checked(unit, {"high": match[1]}, match[2])
    if match := _SPREAD.fullmatch(text):
        return _spread(unit, match[1], match[2].strip())
    if match := _AROUND.fullmatch(text):
        return _checked(unit, {"nominal": match[1], "tol": match[3]}, match[2], match[4])
    if match := _BETWEEN.fullmatch(text):
        return _checked(unit, {"low": match[1], "high": match[3]}, match[2], match[4])
    if match := _DASHED.fullmatch(text):
        return _checked(unit, {"low": match[1], "high": match[2]}, match[3])
    return None


def _checked(unit: str, numbers: dict[str, str], *units: str) -> dict[str, str] | None:
    if not all(_is_figure(number) for number in numbers.values()):
        return None
    named = [typed.strip() for typed in units if typed.strip()]
    if all(same(typed, unit) for typed in named):
        return numbers
    return _moved(numbers, named[-1], unit) if all(same(typed, named[-1]) for typed in named) else None


def _moved(numbers: dict[str, str], typed: str, unit: str) -> dict[str, str] | None:
    """The same limits in the unit of the run, where decimals hold them: ``max 0.5 V`` behind ``300 mV``."""
    if convert_limits(Limits(**numbers), typed, unit) is None:
        return None
    moved = {}
    for name, number in numbers.items():
        old = exact(number)
        new = None if old is None else (convert_gap if name == "tol" else convert)(old, typed, unit)
        moved[name] = "" if new is None else finite(new)
    return moved if all(moved.values()) else numbers | {"unit": typed}


def _spread(unit: str, number: str, typed: str) -> dict[str, str] | None:
    if not _is_figure(number):
        return None
    if same(typed, "%"):
        return {"spread": number, "spread_unit": "%"}
    return {"spread": number, "spread_unit": unit} if not typed or same(typed, unit) else None


def _is_figure(typed: str) -> bool:
    return len(typed) <= LONGEST_NUMBER and exact(typed) is not None


def write_limits(limits: Limits, unit: str, pen: Pen) -> str:
    """The inside of the bracket, as :func:`limits_in` reads it."""
    parts = []
    named = f" {limits.unit}" if limits.unit else ""
    if limits.low and limits.high:
        parts.append(f"{limits.low} to {limits.high}{named}")
    elif limits.low or limits.high:
        parts.append((f"min {limits.low}" if limits.low else f"max {limits.high}") + named)
    if limits.nominal:
        parts.append((f"{limits.nominal} +/- {limits.tol}" if limits.tol else limits.nominal) + named)
    if limits.spread:
        own = not limits.spread_unit or limits.spread_unit == unit
        parts.append(f"spread {limits.spread}" if own else f"spread {limits.spread} {limits.spread_unit}")
    text = ", ".join(parts)
    if limits.source:
        text += f" per {pen.text('source', limits.source)}"
    return text
