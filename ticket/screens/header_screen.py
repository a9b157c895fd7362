"""The form for what stands above the entries: vehicle, customer, odometer, promise, and what the ticket waits for."""

from collections.abc import Iterable, Sequence
from functools import partial

from textual.widgets import Input

from ticket.assist.merging import Clash, merge
from ticket.assist.typed_header import changed_header, typed_header
from ticket.job.errors import InputError, TicketError
from ticket.job.header_fields import HEADER_FIELDS
from ticket.job.text import clean
from ticket.job.ticket import STATUSES, Ticket
from ticket.screens.header_form import HeaderForm, titled
from ticket.screens.routes import route_to
from ticket.screens.rows import Span
from ticket.shop.changing import set_header, set_status
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of

_WAITS = STATUSES[:-1]


class HeaderScreen(HeaderForm):
    """The header of a ticket: one key keeps it, Escape leaves it as it was."""

    def __init__(self, shop: Shop, ticket: Ticket) -> None:
        super().__init__()
        self.shop = shop
        self.ticket = ticket

    def rows(self) -> Iterable[tuple[str, str, str, str]]:
        """The header fields as they stand, and the status."""
        for name, text in typed_header(self.ticket.header).items():
            yield name, titled(name), text, HEADER_FIELDS[name][1]
        yield "status", "status", self.ticket.status, ", ".join(_WAITS)

    def on_resize(self) -> None:
        """Draw for the new width."""
        signed = self.ticket.status == "signed"
        text = "  signed: to be read only" if signed else f"  {self.keys_told()}"
        self.top([Span(f"Ticket {self.ticket.number}", "title"), Span(text, "quiet")])
        for field in self.query(Input):
            field.disabled = signed
        said = "A signed ticket keeps its header; what is wrong in it is corrected by a line of its own, with a reason."
        self.answer(said if signed else f"status is one of: {', '.join(_WAITS)}")
        self.hints()

    def action_save(self) -> None:
        """Keep what was typed; where somebody changed the same field meanwhile, both versions are shown."""
        before = {**typed_header(self.ticket.header), "status": self.ticket.status}
        mine = {name: clean(self.typed(name)).strip() for name in before}
        try:
            current = ticket_of(self.shop, self.ticket.number)
            theirs = {**typed_header(current.header), "status": current.status}
            merged, clashes = merge(before, mine, theirs)
            if not clashes:
                self._write(current, merged)
        except TicketError as error:
            self.answer(str(error))
            return
        if clashes:
            self._ask(current, merged, {clash.name: clash.theirs for clash in clashes}, clashes)
        else:
            self.dismiss()

    def _ask(
        self, current: Ticket, merged: dict[str, str], theirs: dict[str, str], clashes: Sequence[Clash]
    ) -> None:  # fmt: skip

        why = f"Somebody changed ticket {self.ticket.number} while you had its form open. Nothing was written yet."
        screen = route_to(
            "conflict",
            why,
            clashes,
            partial(self._write, current, merged),
            partial(self._write, current, merged | theirs),
        )
        self.app.push_screen(screen, lambda _: self._leave() if screen.decided else None)

    def _leave(self) -> None:
        self.dismiss()

    def _write(self, current: Ticket, values: dict[str, str]) -> None:
        status = values["status"]
        if status not in _WAITS:
            raise InputError(f"{status!r} is no status: {', '.join(_WAITS)}.")
        typed = {name: values[name] for name in HEADER_FIELDS}
        header = changed_header(current.header, typed, self.shop.settings.distance)
        if header != current.header:
            set_header(self.shop, self.ticket.number, header)
        if status != current.status:
            set_status(self.shop, self.ticket.number, status)
