"""A job that was found, to read: beside the ticket in hand where there is room; its entries can be copied over."""

from typing import ClassVar

from textual.app import ComposeResult

from ticket.grid.rows import Row, Span, row
from ticket.job.errors import TicketError
from ticket.screens.bare_ground import Band
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.page import Page
from ticket.screens.ticket_doors import TicketDoors
from ticket.screens.ticket_head import job_spans
from ticket.screens.ticket_rows import ticket_rows
from ticket.screens.ticket_view import TicketView
from ticket.shop.changing import copy_entry
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of
from ticket.story.facts.concerns import states

_WIDE = 110  # columns from which the ticket in hand stands beside


class FoundScreen(Frame):
    """One past job, read only.

    Args:
        shop: the open shop.
        number: the job.
        into: the ticket in hand; 0 for none.
    """

    subject: ClassVar[str] = "found"
    AUTO_FOCUS: ClassVar[str | None] = None
    BINDINGS = bindings("found")
    DEFAULT_CSS = """
    FoundScreen #body { height: 1fr; }
    FoundScreen #own { display: none; width: 50%; border-right: solid $panel; }
    FoundScreen.beside #own { display: block; }
    """

    def __init__(self, shop: Shop, number: int, into: int = 0) -> None:
        super().__init__()
        self.shop = shop
        self.number = number
        self.into = 0 if into == number else into
        self.view = self._read(number)

    def _read(self, number: int) -> TicketView:
        case = case_of(self.shop, number)
        return TicketView(case, states(case), ())

    def compose(self) -> ComposeResult:
        """Top line, the ticket in hand where there is room, the job, hints."""
        yield strip("top")
        with Band(id="body"):
            yield Page(id="own", pointer=False)
            yield Page(id="page")
        yield strip("hints")

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.draw()

    def draw(self) -> None:
        """Draw the job, and the ticket in hand beside it."""
        width = self.size.width
        beside = bool(self.into) and width >= _WIDE
        self.set_class(beside, "beside")
        room = width // 2 if beside else width
        self.page().show(ticket_rows(self.view, max(room - 2, 20)))
        if beside:
            own = self._read(self.into)
            rows: list[Row] = [row(f"Your ticket {self.into}", "strong"), *ticket_rows(own, max(room - 3, 20))]
            self.query_one("#own", Page).show([Row((Span(" "), *one.spans)) for one in rows], bottom=True)
        self.top([Span("Read only  ", "quiet"), *job_spans(self.view, max(self.size.width - 13, 20))])
        self.hints()

    def changed_elsewhere(self) -> None:
        """Another terminal changed something."""
        self.view = self._read(self.number)
        self.draw()

    def action_copy(self) -> None:
        """Copy the entry under the pointer into the ticket in hand; where there is none, open this job."""
        no = self.page().key
        if not self.into:
            self.action_own()
        elif not isinstance(no, int):
            self.desk.say("Move the pointer to an entry first, with ↑ and ↓.")
        else:
            self._copy(no)

    def _copy(self, no: int) -> None:
        try:
            copied = copy_entry(self.shop, self.number, no, self.into)
        except TicketError as error:
            self.desk.say(str(error))
            return
        if copied.number:
            self.desk.say(f"Copied {self.number}/{no} into ticket {self.into} as entry {copied.number}.")
        else:
            for screen in self.app.screen_stack:
                if isinstance(screen, TicketDoors) and screen.number == self.into:
                    screen.prompt_line(copied.line)
            self.desk.say("That was read on the other vehicle: its line waits in your ticket for this one's value.")
        self.draw()

    def action_own(self) -> None:
        """Open the job itself."""
        self.dismiss()
        self.desk.open_ticket(self.number)

    def action_back(self) -> None:
        """Back to what was found."""
        self.dismiss()
