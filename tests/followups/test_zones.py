"""Zones, daylight saving, leap days and month ends move no due date: days are those on the wall of the shop.

The nights of the change are those of the zone database (IANA); relativedelta of python-dateutil counts the months.
"""

import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from dateutil.relativedelta import relativedelta

from support.tickets import ticket_of
from ticket.followups.driving import driving, visits_of
from ticket.followups.forecast import project
from ticket.followups.threads import threads
from ticket.job.ticket import Header, Ticket
from ticket.job.values import Quantity

ZONES = ("UTC", "America/New_York", "Pacific/Kiritimati", "Pacific/Pago_Pago", "Australia/Lord_Howe", "Asia/Kolkata")
# The first night of each pair the clocks go forward, the second back, in New York; then a leap day and a month's end.
DAYS = (date(2026, 3, 8), date(2026, 11, 1), date(2024, 2, 29), date(2026, 1, 31), date(2026, 12, 31))


@pytest.fixture(params=ZONES)
def zone(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[ZoneInfo]:
    monkeypatch.setenv("TZ", request.param)
    time.tzset()
    yield ZoneInfo(request.param)
    monkeypatch.undo()
    time.tzset()


def visit(day: date, hour: int, zone: ZoneInfo, miles: int, number: int = 1) -> Ticket:
    at = datetime(day.year, day.month, day.day, hour, 30, tzinfo=zone)
    made = ticket_of(["later: replace belt; in 1 month or 500 mi"], number=number, opened=at)
    entries = tuple(replace(entry, at=at) for entry in made.entries)
    return replace(made, entries=entries, header=Header(odometer_in=Quantity(str(miles), "mi")))


@pytest.mark.parametrize("day", DAYS)
@pytest.mark.parametrize("hour", [0, 3, 12, 23])
def test_a_month_counts_from_the_day_on_the_wall(zone: ZoneInfo, day: date, hour: int) -> None:
    (thread,) = threads((visit(day, hour, zone, 90_000),))
    assert thread.terms.by_date == day + relativedelta(months=1)
    assert thread.looks[0].day == day


@pytest.mark.parametrize("day", DAYS)
def test_a_forecast_counts_whole_days_whatever_the_hour(zone: ZoneInfo, day: date) -> None:
    seen = set()
    for hour in (0, 3, 12, 23):
        tickets = (visit(day - timedelta(days=100), hour, zone, 87_000, 1), visit(day, 23 - hour, zone, 90_000, 2))
        found = project(threads(tickets)[-1].terms, driving(visits_of(tickets)))
        seen.add((found.start, found.due, found.earliest, found.latest, found.call))
    assert len(seen) == 1
    assert next(iter(seen))[0] == day
