"""The entries of one ticket as the rows of a page, with its questions beside them where they are asked for. Pure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ticket.gaps.gap import BLOCKING, Gap
from ticket.grid.columns import Columns, columns_for
from ticket.grid.entries import entry_rows
from ticket.grid.rows import Row, Span, wrap
from ticket.grid.signs import UNREAD, UNSAFE
from ticket.job.entry import Entry
from ticket.screens.actions import key_for
from ticket.screens.ticket_head import WHOLE
from ticket.screens.ticket_view import TicketView
from ticket.story.precautions import cautions_for

_SAMPLES = (
    ("says", "fan roars on hills"), ("code", "P1A30-7B stored"), ("found", "pads LF 7 RF 2 mm (min 3)"),
    ("did", "0.8 h bled fan drive"), ("used", "2 x drain washer 4410-77 @ 1.85"),
    ("told", "called Ada, she said yes to 4"),
)  # fmt: skip
"""What a new ticket shows until its first entry."""


@dataclass(frozen=True, slots=True)
class Shown:
    """Which of a ticket's rows are shown.

    Attributes:
        concern: only what belongs to it, or to none; empty for all.
        asks: only entries that something is asked about, each with its questions.
        struck: struck entries too, instead of their count.
        kept: a struck entry that stays in sight, because it was struck just now.
    """

    concern: str = WHOLE
    asks: bool = False
    struck: bool = False
    kept: int = 0


def ticket_rows(view: TicketView, width: int, shown: Shown | None = None) -> list[Row]:
    """The page of a ticket at a width in cells, the pointer's column included."""
    shown, grid = shown or Shown(), columns_for(width)
    if shown.asks:
        return list(_asked(view, grid))
    if not view.case.ticket.entries:
        return _samples(grid)
    entries = entries_of(view, shown)
    struck = {entry.no for entry in entries if shown.struck or entry.no == shown.kept}
    return [*_heed(view, grid), *entry_rows(view.sight, entries, grid, struck=struck)]


def entries_of(view: TicketView, shown: Shown) -> list[Entry]:
    """The entries that are shown, in their order."""
    entries = view.case.ticket.entries
    return [entry for entry in entries if not shown.concern or not entry.concern or shown.concern in entry.concerns]


def first_to_see(view: TicketView, shown: Shown) -> int | None:
    """Where the pointer is put: on the first entry with a piece that nobody read, else on the newest."""
    standing = [entry.no for entry in entries_of(view, shown) if not entry.struck]
    unread = (no for no in standing if view.sight.open_pieces(no))
    return next(unread, standing[-1] if standing else None)


def _heed(view: TicketView, grid: Columns) -> list[Row]:
    """The gravest thing to heed before the work, and how many more there are."""
    called = cautions_for(view.case)
    if not called:
        return []
    more = f" (and {len(called) - 1} more: {key_for('help')})" if len(called) > 1 else ""
    lead = " " * (grid.what.start - 1)
    spans = (Span(called[0].precaution.words), Span(more, "quiet"))
    rows = wrap(spans, grid.width - 3, first=lead, rest=lead)
    head = rows[0].spans
    rows[0] = Row((Span(UNSAFE, "bad"), Span(head[0].text[1:], head[0].style), *head[1:]))
    return [*rows, Row()]


def _samples(grid: Columns) -> list[Row]:
    lead = " " * (grid.what.start - 1)
    rows = [
        Row(),
        *wrap(
            (Span("Type what you see, one fact a line; it says its kind by itself:"),),
            grid.width - 2,
            first=lead,
            rest=lead,
        ),
    ]
    rows.append(Row())
    longest = max(len(text) for _, text in _SAMPLES)
    for kind, text in _SAMPLES:
        rows += wrap((Span(f"{text:<{longest}}  "), Span(kind, "quiet")), grid.width - 2, first=lead, rest=lead)
    rows.append(Row())
    told = (Span("A word and a colon in front decide it; these need theirs: cause: offer: maybe: proof:"),)
    rows += wrap(told, grid.width - 2, first=lead, rest=lead)
    rows += wrap((Span("F1 lists all of them.", "quiet"),), grid.width - 2, first=lead, rest=lead)
    return rows


def gap_key(at: int) -> str:
    """What the pointer selects on the rows of a question, by its place among them."""
    return f"gap{at}"


def _asked(view: TicketView, grid: Columns) -> Iterator[Row]:
    """Every question under the entry it points at; those of the whole ticket last."""
    numbered = list(enumerate(view.gaps))
    reasons = {item.gap: f"Signed in spite of it: {item.reason} ({item.by})." for item in view.overruled}
    about = dict.fromkeys(gap.entry for _, gap in numbered if gap.entry is not None)
    for no in about:
        entry = view.case.ticket.entry(no)
        if entry is not None:
            yield from entry_rows(view.sight, [entry], grid, struck=(entry.no,))
        for at, gap in numbered:
            if gap.entry == no:
                yield from _question(at, gap, reasons.get(gap.id, ""), grid)
        yield Row()
    rest = [(at, gap) for at, gap in numbered if gap.entry is None]
    if rest:
        yield Row((Span("The whole ticket", "strong"),))
        for at, gap in rest:
            yield from _question(at, gap, reasons.get(gap.id, ""), grid)
    for gap_id in sorted(reasons.keys() - {gap.id for gap in view.gaps}):
        yield from wrap((Span(f"{gap_id}: {reasons[gap_id]}"),), grid.width - 2, first=" ", rest=" ")


def _question(at: int, gap: Gap, reason: str, grid: Columns) -> list[Row]:
    """One question; what keeps the ticket from being signed says so first."""
    lead = " " * (grid.what.start - 1)
    mark = f"{UNREAD} before signing: " if gap.level == BLOCKING else f"{UNREAD} "
    rows: list[list[Row]] = []
    for ink in ("ink", "strong"):
        spans: Sequence[Span] = (Span(mark, "ask"), Span(gap.question, ink), Span(f" {reason}" if reason else "", ink))
        rows.append(wrap(spans, grid.width - 2, first=lead, rest=f"{lead}  ", key=gap_key(at)))
    return [Row(plain.spans, plain.key, pointed.spans) for plain, pointed in zip(*rows, strict=True)]
