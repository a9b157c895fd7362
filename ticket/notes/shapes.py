"""The shapes of field values: each is read from and written as text in exactly one place."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

from ticket.job.field_specs import FieldSpec
from ticket.job.numbers import NUMBER, SIGNED, exact
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.values import PAYERS, Clock, Due, Quantity, Ref, Share
from ticket.job.wall import calendar_day
from ticket.notes.spans import Body

LONGEST_NUMBER = 30
"""Longest figure that counts as one; anything longer is a paste."""


@dataclass(frozen=True, slots=True)
class Context:
    """What a line is read against.

    Attributes:
        people: names of the people of the shop.
        rates: labour rate classes of the shop.
        live: the line is still being typed.
        anyone: every name is a person and every word a rate class; the writer checks with it that nothing it
            wrote depends on who works in the shop.
    """

    people: Sequence[str] = ()
    rates: Sequence[str] = ()
    live: bool = False
    anyone: bool = False


_LONGEST_DUE = 120

MONEY = r"(?:[0-9]{1,3}(?:,[0-9]{3}){1,4}(?:\.[0-9]{1,4})?|[0-9]{1,12}(?:\.[0-9]{1,4})?|\.[0-9]{1,4})"
SIGN = "[$£€¥]?"
REF = r"(?:[1-9][0-9]{0,8}/)?[1-9][0-9]{0,8}"
_SPAN = rf"{REF}(?: ?[-–] ?[1-9][0-9]{{0,8}}(?![/0-9]))?"
REFS = rf"{_SPAN}(?:(?: *, *| +and +| +){_SPAN})*"

SIGNED_START = Regex(rf"\s*[<>]?{SIGNED}(?=[\s,;%°]|[A-Za-zµΩ]{{1,4}}(?![A-Za-z0-9])|\Z)")
"""A line that begins with a figure, as opposed to a word that begins with a digit (``4x4``, ``10:30``)."""

_NUMBER = Regex(NUMBER)
_MONEY = Regex(rf"{SIGN} ?({MONEY})")
_REF = Regex(r"((?:[1-9][0-9]*/)?)([1-9][0-9]*)(?: ?[-–] ?([1-9][0-9]*))?")
_MOST_IN_SPAN = 50  # entries; a longer span is a slip of the keys
_REFS = Regex(REFS, re.I)
_COUNT = Regex(r"[0-9]{1,9} ?(?:times?|x)", re.I)
_TIME = Regex(r"(?:([0-9]{4}-[0-9]{2}-[0-9]{2}) +)?([0-9]{1,2}):([0-9]{2})")
_CLOCK = Regex(r"([0-9]{1,2}:[0-9]{2}) *[-–] *([0-9]{1,2}:[0-9]{2})")
_CLOCKS = Regex(rf"{_CLOCK.pattern}(?:(?: *, *| +and +| +){_CLOCK.pattern})*", re.I)
_DUE = Regex(rf"({NUMBER}) ?([A-Za-z]+)")
_SHARE = Regex(r"([a-z]+) +([0-9]{1,3}(?:\.[0-9]{1,6})?) ?%?", re.I)
_WHICHEVER = Regex(r",? +whichever\b.*", re.I | re.S)
_SLOTS = {
    "distance": ("km", "mi", "mile", "miles"),
    "time": ("day", "days", "week", "weeks", "month", "months", "year", "years"),
    "hours": ("h", "hour", "hours"),
}
_SLOT = {unit: slot for slot, units in _SLOTS.items() for unit in units}


def is_number(text: str) -> bool:
    """True for an unsigned number of the notation."""
    return len(text) <= LONGEST_NUMBER and _NUMBER.fullmatch(text) is not None


def refs_in(text: str) -> tuple[Ref, ...]:
    """The references named in a text that is a list of references; empty where it is none.

    ``3-6`` stands for 3, 4, 5 and 6.
    """
    text = text.strip()
    if _REFS.fullmatch(text) is None:
        return ()
    found: list[Ref] = []
    for match in _REF.finditer(text):
        ticket, first = int(match[1].rstrip("/") or 0), int(match[2])
        last = int(match[3] or first)
        if not first <= last < first + _MOST_IN_SPAN:
            return ()
        found += (Ref(no, ticket) for no in range(first, last + 1))
    return tuple(found)


def money_in(text: str) -> str:
    """An amount without its currency sign, or nothing where the text is no amount."""
    match = _MONEY.fullmatch(text.strip())
    return match[1] if match else ""


def due_in(text: str) -> Due | None:
    """When to come back, from ``1500 km or 2 months, whichever comes first``."""
    if len(text) > _LONGEST_DUE:
        return None
    found: dict[str, Quantity] = {}
    for part in re.split(r" +or +", _WHICHEVER.sub("", text.strip()), flags=re.I):
        match = _DUE.fullmatch(part.strip())
        slot = _SLOT.get(match[2].lower()) if match else None
        if match is None or slot is None or slot in found or len(match[1]) > LONGEST_NUMBER:
            return None
        found[slot] = Quantity(match[1], match[2])
    return Due(found.get("distance"), found.get("time"), found.get("hours"))


METER_FROM = 1_000
"""From here on ``at 4,200 hrs`` is a reading of the hour meter; below it may be hours from now, and is asked about."""


def due_text(due: Due) -> str:
    """When to come back, as the notation writes it behind ``in`` or ``due``."""
    parts = [str(part) for part in (due.distance, due.time, due.hours) if part]
    if due.odometer:
        small = due.odometer.unit == "h" and (due.odometer.value or 0) < METER_FROM
        parts.append(f"at {due.odometer}{' on the hour meter' if small else ''}")
    return " or ".join([*parts, due.event] if due.event else parts)


def time_in(text: str) -> str:
    """A time of day, with its date where one was typed; empty where it is no such time."""
    match = _TIME.fullmatch(text.strip())
    if match is None or not _is_time(match[2], match[3]) or (match[1] and calendar_day(match[1]) is None):
        return ""
    return " ".join(match[0].split())


def _is_time(hours: str, minutes: str) -> bool:
    return int(hours) < 24 and int(minutes) < 60


def one_of(choices: Sequence[str], text: str) -> str:
    """The choice a text names, in any case and with either apostrophe; empty where it names none."""
    if len(text) > max(map(len, choices), default=0) + 8:
        return ""
    wanted = fold(text).replace("’", "'")
    return next((choice for choice in choices if fold(choice) == wanted), "")


@lru_cache(maxsize=64)
def _folded(names: tuple[str, ...]) -> dict[str, str]:
    """Names under their folded form; those that only case tells apart must be typed exactly."""
    keys = [fold(name) for name in names]
    return {key: name for key, name in zip(keys, names, strict=True) if keys.count(key) == 1}


def _known(names: Sequence[str], body: Body, context: Context) -> str:
    typed = body.text
    if not typed or typed in names:
        return typed
    return _folded(tuple(names)).get(fold(typed), typed if context.anyone else "")


def _number_in(body: Body, _spec: FieldSpec, _context: Context) -> str:
    typed = body.raw.strip()
    return typed if is_number(typed) else ""


def _date_in(body: Body, _spec: FieldSpec, _context: Context) -> str:
    typed = body.raw.strip()
    return typed if calendar_day(typed) else ""


def _clock_in(body: Body, _spec: FieldSpec, _context: Context) -> tuple[Clock, ...]:
    typed = body.raw.strip()
    if _CLOCKS.fullmatch(typed) is None:
        return ()
    spans = tuple(Clock(match[1], match[2]) for match in _CLOCK.finditer(typed))
    return spans if all(_is_time(*side.split(":")) for span in spans for side in (span.start, span.end)) else ()


def _split_in(body: Body, _spec: FieldSpec, _context: Context) -> tuple[Share, ...]:
    """Shares of several payers, such as ``warranty 60, customer 40``; empty where they do not make the whole."""
    if len(body.raw) > _LONGEST_DUE:
        return ()
    shares: list[Share] = []
    for piece in body.raw.split(","):
        match = _SHARE.fullmatch(piece.strip())
        payer = one_of(PAYERS, match[1]) if match else ""
        if match is None or not payer or payer in (share.payer for share in shares):
            return ()
        shares.append(Share(payer, match[2]))
    whole = sum(exact(share.percent) or Fraction(0) for share in shares)
    return tuple(shares) if whole == 100 else ()


def count_in(text: str) -> str:
    """How often a fault was counted, such as ``14 times``; empty where the text is no count."""
    text = text.strip()
    return text if _COUNT.fullmatch(text) else ""


Reader = Callable[[Body, FieldSpec, Context], Any]
READERS: dict[str, Reader] = {
    "text": lambda body, _spec, _context: body.text,
    "number": _number_in,
    "money": lambda body, _spec, _context: money_in(body.raw),
    "refs": lambda body, _spec, _context: refs_in(body.raw),
    "due": lambda body, _spec, _context: due_in(body.raw),
    "date": _date_in,
    "time": lambda body, _spec, _context: time_in(body.raw),
    "clock": _clock_in,
    "person": lambda body, _spec, context: _known(context.people, body, context),
    "rate": lambda body, _spec, context: _known(context.rates, body, context),
    "split": _split_in,
    "payer": lambda body, spec, _context: one_of(spec.choices, body.raw),
    "choice": lambda body, spec, _context: one_of(spec.choices, body.raw) if spec.choices else count_in(body.raw),
}
"""From a piece of a line to a value; anything false means that the piece has another shape."""


def written(value: Any) -> str:
    """A field value as the notation writes it, without any quoting."""
    if isinstance(value, Due):
        return due_text(value)
    if isinstance(value, Clock):
        return f"{value.start}-{value.end}"
    if isinstance(value, Share):
        return f"{value.payer} {value.percent}"
    if isinstance(value, tuple):
        glue = ", " if value and isinstance(value[0], Clock | Share) else " "
        return glue.join(written(item) for item in value)
    return str(value)
