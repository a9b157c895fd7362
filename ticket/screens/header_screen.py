"""The form for what stands above the entries: vehicle, customer, odometer, promise, and what the ticket waits for."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Grid
from textual.widgets import Input, Static

from ticket.job.errors import InputError, TicketError
from ticket.job.ticket import STATUSES, Ticket
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.rows import Span
from ticket.shop.header import changed_header, typed_header
from ticket.shop.header_fields import HEADER_FIELDS
from ticket.shop.shop import Shop

_WAITS = STATUSES[:-1]


class HeaderScreen(Frame):
    """The header of a ticket; Enter keeps it, Escape leaves it as it was."""

    subject: ClassVar[str] = "form"
    BINDINGS = bindings("form")
    AUTO_FOCUS = "Input"
    DEFAULT_CSS = """
    HeaderScreen Grid { grid-size: 2; grid-columns: 14 1fr; grid-rows: 1; height: auto; padding: 1; }
    HeaderScreen Input { border: none; height: 1; padding: 0; background: $panel; }
    HeaderScreen #why { padding: 0 1; height: auto; }
    """

    def __init__(self, shop: Shop, ticket: Ticket) -> None:
        super().__init__()
        self.shop = shop
        self.ticket = ticket

    def compose(self) -> ComposeResult:
        """One row a field."""
        yield strip("top")
        with Grid():
            for name, text in typed_header(self.ticket.header).items():
                yield Static(name.replace("-", " "), markup=False)
                field = Input(text, id=f"field-{name}", placeholder=HEADER_FIELDS[name][1])
                field.cursor_blink = False
                yield field
            yield Static("status", markup=False)
            status = Input(self.ticket.status, id="field-status", placeholder=", ".join(_WAITS))
            status.cursor_blink = False
            yield status
        yield Static("", id="why", markup=False)
        yield strip("hints")

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.top(
            [Span(f"Ticket {self.ticket.number}", "title"), Span("  Enter keeps it, Esc leaves it as it was", "quiet")]
        )
        self.query_one("#why", Static).update(f"status is one of: {', '.join(_WAITS)}")
        self.hints()

    @on(Input.Submitted)
    def _keep(self) -> None:
        try:
            self._write()
        except TicketError as error:
            self.query_one("#why", Static).update(str(error))
            return
        self.dismiss()

    def _write(self) -> None:
        typed = {name: self.query_one(f"#field-{name}", Input).value for name in HEADER_FIELDS}
        status = self.query_one("#field-status", Input).value.strip()
        if status not in _WAITS:
            raise InputError(f"{status!r} is no status: {', '.join(_WAITS)}.")
        header = changed_header(self.ticket.header, typed, self.shop.settings.distance)
        if header != self.ticket.header:
            self.shop.set_header(self.ticket.number, header)
        if status != self.ticket.status:
            self.shop.set_status(self.ticket.number, status)

    def action_back(self) -> None:
        """Leave it as it was."""
        self.dismiss()

    def action_up(self) -> None:
        """The field before."""
        self.focus_previous()

    def action_down(self) -> None:
        """The field behind."""
        self.focus_next()
