"""When a distance will probably have been driven, from the readings of the vehicle's own odometer up to this visit.

The shop's own factor is left out on purpose: a story must read the same whenever its ticket is opened again.
"""

from ticket.followups.calendar_span import Told, told
from ticket.followups.driving import driving, model_year, visits_of
from ticket.followups.forecast import DATE, project, terms_of
from ticket.followups.habit import AVERAGE, CHANGED, Habit
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import Later
from ticket.job.wall import local_day


def forecast_span(case: Case, entry: Entry, fact: Later) -> tuple[Told, str] | None:
    """What may be told of it, and whether the vehicle is driven ``more`` or ``less`` than before, or as always (empty).

    Nothing where the calendar comes first, or the vehicle's own driving is not known.
    """
    header = case.ticket.header
    driven = driving(visits_of((case.ticket, *case.earlier)), year=model_year(header.vehicle))
    terms = terms_of(fact, local_day(entry.at), header.odometer_out or header.odometer_in)
    found = project(terms, driven)
    if driven.habit is None or driven.habit.word == AVERAGE or found.binding == DATE:
        return None
    if found.start is None or found.earliest is None or found.by_driving is None or found.by_driving <= found.start:
        return None
    span = told(found.start, found.earliest, found.by_driving, found.latest, found.by_date)
    return span, _change(driven.habit)


def _change(habit: Habit) -> str:
    """A change of habits that two readings confirm."""
    if habit.word != CHANGED or habit.before is None or habit.since is None:
        return ""
    return "more" if habit.since > habit.before else "less"
