"""Past jobs: a query line, what it finds as it is typed, and how the jobs found spread."""

from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.timer import Timer
from textual.widgets import Input

from ticket.grid.rows import Span
from ticket.job.errors import TicketError
from ticket.screens.frame import Frame, bindings, mark, strip
from ticket.screens.long_page import Lines, LongPage
from ticket.screens.page import Page
from ticket.screens.past_rows import count_rows, empty_rows, job_rows, total_words
from ticket.screens.prompt import Prompt
from ticket.screens.routes import route_to
from ticket.shop.past import Results, search

_PAUSE = 0.06  # seconds after the last key before the shop is asked
_WIDE = 110  # columns from which the counts stand beside the jobs


class PastScreen(Frame):
    """Jobs found as you type; the search runs behind the screen, so typing never waits.

    Args:
        query: what to look for first.
        into: the ticket in hand, whose number entries may be copied into; 0 for none.
    """

    subject: ClassVar[str] = "past"
    BINDINGS = bindings("past")
    DEFAULT_CSS = """
    PastScreen #mark { width: 6; color: $accent; }
    PastScreen #body { height: 1fr; }
    PastScreen #counts { display: none; padding-left: 1; border-left: solid $panel; width: 38%; }
    PastScreen.beside #counts { display: block; }
    PastScreen.instead #counts { display: block; width: 1fr; border-left: none; padding-left: 0; }
    PastScreen.instead #page { display: none; }
    """

    def __init__(self, query: str = "", into: int = 0) -> None:
        super().__init__()
        self.first = query
        self.into = into
        self.results = Results()
        self.counting = False
        self._answered: str | None = None
        self._pause: Timer | None = None

    def compose(self) -> ComposeResult:
        """Top line, jobs with the counts beside, query line, hints."""
        yield strip("top")
        with Horizontal(id="body"):
            yield LongPage(id="page")
            yield Page(id="counts", pointer=False)
        with Horizontal(classes="line"):
            yield mark("find:")
            yield Prompt(id="prompt", placeholder="code, words, part:NUMBER, plate:TEXT, vehicle:TEXT, since:2026-03")
        yield strip("hints")

    def on_mount(self) -> None:
        """Look for what was in hand."""
        prompt = self.query_one(Prompt)
        prompt.value = self.first
        prompt.cursor_position = len(self.first)
        prompt.listener = self._typed
        self._ask()

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.draw()

    def page(self) -> LongPage:
        """The jobs found."""
        return self.query_one("#page", LongPage)

    # -- asking --------------------------------------------------------------------------------------------------

    def _typed(self) -> None:
        if self._pause is not None:
            self._pause.stop()
        self._pause = self.set_timer(_PAUSE, self._ask)

    def _ask(self) -> None:
        self.work_behind(self._search(self.query_one(Prompt).value), "search")

    async def _search(self, text: str) -> None:
        try:
            self.results = await self.desk.behind.ask(partial(search, text, but=self.into))
        except TicketError as error:
            self.results = Results(problem=str(error))
        self._answered = text
        self.draw()

    def changed_elsewhere(self) -> None:
        """Another terminal changed something: ask again, the pointer stays."""
        self._ask()

    # -- drawing -------------------------------------------------------------------------------------------------

    def draw(self) -> None:
        """Draw what was found last."""
        width = self.size.width
        beside = width >= _WIDE
        self.set_class(beside, "beside")
        self.set_class(self.counting and not beside, "instead")
        side = width * 38 // 100 if beside else 0
        room = max(width - side - 3, 20)
        results = self.results
        head = []
        if not results.jobs and self._answered is not None:
            head = empty_rows(self._answered, results, room)
        lines = Lines(head, [job.number for job in results.jobs], lambda i: job_rows(results.jobs[i], results, room), 2)
        self.page().show_lines(lines)
        self.query_one("#counts", Page).show(count_rows(results, max((side or width) - 4, 20)))
        found = f"  {total_words(results)}" if self._answered is not None and not results.problem else ""
        self.top([Span("Past jobs", "strong"), Span(found, "quiet")])
        self.hints()

    # -- actions -------------------------------------------------------------------------------------------------

    @on(Input.Submitted)
    def action_read(self) -> None:
        """Read the job under the pointer."""
        key = self.page().key
        if isinstance(key, int):
            self._read(key)

    @on(Page.Chosen)
    def _clicked(self, event: Page.Chosen) -> None:
        if isinstance(event.key, int):
            self._read(event.key)

    def _read(self, number: int) -> None:

        self.app.push_screen(route_to("found", self.desk.shop, number, self.into))

    @on(Prompt.Asked)
    def _asked(self) -> None:
        self.desk.action_help()

    def action_counts(self) -> None:
        """The counts instead of the jobs, or the jobs again; where both have room, both stand there anyway."""
        self.counting = not self.counting
        self.draw()

    def action_back(self) -> None:
        """Clear the line, or leave."""
        if self.counting and self.size.width < _WIDE:
            self.action_counts()
        elif self.query_one(Prompt).value and self.query_one(Prompt).value != self.first:
            self.query_one(Prompt).value = ""
        else:
            self.dismiss()

    def action_page_up(self) -> None:
        """A screenful up."""
        self.page().turn(-1)

    def action_page_down(self) -> None:
        """A screenful down."""
        self.page().turn(1)
