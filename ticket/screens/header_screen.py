"""The form for what stands above the entries: vehicle, customer, promise, what the ticket waits for, and who pays."""

from collections.abc import Iterable, Sequence
from datetime import date
from functools import partial

from ticket.assist.merging import Clash, merge
from ticket.assist.typed_header import changed_header, typed_header
from ticket.grid.rows import Span
from ticket.job.errors import InputError, PinNeededError, TicketError
from ticket.job.header_fields import CORRECTABLE, HEADER_FIELDS
from ticket.job.text import clean
from ticket.job.ticket import STATUSES, Ticket
from ticket.job.wall import local_day
from ticket.machine.draft_lines import DraftLines
from ticket.screens.actions import key_for
from ticket.screens.form import FieldRow, FormField
from ticket.screens.header_form import STATUS, HeaderForm, header_rows
from ticket.screens.pin_line import ask_pin
from ticket.screens.routes import route_to
from ticket.shop.changing import correct_header, set_header, set_status
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of

_WAITS = STATUSES[:-1]


_WHY = "why"


class HeaderScreen(HeaderForm):
    """The header of a ticket: one key saves it, Escape keeps what is half typed and writes nothing.

    Of a signed ticket vehicle, customer and odometer can be corrected, with a reason; old and new values stand on every
    paper from then on.
    """

    def __init__(self, shop: Shop, ticket: Ticket, field: str = "") -> None:
        super().__init__()
        self.shop = shop
        self.field = field  # gone to first, where a question is about it
        self.ticket = ticket
        self.signed = ticket.status == STATUSES[-1]

    def rows(self) -> Iterable[FormField]:
        """The header fields as they stand, and what the ticket waits for."""
        yield from header_rows(typed_header(self.ticket.header), HEADER_FIELDS, self.ticket.status)
        if self.signed:
            yield FormField(_WHY, "why", "", "the reason; it is told with the correction", "Correction", width=0)

    def begun(self) -> date:
        """The day the ticket was opened on."""
        return local_day(self.ticket.opened)

    def kept_as(self) -> tuple[DraftLines, str] | None:
        """Half a header is kept for its ticket."""
        name = "correction" if self.signed else "header"
        return DraftLines(self.shop.store.path, self.shop.person), f"{name} {self.ticket.number}"

    def on_mount(self) -> None:
        """Go to what was asked about."""
        if self.field:
            self.call_after_refresh(self.set_focus, self.control(self.field))

    def on_resize(self) -> None:
        """Draw for the new width."""
        text = "  of a signed ticket" if self.signed else "  kept as you type"
        self.top([Span(f"{self.ticket.number}  vehicle and customer", "strong"), Span(text, "quiet")])
        looks = self.desk.looks_only
        for row in self.query(FieldRow) if self.signed or looks else ():
            self.control(row.field.name).disabled = looks or row.field.name not in (*CORRECTABLE, _WHY)
        if looks:
            self.answer("An auditor looks at this shop and changes nothing in it.")
        elif self.signed:
            self.answer(
                f"{key_for('save')} corrects what was signed wrong, with the reason below; papers then tell both."
                " Sums and promises stay as signed."
            )
        self.hints()

    def action_save(self) -> None:
        """Keep what was typed; where somebody changed the same field meanwhile, both versions are shown."""
        if not self.fits():
            return
        if self.signed:
            self._correct()
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

    def _correct(self) -> None:
        """Write what is right now as an amendment, with its reason."""
        typed = {name: clean(self.typed(name)).strip() for name in CORRECTABLE}
        if typed == {name: text for name, text in typed_header(self.ticket.header).items() if name in CORRECTABLE}:
            self.answer("? What was signed wrong? Type it as it should have been.")
            return
        if not self.typed(_WHY).strip():
            self.set_focus(self.control(_WHY))
            self.answer("? Why must it change after signing? The reason is told with the correction.")
            return
        try:
            current = ticket_of(self.shop, self.ticket.number)
            if current.header != self.ticket.header:
                raise InputError("Somebody corrected this header since you opened it: Escape, and look at it again.")
            header = changed_header(current.header, typed, self.shop.settings.distance)
            correct_header(self.shop, self.ticket.number, header, self.typed(_WHY))
        except PinNeededError as needed:
            ask_pin(self, self.shop, needed, self._correct)
        except TicketError as error:
            self.answer(f"? {error}")
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
