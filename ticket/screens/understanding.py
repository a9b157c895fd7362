"""What a typed line will become and how it may go on, as rows over the prompt. Pure: values in, rows out."""

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from ticket.assist.completing import Candidate
from ticket.assist.line_settling import Settled
from ticket.job.case import Case
from ticket.job.entry import Entry, Remark
from ticket.job.kinds import KINDS, Code, Found, Proof
from ticket.job.text import one_line
from ticket.job.ticket import Ticket
from ticket.notes.reply import describe
from ticket.readings.measured_groups import text_in
from ticket.readings.reservoir_balance_line import balance_of
from ticket.screens.actions import key_for
from ticket.screens.computed import balance_words
from ticket.screens.rows import Row, Span, cut, row, wrap
from ticket.screens.ticket_rows import judged_spans, meaning_words

HEIGHT = 4  # rows at most
LOW = 16  # lines of a terminal below which the entries need the rows more


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
    """

    settled: Sequence[Settled] = ()
    refused: bool = False
    message: str = ""
    candidates: Sequence[Candidate] = ()
    choice: int = 0
    answer: int = 0


def open_question(settled: Sequence[Settled]) -> Remark | None:
    """The one question that is put to the typist: the first that is open about what was typed last."""
    remarks = settled[-1].draft.remarks if settled else ()
    return next((remark for remark in remarks if remark.state != "remark"), None)


def unread_places(settled: Sequence[Settled]) -> tuple[tuple[int, int], ...]:
    """Where in the line stand pieces that nothing took."""
    remarks = settled[-1].draft.remarks if len(settled) == 1 else ()
    return tuple((remark.start, remark.end) for remark in remarks if remark.state == "unread")


def height_for(lines: int) -> int:
    """How many rows there are for it on a terminal of so many lines."""
    return 2 if lines < LOW else HEIGHT


def understanding_rows(reply: Reply, case: Case, width: int, height: int = HEIGHT) -> list[Row]:
    """So many rows at most that say how the line was understood, and how it may go on.

    Args:
        reply: what there is to say.
        case: the ticket as it stands.
        width: cells.
        height: rows.
    """
    rows = wrap([Span(reply.message, "strong")], width)[:height] if reply.message else []
    question = open_question(reply.settled)
    if question and question.answers:
        last = [_answers(question, reply.answer, width)]
    else:
        last = [_ways_on(reply, width)] if reply.candidates else []
    if reply.settled:
        rows += _understood(reply, case, width, height - len(rows) - len(last))
    elif not rows:
        words = " ".join(f"{word}:" for word in KINDS)
        rows = wrap([Span(f"One fact a line: {words} Without a word it is a finding.", "quiet")], width)
    return [*rows[: height - len(last)], *last]


def _understood(reply: Reply, case: Case, width: int, height: int) -> list[Row]:
    rows: list[Row] = []
    if len(reply.settled) > 1:
        kinds = ", ".join(item.draft.fact.title for item in reply.settled)
        rows.append(row(cut(f"{len(reply.settled)} entries: {kinds}", width), "strong"))
    item = reply.settled[-1]
    fact = item.draft.fact
    spans = [Span(fact.title, "strong")]
    if item.draft.concern:
        spans.append(Span(f" {item.draft.concern}", "strong"))
    if item.draft.shop_only:
        spans.append(Span(" (shop only)", "quiet"))
    for title, text in describe(item.draft):
        spans += [Span(f"  {title}: ", "quiet"), Span(text)]
    spans += _known(item, case)
    rows += wrap(spans, width, rest="  ")
    if item.proposed and not reply.refused:
        names = "; ".join(f"{ref} {_short(case.ticket, ref.no)}" for ref in item.proposed)
        rows.append(row(cut(f"Enter takes, {key_for('rest')} drops: rests on {names}", width), "quiet"))
    question = open_question(reply.settled)
    asked = [question] if question else item.draft.remarks
    rows += [_remark(note, item.draft.line, width) for note in asked]
    return rows[:height] if len(rows) <= height else [*rows[: max(height - 1, 0)], *rows[-1:]][:height]


def _remark(note: Remark, line: str, width: int) -> Row:
    """A question about the line, and the place it is about where that is not all of it."""
    place = line[note.start : note.end].strip()
    where = f" «{place}»" if place and len(place) < len(line.strip()) and len(place) < 30 else ""
    return Row((Span("? ", "strong"), Span(cut(note.text + where, width - 2))))


def _answers(question: Remark, choice: int, width: int) -> Row:
    """The answers on one line: the one that → takes, then the one that ↓ shows next."""
    ahead, *others = (*question.answers[choice:], *question.answers[:choice])
    text = f"  or {others[0]}" if others else ""
    return Row((Span("→ ", "strong"), Span(cut(f"{one_line(ahead)}{one_line(text)}", max(width - 2, 1)))))


def _ways_on(reply: Reply, width: int) -> Row:
    """The completions on one line: the one that → takes, then the others."""
    ahead = reply.candidates[reply.choice]
    others = [item for i, item in enumerate(reply.candidates) if i != reply.choice]
    room = (
        width - 2 if not others else max(width - 2 - sum(min(cell_len(one_line(o.shown)), 24) + 4 for o in others), 24)
    )
    spans = [Span("→ ", "strong"), Span(cut(f"{ahead.shown.strip()} ({ahead.why})", min(room, width - 2)))]
    text = "".join(f"  or {cut(item.shown.strip(), 24)}" for item in others)
    left = width - sum(cell_len(span.text) for span in spans)
    if left > 12:
        spans.append(Span(cut(text, left), "quiet"))
    return Row(tuple(spans))


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
        return [Span("  means ", "quiet"), Span(words or "not in the tables", "strong" if words else "quiet")]
    balance = balance_of(fact) if isinstance(fact, Found) else None
    if balance is not None:
        return [Span("  "), Span(balance_words(balance), "strong")]
    if isinstance(fact, Found | Proof):
        no = max((entry.no for entry in case.ticket.entries), default=0) + 1
        return [Span(" "), *judged_spans(case, Entry(no, fact, "", case.ticket.opened, item.draft.concern))]
    return []
