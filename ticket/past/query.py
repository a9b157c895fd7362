"""A typed search: codes, words and a few named fields, to a query of the store."""

import re
from collections.abc import Mapping
from datetime import date, timedelta

from ticket.faults.written import leading
from ticket.job.errors import InputError
from ticket.job.regex import Regex
from ticket.job.wall import FIRST_DAY, LAST_DAY
from ticket.store.search import Query

_TOKEN = Regex(r'([a-z]+):("[^"]*"|\S+)|"([^"]*)"|(\S+)')
_REST_OF_NUMBER = Regex(r" +[0-9]+(?=\s|\Z)")
FIELDS = ("part", "plate", "vin", "vehicle", "since", "until")


def _word(match: re.Match[str]) -> str:
    """A word that names no field: what stands between its quotes, else as it is."""
    *_, quoted, plain = match.groups()
    return next((text for text in (quoted, plain) if text is not None), match.group())


def parse_query(text: str, *, limit: int = 50) -> Query:
    """What to look for.

    A fault code in any written form is searched exactly, with its sub-code where one is given; ``part:``,
    ``plate:``, ``vin:``, ``vehicle:``, ``since:`` and ``until:`` (a year, a month or a day) narrow down; every
    other word must occur. A part number may be written with spaces or dashes. Total for words: nothing typed can
    break the search.

    Raises:
        InputError: an empty search, or a date that is none.
    """
    codes: list[tuple[str, str]] = []
    words: list[str] = []
    named: dict[str, str] = {}
    rest = text.strip()
    while rest:
        fault = leading(rest)
        if fault is not None and not rest[fault[2] : fault[2] + 1].strip(" ,;"):
            codes.append((fault[0], fault[1]))
            rest = rest[fault[2] :].lstrip(" ,;")
            continue
        match = _TOKEN.match(rest)
        if match is None:
            break
        field, value, *_ = match.groups()
        end = match.end()
        if field in FIELDS:
            more = _REST_OF_NUMBER.match(rest, end) if field == "part" and '"' not in value else None
            named[field] = value.strip('"') + (more[0] if more else "")
            end = more.end() if more else end
        else:
            words.append(_word(match))
        rest = rest[end:].lstrip()
    asked = tuple(word for word in words if word.strip())
    if not (codes or asked or named):
        raise InputError("Search for what? Give a code, a word, or part:NUMBER, plate:TEXT, since:2026-03.")
    return _query(tuple(codes), asked, named, limit)


def _query(codes: tuple[tuple[str, str], ...], words: tuple[str, ...], named: Mapping[str, str], limit: int) -> Query:
    return Query(
        codes=codes,
        words=words,
        parts=(named["part"],) if "part" in named else (),
        plate=named.get("plate", ""),
        vin=named.get("vin", ""),
        vehicle=named.get("vehicle", ""),
        since=_day(named["since"], first=True) if "since" in named else None,
        until=_day(named["until"], first=False) if "until" in named else None,
        limit=limit,
    )


def unknown_fields(text: str) -> tuple[str, ...]:
    """Words in front of a colon that name no field; they are searched for as words like any other."""
    found = (match[1] for match in _TOKEN.finditer(text) if match[1] and match[1] not in FIELDS)
    return tuple(dict.fromkeys(found))


def _day(text: str, *, first: bool) -> date:
    """The first or last day of a year, month or day such as ``2026``, ``2026-03``, ``2026-03-02``."""
    try:
        parts = [int(part) for part in text.split("-")]
        if not FIRST_DAY.year <= parts[0] <= LAST_DAY.year:
            raise ValueError
        day = date(parts[0], parts[1] if len(parts) > 1 else 1, *(parts[2:] or [1]))
        if not first and len(parts) < 3:
            whole_year = len(parts) == 1 or day.month == 12
            following = date(day.year + 1, 1, 1) if whole_year else date(day.year, day.month + 1, 1)
            day = following - timedelta(days=1)
    except (ValueError, TypeError):
        raise InputError(f"{text[:40]!r} is no date: write 2026, 2026-03 or 2026-03-02.") from None
    return min(max(day, FIRST_DAY), LAST_DAY)
