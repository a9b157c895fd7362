"""When a distance will probably have been driven, from the readings of the vehicle's own odometer up to this visit.

The shop's own factor is left out on purpose: a story must read the same whenever its ticket is opened again.
"""

from dataclasses import dataclass
from datetime import date

from ticket.followups.calendar_span import Told, told
from ticket.followups.driving import driving, model_year, visits_of
from ticket.followups.forecast import DATE, Terms, project
from ticket.followups.habit import AVERAGE, CHANGED, PERHAPS, Habit
from ticket.job.case import Case

_TOLD = 1.75  # times as much or as little: from here on it is said how many times
_MANY = 4.5  # and up to here: what lies beyond is no figure worth telling


@dataclass(frozen=True, slots=True)
class Ahead:
    """What may be told of a forecast.

    Attributes:
        span: between which weeks.
        change: ``more`` or ``less`` is driven than before; with ``perhaps.`` in front where one reading alone says so,
            with ``.times`` behind where ``times`` is told; empty where nothing changed.
        times: how many times as much as before, or as now.
        turned: about the day of the change.
    """

    span: Told
    change: str = ""
    times: int = 0
    turned: date | None = None


def forecast_span(case: Case, terms: Terms) -> Ahead | None:
    """What may be told of when work is due.

    Nothing where the calendar comes first, or the vehicle's own driving is not known.
    """
    driven = driving(visits_of((case.ticket, *case.earlier)), year=model_year(case.ticket.header.vehicle))
    found = project(terms, driven)
    if driven.habit is None or driven.habit.word == AVERAGE or found.binding == DATE:
        return None
    if found.start is None or found.earliest is None or found.by_driving is None or found.by_driving <= found.start:
        return None
    span = told(found.start, found.earliest, found.by_driving, found.latest, found.by_date)
    change, times = _change(driven.habit)
    return Ahead(span, change, times, driven.habit.turned)


def _change(habit: Habit) -> tuple[str, int]:
    """A change of habits, and how large it is where two readings confirm it."""
    if habit.word not in (CHANGED, PERHAPS) or not habit.before or not habit.since:
        return "", 0
    way = "more" if habit.since > habit.before else "less"
    if habit.word == PERHAPS:
        return f"perhaps.{way}", 0
    times = max(habit.since / habit.before, habit.before / habit.since)
    return (f"{way}.times", round(times)) if _TOLD <= times < _MANY else (way, 0)
