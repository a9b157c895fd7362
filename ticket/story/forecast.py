"""When a distance will probably have been driven, in weeks or months, from the vehicle's own odometer readings."""

from fractions import Fraction

from ticket.followups.forecast import forecast
from ticket.followups.rate import rate
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import Later
from ticket.job.wall import local_day
from ticket.readings.units import convert

_WEEK = 7
_MONTH = Fraction("30.44")
_WEEKS_UNTIL = 61  # days; told in weeks below, in months above


def forecast_span(case: Case, entry: Entry, fact: Later) -> tuple[int, str] | None:
    """A count and its unit (``week`` or ``month``); nothing where the calendar comes first or readings are too few."""
    odometer = case.ticket.header.odometer_out or case.ticket.header.odometer_in
    if odometer is None or fact.due is None or fact.due.distance is None:
        return None
    unit = odometer.unit
    if convert(Fraction(1), unit, "m") is None:
        return None  # a document may name a unit that is none
    readings = []
    for visit in (case.ticket, *case.earlier):
        reading = visit.header.odometer_in
        value = convert(reading.value, reading.unit, unit) if reading and reading.value is not None else None
        if value is not None:
            readings.append((local_day(visit.opened), value))
    usual = rate(readings, unit)
    if not usual.visits:
        return None
    entered = local_day(entry.at)
    found = forecast(fact, entered, odometer, usual)
    if found.binding != "distance" or found.by_distance is None:
        return None
    return _span((found.by_distance - entered).days)


def _span(days: int) -> tuple[int, str] | None:
    if days < _WEEK:
        return None
    return (days // _WEEK, "week") if days < _WEEKS_UNTIL else (int(days / _MONTH), "month")
