"""Questions about clock times: WI ATCP 132 asks for actual hours, payers compare them with the billed ones."""

from collections.abc import Iterator
from fractions import Fraction

from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.gaps.ticket_lookup import claimed, each
from ticket.job.case import Case, ClockEdit, Punch
from ticket.job.entry import Entry
from ticket.job.kinds import Did, Note
from ticket.job.numbers import exact
from ticket.job.text import fold
from ticket.job.values import Clock
from ticket.job.wall import local_day
from ticket.money.labour_hours import clocked, minute_of_day

_DAY = 24 * 60
_FAR = 2  # clocked more than so many times the billed hours, or less than that part of them
_ODD = Fraction(1, 2)  # hours; a smaller difference is nothing to ask about


def performer(entry: Entry, fact: Did) -> str:
    """Who did the work: the one it names, else who typed it."""
    return fact.by or entry.person


def punches(number: int, entry: Entry, fact: Did) -> Iterator[Punch]:
    """The spans of one piece of labour, on the day it was typed."""
    for span in fact.clock:
        yield Punch(performer(entry, fact), number, entry.no, local_day(entry.at), span.start, span.end)


def clock_backwards(case: Case) -> Iterator[Gap]:
    """A span on the clock ends after it starts (E10); one that ends as it starts still runs."""
    for entry, fact in each(case, Did):
        for span in fact.clock:
            if span.end == span.start and case.ticket.status in ("ready", "signed"):
                yield Gap(
                    "clock-backwards", BLOCKING, f"The clock of {span.start} still runs. When did it end?", entry.no
                )
            elif (minute_of_day(span.end) or 0) < (minute_of_day(span.start) or 0):
                question = f"The clock ends at {span.end}, before it starts at {span.start}. Which is right?"
                yield Gap("clock-backwards", ADVICE, question, entry.no)


def clocked_twice(case: Case) -> Iterator[Gap]:
    """Nobody is clocked on two jobs at once (auditor's list, row 6)."""
    mine = [punch for entry, fact in each(case, Did) for punch in punches(case.ticket.number, entry, fact)]
    asked: set[int] = set()
    for i, one in enumerate(mine):
        for other in (*mine[:i], *case.punches):
            if one.entry in asked or not _at_once(one, other):
                continue
            asked.add(one.entry)
            where = f"entry {other.entry}" if other.ticket == case.ticket.number else f"ticket {other.ticket}"
            span = f"{other.start}-{other.end}"
            question = f"{one.person} is also clocked on {where} at {span}. Which time belongs to which job?"
            yield Gap("clocked-twice", ADVICE, question, one.entry)


def _at_once(one: Punch, other: Punch) -> bool:
    if fold(one.person) != fold(other.person) or one.day != other.day:
        return False
    if (one.ticket, one.entry) == (other.ticket, other.entry):
        return False
    return (minute_of_day(one.start) or 0) < _end(other) and (minute_of_day(other.start) or 0) < _end(one)


def _end(punch: Punch) -> int:
    """Minutes after midnight at which a span ends; a running one has not."""
    return minute_of_day(punch.end) or 0 if punch.end != punch.start else _DAY


def clock_far(case: Case) -> Iterator[Gap]:
    """Clocked and billed hours are near each other, or it is said why not (auditor's list, row 6)."""
    for entry, fact in each(case, Did):
        billed = exact(fact.hours)
        spans = [(minute_of_day(span.end) or 0) - (minute_of_day(span.start) or 0) for span in fact.clock]
        passed = clocked(fact.clock, entry.at)
        if billed is None or passed is None or not spans or min(spans) <= 0:
            continue
        on_clock = Fraction(passed, 60)
        far = on_clock > _FAR * billed or _FAR * on_clock < billed
        if far and abs(on_clock - billed) > _ODD:
            question = f"The clock shows {float(on_clock):.1f} h, billed are {fact.hours} h. Why?"
            yield Gap("clock-far", ADVICE, question, entry.no)


def clock_missing(case: Case) -> Iterator[Gap]:
    """Labour that a payer pays has its clock times (auditor's list, row 6)."""
    audited = claimed(case)
    for entry, fact in each(case, Did):
        if audited and fact.hours and not fact.clock:
            yield Gap("clock-missing", ADVICE, "When was it worked on? Add: clock 8:10-9:45", entry.no)


def clock_changed(case: Case) -> Iterator[Gap]:
    """Clock times that were changed say who allowed it (auditor's list, row 17; common practice)."""
    noted = [fold(fact.text) for _, fact in each(case, Note)]
    asked: set[int] = set()
    for edit in case.clock_edits:
        entry = case.ticket.entry(edit.entry)
        if edit.entry in asked or _longer(edit) or entry not in case.ticket.living:
            continue
        if any("clock" in text and str(edit.entry) in text for text in noted):
            continue
        asked.add(edit.entry)
        change = f"{edit.person} changed the clock from {_spans(edit.before)} to {_spans(edit.after)}."
        question = f"{change} Who allowed it? Add: note: clock of {edit.entry} changed, allowed by ..."
        yield Gap("clock-changed", BLOCKING if claimed(case) else ADVICE, question, edit.entry)


def _longer(edit: ClockEdit) -> bool:
    """Clocked off, or on once more: nothing that was written was changed."""
    kept = zip(edit.before, edit.after, strict=False)
    return len(edit.before) <= len(edit.after) and all(
        one == other or (one.start == one.end and one.start == other.start) for one, other in kept
    )


def _spans(spans: tuple[Clock, ...]) -> str:
    return ", ".join(f"{span.start}-{span.end}" for span in spans) or "nothing"


RULES: tuple[Rule, ...] = (
    clock_backwards,
    clocked_twice,
    clock_far,
    clock_missing,
    clock_changed,
)
