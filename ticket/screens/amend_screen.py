"""Correcting a signed ticket: which entry, what stands in its place, and why, in one form."""

from collections.abc import Iterable

from textual import on
from textual.widgets import Input

from ticket.grid.rows import Span
from ticket.job.entry import Entry
from ticket.job.errors import InputError, PinNeededError, TicketError
from ticket.job.ticket import Ticket
from ticket.machine.draft_lines import DraftLines
from ticket.notes.write import write
from ticket.screens.actions import key_for
from ticket.screens.form import Form, FormField
from ticket.screens.frame import bindings
from ticket.screens.pin_line import ask_pin
from ticket.shop.changing import amend_ticket
from ticket.shop.opening import Shop


def line_of(entry: Entry) -> str:
    """An entry as the line that would write it."""
    return write(entry.fact, concern=entry.concern, shop_only=entry.shop_only)


class AmendScreen(Form):
    """Three fields; the signed entry stays as it was signed, beside what is written here.

    Args:
        shop: the open shop.
        ticket: as it was read.
        no: the entry that is replaced; 0 where one is added.
        text: the line that was typed already.

    Attributes:
        written: the number of the entry that was written; 0 while there is none.
    """

    BINDINGS = bindings("form")

    def __init__(self, shop: Shop, ticket: Ticket, no: int = 0, text: str = "") -> None:
        super().__init__()
        self.shop = shop
        self.ticket = ticket
        entry = ticket.entry(no) if no else None
        self.begin = (str(no) if entry else "", text or (line_of(entry) if entry else ""))
        self.written = 0

    def rows(self) -> Iterable[FormField]:
        """Which, what and why."""
        no, text = self.begin
        yield FormField("entry", "entry", no, self._named(no), width=5)
        yield FormField("what", "what", text, "the line as it should have been", width=0)
        yield FormField("why", "why", "", "the reason; it is told with the amendment", width=0)

    def kept_as(self) -> tuple[DraftLines, str] | None:
        """Half an amendment is kept for its entry."""
        return DraftLines(self.shop.store.path, self.shop.person), f"amendment {self.ticket.number}/{self.begin[0]}"

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.top([Span(f"{self.ticket.number}  amendment", "strong"), Span("  of a signed ticket", "quiet")])
        self.answer(f"What was signed stays readable. {key_for('save')} writes the amendment beside it.")
        self.hints()

    def _entry(self) -> Entry | None:
        """The entry that is named; ``None`` where one is added."""
        typed = self.typed("entry").strip()
        if not typed:
            return None
        entry = self.ticket.entry(int(typed)) if typed.isascii() and typed.isdecimal() and len(typed) < 9 else None
        if entry is None:
            raise InputError(f"There is no entry {typed} on this ticket; an empty field adds a new one.")
        return entry

    def _named(self, typed: str) -> str:
        no = int(typed) if typed.isascii() and typed.isdecimal() and len(typed) < 9 else 0
        entry = self.ticket.entry(no) if no else None
        return line_of(entry) if entry else "no such entry" if typed else "empty: nothing is replaced, one is added"

    @on(Input.Changed, "#field-entry")
    def _pointed(self, event: Input.Changed) -> None:
        named = self._named(event.value.strip())
        self.row_of("entry").tell(named, flawed=named.startswith("no such"))

    def action_save(self) -> None:
        """Write it: all three are looked at first."""
        try:
            entry, what = self._entry(), self.typed("what").strip()
            if not what or (entry is not None and what == line_of(entry)):
                raise InputError("What changes? Type the line as it should have been.")
            if not self.typed("why").strip():
                raise InputError("Why must it change after signing? The reason is told with the amendment.")
            no = entry.no if entry else None
            added = amend_ticket(self.shop, self.ticket.number, what, self.typed("why"), replaces=no)
        except PinNeededError as needed:
            ask_pin(self, self.shop, needed, self.action_save)
            return
        except TicketError as error:
            self.answer(f"? {error}")
            return
        self.saved()
        self.keep_line()
        self.written = added[-1].entry.no
        self.dismiss()
