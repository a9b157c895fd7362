"""The list of jobs: what is open, found by typing, opened by Enter."""

import asyncio
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.timer import Timer
from textual.widgets import Input

from ticket.job.errors import TicketError
from ticket.job.text import fold
from ticket.job.wall import local_day
from ticket.machine.environment import now
from ticket.screens.actions import key_for
from ticket.screens.frame import Frame, bindings, mark, strip
from ticket.screens.jobs_rows import SHOWN_DUE, DueLine, Surroundings, empty_rows, head_rows, job_row, promised_today
from ticket.screens.long_page import Lines, LongPage
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.routes import route_to
from ticket.screens.rows import Row, Span
from ticket.shop.opening import haystack, read_list
from ticket.shop.reading import open_gaps, ticket_of
from ticket.store.ticket_list import TicketRow, any_ticket

if TYPE_CHECKING:
    from ticket.shop.opening import Shop

_SETTLED = 0.3  # seconds the list stands still before what takes longer is asked
_AT_ONCE = 2  # tickets whose questions are counted in one go


class JobsScreen(Frame):
    """Open tickets, newest first; typing narrows the list.

    The list itself is read and painted before the shop is opened. What takes longer, the questions that block each
    ticket and the deferred work that is due, is asked behind the screen and filled in without moving the pointer.
    """

    subject: ClassVar[str] = "jobs"
    BINDINGS = bindings("jobs")
    DEFAULT_CSS = """
    JobsScreen #mark { width: 6; color: $accent; }
    """

    def __init__(self, database: Path) -> None:
        super().__init__()
        self.database = database
        self.every = False
        self.jobs: list[TicketRow] = []
        self.shown: list[TicketRow] = []
        self.about = Surroundings(local_day(now()))
        self._texts: list[str] = []  # what each job is found by; empty until it is made
        self._counted: dict[int, tuple[object, int]] = {}
        self._pause: Timer | None = None  # runs from the last key until what takes longer is asked

    def compose(self) -> ComposeResult:
        """Top line, list, line to type in, hints."""
        yield strip("top")
        yield LongPage(id="page")
        with Horizontal(classes="line"):
            yield mark("find:")
            yield Prompt(id="prompt", placeholder="number, plate, vehicle, name or code")
        yield strip("hints")

    def on_mount(self) -> None:
        """Read the list."""
        self.query_one(Prompt).listener = self.draw
        try:
            self._take(read_list(self.database, every=self.every))
        except TicketError as error:
            self.desk.give_up(error)

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.draw()

    def on_screen_resume(self) -> None:
        """Coming back from a ticket: it may have changed."""
        self.reread()

    def reread(self) -> None:
        """Read the list again, behind the screen: ten thousand tickets take a moment."""
        self.work_behind(self._reread(), "list")

    changed_elsewhere = reread

    async def _reread(self) -> None:
        try:
            jobs = await asyncio.to_thread(read_list, self.database, every=self.every)
        except TicketError as error:
            self.desk.give_up(error)
            return
        self._take(jobs)

    def _take(self, jobs: list[TicketRow]) -> None:
        self.jobs = jobs
        self._texts = []
        self.about = replace(self.about, today=local_day(now()))
        self.draw()

    # -- drawing -----------------------------------------------------------------------------------------------

    def page(self) -> LongPage:
        """The list."""
        return self.query_one("#page", LongPage)

    def _narrowed(self) -> list[TicketRow]:
        words = fold(self.query_one(Prompt).value).split()
        if not words:
            return self.jobs
        if not self._texts:
            self._texts = _texts(self.jobs)
        return [job for job, text in zip(self.jobs, self._texts, strict=True) if all(word in text for word in words)]

    def draw(self) -> None:
        """Draw the list as filtered."""
        self.shown = self._narrowed()
        width = max(self.size.width - 2, 20)
        narrowed = bool(self.query_one(Prompt).value.strip())
        head = [] if narrowed else head_rows(self.about, width)
        if not self.shown:
            head += empty_rows(width, narrowed=narrowed, new_shop=not self.jobs and not any_ticket(self.database))
        shown = self.shown
        self.page().show_lines(Lines(head, [job.number for job in shown], lambda i: [self._row(shown, i)]))
        tickets = "ticket" if len(shown) == 1 else "tickets"
        kind = f"{tickets}, signed ones too" if self.every else f"open {tickets}"
        self.top([Span("Jobs", "title"), Span(f"  {len(shown)} {kind}", "quiet")])
        self.hints()
        self._fill_soon()

    def _row(self, shown: Sequence[TicketRow], place: int) -> Row:
        return job_row(shown[place], self.about, max(self.size.width - 2, 20))

    # -- what takes longer ---------------------------------------------------------------------------------------

    def _fill_soon(self) -> None:
        """Ask once the list stands still: questions behind take their share of the machine from the keys."""
        if self._pause is not None:
            self._pause.stop()
        self._pause = self.set_timer(_SETTLED, self._fill)

    def _fill(self) -> None:
        self._pause = None
        self.work_behind(self._fill_in(), "fill")

    async def _fill_in(self) -> None:
        """Ask what is promised and due, then what blocks the tickets that are seen, a few at a time."""
        try:
            jobs = self.jobs
            if not self._texts:
                texts = await asyncio.to_thread(_texts, jobs)
                self._texts = texts if jobs is self.jobs else self._texts
            promised = await asyncio.to_thread(_promised, jobs, self.about.today)
            due = await self.desk.behind.ask(_due)
            if (due, promised) != (self.about.due, self.about.promised):
                self.about = replace(self.about, due=due, promised=promised)
                self.draw()
            while self._pause is None and (wanted := self._uncounted()[:_AT_ONCE]):
                counts = await self.desk.behind.ask(partial(_count, tuple(wanted)))
                stamps = {job.number: job.updated for job in self.jobs}
                self._counted |= {number: (stamps.get(number), count) for number, count in counts.items()}
                gaps = {number: count for number, (_, count) in self._counted.items()}
                self.about = replace(self.about, gaps=gaps)
                self.page().fresh()
        except TicketError:
            return  # the list itself says what is wrong with the database

    def _uncounted(self) -> list[int]:
        """The tickets on the screen whose questions were not counted since they changed."""
        stamps = {job.number: job.updated for job in self.shown if job.status != "signed"}
        seen = (key for key in self.page().seen() if isinstance(key, int) and key in stamps)
        return [number for number in seen if self._counted.get(number, (None, 0))[0] != stamps[number]]

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
        if not (typed.isascii() and typed.isdigit() and len(typed) < 16):
            return False
        if any(job.number == int(typed) for job in self.jobs):
            return True
        try:
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
        typed = self.query_one(Prompt).value.strip()
        self.query_one(Prompt).value = ""
        self.app.push_screen(route_to("new", self.desk.shop, typed))

    def action_past(self) -> None:
        """Past jobs; what was typed here is looked for there."""
        self.app.push_screen(route_to("past", self.query_one(Prompt).value))

    def action_followups(self) -> None:
        """Deferred work by date."""
        self.app.push_screen(route_to("followups", self.desk.shop))

    def action_settings(self) -> None:
        """The shop's settings."""
        self.app.push_screen(route_to("settings", self.desk.shop))

    def action_all(self) -> None:
        """Signed tickets too, or only the open ones."""
        self.every = not self.every
        self.reread()

    def action_back(self) -> None:
        """Clear what was typed."""
        self.query_one(Prompt).value = ""

    def action_up(self) -> None:
        """Move the pointer up."""
        super().action_up()
        self._fill_soon()

    def action_down(self) -> None:
        """Move the pointer down."""
        super().action_down()
        self._fill_soon()

    def action_page_up(self) -> None:
        """A screenful up."""
        self.page().turn(-1)
        self._fill_soon()

    def action_page_down(self) -> None:
        """A screenful down."""
        self.page().turn(1)
        self._fill_soon()


def _texts(jobs: Sequence[TicketRow]) -> list[str]:
    return [fold(haystack(job)) for job in jobs]


def _promised(jobs: Sequence[TicketRow], today: date) -> list[TicketRow]:
    return [job for job in jobs if promised_today(job, today)]


def _due(shop: "Shop") -> list[DueLine]:
    from ticket.shop.deferred import due_now

    items = due_now(shop, SHOWN_DUE + 1)
    return [DueLine(item.ticket, item.entry, item.text, item.vehicle, item.customer) for item in items]


def _count(numbers: Sequence[int], shop: "Shop") -> dict[int, int]:
    from ticket.gaps.find import blocking

    return {number: len(blocking(open_gaps(shop, number))) for number in numbers}
