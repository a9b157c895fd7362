"""An entry as a form: every field its kind declares, each read as typed by the reader of the notation."""

from collections.abc import Iterable

from textual import on
from textual.widgets import Input

from ticket.grid.rows import Span
from ticket.job.entry import Entry
from ticket.job.errors import ConflictError, InputError, TicketError
from ticket.job.field_specs import specs
from ticket.job.kinds import Fact
from ticket.job.ticket import Ticket
from ticket.machine.draft_lines import DraftLines
from ticket.notes.filled import filled, on_form, value_of, wanted
from ticket.notes.shapes import Context
from ticket.screens.form import Form, FormField, same
from ticket.screens.frame import bindings
from ticket.screens.ticket_doors import TicketDoors
from ticket.shop.changing import edit_entry
from ticket.shop.opening import Shop


class EntryScreen(Form):
    """The fields of one entry; one key saves them, Escape leaves it as it was.

    Args:
        shop: the open shop.
        ticket: the ticket it stands on.
        entry: as it stands.

    Attributes:
        changed: something else was written.
    """

    BINDINGS = bindings("form")

    def __init__(self, shop: Shop, ticket: Ticket, entry: Entry) -> None:
        super().__init__()
        self.shop = shop
        self.ticket = ticket
        self.entry = entry
        self.changed = False
        self.fields = {spec.name: spec for spec in specs(type(entry.fact)) if not spec.read}

    def rows(self) -> Iterable[FormField]:
        """Every field of the kind; what its declaration lists is chosen."""
        for spec, text in on_form(self.entry.fact):
            listed = (("", "none"), *same(*spec.choices)) if spec.choices and text in ("", *spec.choices) else ()
            yield FormField(spec.name, spec.title, text, wanted(spec), width=0, choices=listed)

    def kept_as(self) -> tuple[DraftLines, str] | None:
        """Half a form is kept for its entry."""
        return DraftLines(self.shop.store.path, self.shop.person), f"entry {self.ticket.number}/{self.entry.no}"

    def on_resize(self) -> None:
        """Draw for the new width."""
        title = f"Entry {self.entry.no} of ticket {self.ticket.number}: {self.entry.fact.title}"
        self.top([Span(title, "strong"), Span("  kept as you type", "quiet")])
        self.hints()

    @on(Input.Changed)
    def _look(self, event: Input.Changed) -> None:
        """Say at once what a field did not understand."""
        name = (event.input.id or "").removeprefix("field-")
        try:
            value_of(self.fields[name], event.value, self._read_against())
        except InputError as error:
            self.answer(str(error))
        else:
            self.answer("")

    def action_save(self) -> None:
        """Write what stands in the fields."""
        try:
            fact = filled(self.entry.fact, {name: self.typed(name) for name in self.fields}, self._read_against())
            if fact != self.entry.fact:
                edit_entry(self.shop, self.ticket.number, self.entry.no, fact, self.entry.fact)
                self.changed = True
        except ConflictError as error:
            self._conflicting(fact, error)
            return
        except TicketError as error:
            self.answer(str(error))
            return
        self._leave()

    def _conflicting(self, mine: Fact, error: ConflictError) -> None:
        """Somebody changed the same field meanwhile: both versions are shown, or what happened is said."""
        for screen in reversed(self.app.screen_stack):
            if isinstance(screen, TicketDoors) and screen.settle_conflict(
                self.entry.no, self.entry.fact, mine, error, done=lambda _: self._leave()
            ):
                return
        self.answer(str(error))

    def _leave(self) -> None:
        self.saved()
        self.keep_line()
        self.dismiss()

    def _read_against(self) -> Context:
        """People and rates of the shop, and those the entry already names: what stands may stay."""
        people = [person.name for person in self.shop.people]
        own = [getattr(self.entry.fact, name, "") for name in ("by", "rate")]
        return Context((*people, *filter(None, own[:1])), (*self.shop.settings.rates, *filter(None, own[1:])))
