"""Past jobs: a query line, what it finds as it is typed, and how the jobs found spread."""

from functools import partial
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.timer import Timer
from textual.widgets import Input

from ticket.grid.list_grid import DOWN, UP, column_at, head_rows
from ticket.grid.rows import Row, Span
from ticket.grid.signs import RULE
from ticket.job.errors import TicketError
from ticket.past.query import completions
from ticket.past.turned_out import Outcome
from ticket.screens.bare_ground import Band
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.long_page import Lines, LongPage
from ticket.screens.page import Page
from ticket.screens.past_rows import (
    ROWS,
    SORTS,
    columns_for,
    count_rows,
    empty_rows,
    in_order,
    job_row,
    preview_rows,
    total_words,
    was_rows,
)  # fmt: skip
from ticket.screens.prompt import FIND, Prompt
from ticket.screens.routes import route_to
from ticket.shop.opening import Shop
from ticket.shop.past import Results, search, what_it_was
from ticket.store.briefs import Brief

_PAUSE = 0.06  # seconds after the last key before the shop is asked
_TALL, _BROAD = 18, 72  # rows and columns from which the pointed job is told below the list
_WAS = ((9, 34), (6, 22))  # rows that tell what the jobs were, and from how many rows of the window on
_WIDE = 150  # columns from which the counts stand beside the jobs, whose causes need the room first


class PastScreen(Frame):
    """Jobs found as you type; the search runs behind the screen, so typing never waits.

    Args:
        query: what to look for first.
        into: the ticket in hand, whose number entries may be copied into; 0 for none.
    """

    subject: ClassVar[str] = "past"
    BINDINGS = bindings("past")
    DEFAULT_CSS = """
    PastScreen #page { scrollbar-size-vertical: 0; }
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
        self.was: tuple[int, tuple[Outcome, ...]] = (0, ())  # finished jobs among them, and their causes
        self.counting = False
        self.sort = SORTS[0]
        self.found: list[Brief] = []  # in the order of the list
        self._answered: str | None = None
        self._pause: Timer | None = None

    def compose(self) -> ComposeResult:
        """Top line, jobs with the counts beside, query line, hints."""
        yield strip("top")
        yield strip("was", 0)
        yield strip("heads", 2)
        with Band(id="body"):
            yield LongPage(id="page")
            yield Page(id="counts", pointer=False)
        yield strip("preview", ROWS)
        yield strip("rule")
        yield Prompt(
            id="prompt", lead=FIND, placeholder="code, words, part:NUMBER, plate:TEXT, vehicle:TEXT, since:2026-03"
        )
        yield strip("hints")

    def on_mount(self) -> None:
        """Look for what was in hand."""
        prompt = self.query_one(Prompt)
        prompt.value = self.first
        prompt.cursor_position = len(self.first)
        prompt.listener, prompt.finds, prompt.taker = self._typed, True, self._take
        self.page().on_pointed = self._draw_preview
        self._ask()

    def on_resize(self) -> None:
        """Draw for the new size."""
        shown = self.size.height >= _TALL and self.size.width >= _BROAD
        self.query_one("#preview", Page).styles.height = ROWS if shown else 0
        self.query_one("#rule", Page).show([Row((Span(RULE * self.size.width, "rule"),))])
        self.draw()

    def page(self) -> LongPage:
        """The jobs found."""
        return self.query_one("#page", LongPage)

    # -- asking --------------------------------------------------------------------------------------------------

    def _goes_on(self) -> str:
        """The search with its last word as it may go on; empty where nothing is known."""
        typed = self.query_one(Prompt).value
        found = completions(typed)
        return typed[: len(typed) - len(typed.rpartition(" ")[2])] + found[0] if found else ""

    def _take(self, _word: bool) -> None:
        """Take what is shown behind the search."""
        prompt = self.query_one(Prompt)
        prompt.value = self._goes_on() or prompt.value
        prompt.cursor_position = len(prompt.value)

    def _typed(self) -> None:
        self.query_one(Prompt).ghost(self._goes_on())
        if self._pause is not None:
            self._pause.stop()
        self._pause = self.set_timer(_PAUSE, self._ask)

    def _ask(self) -> None:
        self.work_behind(partial(self._search, self.query_one(Prompt).value), "search")

    async def _search(self, text: str) -> None:
        try:
            with self.telling():
                self.results, self.was = await self.desk.behind.ask(partial(_found, text, self.into))
        except TicketError as error:
            self.results, self.was = Results(problem=str(error)), (0, ())
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
        room = max(width - side, 20)
        results = self.results
        found = self.found = in_order(results.jobs, self.sort, results.came_back)
        head = []
        if not results.jobs and self._answered is not None:
            head = empty_rows(self._answered, results, room - 2)
        lines = Lines(head, [job.number for job in found], lambda i: [job_row(found[i], results, room)])
        self.page().show_lines(lines)
        was = was_rows(*self.was, width, next((rows for rows, high in _WAS if self.size.height >= high), 0))
        apart = 1 if self.size.height >= _TALL else 0  # a blank row between the header and what stands below
        self.query_one("#was", Page).styles.height = len(was) + 1 if was else apart
        self.query_one("#was", Page).show(was)
        listed = head_rows(columns_for(room), self.sort, width, DOWN if self.sort == SORTS[0] else UP)
        self.query_one("#heads", Page).show([Row(), *listed[1:]] if self.counting and not beside else listed)
        self.query_one("#counts", Page).show(count_rows(results, max((side or width) - 4, 20)))
        total = f"  {total_words(results)}" if self._answered is not None and not results.problem else ""
        self.top([Span("Past jobs", "strong"), Span(total, "quiet")])
        self._draw_preview()
        self.hints()

    def _draw_preview(self) -> None:
        key = self.page().key
        job = next((job for job in self.found if job.number == key), None)
        self.query_one("#preview", Page).show(preview_rows(job, self.results, self.size.width))

    def on_click(self, event: events.Click) -> None:
        """A click on a head sorts by it."""
        if event.widget is self.query_one("#heads"):
            name = column_at(columns_for(max(self.page().size.width, 20)), event.x)
            self.sort = name if name in SORTS else self.sort
            self.draw()

    def action_sort(self) -> None:
        """Sort by the next column."""
        self.sort = SORTS[(SORTS.index(self.sort) + 1) % len(SORTS)]
        self.draw()

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


def _found(text: str, but: int, shop: Shop) -> tuple[Results, tuple[int, tuple[Outcome, ...]]]:
    """What a search finds, and what the finished jobs among it were; all jobs together were too much to tell."""
    results = search(text, shop, but=but)
    return results, what_it_was(shop, results.jobs) if text.strip() else (0, ())
