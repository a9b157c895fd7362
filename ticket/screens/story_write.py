"""Writing a copy, an invoice, an estimate or the story alone to a file; nothing is overwritten unasked."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from textual import on

from ticket.grid.rows import Span
from ticket.job.case import Case
from ticket.job.errors import ConflictError, InputError, TicketError
from ticket.machine.printer import write_out
from ticket.papers.copy import story_paper
from ticket.papers.formats import FORMS, written
from ticket.papers.sheet import Sheet
from ticket.screens.actions import key_for
from ticket.screens.choice import Choice
from ticket.screens.form import Form, FormField, same
from ticket.screens.frame import bindings
from ticket.shop.opening import Shop
from ticket.shop.papers import contents_of, desk, in_other_measures
from ticket.shop.papers import sheet as signed_or_made
from ticket.shop.reading import case_of
from ticket.story.build import build

WHATS = (("copy", "copy with bill"), ("invoice", "invoice"), ("estimate", "estimate"), ("story", "story alone"))
_NUMBERED = ("invoice", "estimate")  # papers that get a number when they are handed out
_SOURCES = (("no", "left out"), ("yes", "told"))


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


def offered_name(wanted: Wanted, form: str, what: str = "copy") -> str:
    """The file name that is offered, such as ``ticket-1013-customer.txt`` or ``invoice-1013.txt``."""
    name = f"{what}-{wanted.number}" if what in _NUMBERED else f"ticket-{wanted.number}-{wanted.reader}"
    return f"{name}.{FORMS.get(form, FORMS['text'])}"


def sheet(shop: Shop, wanted: Wanted, *, what: str = "copy", sources: bool = False) -> Sheet:
    """A paper before it has a form.

    Args:
        shop: the open shop.
        wanted: whose story.
        what: one of :data:`WHATS`.
        sources: with the numbers of the entries behind each sentence.

    Raises:
        InputError: an invoice is asked for before the ticket is signed.
    """
    if what in _NUMBERED:
        return _numbered(shop, wanted, what)
    if what == "copy" and wanted.units == shop.settings.units:
        return signed_or_made(shop, wanted.number, wanted.reader, language=wanted.language, sources=sources)
    case = wanted.case(shop)
    made = contents_of(shop, wanted.number, wanted.reader, language=wanted.language, sources=sources)
    made = replace(made, case=case, story=build(case, wanted.reader, wanted.language))
    return in_other_measures(shop, wanted.number, made) if what == "copy" else story_paper(made)


def _numbered(shop: Shop, wanted: Wanted, what: str) -> Sheet:
    if what == "estimate":
        return desk.estimate_sheet(shop, wanted.number, language=wanted.language)
    if shop.store.ticket(wanted.number).status != "signed":
        raise InputError(f"An invoice is of a signed ticket: {key_for('sign')} on the ticket signs it.")
    reader = wanted.reader if wanted.reader != "shop" else "customer"
    return desk.invoice_sheet(shop, wanted.number, reader, language=wanted.language)


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
    """Four fields; one key writes, and asks once more where a file is there already."""

    BINDINGS = bindings("form")

    def __init__(self, shop: Shop, wanted: Wanted) -> None:
        super().__init__()
        self.shop = shop
        self.wanted = wanted
        self.offered = offered_name(wanted, "text")
        self.warned: Path | None = None  # the file whose overwriting was asked about

    def rows(self) -> Iterable[FormField]:
        """What, how, where to, and whether the entries are named."""
        yield FormField("what", "what", WHATS[0][0], choices=WHATS)
        yield FormField("form", "as", "text", choices=same(*FORMS))
        yield FormField("file", "file", self.offered, "where to", width=0)
        yield FormField("sources", "entry numbers", "no", choices=_SOURCES)

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.top(
            [
                Span(f"Write out ticket {self.wanted.number} for the {self.wanted.reader}", "strong"),
                Span(f"  {key_for('save')} writes it", "quiet"),
            ]
        )
        self.hints()

    @on(Choice.Changed, "#field-form")
    @on(Choice.Changed, "#field-what")
    def _other_paper(self) -> None:
        """Another paper or form, another name, while the offered one stands."""
        if self.typed("file") == self.offered:
            self.offered = offered_name(self.wanted, self.typed("form"), self.typed("what"))
            self.control("file").put(self.offered)

    def action_save(self) -> None:
        """Write the file."""
        target = Path(self.typed("file").strip()).expanduser()
        try:
            if not self.typed("file").strip():
                raise InputError("Name the file.")
            paper = sheet(self.shop, self.wanted, what=self.typed("what"), sources=self.typed("sources") == "yes")
            content = as_bytes(paper, self.typed("form"))
            write_out(target, content, database=self.shop.store.path, replace=self.warned == target)
        except ConflictError as error:
            self.warned = target
            self.answer(f"Nothing is written yet: {error} {key_for('save')} once more overwrites it; or name another.")
            return
        except TicketError as error:
            self.answer(str(error))
            return
        self.desk.say(f"Written to {target.resolve()}.")
        self.dismiss()
