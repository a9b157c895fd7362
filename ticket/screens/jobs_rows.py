"""The list of jobs as rows in columns. Pure: light rows, counts and times in, screen rows out."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from functools import lru_cache
from types import MappingProxyType
from typing import Any, NamedTuple

from ticket.assist.waits_for import ANSWERED, WAITS_FOR
from ticket.grid.list_grid import ListColumn, laid
from ticket.grid.rows import Row, Span, cut, wrap
from ticket.grid.signs import BACK, UNREAD, UNSAFE, WAITS
from ticket.job.promise import promised_day, promised_minute
from ticket.job.text import fold
from ticket.job.wall import local_day, local_minute
from ticket.screens.actions import key_for
from ticket.screens.sides import ends
from ticket.store.ticket_list import TicketRow

LATE, TODAY, LATER = range(3)
_DAY = 24 * 60
_WEEK = 7


class DueCount(NamedTuple):
    """How much deferred work is due.

    Attributes:
        many: how many pieces.
        unsafe: how many of them nobody should drive with.
        more: there are more than were looked at.
    """

    many: int = 0
    unsafe: int = 0
    more: bool = False


class Surroundings(NamedTuple):
    """What the list knows beside its tickets.

    Attributes:
        now: the moment.
        gaps: how many questions are open, by ticket; a ticket that was not looked at yet is missing.
        due: deferred work that is due.
        shop: its name.
        person: who works here.
    """

    now: datetime
    gaps: Mapping[int, int] = MappingProxyType({})
    due: DueCount = DueCount()
    shop: str = ""
    person: str = ""

    @property
    def today(self) -> date:
        """The day on the shop's wall."""
        return local_day(self.now)


class Promise(NamedTuple):
    """What was promised, held against the clock.

    Attributes:
        group: late, today, or later and without a day.
        order: earlier ones first.
        words: as the list tells it.
    """

    group: int
    order: tuple[int, int]
    words: str


@lru_cache(maxsize=32768)
def _named(text: str, opened: date) -> tuple[date | None, int | None]:
    return promised_day(text, opened), promised_minute(text)


def promise_of(job: TicketRow, now: datetime, *, short: bool = False) -> Promise:
    """What was promised on a job; a signed one is promised nothing any more and tells the day it was signed."""
    if job.status == "signed" and job.closed is not None:
        return Promise(LATER, (0, 0), _short_day(local_day(job.closed)))
    if job.damaged or not job.ready_by:
        return Promise(LATER, (date.max.toordinal(), 0), "" if job.damaged else "none" if short else "no promise")
    today = local_day(now)
    day, minute = _named(job.ready_by, local_day(job.opened))
    if day is None:
        return Promise(LATER, (date.max.toordinal() - 1, 0), job.ready_by)
    order = (day.toordinal(), _DAY if minute is None else minute)
    at = "" if minute is None else f" {minute // 60}:{minute % 60:02}"
    behind = local_minute(now) - minute if minute is not None else 0
    if day < today:
        days = (today - day).days
        return Promise(LATE, order, f"late {days} {'day' if days == 1 else 'days' if days < 10 else 'd'}")
    if day == today:
        return Promise(LATE, order, f"late {_span(behind)}") if behind > 0 else Promise(TODAY, order, f"today{at}")
    near = (day - today).days < _WEEK
    return Promise(LATER, order, f"{day:%a}{at}" if near else _short_day(day))


def _short_day(day: date) -> str:
    return f"{day.day} {day:%b}"


def _span(minutes: int) -> str:
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h"


