"""What the program has to say to the typed line, on the one row below it. Pure: values in, rows out."""

from collections.abc import Sequence
from dataclasses import dataclass

from ticket.assist.completing import Candidate
from ticket.assist.line_settling import Settled
from ticket.grid.computed import balance_words
from ticket.grid.entry_words import meaning_words
from ticket.grid.measured_rows import measured_cells
from ticket.grid.rows import Row, Span, cut, wrap
from ticket.grid.sight import Sight
from ticket.grid.signs import INK_OF, UNJUDGED, UNREAD
from ticket.job.case import Case
from ticket.job.entry import Entry, Remark
from ticket.job.kinds import Code, Found, Proof
from ticket.job.text import one_line
from ticket.job.ticket import Ticket
from ticket.job.width import cells
from ticket.notes.line_roles import roles_of
from ticket.notes.reply import describe
from ticket.readings.measured_groups import text_in
from ticket.readings.reservoir_balance_line import balance_of
from ticket.screens.actions import key_for
from ticket.screens.sides import clipped, length

HEIGHT = 3
"""Rows at most: one, and more only where a sentence needs them."""
_INK = {
    "reading": "value",
    "limit": "quiet",
    "position": "where",
    "condition": "where",
    "taken": "value",
    "lead": "quiet",
}
"""The ink of a piece of the line by what it was read as: the same as in the table."""
_TOLD_BY_THE_LINE = ("the customer's words", "what was looked at", "readings", "remark")


@dataclass(frozen=True, slots=True)
class Reply:
    """What the program has to say to the line.

    Attributes:
        settled: what the line would become.
        refused: the typist does not want the proposed references.
        message: a sentence that goes before everything else.
        candidates: how the line may go on.
        choice: the one that is taken next.
        answer: which answer of the open question is taken next.
        silent: what is told while nothing is typed and nothing is asked.
        asks: the message waits for the person.
    """

    settled: Sequence[Settled] = ()
    refused: bool = False
    message: str = ""
    candidates: Sequence[Candidate] = ()
    choice: int = 0
    answer: int = 0
    silent: tuple[Span, ...] = ()
    asks: bool = False


def open_question(settled: Sequence[Settled]) -> Remark | None:
    """The one question that is put to the typist: the first that is open about what was typed last."""
    remarks = settled[-1].draft.remarks if settled else ()
    return next((remark for remark in remarks if remark.state != "remark"), None)


def inks_of(settled: Sequence[Settled]) -> tuple[tuple[int, int, str], ...]:
    """Where in the line which ink stands: what each piece was read as, and what nobody took."""
    if len({one.draft.line for one in settled}) != 1:
        return ()
    draft = settled[-1].draft
    inks = [(role.start, role.end, _INK[role.word]) for role in roles_of(draft)]
    inks += [(remark.start, remark.end, "unread") for remark in draft.remarks if remark.state == "unread"]
    return tuple(inks)


def understanding_rows(reply: Reply, case: Case, width: int, height: int = HEIGHT) -> list[Row]:
    """The one row, and more only for a sentence that does not fit on it.

    Args:
        reply: what there is to say.
        case: the ticket as it stands.
        width: cells.
        height: rows at most.
    """
    asked = open_question(reply.settled)
    if reply.message:
        sign = (Span(f"{UNREAD} ", "ask"),) if reply.asks else ()
        return _sentence((*sign, Span(reply.message)), width, height)
    if asked is not None:
        return _sentence(_question(asked, reply), width, height)
    if not reply.settled:
        return [Row(clipped(reply.silent, width))] if reply.silent else [Row()]
    item = reply.settled[-1]
    if item.proposed and not reply.refused:
        names = "; ".join(f"{ref} {_short(case.ticket, ref.no)}" for ref in item.proposed)
        lead = Span(f"Enter takes, {key_for('rest')} drops: ", "quiet")
        return [Row(clipped((lead, Span("rests on "), Span(names)), width))]
    return [Row(_told(reply, case, width))]


def _sentence(spans: Sequence[Span], width: int, height: int) -> list[Row]:
    rows = wrap(spans, width, rest="  ")
    if len(rows) <= height:
        return rows
    text = "".join(row.text for row in rows[height - 1 :])
    return [*rows[: height - 1], Row((Span(cut(text, width)),))]


