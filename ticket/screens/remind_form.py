"""A reminder of deferred work: read on the screen, copied to the clipboard or written to a file, recorded once sent."""

from collections.abc import Iterable
from pathlib import Path

from textual import on

from ticket.grid.rows import Span
from ticket.job.errors import ConflictError, InputError, TicketError
from ticket.machine.printer import write_out
from ticket.papers.reminder import FORMS
from ticket.screens.actions import key_for
from ticket.screens.choice import Choice
from ticket.screens.form import Form, FormField, same
from ticket.screens.frame import bindings
from ticket.shop.deferred import DueItem, follow_up, thread_of
from ticket.shop.opening import Shop
from ticket.shop.papers import reminder
from ticket.story.sections.files import languages

_SENT = ("not yet", "text message", "email", "letter", "in person")


class RemindForm(Form):
    """The words as they will be, under the choices; the program itself sends nothing."""

    BINDINGS = bindings("form")
    DEFAULT_CSS = "RemindForm #why { max-height: 60%; } RemindForm #fields { min-height: 5; }"

    def __init__(self, shop: Shop, item: DueItem) -> None:
        super().__init__()
        self.shop = shop
        self.item = item
        self.warned: Path | None = None  # the file whose overwriting was asked about

    def rows(self) -> Iterable[FormField]:
        """In which form and language, where to, and whether it was sent."""
        yield FormField("form", "as", FORMS[0], choices=same(*FORMS))
        yield FormField("language", "language", self.shop.settings.language, choices=same(*languages()))
        yield FormField("to", "to", "clipboard", choices=same("clipboard", "file"))
        yield FormField("file", "file", f"reminder-{self.item.ticket}-{self.item.entry}.txt", "where to", width=0)
        yield FormField("sent", "sent by", _SENT[0], choices=same(*_SENT))

    def on_mount(self) -> None:
        """Show the words."""
        super().on_mount()
        self._show()

    def on_resize(self) -> None:
        """Draw for the new width."""
        name = f"Remind: {self.item.text} [{self.item.name}]"
        self.top([Span(name, "strong"), Span(f"  {key_for('save')} copies or writes it", "quiet")])
        self.hints()

    @on(Choice.Changed)
    def _show(self) -> None:
        """The words in the form and the language that are chosen."""
        try:
            self.answer(self._words().rstrip())
        except TicketError as error:
            self.answer(str(error))

    def _words(self) -> str:
        thread, tickets = thread_of(self.shop, self.item.ticket, self.item.entry)
        return reminder(self.shop, thread, tickets, self.typed("form"), self.typed("language"))

    def action_save(self) -> None:
        """Copy or write it, and record it where it was sent."""
        try:
            done = self._hand_out(self._words())
            if self.typed("sent") != _SENT[0]:
                note = f"reminder sent by {self.typed('sent')}"
                follow_up(self.shop, self.item.ticket, self.item.entry, "call", note=note)
                done = f"{done} Recorded: {note}."
        except ConflictError as error:
            self.warned = Path(self.typed("file").strip()).expanduser()
            self.answer(f"{error} {key_for('save')} once more overwrites it; or name another file.")
            return
        except TicketError as error:
            self.answer(str(error))
            return
        self.desk.say(done)
        self.dismiss()

    def _hand_out(self, words: str) -> str:
        if self.typed("to") == "clipboard":
            self.app.copy_to_clipboard(words)
            return "The reminder was handed to the terminal's clipboard."
        if not self.typed("file").strip():
            raise InputError("Name the file.")
        target = Path(self.typed("file").strip()).expanduser()
        write_out(target, words.encode(), database=self.shop.store.path, replace=self.warned == target)
        return f"Written to {target.resolve()}."
