"""A forecast in English words, for lists and the phone; stories tell it from their catalogues."""

from datetime import date
from fractions import Fraction

from ticket.followups.calendar_span import ABOUT, NOT_BEFORE, SOME_TIME, Told, told
from ticket.followups.driving import Driving
from ticket.followups.forecast import Forecast
from ticket.followups.habit import AVERAGE, CHANGED, PERHAPS, STANDS, Habit
from ticket.followups.priors import HOURS, MILES
from ticket.readings.units import convert, find

STAYS = "if driving stays as it is"
_PARTS = {"early": "early ", "mid": "mid-", "late": "late ", "": ""}


def when(forecast: Forecast) -> str:
    """ "about mid-February, between 26 January and 22 March 2026"; empty where the calendar alone decides."""
    start, early, middle = forecast.start, forecast.earliest, forecast.by_driving
    if start is None or early is None or middle is None:
        return ""
    if forecast.by_date is not None and forecast.by_date <= early:
        return ""  # the calendar comes first, however it is driven
    return words(told(start, early, middle, forecast.latest, forecast.by_date))


def words(span: Told) -> str:
    """What may be told, in words."""
    if span.form == NOT_BEFORE or span.last is None:
        return f"not before {_day(span.first)} {span.first.year}"
    if span.form not in (ABOUT, SOME_TIME):
        return span.form
    same = span.first.year == span.last.year
    first = _day(span.first) + ("" if same else f" {span.first.year}")
    ends = f"between {first} and {_day(span.last)} {span.last.year}"
    if span.form == SOME_TIME or span.month is None:
        return f"some time {ends}"
    return f"about {_PARTS[span.part]}{span.month:%B}, {ends}"


def _day(day: date) -> str:
    return f"{day.day} {day:%B}"


def basis(driving: Driving, unit: str = MILES) -> str:
    """What a forecast rests on, for the shop; ``unit`` is the one its distances are told in."""
    habit = driving.habit
    return "" if habit is None else basis_of(habit, driving.prior.said, HOURS if driving.unit == HOURS else unit)


def basis_of(habit: Habit, prior: str, unit: str) -> str:
    """The same from the habit alone."""
    own = a_day(habit.per_day, unit)
    if habit.word == AVERAGE:
        known = {
            "age": f"from its age about {own}",
            "fleet": f"its fleet goes about {own}",
            "shop": f"the vehicles of this shop go about {own}",
        }.get(prior, f"taken as {own}, the middle of US vehicles (FHWA 2024)")
        return f"its own driving is not known yet: {known}"
    readings = f"{habit.readings} readings"
    before, since = (a_day(rate, unit) if rate is not None else "" for rate in (habit.before, habit.since))
    if habit.word == CHANGED:
        return f"{readings}, about {own} since a change ({before} before it), {STAYS}"
    if habit.word == PERHAPS:
        end = "earlier" if (habit.since or 0) > (habit.before or 0) else "later"
        return f"{readings}, lately about {since} instead of {before}; if that stays, rather the {end} end"
    if habit.word == STANDS:
        return f"{readings}, about {own} before it stood still; no late end while it stands"
    return f"{readings}, about {own}, {STAYS}"


def a_day(per_day: float, unit: str) -> str:
    """A distance a day, kept in miles, in another unit; hours as they are."""
    if unit == HOURS:
        return f"{per_day:.1f} running hours a day"
    factor = convert(Fraction(1), MILES, unit)
    known = find(unit)
    return f"{per_day * float(factor or 1):.0f} {known.many if known else unit} a day"