def _question(asked: Remark, reply: Reply) -> list[Span]:
    """The question with the place it is about, and the answers: the one Right takes, then the one Down shows next."""
    line = reply.settled[-1].draft.line
    place = one_line(line[asked.start : asked.end].strip())
    about = bool(place) and len(place) < len(line.strip()) and cells(place) < 30 and place not in asked.text
    spans = [Span(f"{UNREAD} ", "ask"), *([Span(place, "unread"), Span(": ")] if about else []), Span(asked.text)]
    if asked.answers:
        ahead, *others = (*asked.answers[reply.answer :], *asked.answers[: reply.answer])
        spans += [Span(" → ", "strong"), Span(one_line(ahead))]
        spans += [Span(f" or {one_line(others[0])}", "quiet")] if others else []
    return spans


def _told(reply: Reply, case: Case, width: int) -> tuple[Span, ...]:
    """The verdict on the line, and behind it how the line may go on."""
    item = reply.settled[-1]
    spans: list[Span] = []
    if len(reply.settled) > 1:
        kinds = ", ".join(one.draft.fact.title for one in reply.settled)
        spans += [Span(f"{len(reply.settled)} entries: ", "strong"), Span(kinds)]
    else:
        spans += _known(item, case)
        remark = next(iter(item.draft.remarks), None)
        spans += [Span(f"{'; ' if spans else ''}{remark.text}", "quiet")] if remark else []
    if reply.candidates:
        room = width - length(spans) - (3 if spans else 0)
        if room > 24:
            spans += [*([Span("   ")] if spans else []), *_ways_on(reply, room)]
    return clipped(spans or _fields(item), width)


def _ways_on(reply: Reply, width: int) -> tuple[Span, ...]:
    """The completions: the one that Right takes, then the others."""
    ahead = reply.candidates[reply.choice]
    spans = [Span("→ ", "strong"), Span(f"{one_line(ahead.shown.strip())} ({ahead.why})", "quiet")]
    for at, other in enumerate(reply.candidates):
        text = f"  or {cut(other.shown.strip(), 24)}"
        if at != reply.choice and length(spans) + cells(text) <= width:
            spans.append(Span(text, "quiet"))
    return clipped(spans, width)


def _fields(item: Settled) -> list[Span]:
    """What kind of entry it becomes, and what of its fields the line does not say in the same words."""
    spans = [Span(item.draft.fact.title, "quiet")]
    for title, text in describe(item.draft):
        if text not in item.draft.line and title not in _TOLD_BY_THE_LINE:
            spans += [Span(f"  {title} ", "quiet"), Span(one_line(text))]
    return spans


def _short(ticket: Ticket, no: int) -> str:
    entry = ticket.entry(no)
    if entry is None:
        return ""
    fact = entry.fact
    return cut(text_in(fact, "what") or getattr(fact, "text", "") or entry.kind, 28)


def _known(item: Settled, case: Case) -> list[Span]:
    """What the program knows about the fact: the meaning of a code, the verdicts on readings."""
    fact = item.draft.fact
    if isinstance(fact, Code) and fact.code != "none":
        words = meaning_words(fact, case)
        return [Span("means ", "quiet"), Span(words or "not in the tables", "ink" if words else "quiet")]
    balance = balance_of(fact) if isinstance(fact, Found) else None
    if balance is not None:
        return [Span(balance_words(balance))]
    if isinstance(fact, Found | Proof):
        return _judged(item, fact, case)
    return []


def _judged(item: Settled, fact: Found | Proof, case: Case) -> list[Span]:
    """Every reading that was judged: its sign, its value and place, and the verdict."""
    no = max((entry.no for entry in case.ticket.entries), default=0) + 1
    entry = Entry(no, fact, "", case.ticket.opened, item.draft.concern)
    spans: list[Span] = []
    for row in measured_cells(Sight(case), entry, fact):
        if row.sign and row.result and (row.value or isinstance(fact, Proof)):
            place = "".join(span.text for span in row.what if row.value and span.style == "where")
            words = " ".join(part for part in (place, row.value, row.unit) if part)
            spans += [Span("   ")] if spans else []
            spans += [Span(f"{row.sign} ", INK_OF.get(row.sign, "quiet")), *([Span(f"{words} ")] if words else [])]
            spans.append(row.result[0])
            spans += [] if row.value or row.sign != UNJUDGED else [Span(" yet; ; passed or ; failed says it", "quiet")]
    return spans
