"""When a promise typed in free words falls due. Pure: words and days in, a day out."""

from datetime import date, timedelta

from ticket.job.regex import Regex

_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_MONTHS = (
    "january february march april may june july august september october november december"
).split()  # fmt: skip
_ISO = Regex(r"\b(\d{4})-(\d\d)-(\d\d)\b")
_WORD = Regex(r"[a-z]+|\d+")
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
        month = next((i for i, name in enumerate(_MONTHS, 1) if len(word) > 2 and name.startswith(word)), 0)
        number = next((int(n) for n in (*found[here - 1 : here], *found[here + 1 : here + 2]) if n.isdigit()), 0)
        if month and number:
            day = _day(opened.year, month, number)
            return _day(opened.year + 1, month, number) if day and day < opened - timedelta(days=180) else day
        weekday = next((i for i, name in enumerate(_DAYS) if len(word) > 2 and name.startswith(word)), None)
        if weekday is not None:
            return opened + timedelta(days=(weekday - opened.weekday()) % 7)
    if "today" in found or "tonight" in found or _HOUR.search(words):
        return opened
    return None


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
