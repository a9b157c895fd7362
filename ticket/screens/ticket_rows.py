"""One ticket as a column of sentences, from what was agreed to what is still to ask. Pure: facts in, rows out."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from ticket.assist.on_the_clock import on_the_clock
from ticket.faults.code_meaning import meaning
from ticket.faults.table import with_own
from ticket.gaps.gap import BLOCKING, Gap
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import KINDS, Code, Found, Later, Photo, Proof, Told
from ticket.job.values import Ref, Run
from ticket.notes.pen import Pen
from ticket.notes.runs import write_run
from ticket.notes.write import write_plainly
from ticket.readings.measured_groups import labels, measures
from ticket.readings.pairing import before, judge_entry, last_before, side_by_side, taken_last, what_of
from ticket.readings.reservoir_balance_line import balance_of
from ticket.rules.account import Account
from ticket.screens.bill_rows import bill_rows
from ticket.screens.computed import balance_words, trend_lines
from ticket.screens.rows import Row, Span, cut, row, wrap
from ticket.store.overruled_gaps import Overruled
from ticket.story.facts.concerns import ConcernState
from ticket.story.facts.pictures import pairs
from ticket.story.precautions import cautions_for

# A line is read back while it is written; facts never change, so each is written once.
_line_of = lru_cache(maxsize=4096)(write_plainly)


@dataclass(frozen=True, slots=True)
class TicketView:
    """Everything the page of a ticket shows.

    Attributes:
        before: what earlier jobs with its codes turned out to be, a sentence each.
        account: its money; ``None`` where nobody asked.
        overruled: what it was signed in spite of.
    """

    case: Case
    states: Sequence[ConcernState]
    gaps: Sequence[Gap]
    before: Sequence[str] = ()
    account: Account | None = None
    overruled: Sequence[Overruled] = ()


def ticket_rows(view: TicketView, width: int) -> list[Row]:
    """The page of a ticket at a width in cells."""
    width = max(width, 20)
    return [
        *_agreed(view.case, width),
        *bill_rows(view.account, view.case, width),
        *_earlier(view.case, width),
        *_states(view.states, width),
        *_heed(view.case, width),
        *_moved(view.case, width),
        *_turned_out(view.before, width),
        *_entries(view.case, width),
        *_gaps(view.gaps, view.overruled, width),
    ]


def head_spans(view: TicketView) -> list[Span]:
    """The line on top: number, status, vehicle, odometer, customer."""
    ticket = view.case.ticket
    header = ticket.header
    parts = [header.vehicle.name or "vehicle not named", header.vehicle.plate if header.vehicle.label else ""]
    parts += [f"in {header.odometer_in}" if header.odometer_in else "", header.customer.name]
    parts += [f"ready by {header.ready_by}" if header.ready_by else ""]
    parts += [f"{who} on the clock since {span.start} [{entry.no}]" for who, entry, span in on_the_clock(ticket)]
    rest = " · ".join(part for part in parts if part)
    return [Span(f"Ticket {ticket.number}", "title"), Span(f" {ticket.status}", "strong"), Span(f" · {rest}")]


def _agreed(case: Case, width: int) -> list[Row]:
    """What the customer agreed to, last word first; silence while nobody was asked."""
    for entry in reversed(case.ticket.living):
        fact = entry.fact
        if isinstance(fact, Told) and (fact.answers or fact.total or fact.ceiling):
            said = "; ".join(
                f"{answer.answer}" + (f" to {' '.join(str(ref) for ref in answer.to)}" if answer.to else "")
                for answer in fact.answers
            )
            sums = [f"total {case.settings.currency}{fact.total}"] if fact.total else []
            sums += [f"up to {case.settings.currency}{fact.ceiling}"] if fact.ceiling else []
            text = ", ".join(part for part in (f"{fact.who} said {said}" if said else fact.who, *sums) if part)
            return wrap([Span("Agreed: ", "strong"), Span(f"{text} [{entry.no}]")], width, rest="  ")
    return []


def _earlier(case: Case, width: int) -> list[Row]:
    """Deferred work of earlier visits that nothing has answered yet."""
    answered = {
        ref
        for ticket in (case.ticket, *case.earlier)
        for entry in ticket.living
        if isinstance(entry.fact, Later)
        for ref in entry.fact.refs
        if ref.ticket
    }
    rows = []
    for ticket in case.earlier:
        for entry in ticket.living:
            fact = entry.fact
            if isinstance(fact, Later) and not fact.answer and Ref(entry.no, ticket.number) not in answered:
                text = f"{fact.text} [{ticket.number}/{entry.no}]"
                rows += wrap([Span("Waits from earlier: ", "strong"), Span(text)], width, rest="  ")
    return rows


def _states(states: Sequence[ConcernState], width: int) -> list[Row]:
    rows = []
    for state in states:
        name = f"Concern {state.letter}: " if state.letter else "State: "
        rows += wrap([Span(name, "strong"), Span(state.words)], width, rest="  ")
    return rows


def _heed(case: Case, width: int) -> list[Row]:
    """The gravest thing to heed before the work, and how many more there are."""
    called = cautions_for(case)
    if not called:
        return []
    more = f" (and {len(called) - 1} more: ticket show {case.ticket.number})" if len(called) > 1 else ""
    return wrap([Span(called[0].precaution.words + more, "quiet")], width, rest="  ")


def _moved(case: Case, width: int) -> list[Row]:
    """How readings moved since the last visit."""
    rows = []
    for line in trend_lines(case):
        rows += wrap([Span("Since last time: ", "strong"), Span(line)], width, rest="  ")
    return rows


def _turned_out(told: Sequence[str], width: int) -> list[Row]:
    """What earlier jobs with the codes in hand turned out to be."""
    rows = []
    for line in told:
        code, _, rest = line.partition(" before: ")
        rows += wrap([Span(f"{code} before: ", "strong"), Span(rest)], width, rest="  ")
    return rows


def _entries(case: Case, width: int) -> list[Row]:
    """The entries in their bands, concern by concern, what belongs to none last."""
    entries = case.ticket.entries
    concerns = list(dict.fromkeys(entry.concern for entry in entries))
    several = len([concern for concern in concerns if concern]) > 1
    rows: list[Row] = []
    for concern in sorted(concerns, key=lambda letters: (not letters, letters)) if several else [""]:
        mine = [entry for entry in entries if not several or entry.concern == concern]
        if several:
            rows += [Row(), row(cut(f"Concern {concern}" if concern else "The whole ticket", width), "title")]
        for kind, declared in KINDS.items():
            band = [entry for entry in mine if entry.kind == kind]
            if band:
                rows.append(row(cut(declared.band, width), "quiet"))
            for entry in band:
                rows += wrap(entry_spans(case, entry), width, first=f"{entry.no:>4} ", rest="     ", key=entry.no)
    return rows


def entry_spans(case: Case, entry: Entry) -> list[Span]:
    """An entry without its word: its text, and what the program knows about it."""
    text = _line_of(entry.fact).partition(": ")[2]
    style = "quiet" if entry.struck else "plain"
    spans = [Span("struck: ", "strong")] if entry.struck else []
    if entry.shop_only:
        spans.append(Span("shop only: ", "strong"))
    spans.append(Span(text, style))
    fact = entry.fact
    if isinstance(fact, Code) and fact.moment.startswith("after"):
        spans.insert(-1, Span(f"{fact.moment}: ", "strong"))
    if isinstance(fact, Code) and (words := meaning_words(fact, case)):
        spans.append(Span(f" — {words}", "quiet"))
    balance = balance_of(fact) if isinstance(fact, Found) else None
    if balance is not None:
        spans.append(Span(f" — {balance_words(balance)}", "quiet"))
    elif isinstance(fact, Found | Proof) and not entry.struck:
        spans += judged_spans(case, entry)
    spans += _moment(case, entry)
    if isinstance(fact, Photo):
        spans += _pair(case, entry)
    if entry.reason:
        spans.append(Span(f" (added after signing: {entry.reason})", "quiet"))
    return spans


def _moment(case: Case, entry: Entry) -> list[Span]:
    """Whether a reading was taken before or after the work, and what it was the other time."""
    fact = entry.fact
    if isinstance(fact, Proof) and fact.of is not None:
        name = what_of(case.ticket, entry, case.earlier)
        old = _before(case, entry, fact)
        words = ", ".join(part for part in (name, f"was {old}" if old else "") if part)
        return [Span(f" — after: {words}", "quiet")] if words else []
    if isinstance(fact, Found) and measures(fact) and not entry.struck:
        again = side_by_side(taken_last(case.ticket, entry))
        if again:
            told = "; ".join(f"{_values(run)} after [{ref.no}]" for ref, run in again)
            return [Span(f" — before; {told}", "quiet")]
    return []


def _pair(case: Case, entry: Entry) -> list[Span]:
    """The other picture of a pair."""
    row = next((row for row in pairs(case.ticket.living) if entry in row), ())
    other = next((one for one in row if one is not entry), None)
    return [Span(f" — {getattr(other.fact, 'stage', '')}: [{other.no}]", "quiet")] if other else []


def _before(case: Case, entry: Entry, fact: Proof) -> str:
    """The readings an entry is compared with; those of the newest entry before it where it holds none itself."""
    if measures(fact):
        return "; ".join(_values(run) for _, run in side_by_side(before(case.ticket, entry, case.earlier)))
    last = last_before(case.ticket, entry, case.earlier)
    return "; ".join(_values(taken.run) for taken in last.groups) if last else ""


def _values(run: Run) -> str:
    return write_run(replace(run, limits=None), Pen())


def meaning_words(fact: Code, case: Case) -> str:
    """What a code and its sub-code stand for, in a technician's words; empty where the tables do not know."""
    known = meaning(fact.code, fact.sub, with_own(case.codes))
    words = known.trade or known.words
    if known.what and known.failure:
        words = f"{known.what} {known.failure}"
    return "; ".join(part for part in (words, known.sub_trade or known.sub_words) if part)