def age_of(job: TicketRow, now: datetime, *, short: bool) -> str:
    """How old a job is: minutes, hours or days."""
    minutes = max(int((now - job.opened).total_seconds()) // 60, 0)
    for size, unit, word in ((_DAY, "d", "d"), (60, "h", "h"), (1, "m", "min")):
        if minutes >= size or size == 1:
            return f"{minutes // size}{unit}" if short else f"{minutes // size} {word}"
    return ""


@lru_cache(maxsize=64)
def columns_for(width: int) -> tuple[ListColumn, ...]:
    """The columns at a width; what is left over goes to vehicle and customer."""
    if width < 80:
        more = width - 60
        return (
            ListColumn("no", "no  ", 2, 6, right=True), ListColumn("plate", "plate", 8, 15),
            ListColumn("vehicle", "vehicle", 17, 36 + more), ListColumn("ask", "ask", 38 + more, 41 + more, right=True),
            ListColumn("promised", "promised", 45 + more, 59 + more),
        )  # fmt: skip
    if width < 120:
        first = (width - 80) // 2
        more = width - 80
        return (
            ListColumn("no", "no  ", 2, 6, right=True), ListColumn("plate", "plate", 8, 15),
            ListColumn("vehicle", "vehicle", 17, 37 + first), ListColumn("customer", "customer", 39 + first, 48 + more),
            ListColumn("waits", "waits for", 50 + more, 59 + more), ListColumn("ask", "ask", 61 + more, 63 + more),
            ListColumn("age", "age", 65 + more, 67 + more, right=True),
            ListColumn("promised", "promised", 69 + more, 79 + more),
        )  # fmt: skip
    first = min((width - 120) // 2, 16)
    more = min(width - 120, 32)
    return (
        ListColumn("no", "no  ", 2, 6, right=True), ListColumn("plate", "plate", 9, 17),
        ListColumn("vehicle", "vehicle", 19, 42 + first), ListColumn("customer", "customer", 44 + first, 61 + more),
        ListColumn("fault", "fault", 63 + more, 75 + more), ListColumn("waits", "waits for", 77 + more, 88 + more),
        ListColumn("ask", "ask", 90 + more, 93 + more), ListColumn("age", "age", 95 + more, 101 + more, right=True),
        ListColumn("promised", "promised", 105 + more, 117 + more),
    )  # fmt: skip


def job_row(job: TicketRow, about: Surroundings, width: int) -> Row:
    """One line a job, each fact in its column; late ones and those that came back have their sign."""
    short = width < 120
    promise = promise_of(job, about.now, short=width < 80)
    late = promise.group == LATE
    if job.damaged:
        number = laid(columns_for(width)[:1], {"no": (Span(str(job.number)),)}, Span(UNREAD, "ask"))
        return Row((*number, Span(cut(" cannot be read: run ticket audit", width - 8), "ask")), job.number)
    asks = about.gaps.get(job.number)
    signed = job.status == "signed"
    ask = "" if signed or asks == 0 else "…" if asks is None else f"{UNREAD} {asks}"
    when = "bad" if late else "strong" if promise.group == TODAY else "quiet" if signed or not job.ready_by else "ink"
    cells = {
        "no": (Span(str(job.number)),),
        "plate": (Span(job.plate or "—", "strong" if job.plate else "ink"),),
        "vehicle": (Span(job.vehicle if job.vehicle != job.plate else "") if job.vehicle else Span("not named"),),
        "customer": (Span(job.customer),),
        "fault": (Span(job.codes.rpartition(" ")[2], "fact"),),
        "waits": _waits(job),
        "ask": (Span(ask, "ask" if asks else "quiet"),),
        "age": (Span(age_of(job, about.now, short=short), "quiet"),),
        "promised": (Span(promise.words, when),),
    }
    here = {**cells, "no": (Span(str(job.number), "strong"),)}
    sign = Span(UNSAFE, "bad") if late else Span(BACK, "quiet") if job.back_from else None
    columns = columns_for(width)
    return Row(laid(columns, cells, sign), job.number, laid(columns, here, sign))


def _waits(job: TicketRow) -> tuple[Span, ...]:
    word = WAITS_FOR.get(job.status, "")
    if job.status == "signed":
        return (Span("signed", "quiet"),)
    if not word or job.status == "open":
        return ()
    return (Span(f"{WAITS} {word}", "ask" if job.status in ANSWERED else "quiet"),)


def due_row(about: Surroundings, width: int) -> Row:
    """How many customers are to be called about work that waits, and the key that lists them; blank where none is."""
    due = about.due
    if not due.many:
        return Row()
    many = f"{due.many} or more" if due.more else str(due.many)
    unsafe = f", {due.unsafe} of them unsafe" if due.unsafe else ""
    left = (Span(f"{many} to call today"), Span(f" about work that waits{unsafe}", "quiet"))
    return Row((Span(" "), *ends(left, (Span(key_for("followups"), "key"),), width - 2)))


def top_row(many: int, late: int, to_ask: int | None, about: Surroundings, width: int, *, kind: str) -> Row:
    """The counts, and whose list it is.

    Args:
        many: jobs that are shown.
        late: of them, those whose promise has passed.
        to_ask: questions on all of them; ``None`` while they are being counted.
        about: whose list it is.
        width: cells.
        kind: what the jobs are, such as ``open``.
    """
    left = [Span("Jobs", "strong"), Span(f"  {many} {kind}")]
    left += [Span(f"  {UNSAFE} {late} late", "bad")] if late else []
    left += [Span(f"  {UNREAD} {to_ask} to ask", "ask")] if to_ask else []
    right = [*([Span(about.shop, "quiet"), Span("  ")] if about.shop else []), Span(cut(about.person, 24))]
    room = sum(len(span.text) for span in left) + sum(len(span.text) for span in right)
    return Row((Span(" "), *ends(left, right if room < width - 4 else right[-1:], width - 2)))


def empty_rows(width: int, *, narrowed: bool, new_shop: bool) -> list[Row]:
    """What stands where no job does: what to do next."""
    new, past = key_for("new"), key_for("past")
    if narrowed:
        text = (
            f"No open job fits what you typed. {past} looks for it among past jobs, {key_for('all')} shows signed ones"
            f" here too, {new} opens a new ticket."
        )
        return wrap([Span(text)], width, first="  ", rest="  ")
    if not new_shop:
        text = f"No open tickets. {new} opens one, {key_for('all')} shows signed ones too."
        return wrap([Span(text)], width, first="  ", rest="  ")
    lines = (
        "There is no ticket in this shop yet. What to do next:",
        f"{new} opens the first one. It asks for the plate or the vehicle; {key_for('save')} alone opens it empty.",
        "Then type one fact a line, as you would say it: says: horn is silent since the car wash",
        f"{key_for('settings')} sets what an hour costs, the tax, and who works here.",
        f"{key_for('help')} shows the words and the keys, {key_for('actions')} searches everything that can be done.",
        "ticket demo, typed in another terminal, shows a shop full of invented jobs.",
    )
    return [made for text in lines for made in wrap([Span(text)], width, first="  ", rest="    ")]


def words_of(job: TicketRow, promise: Promise) -> str:
    """What a job is found by beside what stands on it: late, today, what it waits for, signed."""
    when = ("late", "today", "")[promise.group]
    return f"{when} {WAITS_FOR.get(job.status, job.status)} {'' if job.ready_by else 'no promise'}"


SORTS = ("promised", "age", "no", "plate", "customer", "waits")
"""The columns a list of jobs is sorted by, one behind the other."""


class Placed(NamedTuple):
    """A job at its place in the list, with the group it belongs to and the words it is found by."""

    job: TicketRow
    group: int
    text: str


def in_order(jobs: Sequence[TicketRow], sort: str, now: datetime) -> list[Placed]:
    """The jobs as the list shows them; only by promise they stand in groups."""
    found = [(promise_of(job, now), job) for job in jobs]
    keys: dict[str, Callable[[tuple[Promise, TicketRow]], Any]] = {
        "promised": lambda one: (one[0].group, one[0].order),
        "age": lambda one: one[1].opened,
        "no": lambda one: -one[1].number,
        "plate": lambda one: (not one[1].plate, one[1].plate.casefold()),
        "customer": lambda one: (not one[1].customer, one[1].customer.casefold()),
        "waits": lambda one: (one[1].status == "open", one[1].status),
    }
    return [
        Placed(job, promise.group, fold(f"{_haystack(job)} {words_of(job, promise)}"))
        for promise, job in sorted(found, key=keys[sort])
    ]


def parted(placed: Sequence[Placed], *, groups: bool) -> list[TicketRow | None]:
    """The jobs with a blank (``None``) between two groups, where there are groups."""
    shown: list[TicketRow | None] = []
    before = -1
    for one in placed:
        if groups and shown and one.group != before:
            shown.append(None)
        shown.append(one.job)
        before = one.group
    return shown


def _haystack(row: TicketRow) -> str:
    """What the list is narrowed by."""
    return f"{row.number} {row.status} {row.vehicle} {row.plate} {row.customer} {row.odometer} {row.codes}"
