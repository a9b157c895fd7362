"""When deferred work falls due: calendar, distance, hours, whichever comes first."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from ticket.followups.calendar import add_time
from ticket.followups.driving import Visit, driving
from ticket.followups.forecast import Forecast, left_of, project, terms_of
from ticket.job.kinds import Later
from ticket.job.values import Due, Quantity

# Invented visits; the results beside them were worked out apart from this program.
VISITS = [
    Visit(date.fromisoformat(day), Quantity(reading, "mi"))
    for day, reading in (
        ("2024-03-04", "41,200"), ("2024-09-12", "46,350"), ("2025-01-20", "49,800"), ("2025-06-30", "54,100"),
        ("2025-11-03", "57,650"),
    )
]  # fmt: skip
LAST = VISITS[-1].day


# Facts of the calendar; dateutil's relativedelta is the reference.
CALENDAR = [
    ("2025-01-31", "1", "month", "2025-02-28"), ("2024-01-31", "1", "month", "2024-02-29"),
    ("2024-02-29", "1", "year", "2025-02-28"), ("2024-02-29", "4", "years", "2028-02-29"),
    ("2025-08-31", "6", "months", "2026-02-28"), ("2025-01-31", "2", "months", "2025-03-31"),
    ("2025-01-31", "3", "weeks", "2025-02-21"), ("2026-03-02", "1/2", "year", "2026-09-02"),
    ("2026-03-02", "1.5", "months", "2026-04-17"), ("2026-03-02", "10", "days", "2026-03-12"),
]  # fmt: skip


@pytest.mark.parametrize(("start", "number", "unit", "expected"), CALENDAR)
def test_calendar(start: str, number: str, unit: str, expected: str) -> None:
    assert add_time(date.fromisoformat(start), Quantity(number, unit)) == date.fromisoformat(expected)


def test_months_are_never_chained() -> None:
    start, month = date(2025, 1, 31), Quantity("1", "month")
    once = add_time(start, month)
    assert once is not None
    assert add_time(once, month) == date(2025, 3, 28)
    assert add_time(start, Quantity("2", "months")) == date(2025, 3, 31)


@given(st.dates(date(1990, 1, 1), date(2090, 1, 1)), st.integers(0, 600))
def test_months_agree_with_the_reference(start: date, months: int) -> None:
    assert add_time(start, Quantity(str(months), "months")) == start + relativedelta(months=months)


def test_time_that_is_none() -> None:
    for number, unit in (
        ("soon", "months"),
        ("2", "km"),
        ("3", "h"),
        ("-1", "month"),
        ("9" * 30, "years"),
        ("9" * 30, "days"),
    ):
        assert add_time(LAST, Quantity(number, unit)) is None


def later(**fields: object) -> Later:
    return Later(text="replace shaft seal", **fields)  # type: ignore[arg-type]


SEAL = Due(distance=Quantity("1,500", "mi"), time=Quantity("2", "months"))
HERE = Quantity("57,650", "mi")


def falls(item: Later, odometer: Quantity | None = HERE, visits: Sequence[Visit] = VISITS) -> Forecast:
    return project(terms_of(item, LAST, odometer), driving(visits))


def test_whichever_comes_first() -> None:
    both = falls(later(due=SEAL))
    assert both.by_date == date(2026, 1, 3)
    assert both.by_driving == LAST + timedelta(days=54)  # 1,500 / 27.475 = 54.6
    assert (both.binding, both.due) == ("distance", both.by_driving)
    assert terms_of(later(due=SEAL), LAST, HERE).due_odometer == Quantity("59,150", "mi")
    sooner = falls(later(due=SEAL, date="2025-11-20"))
    assert (sooner.binding, sooner.due, sooner.by_driving) == ("date", date(2025, 11, 20), both.by_driving)
    assert both.earliest is not None
    assert both.latest is not None
    assert both.earliest < both.by_driving < both.latest


def test_risky_work_is_called_for_a_week_before_the_early_end() -> None:
    """3,000 miles: due on 2026-02-20, called for on 02-11, risky work on 01-23; never after the calendar limit."""
    far = Due(distance=Quantity("3,000", "mi"))
    calm, risky = falls(later(due=far)), falls(later(due=far, risk="fan may stop again"))
    assert (calm.due, calm.call) == (date(2026, 2, 20), date(2026, 2, 11))
    assert (calm.earliest, calm.latest) == (date(2026, 1, 30), date(2026, 3, 18))
    assert risky.call == date(2026, 1, 23)
    assert falls(later(due=far, judgement="do soon")).call == risky.call
    assert falls(later(due=far, date="2025-12-24")).call == date(2025, 12, 24)
    assert falls(later(date="2025-12-24", risk="x")).call == date(2025, 12, 17)
    assert falls(later(due=Due(distance=Quantity("10", "mi")), risk="x")).call == LAST + timedelta(days=1)


def test_a_later_reading_makes_it_better() -> None:
    seen = Visit(LAST + timedelta(days=30), Quantity("58,900", "mi"))
    better = falls(later(due=SEAL), visits=[*VISITS, seen])
    assert better.by_driving == seen.day + timedelta(
        days=7
    )  # 250 miles left; the last month went at 42 a day, and counts half
    past = falls(later(due=SEAL), visits=[*VISITS, replace(seen, reading=Quantity("60,000", "mi"))])
    assert past.due == past.earliest == past.latest == seen.day


def test_kilometres_on_a_miles_odometer() -> None:
    item = later(due=Due(distance=Quantity("1500", "km")))
    assert terms_of(item, LAST, HERE).due_odometer == Quantity("58,582", "mi")  # 57,650 + 932.06
    assert falls(item).by_driving == LAST + timedelta(days=33)


def test_a_vehicle_in_kilometres_falls_due_on_the_same_days() -> None:
    metric = [Visit(one.day, Quantity(str(one.reading.value * Fraction("1.609344")), "km")) for one in VISITS]  # type: ignore[operator]
    item = later(due=Due(distance=Quantity("4828.032", "km")))
    there = project(terms_of(item, LAST, metric[-1].reading), driving(metric))
    assert there == falls(later(due=Due(distance=Quantity("3000", "mi"))))


def test_hours_of_a_machine() -> None:
    """250 hours from 1,790 on: worked value 104, 145 and 202 days."""
    meter = [(date(2025, 3, 3), "1210"), (date(2025, 6, 10), "1402.5"), (date(2025, 9, 15), "1598"),
             (date(2026, 1, 12), "1790")]  # fmt: skip
    visits = [Visit(on, Quantity(value, "h")) for on, value in meter]
    item = later(due=Due(hours=Quantity("250", "h")))
    found = project(terms_of(item, meter[-1][0], visits[-1].reading), driving(visits))
    assert found.binding == "hours"
    assert [(day - meter[-1][0]).days for day in (found.earliest, found.due, found.latest) if day] == [104, 145, 202]
    assert falls(item).due is None  # hours of a vehicle whose odometer counts miles


def test_another_instrument_and_a_rollover_lose_no_distance() -> None:
    """The worked value of the replaced instrument, and a five-digit odometer that started again."""
    far = later(due=Due(distance=Quantity("3,000", "mi")))
    swapped = [*VISITS[:3], Visit(VISITS[3].day, Quantity("120", "mi"), "replaced instrument"),
               Visit(LAST, Quantity("3670", "mi"))]  # fmt: skip
    assert project(terms_of(far, LAST, swapped[-1].reading), driving(swapped)).due == LAST + timedelta(days=108)
    early = terms_of(far, VISITS[2].day, VISITS[2].reading)
    assert left_of(early, driving(swapped)) == 0  # 3,550 since, as far as the new instrument tells
    turned = [Visit(one.day, Quantity(str(int(one.reading.value or 0) + 46_000), "mi")) for one in VISITS[:4]]
    turned.append(Visit(LAST, Quantity("3,650", "mi"), "rolled over"))
    assert project(terms_of(far, LAST, turned[-1].reading), driving(turned)) == falls(far)


def test_what_cannot_be_forecast() -> None:
    nowhere = driving([])
    assert project(terms_of(later(), LAST, None), nowhere).binding == ""
    far = project(terms_of(later(due=Due(distance=Quantity("9" * 30, "mi"))), LAST, None), nowhere)
    assert (far.by_driving, far.due) == (None, None)
    bad = terms_of(later(date="next spring", due=Due(distance=Quantity("some", "mi"))), LAST, None)
    assert project(bad, nowhere).due is None


def test_no_news_is_asked_about_and_moves_no_date() -> None:
    item = falls(later(due=Due(distance=Quantity("3,000", "mi"))))
    assert not item.news_due(date(2026, 3, 18))
    assert item.news_due(date(2026, 3, 19))


@given(st.integers(1, 50_000), st.integers(1, 60), st.booleans())
def test_due_is_the_earlier_day(miles: int, months: int, risky: bool) -> None:
    due = Due(distance=Quantity(str(miles), "mi"), time=Quantity(str(months), "months"))
    item = falls(later(due=due, risk="x" if risky else ""), None)
    assert item.by_date is not None
    assert item.by_driving is not None
    assert item.due == min(item.by_date, item.by_driving)
    assert item.call is not None
    assert item.call <= max(item.due, LAST + timedelta(days=1))


def test_one_reading_and_the_model_year_tell_more_than_the_average() -> None:
    """Worked value: 57,650 miles in the 2,192 days since the first of January 2020 pull 25.4 a day to 25.93."""
    one = [Visit(date(2026, 1, 1), Quantity("57,650", "mi"))]
    known = driving(one, year=2020)
    assert known.habit is not None
    assert (known.prior.said, round(known.habit.per_day, 2)) == ("age", 25.93)
    plain = driving(one)
    assert plain.habit is not None
    assert (plain.prior.said, round(plain.habit.per_day, 1)) == ("average", 25.4)
