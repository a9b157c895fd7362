"""The four rows above the entries: the job, its money, its concerns, and what of them is out of sight. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from ticket.assist.on_the_clock import on_the_clock
from ticket.followups.waiting_threads import from_earlier
from ticket.grid.rows import Row, Span, cut
from ticket.grid.signs import AMENDED, HEAVY, RULE, UNREAD, UNSAFE
from ticket.job.case import Case
from ticket.job.kinds import Says
from ticket.job.promise import lasting, promised_day
from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.job.values import Quantity
from ticket.job.wall import local_day
from ticket.job.width import cells
from ticket.money.amount import grouped
from ticket.screens.sides import ends, length, spaced
from ticket.screens.ticket_view import TicketView

NARROW = 72
"""Columns below which names give way to numbers."""
_STEPS = ((26, True, 4), (16, True, 4), (16, True, 2), (16, False, 4), (12, False, 2), (0, False, 2))
"""Cells of a concern's name, whether each says where it stands, and the cells between: the first that fits is taken."""
_SMALL = frozenset("a an and at for from in is of on or the to when with".split())
"""Words that a name which is cut short does not end with."""
_CLAUSE = Regex(r"[,;.]\s")
WHOLE = ""
"""The tab that shows the entries of all concerns."""


@dataclass(frozen=True, slots=True)
class Standing:
    """What the head shows beside the ticket itself.

    Attributes:
        concern: the letter of the open concern; empty for all of it.
        company: who else is on the ticket, in words.
        away: what of the entries is out of sight, in words.
    """

    concern: str = WHOLE
    company: str = ""
    away: str = ""


def head_rows(view: TicketView, standing: Standing, width: int) -> list[Row]:
    """The four rows; the first cell of each is blank, as the pointer's column is."""
    inner = max(width - 2, 20)
    concerns, start, end = _concerns(view, standing.concern, inner)
    return [
        _padded(job_spans(view, inner)),
        _padded(_money(view, standing, inner)),
        _padded(concerns),
        Row(_rule(standing.away, start, end, width)),
    ]


def _padded(spans: Sequence[Span]) -> Row:
    return Row((Span(" "), *spans))


def job_spans(view: TicketView, width: int) -> tuple[Span, ...]:
    """The job on one line: number, plate, vehicle, customer, and at the right edge what was promised."""
    ticket = view.case.ticket
    header, vehicle = ticket.header, ticket.header.vehicle
    pieces: list[tuple[Span, ...]] = [(Span(str(ticket.number), "strong"),)]
    if vehicle.plate:
        pieces.append((Span(vehicle.plate, "strong"),))
    name = vehicle.label or ("" if vehicle.plate else vehicle.name)
    pieces.append((Span(name or "vehicle not named"),))
    if width >= 100 and header.odometer_in:
        pieces.append((Span(odometer_words(header.odometer_in)),))
    if width >= NARROW and header.customer.name:
        pieces.append((Span(header.customer.name),))
    told = _signed if ticket.seal else _promise
    return ends(spaced(pieces), told(view.case, short=width < NARROW), width)


def _signed(case: Case, *, short: bool) -> tuple[Span, ...]:
    """When a ticket was signed and by whom."""
    ticket = case.ticket
    if ticket.closed is None:
        return ()
    at = ticket.closed.astimezone()
    by = (Span(" by ", "quiet"), Span(ticket.signed_by)) if ticket.signed_by and not short else ()
    since = (Span(", corrected" if not short else f" {AMENDED}", "quiet"),) if ticket.corrections else ()
    return Span("signed ", "quiet"), Span(f"{at.day} {at:%b %H:%M}", "strong"), *by, *since


def _promise(case: Case, *, short: bool) -> tuple[Span, ...]:
    ticket = case.ticket
    text = lasting(ticket.header.ready_by, local_day(ticket.opened))
    if not text:
        return ()
    day = promised_day(text, local_day(ticket.opened))
    late = (case.today - day) if day else timedelta(0)
    lead = () if short else (Span("promised ", "quiet"),)
    if late > timedelta(0):
        return Span(f"{UNSAFE} ", "bad"), *lead, Span(text, "bad"), Span(f", {late.days}d late", "bad")
    today = day == case.today and "today" not in text.casefold()
    return *lead, Span(text, "strong"), *((Span(", today", "strong"),) if today else ())


def _money(view: TicketView, standing: Standing, width: int) -> tuple[Span, ...]:
    right = [*_clock(view.case), *([(Span(standing.company, "strong"),)] if standing.company else [])]
    if view.case.ticket.seal and width >= NARROW:
        right.append((Span("seal ", "quiet"), Span(view.case.ticket.seal)))
    waits = [thread.ref for thread in from_earlier(view.case)]
    if waits and width >= NARROW:
        refs = " ".join(str(ref) for ref in waits[:2]) + (f" and {len(waits) - 2} more" if len(waits) > 2 else "")
        right.append((Span(f"{UNREAD} ", "ask"), Span("waits from before: "), Span(refs)))
    left = sums(view)
    while right and length(left) + length(spaced(right)) + 2 > width:
        right.pop()
    return ends(left, spaced(right), width)


def _clock(case: Case) -> list[tuple[Span, ...]]:
    return [
        (Span(f"{who} on the clock since ", "quiet"), Span(span.start, "value"), Span(f" [{entry.no}]", "quiet"))
        for who, entry, span in on_the_clock(case.ticket)
    ]


