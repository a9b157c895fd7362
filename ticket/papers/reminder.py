"""A reminder for the customer of work that waits: a short text, and a letter. In weeks, not days; nothing is sent.

What the words of a language do not hold for certain stands as typed.
"""

import textwrap
from dataclasses import dataclass
from datetime import date

from ticket.followups.calendar_span import WEEK, Weeks, in_weeks
from ticket.followups.forecast import Forecast
from ticket.job.text import one_line
from ticket.language.figures import day
from ticket.papers.labels import Labels, labels

FORMS = ("text", "letter")
_WIDTH = 72
_NEAR = 14  # days within which a late end is told as such


@dataclass(frozen=True, slots=True)
class Reminder:
    """What a customer is reminded of; typed words as they are told in the language of the reminder.

    Attributes:
        since: the day it was put off first.
        weeks: when it is due, from today on; ``None`` where nothing tells.
        now: it is due already.
        stop: the vehicle must not be driven until it is done: ``reminder.stop``, or the same of what is not driven,
            such as ``reminder.stop.trailer``; empty where it may be.
    """

    shop: str
    phone: str
    customer: str
    vehicle: str
    work: str
    why: str
    risk: str
    watch: str
    since: date
    weeks: Weeks | None
    now: bool
    stop: str


def weeks_until(found: Forecast, today: date) -> tuple[Weeks | None, bool]:
    """When work is due as weeks from today, and whether it is due already."""
    middle = found.due
    if middle is None:
        return None, False
    if middle <= today:
        return None, True
    first, last = found.earliest or middle, found.latest
    if found.by_date is not None and (last is None or found.by_date < last):
        last = found.by_date
    early = max(0, (min(first, middle) - today).days)
    return in_weeks(early, (middle - today).days, None if last is None else max(0, (last - today).days)), False


def short_text(reminder: Reminder, language: str) -> str:
    """The reminder in a few short sentences, for a text message."""
    label = labels(language)
    phone = label("reminder.phone", phone=reminder.phone) if reminder.phone else ""
    said = label(
        "reminder.short", shop=reminder.shop or label("nameless"), vehicle=_vehicle(reminder, label),
        work=reminder.work, when=_when(reminder, label),
    )  # fmt: skip
    more = [
        label("reminder.why", why=reminder.why) if reminder.why else "",
        label("reminder.watch", watch=reminder.watch) if reminder.watch else "",
        label(reminder.stop) if reminder.stop else "",
        label("reminder.call", phone=phone),
    ]
    return one_line(" ".join([said, *filter(None, more)]))


def letter(reminder: Reminder, language: str, today: date, dates: str) -> str:
    """The reminder as a letter: what, why it could wait, what to watch for, when, whom to call."""
    label = labels(language)
    shown = day(today, dates) if language == "en" else _day(today, label)
    since = day(reminder.since, dates) if language == "en" else _day(reminder.since, label)
    phone = label("reminder.phone", phone=reminder.phone) if reminder.phone else ""
    paragraphs = [
        label("reminder.what", since=since, work=reminder.work, vehicle=_vehicle(reminder, label)),
        label("reminder.why", why=reminder.why) if reminder.why else "",
        label("reminder.risk", risk=reminder.risk) if reminder.risk else "",
        label("reminder.watch", watch=reminder.watch) if reminder.watch else "",
        label(reminder.stop) if reminder.stop else "",
        label("reminder.when", when=_when(reminder, label)),
        label("reminder.call", phone=phone),
    ]
    name = reminder.customer or label("reminder.customer")
    head = [reminder.shop or label("nameless"), shown, "", label("reminder.hello", name=name), ""]
    body = "\n\n".join(textwrap.fill(one_line(part), _WIDTH) for part in paragraphs if part)
    return "\n".join([*map(one_line, head), body, "", one_line(reminder.shop or label("nameless"))]) + "\n"


def _vehicle(reminder: Reminder, label: Labels) -> str:
    return reminder.vehicle or label("reminder.vehicle")


def _day(when: date, label: Labels) -> str:
    from babel.dates import format_date

    return str(format_date(when, "long", locale=label("locale")))


def _when(reminder: Reminder, label: Labels) -> str:
    weeks = reminder.weeks
    if reminder.now:
        return label("reminder.now")
    if weeks is None:
        return label("reminder.someday")
    if weeks.most is not None and weeks.most * WEEK <= _NEAR:
        return label("reminder.soon", most=_NEAR // WEEK)
    if weeks.most is None:
        return label("reminder.not.before", least=weeks.least)
    if weeks.least == weeks.most:
        return label("reminder.weeks", about=max(1, weeks.about))
    return label("reminder.between", about=max(1, weeks.about), least=weeks.least, most=weeks.most)
