"""Figures, dates and money as they are read: the digits that were typed, never others."""

import datetime

from ticket.job.numbers import exact
from ticket.job.regex import Regex
from ticket.job.wall import calendar_day

_DIGITS = Regex(r"[0-9]+")
_MONTHS = ("January February March April May June July August September October November December").split()
GROUPED_UNITS = frozenset({"mi", "km", "miles", "mile", "rpm"})


def grouped(number: str) -> str:
    """Thousands set off from 1,000; nothing else changes."""
    match = _DIGITS.match(number)
    if match is None or "," in number or len(match.group()) < 4:
        return number
    return f"{int(match.group()):,}" + number[match.end() :] if len(match.group()) < 16 else number


def figure(number: str, unit: str = "") -> str:
    """A typed figure: no plus sign; thousands set off in distances and rpm."""
    number = number.lstrip("+").replace("-", "\u2212", 1) if number[:1] in "+-" else number
    return grouped(number) if unit in GROUPED_UNITS else number


def size(number: str) -> str:
    """A typed figure without its sign."""
    return number.lstrip("+-\u2212")


def money(number: str, currency: str) -> str:
    """An amount behind the shop's sign, thousands set off, with the digits typed."""
    return f"{currency}{grouped(number)}"


def free(number: str) -> bool:
    """Whether an amount is nothing at all."""
    return exact(number) == 0


def day(when: datetime.date, style: str) -> str:
    """A date in the shop's way; ``style`` is a sample such as ``March 2, 2026``."""
    month = _MONTHS[when.month - 1]
    return f"{month} {when.day}, {when.year}" if style[:1].isalpha() else f"{when.day} {month} {when.year}"


def day_of(text: str, style: str) -> str:
    """A typed ISO date in the shop's way; other text stays."""
    found = calendar_day(text)
    return day(found, style) if found else text
