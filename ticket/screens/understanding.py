"""What a typed line will become, as rows under the prompt. Pure: a settled draft in, rows out."""

from collections.abc import Sequence

from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import KINDS, Code, Found, Proof
from ticket.job.ticket import Ticket
from ticket.notes.reply import describe
from ticket.readings.balance_line import balance_of
from ticket.screens.actions import key_for
from ticket.screens.computed import balance_words
from ticket.screens.rows import Row, Span, cut, row, wrap
from ticket.screens.ticket_rows import judged_spans, meaning_words
from ticket.shop.drafts import Settled

HEIGHT = 4


def understanding_rows(settled: Sequence[Settled], case: Case, width: int, *, refused: bool = False) -> list[Row]:
    """At most :data:`HEIGHT` rows that say how the line was understood.

    Args:
        settled: what the line would become.
        case: the ticket as it stands.
        width: cells.
        refused: the typist does not want the proposed references.
    """
    if not settled:
        words = " ".join(f"{word}:" for word in KINDS)
        return wrap([Span(f"One fact a line: {words} Without a word it is a finding.", "quiet")], width)
    rows: list[Row] = []
    if len(settled) > 1:
        kinds = ", ".join(item.draft.fact.title for item in settled)
        rows.append(row(cut(f"{len(settled)} entries: {kinds}", width), "strong"))
    item = settled[-1]
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
    if item.proposed and not refused:
        names = "; ".join(f"{ref} {_short(case.ticket, ref.no)}" for ref in item.proposed)
        rows.append(row(cut(f"Enter takes, {key_for('rest')} drops: rests on {names}", width), "quiet"))
    rows += [Row((Span("? ", "strong"), Span(cut(note.text, width - 2)))) for note in item.draft.remarks]
    return rows[:HEIGHT] if len(rows) <= HEIGHT else [*rows[: HEIGHT - 1], *rows[-1:]]


def _short(ticket: Ticket, no: int) -> str:
    entry = ticket.entry(no)
    if entry is None:
        return ""
    fact = entry.fact
    return cut(getattr(fact, "what", "") or getattr(fact, "text", "") or entry.kind, 28)


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
        ticket = case.ticket
        no = max((entry.no for entry in ticket.entries), default=0) + 1
        return [Span(" "), *judged_spans(ticket, Entry(no, fact, "", ticket.opened, item.draft.concern))]
    return []
