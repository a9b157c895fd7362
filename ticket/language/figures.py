"""Figures, units, dates and money as they are told: the digits that were typed, never others."""

import datetime
from functools import cache

from ticket.job.numbers import exact
from ticket.job.regex import Regex
from ticket.language.lexicon import TYPED
from ticket.language.tables import rows
from ticket.readings.units import find

_DIGITS = Regex(r"[0-9]+")
_MONTHS = "January February March April May June July August September October November December".split()
GROUPED_UNITS = frozenset({"mi", "km", "miles", "mile", "rpm"})
_HARD_SPACE = "\u00a0"


def grouped(number: str) -> str:
    """Thousands set off from 1,000; nothing else changes."""
    match = _DIGITS.match(number)
    if match is None or "," in number or len(match[0]) < 4:
        return number
    return f"{int(match[0]):,}" + number[match.end() :] if len(match[0]) < 16 else number


def bare(number: str, *, grouping: bool = False) -> str:
    """A typed figure without its unit: no plus sign, a minus that is no hyphen; thousands set off where asked."""
    number = number.lstrip("+").replace("-", "\u2212", 1) if number[:1] in ("+", "-") else number
    return grouped(number) if grouping else number


def size(number: str) -> str:
    """A typed figure without its sign."""
    return number.lstrip("+-\u2212")


def free(number: str) -> bool:
    """Whether an amount is nothing at all."""
    return exact(number) == 0


def day(when: datetime.date, style: str) -> str:
    """A date in the shop's way; ``style`` is a sample such as ``March 2, 2026``."""
    return day_of_year(when, style) + (f", {when.year}" if style[:1].isalpha() else f" {when.year}")


def day_of_year(when: datetime.date, style: str) -> str:
    """The same without its year."""
    return f"{month(when)} {when.day}" if style[:1].isalpha() else f"{when.day} {month(when)}"


def month(when: datetime.date) -> str:
    """The name of a month."""
    return _MONTHS[when.month - 1]


def figure(number: str, unit: str, language: str) -> str | None:
    """A typed figure with its unit as a language writes it; ``None`` where it has no word for the unit."""
    number = bare(number, grouping=unit in GROUPED_UNITS)
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
