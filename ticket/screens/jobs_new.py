"""A new ticket: plate or vehicle number first; a vehicle the shop knows brings its history along."""

import re
from collections.abc import Iterable

from textual import on
from textual.widgets import Input

from ticket.assist.typed_header import changed_header
from ticket.job.errors import TicketError
from ticket.job.header_fields import HEADER_FIELDS
from ticket.job.regex import Regex
from ticket.job.ticket import Header
from ticket.screens.actions import key_for
from ticket.screens.header_form import HeaderForm, titled
from ticket.screens.page import Page
from ticket.screens.rows import Row, Span, wrap
from ticket.shop.changing import new_ticket
from ticket.shop.opening import Shop
from ticket.shop.past import Known, known_vehicle

_FIELDS = tuple(HEADER_FIELDS)[:7]  # what a ticket begins with, in the order of the whole form
_HINTS = {
    "plate": "plate, or scan the vehicle number here",
    "vin": "17 characters, or the last 8 or 6 of a known one",
    "odometer": "reading now, with its unit where it is not the shop's own",
}
_SCANNED = Regex(r"I?([A-HJ-NPR-Z0-9]{17})\Z", re.I)  # some labels carry an I in front
_PAUSE = 0.12  # seconds after the last key before the vehicle is looked for


class NewScreen(HeaderForm):
    """Seven fields, none needed; one key opens the ticket, Escape opens none.

    Args:
        shop: the open shop.
        typed: what was typed to find the vehicle, taken for its plate or its number.
    """

    DEFAULT_CSS = "NewScreen #known { height: 1fr; padding: 0 1; }"

    def __init__(self, shop: Shop, typed: str = "") -> None:
        super().__init__()
        self.shop = shop
        self.first = typed if any(char.isdigit() for char in typed) else ""
        self.known: Known | None = None
        self._asked = ("", "")
        self._filled: dict[str, str] = {}

    def rows(self) -> Iterable[tuple[str, str, str, str]]:
        """The fields; what was typed on the list stands in the first."""
        for name in _FIELDS:
            hint = _HINTS.get(name, HEADER_FIELDS[name][1])
            yield name, titled(name), self.first if name == "plate" else "", hint

    async def on_mount(self) -> None:
        """Make room for what is known of the vehicle, and look for what was typed on the list."""
        await self.mount(Page(id="known", pointer=False), before="#hints")
        self.look_up()

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.top([Span("New ticket", "title"), Span(f"  {self.keys_told()}", "quiet")])
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
        field = self.query_one(f"#field-{name}", Input)
        if field.value != value:
            field.value = value
            field.cursor_position = len(value)

    def _show(self) -> None:
        for page in self.query("#known").results(Page):  # none yet while the form is first drawn
            page.show(known_rows(self.known, max(self.size.width - 4, 20)))

    def keys_told(self) -> str:
        """Which key opens the ticket and which opens none."""
        return f"{key_for('save')} opens it, {key_for('back')} opens none."

    def action_next(self) -> None:
        """Go to the next field; from the plate or number of a known vehicle to the first thing that is not known."""
        self.look_up()
        naming = getattr(self.focused, "id", "") in ("field-plate", "field-vin")
        if naming and self.known is not None:
            self.set_focus(self.query_one("#field-odometer", Input))
        else:
            super().action_next()

    def action_save(self) -> None:
        """Open the ticket."""
        self.look_up()
        typed = {name: self.typed(name) for name in _FIELDS}
        whole = self.known.vehicle.vin if self.known else ""
        if typed["vin"].strip() and whole.upper().endswith(typed["vin"].strip().upper()):
            typed["vin"] = whole
        try:
            number = new_ticket(self.shop, changed_header(Header(), typed, self.shop.settings.distance))
        except TicketError as error:
            self.answer(str(error))
            return
        self.dismiss()
        self.desk.open_ticket(number)


def known_rows(known: Known | None, width: int) -> list[Row]:
    """What the shop knows of a vehicle, as sentences; nothing for a stranger."""
    if known is None:
        return []
    times = "once" if known.total == 1 else f"{known.total} times"
    text = f"It was here {times}"
    if last := known.last_reading:
        text += f"; the odometer read {last[0]} on {last[1]:%Y-%m-%d}"
    rows = wrap([Span(f"{text}.", "strong")], width, rest="  ")
    if known.open:
        rows += wrap([Span(f"Ticket {known.open} of this vehicle is not signed yet.", "strong")], width, rest="  ")
    for name, work in known.waiting:
        rows += wrap([Span("Waits from earlier: ", "strong"), Span(f"{work} [{name}]")], width, rest="  ")
    for visit in known.visits:
        rows += wrap([Span(f"{visit.number} on {visit.day:%Y-%m-%d}: ", "quiet"), Span(visit.words)], width, rest="  ")
    return rows
