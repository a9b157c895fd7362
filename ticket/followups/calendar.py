"""Calendar arithmetic: always from the anchor, never chained, so that a month after January 31 does not drift."""

from datetime import date, timedelta
from fractions import Fraction
from math import floor

from dateutil.relativedelta import relativedelta

from ticket.job.values import Quantity
from ticket.job.wall import LAST_DAY
from ticket.readings.digits import number
from ticket.readings.units import find

_AVERAGE_MONTH = Fraction("365.25") / 12  # days; for the odd part of a month only


def add_time(anchor: date, time: Quantity) -> date | None:
    """The day so much later; the odd part of a month or a day is counted in whole days, rounded down.

    Returns:
        ``None`` when the amount is no positive time of at least a day's kind (day, week, month, year), or the day
        lies beyond the days this program knows.
    """
    value, unit = number(time.number), find(time.unit)
    if value is None or unit is None or value < 0:
        return None
    day = None
    try:
        if unit.dimension == "calendar":
            months = value * unit.factor
            whole = floor(months)
            day = anchor + relativedelta(months=whole, days=floor((months - whole) * _AVERAGE_MONTH))
        elif unit.dimension == "time" and unit.factor >= 86400:
            day = anchor + timedelta(days=floor(value * unit.factor / 86400))
    except (OverflowError, ValueError):
        return None
    return day if day and day <= LAST_DAY else None
