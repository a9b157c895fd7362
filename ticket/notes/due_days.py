"""Days that deferred work falls due at, in figures and with the name of a month."""

from collections.abc import Sequence

from ticket.job.wall import FIRST_DAY, LAST_DAY, calendar_day
from ticket.notes.asking import place, unread
from ticket.notes.due_found import DueFound, lead_of_due
from ticket.notes.phrases import means
from ticket.notes.spans import Body
from ticket.notes.tokens import Token


def day_at(body: Body, tokens: Sequence[Token], at: int, found: DueFound) -> int:
    """A date of figures; where day and month could change places it is asked about."""
    text = tokens[at].text
    where = place(tokens, at, at + 1)
    days = _dates(text)
    if len(days) == 1 and not found.date:
        found.date = days[0]
        found.taken.update(range(lead_of_due(tokens, at), at + 1))
    elif days:
        question = f"Is {text} {days[0]} or {days[-1]}?" if len(days) > 1 else "Two dates stand here; write one."
        found.remarks.append(unread(body, where, question, *days, blocks=True))
    else:
        question = f"{text} is no day from {FIRST_DAY} to {LAST_DAY}; write it like 2026-03-02."
        found.remarks.append(unread(body, where, question, blocks=True))
    return at + 1


def _dates(text: str) -> list[str]:
    """The days a figure date can mean, as ISO dates; the reading with the month first comes first."""
    parts = [int(part) for part in text.replace("/", "-").replace(".", "-").split("-")]
    if len(text.split("-", maxsplit=1)[0]) == 4:
        orders = [(parts[0], parts[1], parts[2])]
    else:
        year = parts[2] if parts[2] > 99 else 2000 + parts[2]
        orders = [(year, parts[0], parts[1]), (year, parts[1], parts[0])]
    found: list[str] = []
    for year, month, day in orders:
        made = f"{year:04}-{month:02}-{day:02}"
        if calendar_day(made) and made not in found:
            found.append(made)
    return found


def month_at(body: Body, tokens: Sequence[Token], at: int, found: DueFound) -> int:
    """``15 March 2027``, ``Mar 15th, 2027``; without a year it is asked about."""
    month = means("month name", tokens[at].low.rstrip("."))
    if not month or (tokens[at].low in ("may", "march", "mar", "dec", "sat", "sun") and not _near_figure(tokens, at)):
        return 0
    first, behind, day = at, at + 1, _day_figure(tokens, at - 1) if at else 0
    if day:
        first = at - 1
    elif behind < len(tokens) and (day := _day_figure(tokens, behind)):
        behind += 1
    year_at = behind + 1 if behind < len(tokens) and tokens[behind].low == "," else behind
    year = (
        int(tokens[year_at].text)
        if year_at < len(tokens)
        and tokens[year_at].kind == "number"
        and tokens[year_at].text.isdecimal()
        and len(tokens[year_at].text) == 4
        else 0
    )
    behind = year_at + 1 if year else behind
    where = place(tokens, first, behind)
    made = f"{year:04}-{int(month):02}-{day:02}"
    if calendar_day(made) and not found.date:
        found.date = made
        found.taken.update(range(lead_of_due(tokens, first), behind))
    else:
        found.remarks.append(unread(body, where, "Which day is that? Write it like 2026-03-02.", blocks=True))
    return behind


def _near_figure(tokens: Sequence[Token], at: int) -> bool:
    return bool(at and _day_figure(tokens, at - 1)) or (
        at + 1 < len(tokens) and tokens[at + 1].kind == "number" and tokens[at + 1].text.isdecimal()
    )


def _day_figure(tokens: Sequence[Token], at: int) -> int:
    if at >= len(tokens) or tokens[at].glued:
        return 0
    text = tokens[at].low
    for tail in ("st", "nd", "rd", "th"):
        text = text.removesuffix(tail)
    return int(text) if text.isdecimal() and 1 <= int(text) <= 31 else 0
