"""A new ticket: plate or vehicle number first; a vehicle the shop knows brings its history along."""

import re
from collections.abc import Iterable

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from ticket.assist.typed_header import changed_header
from ticket.grid.rows import Row, Span, wrap
from ticket.job.errors import TicketError
from ticket.job.regex import Regex
from ticket.job.ticket import STATUSES, Header
from ticket.machine.draft_lines import DraftLines
from ticket.screens.actions import key_for
from ticket.screens.form import FormField
from ticket.screens.header_form import STATUS, HeaderForm, header_rows
from ticket.screens.page import Page
from ticket.screens.ticket_head import odometer_words
from ticket.shop.changing import new_ticket, set_status
from ticket.shop.opening import Shop
from ticket.shop.past import Known, known_vehicle

_FIELDS = ("plate", "vehicle", "vin", "odometer", "customer", "phone", "email", "sums-told", "ready-by", "pays")
"""What a ticket begins with, in the order of the whole form."""
_SCANNED = Regex(r"I?([A-HJ-NPR-Z0-9]{17})\Z", re.I)  # some labels carry an I in front
_TALL = 28  # rows of the window from which a blank one parts what is known from the fields
_PAUSE = 0.12  # seconds after the last key before the vehicle is looked for


class NewScreen(HeaderForm):
    """The fields a ticket begins with, none needed; one key opens the ticket, Escape opens none.

    Args:
        shop: the open shop.
        typed: what was typed to find the vehicle, taken for its plate or its number.
    """

    DEFAULT_CSS = """
    NewScreen #fields { height: auto; max-height: 80%; }
    NewScreen #known { height: 1fr; padding: 0 1; }
    """

    def __init__(self, shop: Shop, typed: str = "") -> None:
        super().__init__()
        self.shop = shop
        self.scanned = typed if any(char.isdecimal() for char in typed) else ""
        self.known: Known | None = None
        self._asked = ("", "")
        self._filled: dict[str, str] = {}

    def rows(self) -> Iterable[FormField]:
        """The fields; all empty."""
        return header_rows({}, _FIELDS, STATUSES[0])

    def kept_as(self) -> tuple[DraftLines, str] | None:
        """Half a new ticket is kept; one for each vehicle that was typed to find it."""
        return DraftLines(self.shop.store.path, self.shop.person), f"new ticket {self.scanned}".rstrip()

    def compose(self) -> ComposeResult:
        """The fields, with room below for what is known of the vehicle."""
        for widget in super().compose():
            if widget.id == "rule":
                yield Page(id="known", pointer=False)
            yield widget

    def on_mount(self) -> None:
        """Look for what was typed on the list."""
        if self.scanned:
            self.control("plate").put(self.scanned)
        self.look_up()

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.top([Span("New ticket", "strong"), Span("  kept as you type", "quiet")])
        self._show()
        self.hints()

    @on(Input.Changed)
    def _changed(self, event: Input.Changed) -> None:
        if event.input.id in ("field-plate", "field-vin"):
            self.set_timer(_PAUSE, self.look_up)

    def look_up(self) -> None:
        """Look for the vehicle by what stands in the two first fields."""
        scan = _SCANNED.match(self.typed("plate").strip())
        if scan:
            self._put("plate", "")
            self._put("vin", scan[1].upper())
        asked = self._asked_now()
        if asked == self._asked:
            return
        self._asked = asked
        try:
            self.known = known_vehicle(self.shop, *asked)
        except TicketError as error:
            self.answer(str(error))
            return
        self._fill()
        self._show()

    def _asked_now(self) -> tuple[str, str]:
        """Number and plate as a person typed them; what was filled in from them asks nothing."""
        vin, plate = (
            "" if self._filled.get(name) and self.typed(name) == self._filled[name] else self.typed(name).strip()
            for name in ("vin", "plate")
        )
        return vin, plate

    def _fill(self) -> None:
        """Put what is known into fields that nobody typed into, and take it out again where it no longer holds."""
        values = dict.fromkeys(("vin", "plate", "vehicle", "customer", "phone"), "")
        if self.known is not None:
            vehicle, customer = self.known.vehicle, self.known.customer
            values = {"vin": vehicle.vin, "plate": vehicle.plate, "vehicle": vehicle.label}
            values |= {"customer": customer.name, "phone": customer.phone}
        free = [name for name in values if self.typed(name) in ("", self._filled.get(name))]
        self._filled = {name: values[name] for name in free}
        for name in free:
            self._put(name, values[name])

    def _put(self, name: str, value: str) -> None:
        if self.typed(name) != value:
            self.control(name).put(value)

    def _show(self) -> None:
        for page in self.query("#known").results(Page):  # none yet while the form is first drawn
            told = known_rows(self.known, max(self.size.width - 4, 20))
            page.show([Row(), *told] if told and self.size.height >= _TALL else told)

    def keys_told(self) -> str:
        """Which key opens the ticket and which opens none."""
        return f"{key_for('save')} opens it, {key_for('back')} opens none and keeps what is typed."

    def action_next(self) -> None:
        """Go to the next field; from the plate or number of a known vehicle to the first thing that is not known."""
        self.look_up()
        naming = getattr(self.focused, "id", "") in ("field-plate", "field-vin")
        if naming and self.known is not None:
            self.set_focus(self.control("odometer"))
        else:
            super().action_next()

    def action_save(self) -> None:
        """Open the ticket."""
        self.look_up()
        if not self.fits():
            return
        typed = {name: self.typed(name) for name in _FIELDS}
        whole = self.known.vehicle.vin if self.known else ""
        if typed["vin"].strip() and whole.upper().endswith(typed["vin"].strip().upper()):
            typed["vin"] = whole
        try:
            number = new_ticket(self.shop, changed_header(Header(), typed, self.shop.settings.distance))
            if self.typed(STATUS) != STATUSES[0]:
                set_status(self.shop, number, self.typed(STATUS))
        except TicketError as error:
            self.answer(str(error))
            return
        self.saved()
        self.keep_line()
        self.dismiss()
        self.desk.open_ticket(number)


def known_rows(known: Known | None, width: int) -> list[Row]:
    """What the shop knows of a vehicle, as sentences; nothing for a stranger."""
    if known is None:
        return []
    times = "once" if known.total == 1 else f"{known.total} times"
    text = f"It was here {times}"
    if last := known.last_reading:
        text += f"; the odometer read {odometer_words(last[0])} on {last[1]:%Y-%m-%d}"
    rows = wrap([Span(f"{text}.", "strong")], width, rest="  ")
    if known.open:
        rows += wrap([Span(f"Ticket {known.open} of this vehicle is not signed yet.", "strong")], width, rest="  ")
    for name, work in known.waiting:
        rows += wrap([Span("Waits from earlier: ", "strong"), Span(f"{work} [{name}]")], width, rest="  ")
    for visit in known.visits:
        rows += wrap([Span(f"{visit.number} on {visit.day:%Y-%m-%d}: ", "quiet"), Span(visit.words)], width, rest="  ")
    return rows
