"""The list of jobs: what is open, found by typing, opened by Enter."""

from pathlib import Path
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Input

from ticket.job.errors import TicketError
from ticket.job.text import fold
from ticket.screens.frame import Frame, bindings, mark, strip
from ticket.screens.jobs_rows import jobs_rows
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.rows import Span
from ticket.shop.listing import haystack, read_list
from ticket.store.light import TicketRow


class JobsScreen(Frame):
    """Open tickets, newest first; typing narrows the list."""

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

    def compose(self) -> ComposeResult:
        """Top line, list, line to type in, hints."""
        yield strip("top")
        yield Page(id="page")
        with Horizontal(classes="line"):
            yield mark("find:")
            yield Prompt(id="prompt", placeholder="number, plate, vehicle or name")
        yield strip("hints")

    def on_mount(self) -> None:
        """Read the list."""
        self.query_one(Prompt).listener = self.draw
        self.reread()

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.draw()

    def on_screen_resume(self) -> None:
        """Coming back from a ticket: it may have changed."""
        self.reread()

    def reread(self) -> None:
        """Read the list again from the database."""
        try:
            self.jobs = read_list(self.database, every=self.every)
        except TicketError as error:
            self.desk.give_up(error)
            return
        self.draw()

    changed_elsewhere = reread

    def draw(self) -> None:
        """Draw the list as filtered."""
        words = fold(self.query_one(Prompt).value).split()
        shown = [job for job in self.jobs if all(word in fold(haystack(job)) for word in words)]
        page = self.page()
        page.show(jobs_rows(shown, max(self.size.width - 2, 20), narrowed=bool(words)))
        if page.key is None and page.keys:
            page.choose(page.keys[0])
        kind = "tickets, signed ones too" if self.every else "open tickets"
        self.top([Span("Jobs", "title"), Span(f"  {len(shown)} {kind}", "quiet")])
        self.hints()

    @on(Input.Submitted)
    def action_open(self) -> None:
        """Open the ticket under the pointer, or the one whose number was typed."""
        typed = self.query_one(Prompt).value.strip()
        numbers = {job.number for job in self.jobs}
        chosen = int(typed) if typed.isascii() and typed.isdigit() and int(typed) in numbers else self.page().key
        if isinstance(chosen, int):
            self.query_one(Prompt).value = ""
            self.desk.open_ticket(chosen)
        else:
            self.desk.say("No ticket fits. Ctrl+N opens a new one.")

    @on(Page.Chosen)
    def _clicked(self, event: Page.Chosen) -> None:
        if isinstance(event.key, int):
            self.desk.open_ticket(event.key)

    @on(Prompt.Asked)
    def _asked(self) -> None:
        self.desk.action_help()

    def action_new(self) -> None:
        """Open a new ticket and go there."""
        self.desk.open_ticket(self.desk.shop.new())

    def action_all(self) -> None:
        """Signed tickets too, or only the open ones."""
        self.every = not self.every
        self.reread()

    def action_back(self) -> None:
        """Clear what was typed."""
        self.query_one(Prompt).value = ""
