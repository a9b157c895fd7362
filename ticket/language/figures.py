"""Figures and units as they are told: the digits that were typed, never others."""

import re
from functools import cache

from ticket.language.lexicon import TYPED
from ticket.language.tables import rows
from ticket.readings.units import find

_DIGITS = re.compile(r"[0-9]+")
_GROUPED = frozenset({"mi", "km", "rpm"})
_HARD_SPACE = "\u00a0"


def grouped(number: str) -> str:
    """Thousands set off from 1,000; nothing else changes."""
    match = _DIGITS.match(number)
    if match is None or "," in number or len(match[0]) < 4:
        return number
    return f"{int(match[0]):,}" + number[match.end() :] if len(match[0]) < 16 else number


def figure(number: str, unit: str, language: str) -> str | None:
    """A typed figure with its unit as a language writes it; ``None`` where it has no word for the unit."""
    number = number.lstrip("+")
    number = number.replace("-", "\u2212", 1) if number[:1] == "-" else number
    number = grouped(number) if unit in _GROUPED else number
    if not unit:
        return number
    found = find(unit)
    if found is None:
        return None
    if found.glued:
        return number + found.sign
    if language == TYPED:
        return number + _HARD_SPACE + (found.one if _is_one(number) else found.many)
    told = _units(language).get(found.name)
    if told is None:
        return f"{number}{_HARD_SPACE}{found.sign}" if found.many == found.sign else None
    one, _, many = told.partition("/")
    return number + _HARD_SPACE + (one if _is_one(number) or not many else many)


def _is_one(number: str) -> bool:
    return number.lstrip("\u2212") == "1"


@cache
def _units(language: str) -> dict[str, str]:
    return {row[1]: row[2] for row in rows(language, "lexicon") if row[0] == "unit"}
