"""Two lists of a day for the shop: what is promised, and what was signed and paid."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from ticket.job.case import Settings
from ticket.language.figures import day as day_words
from ticket.money.amount import grouped, plain
from ticket.papers.copy_contents import capital, joined
from ticket.papers.labels import Labels, labels
from ticket.papers.sheet import Block, Column, Heading, Notice, Paragraph, Said, Sheet, Table, Total

Json = dict[str, object]


@dataclass(frozen=True, slots=True, kw_only=True)
class Promised:
    """One job that is promised: for which day and time of day (``None`` where the words name none), and for whom."""

    ticket: int
    typed: str
    day: date | None
    minute: int | None
    vehicle: str
    plate: str
    customer: str
    phone: str
    status: str

    def document(self, today: date) -> Json:
        """As ``ticket promised --json`` prints it."""
        time = None if self.minute is None else f"{self.minute // 60:02}:{self.minute % 60:02}"
        return {
            "ticket": self.ticket, "promised": self.typed, "day": self.day.isoformat() if self.day else None,
            "time": time, "late": self.day is not None and self.day < today, "vehicle": self.vehicle,
            "plate": self.plate, "customer": self.customer, "phone": self.phone, "status": self.status,
        }  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine:
    """One ticket signed on the day; sums in cents, for all payers together."""

    ticket: int
    invoice: str
    customer: str
    labour: int
    parts: int
    other: int
    tax: int
    total: int
    unpriced: bool

    def document(self) -> Json:
        """As ``ticket totals --json`` prints it."""
        sums = ("labour", "parts", "other", "tax", "total")
        return {"ticket": self.ticket, "invoice": self.invoice, "customer": self.customer} | {
            name: plain(getattr(self, name)) for name in sums
        } | {"unpriced": self.unpriced}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class DayDeposit:
    """A sum paid beforehand on the day: ticket, entry, who paid, and cents."""

    ticket: int
    no: int
    who: str
    amount: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DayTotals:
    """What a day brought.

    Attributes:
        payers: who pays and what, over all lines.
        taxes: name and rate of each tax, and what was owed.
    """

    day: date
    lines: tuple[DayLine, ...]
    payers: tuple[tuple[str, int], ...]
    taxes: tuple[tuple[str, int], ...]
    deposits: tuple[DayDeposit, ...]

    def sum_of(self, name: str) -> int:
        """A column added up."""
        return sum(getattr(line, name) for line in self.lines)

    def document(self) -> Json:
        """As ``ticket totals --json`` prints it; ``schemas/totals.json``."""
        sums = ("labour", "parts", "other", "tax", "total")
        return {
            "day": self.day.isoformat(),
            "tickets": [line.document() for line in self.lines],
            "sums": {name: plain(self.sum_of(name)) for name in sums},
            "by_payer": [{"payer": name, "total": plain(amount)} for name, amount in self.payers],
            "taxes": [{"name": name, "amount": plain(amount)} for name, amount in self.taxes],
            "deposits": [
                {"ticket": one.ticket, "entry": one.no, "who": one.who, "amount": plain(one.amount)}
                for one in self.deposits
            ],
            "deposits_sum": plain(sum(one.amount for one in self.deposits)),
        }


@dataclass(frozen=True, slots=True)
class _Style:
    """How the lists of one shop write money and days."""

    settings: Settings
    label: Labels

    def money(self, cents: int) -> str:
        return f"{'-' if cents < 0 else ''}{self.settings.currency}{grouped(abs(cents))}"

    def date(self, when: date) -> str:
        if self.label.language == "en":
            return day_words(when, self.settings.dates)
        from ticket.story.sections.figures import day as local_day

        return local_day(when, self.label("locale"))


def promised_list(jobs: Sequence[Promised], today: date, settings: Settings, at: datetime, language: str) -> Sheet:
    """What is promised for a day and what is late, the earliest first; promises that name no day stand last."""
    style = _Style(settings, labels(language))
    label = style.label
    title = label("promised.title", day=style.date(today))
    if not jobs:
        return _sheet(style, title, label("promised.kind"), at, (Paragraph((Said(label("promised.none")),)),))
    columns = tuple(
        Column(label(f"promised.{name}"), figures=name == "ticket")
        for name in ("when", "ticket", "vehicle", "customer", "state", "typed")
    )
    rows = tuple(
        (
            _when(style, job, today), str(job.ticket), joined((job.vehicle, job.plate), " · "),
            joined((job.customer, job.phone), " · "), label.or_typed("state", job.status), job.typed,
        )
        for job in jobs
    )  # fmt: skip
    return _sheet(style, title, label("promised.kind"), at, (Table(label("promised.caption"), columns, rows),))


def _when(style: _Style, job: Promised, today: date) -> str:
    time = "" if job.minute is None else f"{job.minute // 60}:{job.minute % 60:02}"
    if job.day is None:
        return style.label("promised.unread")
    if job.day < today:
        return style.label("promised.late", day=style.date(job.day))
    return time


def totals_list(found: DayTotals, settings: Settings, at: datetime, language: str) -> Sheet:
    """The totals of a day."""
    style = _Style(settings, labels(language))
    label = style.label
    title = label("totals.title", day=style.date(found.day))
    blocks = tuple(_totals(found, style))
    return _sheet(style, title, label("totals.kind"), at, blocks or (Paragraph((Said(label("totals.none")),)),))


_SUMS = ("labour", "parts", "other", "tax", "total")


def _totals(found: DayTotals, style: _Style) -> Iterator[Block]:
    label, money = style.label, style.money
    if found.lines:
        names = ("ticket", "invoice", "customer", "labour", "parts", "rest", "tax", "total")
        columns = tuple(Column(label(f"totals.{name}"), figures=name not in names[1:3]) for name in names)
        rows = tuple(
            (str(line.ticket), line.invoice, line.customer, *(money(getattr(line, name)) for name in _SUMS))
            for line in found.lines
        )
        total = Total(label("totals.sum"), tuple(money(found.sum_of(name)) for name in _SUMS), grand=True)
        yield Heading(label("totals.tickets"))
        yield Table(label("totals.caption"), columns, rows, (total,))
        unpriced = [str(line.ticket) for line in found.lines if line.unpriced]
        if unpriced:
            yield Notice(label("totals.unpriced", numbers=", ".join(unpriced)))
        payers = tuple((capital(label.or_typed("payer", name)), amount) for name, amount in found.payers)
        yield from _pairs(style, "totals.payers", "totals.payer", payers)
        yield from _pairs(style, "totals.taxes", "totals.name", found.taxes)
    deposits = tuple((joined((f"{one.ticket}/{one.no}", one.who), " · "), one.amount) for one in found.deposits)
    yield from _pairs(style, "totals.deposits", "totals.ticket", deposits)


def _pairs(style: _Style, heading: str, name: str, pairs: Sequence[tuple[str, int]]) -> Iterator[Block]:
    """A table of names and sums with its total; nothing for none."""
    if pairs:
        label = style.label
        columns = (Column(label(name)), Column(label("totals.deposit"), figures=True))
        rows = tuple((text, style.money(amount)) for text, amount in pairs)
        total = Total(label("totals.sum"), (style.money(sum(amount for _, amount in pairs)),), grand=True)
        yield Heading(label(heading), 2)
        yield Table(label(heading), columns, rows, (total,))


def _sheet(style: _Style, title: str, kind: str, at: datetime, blocks: tuple[Block, ...]) -> Sheet:
    label, settings = style.label, style.settings
    return Sheet(
        title=title, kind=kind, sender=(settings.shop or label("nameless"),), at=at, blocks=blocks,
        language=label.language, size=settings.paper, page=label("page", page="{page}", pages="{pages}"),
        back=label("ground.back"), foot=joined((settings.shop, title), " · "),
    )  # fmt: skip
