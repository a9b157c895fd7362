"""The list of jobs: what is open, found by typing, opened by Enter."""

import asyncio
from collections.abc import Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.timer import Timer
from textual.widgets import Input

from ticket.grid.list_grid import column_at, head_rows
from ticket.grid.rows import Row, Span
from ticket.grid.signs import RULE
from ticket.job.errors import TicketError
from ticket.job.text import fold
from ticket.machine.environment import now
from ticket.machine.job_list import read_list
from ticket.screens.actions import key_for
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.jobs_preview import ROWS, Preview, preview_of, preview_rows
from ticket.screens.jobs_rows import (
    LATE,
    SORTS,
    DueCount,
    Placed,
    Surroundings,
    columns_for,
    due_row,
    empty_rows,
    in_order,
    job_row,
    parted,
    top_row,
)  # fmt: skip
from ticket.screens.long_page import Lines, LongPage
from ticket.screens.page import Page
from ticket.screens.prompt import FIND, Prompt
from ticket.screens.routes import route_to
from ticket.store.ticket_list import TicketList, TicketRow, any_ticket

if TYPE_CHECKING:
    from ticket.shop.opening import Shop

_SETTLED = 0.3  # seconds the list stands still before what takes longer is asked
_HEADS = 3  # the row of the heads
_AT_ONCE = 2  # tickets whose questions are counted in one go
_DUE_LOOKED_AT = 100  # pieces of deferred work that are counted; beyond, the count says so
_TALL, _BROAD = 18, 72  # rows and columns from which the pointed job is told below the list
FILTERS = ("late", "today", "approval", "parts", "pick-up", "no promise")
"""What one key narrows the list to, one behind the other."""


