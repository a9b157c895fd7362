"""Whatever stands on a ticket, it can be asked about: no rule fails, and each points at an entry that counts."""

from dataclasses import replace
from datetime import date
from typing import Any

from hypothesis import given, settings

from support.tickets import tickets
from ticket.gaps.find import find_gaps
from ticket.gaps.gap import ADVICE, BLOCKING
from ticket.job.case import Case, Settings
from ticket.job.kinds import Did, Later, Told
from ticket.job.ticket import Ticket
from ticket.job.values import Answer, Clock


def check(case: Case) -> None:
    living = {entry.no for entry in case.ticket.living}
    for gap in find_gaps(case):
        assert gap.level in (ADVICE, BLOCKING)
        assert gap.question.strip()
        assert gap.entry is None or gap.entry in living, gap


@settings(max_examples=40)
@given(tickets())
def test_random_tickets_are_asked_about(ticket: Ticket) -> None:
    check(Case(ticket, Settings(), date(2026, 3, 5)))
    check(Case(ticket, Settings(), date(2026, 3, 5), earlier=(replace(ticket, number=7, status="signed"),)))


def test_dates_and_times_that_are_none_are_no_reason_to_fail() -> None:
    """A document may hold any text where a date or a time is expected."""
    from gap_cases import case_of

    case = case_of(
        "says: x\ndid: 1 h splice wire; clock 8:00-9:00\nlater: replace horn; by 2026-04-01\ntold: Ada Fenn, yes 3"
    )
    odd: dict[type, dict[str, Any]] = {
        Did: {"clock": (Clock("soon", "later"), Clock("8:00", ""))}, Later: {"date": "2026-13-45"},
        Told: {"at": "2026-13-45 25:99", "answers": (Answer("yes"),)},
    }  # fmt: skip
    entries = tuple(
        replace(entry, fact=replace(entry.fact, **odd[type(entry.fact)])) if type(entry.fact) in odd else entry
        for entry in case.ticket.entries
    )
    check(replace(case, ticket=replace(case.ticket, entries=entries)))
