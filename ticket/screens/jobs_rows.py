"""The list of jobs as rows. Pure: light rows, counts and days in, screen rows out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from rich.cells import cell_len

from ticket.assist.promise import promised_day
from ticket.job.wall import local_day
from ticket.screens.actions import key_for
from ticket.screens.rows import Row, Span, columns, cut, wrap
from ticket.store.ticket_list import TicketRow

_WAITS = {"waiting for approval": "waits for approval", "waiting for parts": "waits for parts"}
SHOWN_DUE = 3  # lines of due work on top; the rest is one key away
_NARROW, _WIDE = 60, 110  # columns from which there are two columns, and from which the promise has room


@dataclass(frozen=True, slots=True)
class DueLine:
    """Deferred work that is due, as the list tells it."""

    ticket: int
    entry: int
    text: str
    vehicle: str
    customer: str


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What the list knows beside its tickets.

    Attributes:
        today: the day on the shop's wall.
        gaps: how many questions block signing, by ticket; a ticket that was not looked at yet is missing.
        due: deferred work that is due, most pressing first.
        promised: jobs promised for today.
    """

    today: date
    gaps: Mapping[int, int] = field(default_factory=dict)
    due: Sequence[DueLine] = ()
    promised: Sequence[TicketRow] = ()


def promised_today(job: TicketRow, today: date) -> bool:
    """Whether a job that is not signed was promised for today."""
    if not job.ready_by or job.status == "signed":
        return False
    return promised_day(job.ready_by, local_day(job.opened)) == today


def head_rows(about: Surroundings, width: int) -> list[Row]:
    """What comes before the list: due work and today's promises; nothing where there is nothing to say."""
    rows: list[Row] = []
    for item in about.due[:SHOWN_DUE]:
        who = " · ".join(part for part in (item.vehicle, item.customer) if part)
        rows.append(_line("Due: ", f"{item.text} [{item.ticket}/{item.entry}] {who}", width))
    if len(about.due) > SHOWN_DUE:
        rows.append(_line("", f"and more that is due: {key_for('followups')} shows all of it", width, "quiet"))
    if about.promised:
        names = "; ".join(f"{job.number} {job.vehicle or job.customer}, {job.ready_by}" for job in about.promised[:9])
        rows += wrap([Span("Promised today: ", "strong"), Span(names)], width, rest="  ")[:3]
    return [*rows, Row()] if rows else []


def _line(lead: str, text: str, width: int, style: str = "plain") -> Row:
    return Row((Span(lead, "strong"), Span(cut(text, width - len(lead)), style)))


def job_row(job: TicketRow, about: Surroundings, width: int) -> Row:
    """One line a job: number, vehicle and customer, and in words what it waits for, what is to ask, how old it is."""
    wide = width >= _WIDE
    number = f"{job.number:>5}  "
    room = max(width - len(number), 8)
    who = " · ".join((job.vehicle or "vehicle not named", job.customer or "no name"))
    state = state_words(job, about, promise=wide)
    if width < _NARROW:
        return Row((Span(number, "strong"), Span(cut(f"{who}  {state}", room))), job.number)
    said = min(cell_len(state), 56 if wide else 37)  # at the right edge, so that the names get all that is left
    return Row((Span(number, "strong"), Span(columns((who, state), (room - said - 2, said)))), job.number)


def state_words(job: TicketRow, about: Surroundings, *, promise: bool = True) -> str:
    """Such as ``waits for parts, 4 to ask, 3 days``, with what was promised where there is room."""
    if job.damaged:
        return "cannot be read: run ticket audit"
    age = (about.today - local_day(job.opened)).days
    parts = [_WAITS.get(job.status, job.status)]
    asks = about.gaps.get(job.number)
    if asks and job.status != "signed":
        parts.append(f"{asks} to ask")
    if job.status == "signed" and job.closed is not None:
        parts.append(f"{local_day(job.closed):%Y-%m-%d}")
    else:
        parts.append("today" if age <= 0 else "1 day" if age == 1 else f"{age} days")
    if promise and job.ready_by and job.status != "signed":
        parts.append("promised today" if promised_today(job, about.today) else f"promised {job.ready_by}")
    return ", ".join(parts)


def empty_rows(width: int, *, narrowed: bool, new_shop: bool) -> list[Row]:
    """What stands where no job does: what to do next."""
    new, past = key_for("new"), key_for("past")
    if narrowed:
        text = f"No open job fits what you typed. {past} looks at past jobs, {new} opens a new ticket."
        return wrap([Span(text, "quiet")], width)
    if not new_shop:
        return wrap([Span(f"No open ticket. {new} opens one, {key_for('all')} shows signed ones too.", "quiet")], width)
    lines = (
        "There is no ticket in this shop yet. What to do next:",
        f"{new} opens the first one. It asks for the plate or the vehicle number; Enter alone opens it empty.",
        "Then type one fact a line, as you would say it: says: horn is silent since the car wash",
        f"{key_for('help')} shows the words and the keys, {key_for('actions')} searches everything that can be done.",
        "ticket demo, typed in another terminal, shows a shop full of invented jobs.",
    )
    return [made for text in lines for made in wrap([Span(text)], width, rest="  ")]