def sums(view: TicketView) -> tuple[Span, ...]:
    """What is agreed, billed and left, each payer for itself."""
    sides = view.account.sides if view.account else ()
    status = view.case.ticket.status
    pieces: list[tuple[Span, ...]] = [] if status == "open" else [(Span(status, "fact"),)]
    agreed = len(pieces)
    for side in sides:
        verdict = side.verdict
        who = "" if side.payer == "customer" else f" {side.payer}"
        if verdict.approved is None:
            if verdict.billed:
                pieces.append(
                    (Span(grouped(verdict.billed)), Span(f" billed{who}, ", "quiet"), Span("none agreed", "ask"))
                )
            continue
        left = verdict.approved - verdict.billed
        kind = "up to" if side.agreement.ceiling else "agreed"
        pieces.append((Span(grouped(verdict.approved)), Span(f" {kind}{who}", "quiet")))
        pieces.append((Span(grouped(verdict.billed)), Span(f" billed{who}", "quiet")))
        allowed = verdict.allowed.allowed if verdict.allowed else verdict.approved
        over = (
            Span(f"{grouped(-left)} over", "bad")
            if -left > allowed - verdict.approved
            else Span(f"{grouped(-left)} over, allowed")
        )
        pieces.append((Span(grouped(left)), Span(" left", "quiet")) if left >= 0 else (over,))
    if view.account and not view.account.priced and any(entry.kind == "did" for entry in view.case.ticket.living):
        pieces.append((Span("labour not in it: no price list", "quiet"),))
    return spaced(pieces if len(pieces) > agreed else [*pieces, (Span("nothing agreed yet", "quiet"),)])


def letters_of(case: Case) -> tuple[str, ...]:
    """The letters of the concerns in their order."""
    return tuple(sorted({letter for entry in case.ticket.living for letter in entry.concerns}))


def concern_name(case: Case, letter: str, width: int) -> str:
    """A concern in a few words: the beginning of its complaint."""
    says = next((e.fact for e in case.ticket.living if isinstance(e.fact, Says) and letter in e.concerns), None)
    if says is None:
        return "no complaint yet"
    return _few_words(_CLAUSE.split(says.text)[0], width)


def _few_words(text: str, width: int) -> str:
    """The first words of a text that fit, at least one."""
    words = one_line(text).split()
    count = next((n for n in range(len(words), 1, -1) if cells(" ".join(words[:n])) <= width), 1)
    while 1 < count < len(words) and words[count - 1].casefold() in _SMALL:
        count -= 1
    return cut(" ".join(words[:count]), width)


def asked_of(view: TicketView, letter: str) -> int:
    """How many questions point at a concern; those of the whole ticket count for each."""
    entries = view.case.ticket
    return sum(
        gap.entry is None
        or (entry := entries.entry(gap.entry)) is None
        or not entry.concern
        or letter in entry.concerns
        for gap in view.gaps
    )


def _concerns(view: TicketView, open_one: str, width: int) -> tuple[tuple[Span, ...], int, int]:
    """The concerns with what is open in each, and the cells of the one that is shown."""
    letters = letters_of(view.case) or ("A",)
    words = {state.letter or letters[0]: state.words for state in view.states}
    several = len(letters) > 1
    for name, told, gap in _STEPS:
        tabs = [
            _tab(view, letter, open_one, words.get(letter, "") if told or letter == open_one else "", name)
            for letter in letters
        ]
        if several and gap > 2:
            tabs.append([Span("all of it", "strong" if open_one == WHOLE else "ink")])
        if length(spaced(tabs, gap)) <= width:
            break
    shown = letters.index(open_one) if open_one in letters else len(letters) if several else 0
    start = length(spaced(tabs[:shown], gap)) + (gap if shown and shown < len(tabs) else 0)
    if several and open_one == WHOLE:
        start, end = 0, length(spaced(tabs[: len(letters)], gap))  # all of them are open
    else:
        end = start + length(tabs[shown]) if shown < len(tabs) else start
    return spaced(tabs, gap), 1 + start, 1 + end


def _tab(view: TicketView, letter: str, open_one: str, words: str, width: int) -> list[Span]:
    """One concern: its name on so many cells, where it stands, and how much is asked about it."""
    here = open_one in (letter, WHOLE)
    name = concern_name(view.case, letter, width) if width else ""
    spans = [Span(f"{letter} {name}".rstrip(), "strong" if here else "ink")]
    spans += [Span(f" {words}", "quiet")] if words and width else []
    count = asked_of(view, letter)
    return [*spans, *([Span(f" {UNREAD} {count}", "ask")] if count else [])]


def _rule(away: str, start: int, end: int, width: int) -> tuple[Span, ...]:
    """The hairline, heavy under the open concern; at its right end what is scrolled away."""
    tail = f" {away} " if away else ""
    room = width - cells(tail) - (1 if tail else 0)
    start, end = min(start, room), min(end, room)
    line = [Span(RULE * start, "rule"), Span(HEAVY * (end - start), "strong"), Span(RULE * (room - end), "rule")]
    return (*line, *((Span(tail, "quiet"), Span(RULE, "rule")) if tail else ()))


def odometer_words(reading: Quantity) -> str:
    """An odometer as people read it: ``187,000 km``; as typed where it is no plain number."""
    number = reading.number
    return f"{int(number):,} {reading.unit}" if number.isascii() and number.isdecimal() else str(reading)
