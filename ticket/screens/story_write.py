"""Writing a story to a file: the name is offered, and nothing is overwritten unasked."""

from collections.abc import Iterable
from pathlib import Path

from textual import on
from textual.widgets import Input

from ticket.job.errors import ConflictError, InputError, TicketError
from ticket.papers.markdown import as_markdown
from ticket.papers.text import as_text
from ticket.screens.frame import Form, bindings
from ticket.screens.rows import Span
from ticket.shop.handing import write_out
from ticket.shop.shop import Shop

FORMS = {"text": "txt", "markdown": "md"}
_YES = ("yes", "y", "no", "n", "")


def offered_name(number: int, reader: str, form: str) -> str:
    """The file name that is offered, such as ``ticket-1013-customer.txt``."""
    return f"ticket-{number}-{reader}.{FORMS.get(form, 'txt')}"


def paper(shop: Shop, number: int, reader: str, form: str, *, sources: bool = False) -> bytes:
    """A story as the bytes of a file. Raises :class:`InputError` for an unknown form."""
    story = shop.story(number, reader)
    if form == "markdown":
        return as_markdown(story, sources=sources).encode()
    if form == "text":
        return as_text(story, sources=sources).encode()
    raise InputError(f"{form!r} is no form: {', '.join(FORMS)}.")


class WriteScreen(Form):
    """Three fields; Enter writes, and asks once more where a file is there already."""

    BINDINGS = bindings("form")

    def __init__(self, shop: Shop, number: int, reader: str) -> None:
        super().__init__()
        self.shop = shop
        self.number = number
        self.reader = reader
        self.offered = offered_name(number, reader, "text")
        self.warned: Path | None = None  # the file whose overwriting was asked about

    def rows(self) -> Iterable[tuple[str, str, str, str]]:
        """How, where to, and whether the entries are named."""
        yield "form", "as", "text", ", ".join(FORMS)
        yield "file", "file", self.offered, "where to"
        yield "sources", "with entry numbers", "no", "yes or no"

    def on_resize(self) -> None:
        """Draw for the new width."""
        lead = Span(f"Write out the story of ticket {self.number} for the {self.reader}", "title")
        self.top([lead, Span("  Enter writes, Esc goes back", "quiet")])
        self.answer(f"as: {', '.join(FORMS)}")
        self.hints()

    @on(Input.Changed, "#field-form")
    def _form_changed(self) -> None:
        """Another form, another ending, while the offered name stands."""
        if self.typed("file") == self.offered:
            self.offered = offered_name(self.number, self.reader, self.typed("form").strip())
            self.query_one("#field-file", Input).value = self.offered

    @on(Input.Submitted)
    def _write(self) -> None:
        target = Path(self.typed("file").strip()).expanduser()
        try:
            if not self.typed("file").strip():
                raise InputError("Name the file.")
            if self.typed("sources").strip().lower() not in _YES:
                raise InputError("with entry numbers: yes or no.")
            sources = self.typed("sources").strip().lower().startswith("y")
            content = paper(self.shop, self.number, self.reader, self.typed("form").strip(), sources=sources)
            write_out(target, content, replace=self.warned == target)
        except ConflictError as error:
            self.warned = target
            self.answer(f"{error} Enter once more overwrites it; or name another file.")
            return
        except TicketError as error:
            self.answer(str(error))
            return
        self.desk.say(f"Written to {target.resolve()}.")
        self.dismiss()
