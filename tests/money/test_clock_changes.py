"""Hours by the clock across a change of daylight saving, against the IANA time zone database (Python's zoneinfo)."""

import time
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.tickets import ticket_of
from ticket.gaps.find import find_gaps
from ticket.job.case import Case, Settings
from ticket.job.values import Clock
from ticket.money.bill import bill
from ticket.money.labour_hours import clocked, doubt_of, minutes_of
from ticket.money.period import hours, labour_of
from ticket.money.prices import PriceList, Rate
from ticket.money.terms_of import terms_of
from ticket.rules.uncovered_work import uncovered_work

CHICAGO = ZoneInfo("America/Chicago")
# 15 USC 260a(a): the clocks go forward on the second Sunday of March and back on the first Sunday of November, at 2:00.
FORWARD, BACK = datetime(2026, 3, 8, 4, tzinfo=CHICAGO), datetime(2026, 11, 1, 4, tzinfo=CHICAGO)
PRICES = PriceList(rates=(Rate(name="general", price="100"),))


@pytest.mark.parametrize(
    ("typed", "span", "minutes"),
    [
        (FORWARD, "1:30-3:30", {60}), (FORWARD, "0:30-4:30", {180}), (FORWARD, "22:00-5:00", {360}),
        (FORWARD, "8:00-9:00", {60}), (FORWARD, "2:30-4:00", set()),
        (BACK, "0:30-3:30", {240}), (BACK, "22:00-5:00", {480}), (BACK, "1:30-3:30", {120, 180}),
        (BACK, "1:50-1:10", {20, 1400, 1460}), (BACK, "8:00-9:00", {60}), (BACK, "2:00-3:00", {60}),
        (FORWARD - timedelta(days=1), "1:30-3:30", {120}), (BACK.replace(hour=21), "22:00-5:00", {420}),
        (FORWARD.replace(hour=0) - timedelta(hours=2, minutes=10), "22:00-5:00", {360}),
    ],
)  # fmt: skip
def test_the_hours_that_passed_are_counted_in_the_nights_the_clocks_are_changed(
    typed: datetime, span: str, minutes: set[int]
) -> None:
    start, _, end = span.partition("-")
    assert minutes_of(Clock(start, end), typed.astimezone(UTC), CHICAGO) == minutes


ZONES = st.sampled_from(["America/Chicago", "Europe/London", "Australia/Lord_Howe", "America/Santiago", "Asia/Kolkata"])


@given(ZONES, st.integers(0, 2 * 366 * 24 * 60), st.integers(1, 20 * 60))
def test_what_a_wall_clock_showed_leads_back_to_the_minutes_that_passed(zone: str, start: int, length: int) -> None:
    wall = ZoneInfo(zone)
    began = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=start)
    ended = began + timedelta(minutes=length)
    shown = [at.astimezone(wall) for at in (began, ended)]
    span = Clock(*(f"{at.hour}:{at.minute:02}" for at in shown))
    if span.start == span.end:
        return  # that is how a clock that still runs is written
    found = minutes_of(span, ended, wall)
    assert length in found
    twice = any(at.replace(fold=0).utcoffset() != at.replace(fold=1).utcoffset() for at in shown)
    assert found == {length} or twice
    assert clocked([span], ended, wall) == (length if len(found) == 1 else None)
    assert bool(doubt_of([span], ended, wall)) == (len(found) != 1)


@pytest.fixture
def chicago(monkeypatch: pytest.MonkeyPatch) -> None:
    if not hasattr(time, "tzset"):
        pytest.skip("this system keeps its own zone")
    monkeypatch.setenv("TZ", "America/Chicago")
    time.tzset()


@pytest.mark.usefixtures("chicago")
def test_bill_hours_and_questions_count_the_hour_that_never_was() -> None:
    ticket = ticket_of("says: x\ndid: fit horn; clock 1:30-3:30\ndid: 2 h fit lamp; clock 0:30-3:30", opened=FORWARD)
    made = bill(ticket, PRICES, terms_of(ticket))
    assert [(line.quantity, line.clock, line.amount) for line in made.lines] == [("1", "1", 10000), ("2", "2", 20000)]
    assert hours("all", (work for _, work in labour_of(ticket, made))).clocked == 3
    far = ticket_of("says: x\ndid: 1 h fit horn; clock 1:00-4:00", opened=FORWARD)
    assert "clock-far" not in {gap.id for gap in find_gaps(Case(far, Settings(), date(2026, 3, 8)))}


@pytest.mark.usefixtures("chicago")
def test_a_time_that_came_twice_is_asked_about_and_not_billed() -> None:
    ticket = ticket_of("says: x\ndid: fit horn; clock 1:30-3:30", opened=BACK)
    made = bill(ticket, PRICES, terms_of(ticket))
    assert made.lines[0].amount == 0
    (doubt,) = [one for one in made.doubts if one.about == "clock"]
    assert "120 or 180 minutes passed: write the hours" in doubt.text
    told = ticket_of("says: x\ndid: 2 h fit horn; clock 1:30-3:30", opened=BACK)
    assert not bill(told, PRICES, terms_of(told)).doubts, "hours that were written are billed, whatever the clock says"


@pytest.mark.usefixtures("chicago")
def test_work_after_the_yes_is_not_told_to_have_begun_before_it_because_the_clocks_went_forward() -> None:
    """Yes at 1:15, work from 1:30, both before the change; typed after it, when the wall was an hour further."""
    lines = (
        "says: x\noffer: fit horn; est 80\ntold: Ada Fenn, yes 2; at 1:15\ndid: 1 h fit horn; for 2; clock 1:30-3:30"
    )
    assert uncovered_work(ticket_of(lines, opened=FORWARD), None) == ()
    early = ticket_of(lines.replace("at 1:15", "at 1:45"), opened=FORWARD)
    assert [one.about for one in uncovered_work(early, None)] == ["early"]


def test_at_the_edge_of_the_calendar_minutes_are_those_of_the_clock() -> None:
    first, last = datetime(1, 1, 1, 0, 5, tzinfo=UTC), datetime(9999, 12, 31, 23, 55, tzinfo=UTC)
    west = timezone(timedelta(hours=-5))
    for typed in (first, last):
        assert minutes_of(Clock("23:50", "0:10"), typed, west) == {20}
        assert minutes_of(Clock("8:10", "9:00"), typed, west) == {50}
