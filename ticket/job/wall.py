"""The wall of the shop: its day at a moment, the moments a time on it can be, and which days this program knows.

Days at the ends of the calendar cannot be told in another zone, and nobody repaired a vehicle there: they are
slips of the keys or broken files. They are refused where they enter and never stop what is already kept.
"""

from datetime import UTC, date, datetime, time, timedelta, tzinfo

from ticket.job.errors import InputError
from ticket.job.regex import Regex

FIRST_DAY, LAST_DAY = date(1970, 1, 2), date(2199, 12, 30)
"""The days a ticket may hold, both included. A moment may lie a day further out, as far as its zone reaches."""

_FIRST, _LAST = datetime(1970, 1, 1, tzinfo=UTC), datetime(2199, 12, 31, tzinfo=UTC)
_ISO = Regex(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def in_bounds(at: datetime) -> bool:
    """Whether a moment with a zone lies in the years this program knows: every zone then has a day for it."""
    return _FIRST <= at <= _LAST


def calendar_day(text: str) -> date | None:
    """A day typed as ``2026-03-02``; ``None`` for any other text and for a day outside the known years."""
    if _ISO.fullmatch(text) is None:
        return None
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if FIRST_DAY <= day <= LAST_DAY else None


def asked_day(text: str) -> date:
    """A day somebody asks about. Raises :class:`InputError` for what is none."""
    day = calendar_day(text)
    if day is None:
        raise InputError(f"{text[:40]!r} is no date: write it as 2026-03-02, from {FIRST_DAY} to {LAST_DAY}.")
    return day


def local_day(at: datetime) -> date:
    """The calendar day of a moment on the wall of this process: in the shop's zone, else in the machine's.

    A moment outside the known years tells the nearest day inside them: a list never fails for one of its rows.
    """
    return min(max(at, _FIRST), _LAST).astimezone().date()


def local_time(at: datetime) -> str:
    """The time of day of a moment in the shop, such as ``9:05``."""
    there = at.astimezone()
    return f"{there.hour}:{there.minute:02}"


def local_minute(at: datetime) -> int:
    """The minute of the day on the shop's wall."""
    there = at.astimezone()
    return there.hour * 60 + there.minute


def moments(day: date, minute: int, zone: tzinfo | None = None) -> tuple[datetime, ...]:
    """The moments at which the clock on the wall shows a time, in UTC, earliest first.

    One, as a rule. In the night the clocks go forward some times never come, in the night they go back some come twice.

    Args:
        day: on the wall.
        minute: since midnight; 1440 is the midnight that ends the day.
        zone: of the wall; ``None`` for the one of this process.
    """
    shown = datetime.combine(day, time()) + timedelta(minutes=minute)
    found = {shown.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1)}
    return tuple(sorted(at for at in found if at.astimezone(zone).replace(tzinfo=None) == shown))
