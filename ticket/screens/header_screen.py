"""The form for what stands above the entries: vehicle, customer, odometer, promise, and what the ticket waits for."""

from collections.abc import Iterable

from textual import on
from textual.widgets import Input

from ticket.job.errors import InputError, TicketError
from ticket.job.ticket import STATUSES, Ticket
from ticket.screens.frame import Form, bindings
from ticket.screens.rows import Span
from ticket.shop.header import changed_header, typed_header
from ticket.shop.header_fields import HEADER_FIELDS
from ticket.shop.shop import Shop

_WAITS = STATUSES[:-1]


class HeaderScreen(Form):
    """The header of a ticket; Enter keeps it, Escape leaves it as it was."""

    BINDINGS = bindings("form")

    def __init__(self, shop: Shop, ticket: Ticket) -> None:
        super().__init__()
        self.shop = shop
        self.ticket = ticket

    def rows(self) -> Iterable[tuple[str, str, str, str]]:
        """The header fields as they stand, and the status."""
        for name, text in typed_header(self.ticket.header).items():
            yield name, name.replace("-", " "), text, HEADER_FIELDS[name][1]
        yield "status", "status", self.ticket.status, ", ".join(_WAITS)

    def on_resize(self) -> None:
        """Draw for the new width."""
        text = "  Enter keeps it, Esc leaves it as it was"
        self.top([Span(f"Ticket {self.ticket.number}", "title"), Span(text, "quiet")])
        self.answer(f"status is one of: {', '.join(_WAITS)}")
        self.hints()

    @on(Input.Submitted)
    def _keep(self) -> None:
        try:
            self._write()
        except TicketError as error:
            self.answer(str(error))
            return
        self.dismiss()

    def _write(self) -> None:
        typed = {name: self.typed(name) for name in HEADER_FIELDS}
        status = self.typed("status").strip()
        if status not in _WAITS:
            raise InputError(f"{status!r} is no status: {', '.join(_WAITS)}.")
        header = changed_header(self.ticket.header, typed, self.shop.settings.distance)
        if header != self.ticket.header:
            self.shop.set_header(self.ticket.number, header)
        if status != self.ticket.status:
            self.shop.set_status(self.ticket.number, status)