def judged_spans(case: Case, entry: Entry) -> list[Span]:
    """The verdicts on an entry's readings: one word where they agree, else each that is not in limits."""
    fact = entry.fact
    verdicts = judge_entry(case.ticket, entry, case.earlier)
    named = labels(fact) if isinstance(fact, Found | Proof) else ()
    judged = [(label, verdict.word) for label, verdict in zip(named, verdicts, strict=False) if verdict.word != "none"]
    if not judged:
        return []
    if len({word for _, word in judged}) == 1:
        return _word(judged[0][1])
    spans: list[Span] = []
    for label, word in judged:
        if word != "in":
            spans += _word(word, label)
    return spans


def _word(word: str, label: str = "") -> list[Span]:
    lead = f"{label} " if label else ""
    return [Span(" "), Span(f" {lead}{word} " if word != "in" else "in limits", "flag" if word != "in" else "quiet")]


def _gaps(gaps: Sequence[Gap], overruled: Sequence[Overruled], width: int) -> list[Row]:
    """What is still to ask; on a signed ticket with the reason why it was left open."""
    reasons = {item.gap: f"Signed in spite of it: {item.reason} ({item.by})." for item in overruled}
    if not gaps and not reasons:
        return []
    rows: list[Row] = [Row(), row("still to ask", "quiet")]
    for i, gap in enumerate(gaps):
        mark = "must " if gap.level == BLOCKING else "may  "
        spot = f" [{gap.entry}]" if gap.entry else ""
        rows += wrap([Span(mark, "strong" if gap.level == BLOCKING else "quiet"), Span(gap.question + spot),
                      Span(f" {reasons[gap.id]}" if gap.id in reasons else "", "strong")], width,
                     first=" ", rest="      ", key=f"gap{i}")  # fmt: skip
    for gap_id in sorted(reasons.keys() - {gap.id for gap in gaps}):
        rows += wrap([Span(f"{gap_id}: {reasons[gap_id]}")], width, first=" ", rest="      ")
    return rows
