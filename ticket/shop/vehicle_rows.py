"""What the store keeps of a vehicle, computed from all its tickets whenever an action changes one of them."""

import json
from collections.abc import Mapping, Sequence

from ticket.followups.calibration import last_check
from ticket.followups.driving import Driving, driving, model_year, visits_of
from ticket.followups.forecast import left_of, start_of
from ticket.followups.thread import Look, Thread
from ticket.followups.threads import threads
from ticket.job.follow import FollowUp
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.machine import environment
from ticket.store.index_rows import HabitRow, ThreadRow, VehicleRows

UNKNOWN = "unknown"


def vehicle_rows(tickets: Sequence[Ticket], follows: Mapping[Ref, FollowUp], zone: str) -> VehicleRows:
    """How a vehicle is driven and what waits on it; days are those of the zone."""
    environment.use_zone(zone)
    newest = max(tickets, key=lambda ticket: (ticket.opened, ticket.number), default=None)
    driven = driving(visits_of(tickets), year=model_year(newest.header.vehicle) if newest else None)
    rows = tuple(_thread_row(thread, driven) for thread in threads(tickets, follows))
    return VehicleRows(_habit_row(driven), rows)


def _habit_row(driven: Driving) -> HabitRow:
    habit = driven.habit
    day = driven.day.isoformat() if driven.day else None
    reading = driven.raw[-1][1] if driven.raw else None
    if habit is None:
        readings = len(driven.raw)
        return HabitRow(driven.unit, day, reading, None, None, None, UNKNOWN, None, None, readings, driven.prior.said)
    check = last_check(driven)
    return HabitRow(
        unit=driven.unit,
        day=day,
        reading=reading,
        mean=habit.mean,
        var=habit.var,
        uneven=habit.uneven,
        word=habit.word,
        before=habit.before,
        since=habit.since,
        readings=habit.readings,
        prior=driven.prior.said,
        checked=check.day.isoformat() if check else None,
        miss=check.miss if check else None,
        sooner=int(check.sooner) if check else None,
    )


def _thread_row(thread: Thread, driven: Driving) -> ThreadRow:
    terms = thread.terms
    start = start_of(terms, driven)
    looks = thread.looks if thread.waits else thread.looks[-1:]  # what is settled is only asked when it was seen last
    return ThreadRow(
        ref=thread.ref,
        state=thread.state,
        waits=thread.waits,
        by_date=terms.by_date.isoformat() if terms.by_date else None,
        start=start.isoformat() if start else None,
        left_over=left_of(terms, driven),
        risky=terms.risky,
        agreed=terms.agreed,
        due_reading=str(terms.due_odometer or ""),
        hours=str(terms.hours or ""),
        looks=json.dumps([look_json(look) for look in looks], separators=(",", ":"), ensure_ascii=False),
    )


def look_json(look: Look) -> dict[str, object]:
    """One visit of a thread as it is kept and printed."""
    return {
        "ticket": look.ref.ticket,
        "entry": look.ref.no,
        "date": look.day.isoformat(),
        "reading": str(look.odometer) if look.odometer else None,
        "what": look.what,
    }
