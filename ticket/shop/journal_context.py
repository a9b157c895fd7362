"""What the journal and other tickets hold beside a ticket, for questions about it; read only where there is cause."""

from dataclasses import replace
from itertools import groupby
from operator import itemgetter

from ticket.gaps.clock_gaps import punches
from ticket.job.case import Case, ClockEdit, Punch
from ticket.job.entry import refs_of
from ticket.job.errors import DamagedError
from ticket.job.kinds import Did
from ticket.job.values import Clock
from ticket.job.wall import local_day
from ticket.store.store import Store


def with_clocks(store: Store, case: Case) -> Case:
    """The case with the clock times of the same days on other tickets, and with the changes of its own."""
    clocked = [entry for entry in case.ticket.living if isinstance(entry.fact, Did) and entry.fact.clock]
    if not clocked:
        return case
    days = [local_day(entry.at) for entry in clocked]
    others: list[Punch] = []
    for number, found in groupby(store.clocked_between(case.ticket.number, min(days), max(days)), itemgetter(0)):
        try:
            ticket = store.ticket(number)
        except DamagedError:
            continue  # the list shows it as damaged
        for _, no in found:
            entry = ticket.entry(no)
            if entry is not None and isinstance(entry.fact, Did):
                others += punches(number, entry, entry.fact)
    edits = tuple(
        ClockEdit(no, tuple(Clock(*span) for span in before), tuple(Clock(*span) for span in after), person)
        for no, before, after, person in store.clock_changes(case.ticket.number)
    )
    return replace(case, punches=tuple(others), clock_edits=edits)


def with_ahead(store: Store, case: Case) -> Case:
    """The case with the references that were typed before there was such an entry."""
    later = [
        (entry.no, ref.no)
        for entry in case.ticket.living
        for _, ref in refs_of(entry.fact)
        if not ref.ticket and ref.no > entry.no and case.ticket.entry(ref.no)
    ]
    return replace(case, ahead=store.typed_ahead(case.ticket.number, later)) if later else case
