"""Everything a copy is made of, handed in by value, and the few wordings all its parts share."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cached_property

from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.wall import local_day
from ticket.language.figures import day
from ticket.money.agreement import Agreement
from ticket.money.amount import grouped
from ticket.money.bill import Bill
from ticket.money.prices import Details
from ticket.money.terms import Terms
from ticket.papers.labels import Labels, labels
from ticket.story.context import Job
from ticket.story.sentence import Story


@dataclass(frozen=True, kw_only=True)
class CopyContents:
    """What one reader's copy of a ticket is made of.

    Attributes:
        case: the ticket with what surrounds it.
        story: what the reader is told; it names the reader.
        bill: what it costs, or ``None`` to leave money out.
        agreements: what was agreed, the customer's first, then one for each other payer.
        terms: what is agreed about the money beyond the entries.
        details: what papers must carry about the shop.
        questions: what is still to be asked, with the entry each points at; for the shop's copy.
        sources: show what every sentence rests on.
        pictures: the pictures of the entries by their digest; one that is not here is told in a line.
        scratch: the shop is one for practice.
        shop: the random name of its file.
        checked: the PIN of whoever signed it was asked for; else the name is a claim, which the paper says.
    """

    case: Case
    story: Story
    bill: Bill | None = None
    agreements: tuple[Agreement, ...] = ()
    terms: Terms = Terms()
    details: Details = Details()
    questions: tuple[tuple[int | None, str], ...] = ()
    sources: bool = False
    pictures: Mapping[str, bytes] = field(default_factory=dict)
    scratch: bool = False
    shop: str = ""
    checked: bool = False

    @property
    def reader(self) -> str:
        """Who reads it: ``customer``, ``payer`` or ``shop``."""
        return self.story.reader

    @property
    def language(self) -> str:
        """The language of the story, and so of the labels."""
        return self.story.language

    @cached_property
    def label(self) -> Labels:
        """The words of the paper."""
        return labels(self.language)

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """The living entries this reader may see."""
        return Job(self.case, self.reader).entries

    def sees(self, entry: Entry) -> bool:
        """Whether the reader may see an entry, living or replaced."""
        return self.reader == "shop" or not (entry.shop_only or entry.fact.inside)

    def entry(self, no: int) -> Entry | None:
        """The entry of that number if the reader may see it, replaced wordings included."""
        found = self.case.ticket.entry(no)
        return found if found is not None and self.sees(found) else None

    def money(self, cents: int | None) -> str:
        """An amount of cents behind the shop's sign, empty for none: ``$1,228.40``, ``-$12.00``."""
        if cents is None:
            return ""
        return f"{'-' if cents < 0 else ''}{self.case.settings.currency}{grouped(abs(cents))}"

    def day(self, at: datetime) -> str:
        """The day of a moment on the shop's wall."""
        return self.date(local_day(at))

    def date(self, when: date) -> str:
        """A date: in English in the shop's own style, in other languages as their locale has it."""
        if self.language == "en":
            return day(when, self.case.settings.dates)
        from ticket.story.sections.figures import day as local_day

        return local_day(when, self.label("locale"))

    def moment(self, at: datetime) -> str:
        """Day and time of a moment on the shop's wall."""
        local = at.astimezone()
        return self.label("moment", day=self.day(local), time=f"{local:%H:%M}")

    def payer(self, name: str, called: str = "") -> str:
        """The word for one who pays, with its name where it has one."""
        word = self.label.or_typed("payer", name)
        return self.label("payer.named", payer=word, name=called) if called else word


def joined(parts: Iterable[str], mark: str = ", ") -> str:
    """The parts that are not empty, joined."""
    return mark.join(part for part in parts if part)


def capital(text: str) -> str:
    """A text with its first letter raised."""
    return text[:1].upper() + text[1:]
