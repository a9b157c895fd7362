"""When a promise typed in free words falls due. Pure: words and days in, a day and a time out."""

from collections.abc import Sequence
from datetime import date, timedelta

from ticket.job.regex import Regex

_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MONTHS = (
    "january february march april may june july august september october november december"
).split()  # fmt: skip
_ISO = Regex(r"\b(\d{4})-(\d\d)-(\d\d)\b")
_WORD = Regex(r"[a-z]+|\d+")
_NUMBER = Regex(r"\d+")
_TOMORROW = Regex(r"(?i)\btomorrow\b,?")
_HOUR = Regex(r"\b(?:noon|midday|\d{1,2}(?::\d\d)?\s*(?:am|pm|o'clock)|\d{1,2}:\d\d)\b")


def promised_day(text: str, opened: date) -> date | None:
    """The day a promise such as ``Friday noon``, ``tomorrow``, ``2 March`` or ``16:00`` names, ``None`` if none is.

    A weekday is the next one from the day the ticket was opened on, that day included; an hour alone is that day.

    Args:
        text: the promise as typed.
        opened: local day on which the ticket was opened.
    """
    words = text.casefold()
    if match := _ISO.search(words):
        return _day(int(match[1]), int(match[2]), int(match[3]))
    found = _WORD.findall(words)
    if "tomorrow" in found:
        return opened + timedelta(days=1)
    for here, word in enumerate(found):
        month = _begun(MONTHS, word)
        number = next((int(n) for n in (*found[here - 1 : here], *found[here + 1 : here + 2]) if n.isdecimal()), 0)
        if month is not None and number:
            day = _day(opened.year, month + 1, number)
            return _day(opened.year + 1, month + 1, number) if day and day < opened - timedelta(days=180) else day
        if (weekday := _begun(_DAYS, word)) is not None:
            return opened + timedelta(days=(weekday - opened.weekday()) % 7)
    if "today" in found or "tonight" in found or _HOUR.search(words):
        return opened
    return None


def _begun(names: Sequence[str], word: str) -> int | None:
    """Which of some names a word of three letters or more begins."""
    return next((i for i, name in enumerate(names) if len(word) > 2 and name.startswith(word)), None)


def tells_its_date(text: str) -> bool:
    """Whether a promise names a day of a month, which is the same day whenever it is read; ``Friday noon`` does not."""
    words = text.casefold()
    return bool(_ISO.search(words)) or any(_begun(MONTHS, word) is not None for word in _WORD.findall(words))


def lasting(text: str, opened: date) -> str:
    """A promise whose ``tomorrow`` is named by its day: read a day later it would be another one."""
    rest = _TOMORROW.sub("", text)
    day = promised_day(text, opened)
    return f"{day:%a} {day.day} {day:%b} {rest.strip()}".strip() if day and rest != text else text


def promised_minute(text: str) -> int | None:
    """The time of day a promise names, in minutes since midnight; ``None`` where it names none."""
    match = _HOUR.search(text.casefold())
    if match is None:
        return None
    if match[0] in ("noon", "midday"):
        return 12 * 60
    numbers = [int(number) for number in _NUMBER.findall(match[0])]
    hour, minute = numbers[0], numbers[1] if len(numbers) > 1 else 0
    if "m" in match[0]:  # am or pm: 12 am is midnight, 12 pm is noon
        hour = hour % 12 + (12 if "pm" in match[0] else 0)
    return hour * 60 + minute if hour < 24 and minute < 60 else None


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
