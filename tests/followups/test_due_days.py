"""When deferred work falls due: rates, calendar, intervals."""

from datetime import date, timedelta
from fractions import Fraction
from math import log

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from ticket.followups.calendar import add_time
from ticket.followups.forecast import forecast, limit_reached, span
from ticket.followups.rate import AVERAGE_YEAR, average, rate
from ticket.job.kinds import Later
from ticket.job.values import Due, Quantity
from ticket.readings.wear import wear

# Invented visits; the results beside them were worked out apart from this program.
VISITS = [
    (date(2024, 3, 4), Fraction(41200)), (date(2024, 9, 12), Fraction(46350)), (date(2025, 1, 20), Fraction(49800)),
    (date(2025, 6, 30), Fraction(54100)), (date(2025, 11, 3), Fraction(57650)),
]  # fmt: skip
LAST = VISITS[-1][0]


def test_median_of_pairwise_slopes() -> None:
    """Hollander & Wolfe, Nonparametric Statistical Methods, cloud seeding data: slope -.056 (book; from memory).

    The years are stretched to 20 days, because closer visits do not count, and the sign is turned, because an
    odometer falls only by mistake.
    """
    yields = [Fraction(text) for text in ("1.26", "1.27", "1.12", "1.16", "1.03")]
    readings = [(date(2024, 1, 1) + timedelta(days=20 * i), -value) for i, value in enumerate(yields, 1)]
    found = rate(readings)
    assert found.per_day * 20 == Fraction("0.05625")
    assert round(float(found.per_day * 20), 3) == 0.056


def test_one_mistyped_reading_hardly_matters() -> None:
    usual = rate(VISITS)
    assert float(usual.per_day) == pytest.approx(26.765, abs=5e-4)
    assert round(usual.per_year) == 9776
    assert (usual.visits, usual.rates, usual.last) == (5, 4, None)
    slipped = [(day, Fraction(94800) if value == 49800 else value) for day, value in VISITS]
    assert float(rate(slipped).per_day) == pytest.approx(26.917, abs=5e-4)


def test_close_visits_do_not_count() -> None:
    trip = (LAST + timedelta(days=5), Fraction(59000))
    assert rate([*VISITS, trip]).rates == 4
    assert not rate([VISITS[0], (VISITS[0][0] + timedelta(days=13), Fraction(42000))]).visits


def test_a_changed_habit_is_shown_beside_the_usual_rate() -> None:
    longer = [*VISITS, (LAST + timedelta(days=100), VISITS[-1][1] + 6000)]
    assert rate(longer).last == 60


def test_spread_of_the_rates_is_a_robust_deviation() -> None:
    """Rates 10, 20, 40, 80: their logarithms lie .5, .5, 1.5 and 1.5 times ln 2 from the median; the middle is ln 2."""
    day, at, readings = VISITS[0][0], 0, [(VISITS[0][0], Fraction(0))]
    for per_day in (10, 20, 40, 80):
        day, at = day + timedelta(days=100), at + per_day * 100
        readings.append((day, Fraction(at)))
    assert rate(readings).spread == pytest.approx(1.4826 * log(2))
    assert rate(readings[:3]).spread == 0.30  # too few to tell
    assert rate(VISITS).spread == 0.20  # never taken for steadier than this


def test_without_history_the_national_average() -> None:
    """FHWA Highway Statistics 2024, VM-1: 10,786.65 miles a year per light-duty vehicle, so 500 miles take 17 days."""
    for readings in ([], [VISITS[0]], [VISITS[1], (LAST, Fraction(100))]):
        found = rate(readings)
        assert found == average()
        assert found.per_year == AVERAGE_YEAR
    assert round(500 / average().per_day) == 17
    assert round(3000 / average().per_day) == 102
    assert average().basis == "assumes the US average of 10,787 miles a year (FHWA 2024)"
    assert average("km").per_day == average().per_day * Fraction("1.609344")
    with pytest.raises(ValueError, match="distance"):
        average("psi")


@pytest.mark.parametrize(("miles", "days", "early", "late"), [(500, 18.7, 10, 33), (3000, 112, 83, 152)])
def test_interval_of_a_distance(miles: int, days: float, early: int, late: int) -> None:
    """Coverage 89 to 91 of 100 on simulated steady drivers; here only that the formula is the one simulated."""
    usual = rate(VISITS)
    exact = miles / float(usual.per_day)
    assert exact == pytest.approx(days, abs=0.1)
    assert [round(end) for end in span(exact, usual)] == [early, late]


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


