"""The form for what stands above the entries: vehicle, customer, promise, what the ticket waits for, and who pays."""

from collections.abc import Iterable, Sequence
from datetime import date
from functools import partial

from ticket.assist.merging import Clash, merge
from ticket.assist.typed_header import changed_header, typed_header
from ticket.grid.rows import Span
from ticket.job.errors import InputError, TicketError
from ticket.job.header_fields import HEADER_FIELDS
from ticket.job.text import clean
from ticket.job.ticket import STATUSES, Ticket
from ticket.job.wall import local_day
from ticket.machine.draft_lines import DraftLines
from ticket.screens.form import FormField
from ticket.screens.header_form import STATUS, HeaderForm, header_rows
from ticket.screens.routes import route_to
from ticket.shop.changing import set_header, set_status
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of

_WAITS = STATUSES[:-1]


class HeaderScreen(HeaderForm):
    """The header of a ticket: one key saves it, Escape keeps what is half typed and writes nothing."""

    def __init__(self, shop: Shop, ticket: Ticket, field: str = "") -> None:
        super().__init__()
        self.shop = shop
        self.field = field  # gone to first, where a question is about it
        self.ticket = ticket
        self.signed = ticket.status == STATUSES[-1]

    def rows(self) -> Iterable[FormField]:
        """The header fields as they stand, and what the ticket waits for."""
        return header_rows(typed_header(self.ticket.header), HEADER_FIELDS, self.ticket.status)

    def begun(self) -> date:
        """The day the ticket was opened on."""
        return local_day(self.ticket.opened)

    def kept_as(self) -> tuple[DraftLines, str] | None:
        """Half a header is kept for its ticket."""
        if self.signed:
            return None
        return DraftLines(self.shop.store.path, self.shop.person), f"header {self.ticket.number}"

    def on_mount(self) -> None:
        """Go to what was asked about."""
        if self.field:
            self.call_after_refresh(self.set_focus, self.control(self.field))

    def on_resize(self) -> None:
        """Draw for the new width."""
        text = "  signed: to be read only" if self.signed else "  kept as you type"
        self.top([Span(f"{self.ticket.number}  vehicle and customer", "strong"), Span(text, "quiet")])
        for control in self.controls():
            control.disabled = self.signed
        if self.signed:
            self.answer("A signed ticket keeps its header; what is wrong in it is corrected by an amendment.")
        self.hints()

    def action_save(self) -> None:
        """Keep what was typed; where somebody changed the same field meanwhile, both versions are shown."""
        if self.signed or not self.fits():
            return
        before = {**typed_header(self.ticket.header), STATUS: self.ticket.status}
        mine = {name: clean(self.typed(name)).strip() for name in before}
        try:
            current = ticket_of(self.shop, self.ticket.number)
            theirs = {**typed_header(current.header), STATUS: current.status}
            merged, clashes = merge(before, mine, theirs)
            if not clashes:
                self._write(current, merged)
        except TicketError as error:
            self.answer(str(error))
            return
        if clashes:
            self._ask(current, merged, {clash.name: clash.theirs for clash in clashes}, clashes)
        else:
            self._leave()

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
        self.saved()
        self.keep_line()
        self.dismiss()

    def _write(self, current: Ticket, values: dict[str, str]) -> None:
        status = values[STATUS]
        if status not in _WAITS:
            raise InputError(f"{status!r} is no state: {', '.join(_WAITS)}.")
        typed = {name: values[name] for name in HEADER_FIELDS}
        header = changed_header(current.header, typed, self.shop.settings.distance)
        if header != current.header:
            set_header(self.shop, self.ticket.number, header)
        if status != current.status:
            set_status(self.shop, self.ticket.number, status)
