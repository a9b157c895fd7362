"""Writing a story or a whole copy to a file: the name is offered, and nothing is overwritten unasked."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from textual import on
from textual.widgets import Input

from ticket.job.case import Case
from ticket.job.errors import ConflictError, InputError, TicketError
from ticket.machine.printer import write_out
from ticket.papers.copy import copy, story_paper
from ticket.papers.formats import FORMS, written
from ticket.papers.sheet import Sheet
from ticket.screens.frame import Form, bindings
from ticket.screens.rows import Span
from ticket.shop.opening import Shop
from ticket.shop.papers import contents_of
from ticket.shop.reading import case_of
from ticket.story.build import build

WHATS = ("copy", "story")
_YES_NO = ("yes", "no")


@dataclass(frozen=True, slots=True)
class Wanted:
    """Whose story of which ticket, in which language and with which measures.

    Attributes:
        reader: ``customer``, ``payer`` or ``shop``.
        language: of sentences and labels.
        units: one of :data:`ticket.job.case.UNITS`.
    """

    number: int
    reader: str
    language: str
    units: str

    def case(self, shop: Shop) -> Case:
        """The ticket with what surrounds it, its measures told as wanted."""
        case = case_of(shop, self.number)
        return replace(case, settings=replace(case.settings, units=self.units))


def offered_name(wanted: Wanted, form: str) -> str:
    """The file name that is offered, such as ``ticket-1013-customer.txt``."""
    return f"ticket-{wanted.number}-{wanted.reader}.{FORMS.get(form, FORMS['text'])}"


def sheet(shop: Shop, wanted: Wanted, *, what: str = "copy", sources: bool = False) -> Sheet:
    """A paper before it has a form.

    Args:
        shop: the open shop.
        wanted: whose story.
        what: the whole ``copy``, or the ``story`` alone.
        sources: with the numbers of the entries behind each sentence.
    """
    case = wanted.case(shop)
    made = contents_of(shop, wanted.number, wanted.reader, language=wanted.language, sources=sources)
    made = replace(made, case=case, story=build(case, wanted.reader, wanted.language))
    return copy(made) if what == "copy" else story_paper(made)


def as_bytes(paper: Sheet, form: str) -> bytes:
    """A paper as the bytes of a file. Raises :class:`InputError` for a form that cannot be made on this machine."""
    content = written(paper, form)
    return content if isinstance(content, bytes) else content.encode()


def for_printer(paper: Sheet) -> bytes:
    """A paper as a PDF, or as text where no PDF can be made here."""
    try:
        return as_bytes(paper, "pdf")
    except InputError:
        return as_bytes(paper, "text")


class WriteScreen(Form):
    """Four fields; Enter writes, and asks once more where a file is there already."""

    BINDINGS = bindings("form")

    def __init__(self, shop: Shop, wanted: Wanted) -> None:
        super().__init__()
        self.shop = shop
        self.wanted = wanted
        self.offered = offered_name(wanted, "text")
        self.warned: Path | None = None  # the file whose overwriting was asked about

    def rows(self) -> Iterable[tuple[str, str, str, str]]:
        """What, how, where to, and whether the entries are named."""
        yield "what", "what", WHATS[0], "copy (story, bill, agreements) or story"
        yield "form", "as", "text", ", ".join(FORMS)
        yield "file", "file", self.offered, "where to"
        yield "sources", "entry numbers", "no", "yes or no"

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.top(
            [
                Span(f"Write out ticket {self.wanted.number} for the {self.wanted.reader}", "title"),
                Span("  Enter writes, Esc goes back", "quiet"),
            ]
        )
        self.answer(f"what: {', '.join(WHATS)}; as: {', '.join(FORMS)}")
        self.hints()

    @on(Input.Changed, "#field-form")
    def _form_changed(self) -> None:
        """Another form, another ending, while the offered name stands."""
        if self.typed("file") == self.offered:
            self.offered = offered_name(self.wanted, self.typed("form").strip())
            self.query_one("#field-file", Input).value = self.offered

    @on(Input.Submitted)
    def _write(self) -> None:
        target = Path(self.typed("file").strip()).expanduser()
        try:
            if not self.typed("file").strip():
                raise InputError("Name the file.")
            what = _one_of("what", self.typed("what"), WHATS)
            form = _one_of("as", self.typed("form"), tuple(FORMS))
            sources = _one_of("entry numbers", self.typed("sources"), _YES_NO) == "yes"
            paper = sheet(self.shop, self.wanted, what=what, sources=sources)
            content = as_bytes(paper, form)
            write_out(target, content, database=self.shop.store.path, replace=self.warned == target)
        except ConflictError as error:
            self.warned = target
            self.answer(f"{error} Enter once more overwrites it; or name another file.")
            return
        except TicketError as error:
            self.answer(str(error))
            return
        self.desk.say(f"Written to {target.resolve()}.")
        self.dismiss()


def _one_of(title: str, typed: str, choices: tuple[str, ...]) -> str:
    """The choice that was typed or begun. Raises :class:`InputError` naming the choices."""
    begun = [choice for choice in choices if typed.strip() and choice.startswith(typed.strip().lower())]
    if len(begun) != 1:
        raise InputError(f"{title} is one of: {', '.join(choices)}.")
    return begun[0]