def test_whichever_comes_first() -> None:
    here = Quantity("57,650", "mi")
    both = forecast(later(due=SEAL), LAST, here, rate(VISITS))
    assert both.by_date == date(2026, 1, 3)
    assert both.by_distance == LAST + timedelta(days=56)  # 1500 / 26.765 = 56.04
    assert (both.binding, both.due) == ("distance", both.by_distance)
    assert both.due_odometer == Quantity("59,150", "mi")
    sooner = forecast(later(due=SEAL, date="2025-11-20"), LAST, here, rate(VISITS))
    assert (sooner.binding, sooner.due, sooner.by_distance) == ("date", date(2025, 11, 20), both.by_distance)
    assert both.interval is not None
    assert both.interval[0] < both.by_distance < both.interval[1]


def test_risk_is_called_at_the_early_end() -> None:
    here = Quantity("57,650", "mi")
    calm = forecast(later(due=SEAL), LAST, here, rate(VISITS))
    risky = forecast(later(due=SEAL, risk="fan may stop again"), LAST, here, rate(VISITS))
    assert calm.remind == calm.due
    assert risky.interval is not None
    assert risky.remind == risky.interval[0] < calm.remind  # type: ignore[operator]


def test_a_later_reading_makes_it_better() -> None:
    here, usual = Quantity("57,650", "mi"), rate(VISITS)
    seen = (LAST + timedelta(days=30), Quantity("58,900", "mi"))
    better = forecast(later(due=SEAL), LAST, here, usual, latest=seen)
    assert better.by_distance == seen[0] + timedelta(days=9)  # 250 miles left
    past = forecast(later(due=SEAL), LAST, here, usual, latest=(seen[0], Quantity("60,000", "mi")))
    assert past.by_distance == seen[0]
    assert better.due_odometer == past.due_odometer == Quantity("59,150", "mi")


def test_kilometres_on_a_miles_odometer() -> None:
    item = forecast(later(due=Due(distance=Quantity("1500", "km"))), LAST, Quantity("57,650", "mi"), rate(VISITS))
    assert item.due_odometer == Quantity("58,582", "mi")  # 57,650 + 932.06
    assert item.by_distance == LAST + timedelta(days=34)


def test_what_cannot_be_forecast() -> None:
    hours = Due(hours=Quantity("250", "h"))
    item = forecast(later(due=hours), LAST, None, average())
    assert (item.hours, item.due, item.basis) == (Quantity("250", "h"), None, "")
    assert forecast(later(), LAST, None, average()).binding == ""
    far = forecast(later(due=Due(distance=Quantity("9" * 30, "mi"))), LAST, None, average())
    assert (far.by_distance, far.due) == (None, None)
    bad = forecast(later(date="next spring", due=Due(distance=Quantity("some", "mi"))), LAST, None, average())
    assert bad.due is None


DISTANCES = st.integers(1, 50_000)


@given(DISTANCES, st.integers(1, 60), st.booleans())
def test_due_is_the_earlier_day(miles: int, months: int, risky: bool) -> None:
    due = Due(distance=Quantity(str(miles), "mi"), time=Quantity(str(months), "months"))
    item = forecast(later(due=due, risk="x" if risky else ""), LAST, None, rate(VISITS))
    assert item.by_date is not None
    assert item.by_distance is not None
    assert item.due == min(item.by_date, item.by_distance)
    assert item.remind is not None
    assert item.remind <= item.due
    assert item.basis


def test_worn_part_reaches_its_limit() -> None:
    """Two relative variances add up: the gauge's and the driving's."""
    found = wear(Fraction(8), Fraction(5), Fraction(2), Fraction(16450), steps=(Fraction(1, 10), Fraction(1, 10)))
    day = limit_reached(found, LAST, rate(VISITS))
    assert day is not None
    likely, first, last = day
    assert likely == LAST + timedelta(days=614)  # 16,450 / 26.765
    assert first < likely < last
    coarse = wear(Fraction(8), Fraction(5), Fraction(2), Fraction(16450), steps=(Fraction(1), Fraction(1)))
    wide = limit_reached(coarse, LAST, rate(VISITS))
    assert wide is not None
    assert wide[1] < first
    assert wide[2] > last
    still = wear(Fraction(5), Fraction(5), Fraction(2), Fraction(16450), steps=(Fraction(1), Fraction(1)))
    assert limit_reached(still, LAST, rate(VISITS)) is None