class JobsScreen(Frame):
    """Open tickets in columns, late ones first; typing narrows the list, a key sorts it by another column.

    The list itself is read and painted before the shop is opened. What takes longer, the questions that block each
    ticket, the deferred work that is due and the pointed job, is asked behind the screen and filled in without moving
    the pointer.

    Args:
        database: the shop's file.
        person: who works here.
    """

    subject: ClassVar[str] = "jobs"
    BINDINGS = bindings("jobs")
    DEFAULT_CSS = """
    JobsScreen #page { scrollbar-size-vertical: 0; }
    """

    def __init__(self, database: Path, person: str) -> None:
        super().__init__()
        self.database = database
        self.every = False
        self.sort = SORTS[0]
        self.jobs: list[TicketRow] = []
        self.shown: list[TicketRow | None] = []
        self.about = Surroundings(now(), person=person)
        self.preview: Preview | None = None
        self._told: tuple[int, datetime] | None = None  # the job that the preview tells, and when it was changed last
        self._by_number: dict[int, TicketRow] = {}
        self._open: list[int] = []  # the jobs that are shown and not signed
        self._placed: list[Placed] = []  # all jobs in the order of the list
        self._late = 0
        self._hidden: bool | None = None  # whether names were hidden when the list was read last
        self._read = False  # it was on the screen before
        self._counted: dict[int, tuple[object, int]] = {}
        self._pause: Timer | None = None  # runs from the last key until what takes longer is asked

    def compose(self) -> ComposeResult:
        """Counts, due work, heads; the list; the pointed job; the line to find with; keys."""
        yield strip("top", 5)
        yield LongPage(id="page")
        yield strip("preview", ROWS + 1)
        yield Prompt(
            id="prompt", lead=FIND, placeholder="number, plate, vehicle, name or code; late, approval, parts, signed"
        )
        yield strip("hints")

    def on_mount(self) -> None:
        """Read the list."""
        prompt = self.query_one(Prompt)
        prompt.listener, prompt.finds = self.draw, True
        self.page().on_pointed = self._pointed
        try:
            found = self._list()
            self.jobs = found.rows
            self.about = self.about._replace(shop=found.shop)
            self._by_number = {job.number: job for job in self.jobs}
            self._placed = in_order(self.jobs, self.sort, self.about.now)  # drawn where the size is known
        except TicketError as error:
            self.desk.give_up(error)

    def _list(self) -> TicketList:
        """The list as whoever sits here may see it."""
        found = read_list(self.database, every=self.every)
        if self.about.person not in found.auditors or self.desk.names_asked:
            return found
        from ticket.shop.opening import without_names  # heavy: the first paint of others does not wait for it

        return found._replace(rows=without_names(found.rows))

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    def on_screen_resume(self) -> None:
        """Coming back from a ticket: it may have changed. The first time it was read a moment ago."""
        if self._read:
            self.reread()
        self._read = True

    def reread(self) -> None:
        """Read the list again, behind the screen: ten thousand tickets take a moment."""
        self.work_behind(self._reread, "list")

    changed_elsewhere = reread

    async def _reread(self) -> None:
        try:
            shop = self.desk.shop
            if self._hidden != shop.hidden:  # what the preview tells was read for other eyes
                self._hidden, self._told, self.preview = shop.hidden, None, None
            self.about = self.about._replace(person=shop.person)
            found = await asyncio.to_thread(self._list)
            at = now()
            placed = await asyncio.to_thread(in_order, found.rows, self.sort, at)
        except TicketError as error:
            self.desk.give_up(error)
            return
        self._take(found, placed, at)

    def _take(self, found: TicketList, placed: list[Placed], at: datetime) -> None:
        self.jobs, self._placed = found.rows, placed
        self._by_number = {job.number: job for job in found.rows}
        self.about = self.about._replace(now=at, shop=found.shop)
        self.draw()

    # -- drawing -----------------------------------------------------------------------------------------------

    def page(self) -> LongPage:
        """The list."""
        return self.query_one("#page", LongPage)

    def _narrowed(self) -> list[Placed]:
        words = fold(self.query_one(Prompt).value).split()
        return [one for one in self._placed if all(word in one.text for word in words)] if words else self._placed

    def draw(self) -> None:
        """Draw the list as filtered and sorted."""
        narrowed = bool(self.query_one(Prompt).value.strip())
        if "signed" in self.query_one(Prompt).value.casefold().split() and not self.every:
            self.action_all()
        jobs = self._narrowed()
        self.shown = parted(jobs, groups=self.sort == SORTS[0])
        self._late = sum(one.group == LATE for one in jobs)
        self._open = [one.job.number for one in jobs if one.job.status != "signed" and not one.job.damaged]
        width = max(self.size.width, 20)
        head = []
        if not jobs:
            head = empty_rows(width - 2, narrowed=narrowed, new_shop=not self.jobs and not any_ticket(self.database))
        shown = self.shown
        keys = [job.number if job is not None else None for job in shown]
        self.page().show_lines(Lines(head, keys, lambda i: [self._row(shown, i)]))
        self._draw_top()
        self._draw_preview()
        self.hints()
        self._fill_soon()

    def _draw_top(self) -> None:
        width = max(self.size.width, 20)
        gaps = self.about.gaps
        whole = len(gaps) >= len(self._open) and all(number in gaps for number in self._open)
        counted = sum(gaps[number] or 0 for number in self._open) if whole else None
        kind = "tickets, signed ones too" if self.every else "open"
        top = top_row(sum(job is not None for job in self.shown), self._late, counted, self.about, width, kind=kind)
        heads = head_rows(columns_for(width), self.sort, width)
        self.query_one("#top", Page).show([top, due_row(self.about, width), Row(), *heads])

    def _row(self, shown: Sequence[TicketRow | None], place: int) -> Row:
        job = shown[place]
        return job_row(job, self.about, max(self.size.width, 20)) if job is not None else Row()

    def _draw_preview(self) -> None:
        page = self.query_one("#preview", Page)
        shown = bool(self.jobs) and self.size.height >= _TALL and self.size.width >= _BROAD
        rows = preview_rows(self._pointed_job(), self.preview, self.size.width) if shown else []
        rows = [*rows, Row((Span(RULE * self.size.width, "rule"),))]
        if page.styles.height is None or page.styles.height.value != len(rows):
            page.styles.height = len(rows)
        page.show(rows)

    def _pointed_job(self) -> TicketRow | None:
        key = self.page().key
        return self._by_number.get(key) if isinstance(key, int) else None

    def _pointed(self) -> None:
        self._draw_preview()
        self._fill_soon()

    def on_click(self, event: events.Click) -> None:
        """A click on a head sorts by it."""
        if event.widget is self.query_one("#top") and event.y == _HEADS:
            name = column_at(columns_for(max(self.size.width, 20)), event.x)
            if name in SORTS:
                self._sort_by(name)

    def _sort_by(self, name: str) -> None:
        self.sort = name
        self._placed = in_order(self.jobs, name, self.about.now)
        self.draw()

    # -- what takes longer ---------------------------------------------------------------------------------------

    def _fill_soon(self) -> None:
        """Ask once the list stands still: questions behind take their share of the machine from the keys."""
        if self._pause is not None:
            self._pause.stop()
        self._pause = self.set_timer(_SETTLED, self._fill)

    def _fill(self) -> None:
        self._pause = None
        self.work_behind(self._fill_in, "fill")

    async def _fill_in(self) -> None:
        """Ask for the pointed job and what is due, then what the tickets that are seen ask, a few at a time."""
        try:
            job = self._pointed_job()
            if job is not None and self._told != (job.number, job.updated):
                self.preview = await self.desk.behind.ask(partial(preview_of, job.number))
                self._told = (job.number, job.updated)
                self._draw_preview()
            due = await self.desk.behind.ask(_due)
            if due != self.about.due:
                self.about = self.about._replace(due=due)
                self._draw_top()
            while self._pause is None and (wanted := self._uncounted()[:_AT_ONCE]):
                counts = await self.desk.behind.ask(partial(_count, tuple(wanted)))
                self._counted |= {number: (self._stamp(number), count) for number, count in counts.items()}
                gaps = {number: count for number, (_, count) in self._counted.items()}
                self.about = self.about._replace(gaps=gaps)
                self.page().fresh()
                self._draw_top()
        except TicketError:
            return  # the list itself says what is wrong with the database

    def _uncounted(self) -> list[int]:
        """The tickets on the screen whose questions were not counted since they changed."""
        seen = (self._by_number.get(key) for key in self.page().seen() if isinstance(key, int))
        jobs = [job for job in seen if job is not None and job.status != "signed"]
        return [job.number for job in jobs if self._counted.get(job.number, (None, 0))[0] != job.updated]

    def _stamp(self, number: int) -> datetime | None:
        job = self._by_number.get(number)
        return job.updated if job is not None else None

    # -- actions -----------------------------------------------------------------------------------------------

    @on(Input.Submitted)
    def action_open(self) -> None:
        """Open the ticket under the pointer, or the one whose number was typed."""
        typed = self.query_one(Prompt).value.strip()
        chosen = int(typed) if self._is_ticket(typed) else self.page().key
        if isinstance(chosen, int):
            self.query_one(Prompt).value = ""
            self.desk.open_ticket(chosen)
        elif len(typed) in (17, 18) and typed.isalnum():
            self.action_new()  # a vehicle number was scanned here, and no open ticket is of that vehicle
        else:
            self.desk.say(f"No ticket fits. {key_for('new')} opens a new one, {key_for('past')} looks at past jobs.")

    def _is_ticket(self, typed: str) -> bool:
        """Whether what was typed is the number of a ticket, listed or signed."""
        if not (typed.isascii() and typed.isdecimal() and len(typed) < 16):
            return False
        if any(job.number == int(typed) for job in self.jobs):
            return True
        try:
            from ticket.shop.reading import ticket_of  # it needs what the first paint does without

            ticket_of(self.desk.shop, int(typed))
        except TicketError:
            return False
        return not self.shown

    @on(Page.Chosen)
    def _clicked(self, event: Page.Chosen) -> None:
        if isinstance(event.key, int):
            self.desk.open_ticket(event.key)

    @on(Prompt.Asked)
    def _asked(self) -> None:
        self.desk.action_help()

    def action_new(self) -> None:
        """The form for a new ticket; what was typed to find a vehicle is taken along."""
        if not self.desk.may_write():
            return
        typed = self.query_one(Prompt).value.strip()
        self.query_one(Prompt).value = ""
        self.app.push_screen(route_to("new", self.desk.shop, typed))

    def action_past(self) -> None:
        """Past jobs; what was typed here is looked for there."""
        self.app.push_screen(route_to("past", self.query_one(Prompt).value))

    def action_followups(self) -> None:
        """Deferred work by date."""
        self.app.push_screen(route_to("followups", self.desk.shop))

    def action_sort(self) -> None:
        """Sort by the next column."""
        self._sort_by(SORTS[(SORTS.index(self.sort) + 1) % len(SORTS)])

    def action_filter(self) -> None:
        """Narrow the list to the next kind of job, behind the last one to none."""
        prompt = self.query_one(Prompt)
        at = FILTERS.index(prompt.value.strip()) + 1 if prompt.value.strip() in FILTERS else 0
        prompt.put(FILTERS[at] if at < len(FILTERS) else "")

    def action_all(self) -> None:
        """Signed tickets too, or only the open ones."""
        self.every = not self.every
        self.reread()

    def action_back(self) -> None:
        """Clear what was typed."""
        self.query_one(Prompt).value = ""


def _due(shop: "Shop") -> DueCount:
    from ticket.job.kinds import JUDGEMENTS
    from ticket.shop.deferred import due_within

    items = due_within(shop, shop.today, _DUE_LOOKED_AT + 1)
    unsafe = sum(item.judgement == JUDGEMENTS[-1] for item in items)
    return DueCount(min(len(items), _DUE_LOOKED_AT), unsafe, len(items) > _DUE_LOOKED_AT)


def _count(numbers: Sequence[int], shop: "Shop") -> dict[int, int]:
    from ticket.shop.reading import open_gaps

    return {number: len(open_gaps(shop, number)) for number in numbers}
