"""Odometer readings are asked about, never corrected. All readings are invented."""

from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.followups.driving import Visit
from ticket.followups.odometer import odometer_check, returned, visit_doubt
from ticket.job.values import Quantity

VISITS = [
    (date(2024, 3, 4), Fraction(41200)), (date(2024, 9, 12), Fraction(46350)), (date(2025, 1, 20), Fraction(49800)),
    (date(2025, 6, 30), Fraction(54100)), (date(2025, 11, 3), Fraction(57650)),
]  # fmt: skip
TODAY = date(2026, 5, 2)  # 180 days later; about 62,470 is expected
RATE = 26.765  # miles a day: the median over all pairs of visits


@pytest.mark.parametrize("typed", [60_000, 61_000, 62_470, 64_000, 70_000])
def test_plausible_driving_is_not_questioned(typed: int) -> None:
    assert odometer_check(Fraction(typed), TODAY, VISITS, RATE) is None


@pytest.mark.parametrize(
    ("typed", "kind", "meant", "slip"),
    [
        (624_700, "too much", 62_470, "digit too many"),
        (6_247, "lower", 62_470, "digit missing"),
        (100_536, "too much", 62_470, "km typed as mi"),
        (26_470, "lower", 62_470, "digits swapped"),
        (92_470, "too much", 62_470, "wrong digit"),
    ],
)
def test_slips_are_asked_about_and_the_meant_reading_offered(typed: int, kind: str, meant: int, slip: str) -> None:
    doubt = odometer_check(Fraction(typed), TODAY, VISITS, RATE)
    assert doubt is not None
    assert (doubt.kind, doubt.before, doubt.on) == (kind, VISITS[-1][1], VISITS[-1][0])
    assert any(abs(offer.value - meant) <= 1 and offer.slip == slip for offer in doubt.offers)


def test_a_five_digit_odometer_that_started_again() -> None:
    history = [(date(2025, 1, 1), Fraction(90_000)), (date(2026, 1, 1), Fraction(99_900))]
    doubt = odometer_check(Fraction(2_400), date(2026, 4, 1), history, 27.1)
    assert doubt is not None
    assert doubt.kind == "lower"
    assert doubt.offers[0].value == 102_400
    assert doubt.offers[0].slip == "rollover"


def test_short_times_prove_little() -> None:
    """A long trip two days after a visit, the same day again, a parked week: nothing to ask."""
    day, reading = VISITS[-1]
    for days, driven in ((0, 0), (0, 8), (2, 450), (7, 0), (20, 3)):
        assert odometer_check(reading + driven, day + timedelta(days=days), VISITS, RATE) is None
    assert odometer_check(reading + 5000, day + timedelta(days=2), VISITS, RATE) is not None
    doubt = odometer_check(reading + 3, day + timedelta(days=300), VISITS, RATE)
    assert doubt is not None
    assert doubt.kind == "too little"


def test_no_history_no_doubt() -> None:
    assert odometer_check(Fraction(5), TODAY, [], 25.4) is None
    assert odometer_check(Fraction(5), date(2020, 1, 1), VISITS, RATE) is None


def test_rate_in_another_unit() -> None:
    km = [(day, value * Fraction("1.609344")) for day, value in VISITS]
    assert odometer_check(Fraction(100_536), TODAY, km, RATE * 1.609344, "km") is None
    doubt = odometer_check(Fraction(62_470), TODAY, km, RATE * 1.609344, "km")
    assert doubt is not None
    assert any(offer.slip == "mi typed as km" and abs(offer.value - 100_536) <= 1 for offer in doubt.offers)


def test_driven_while_in_the_shop() -> None:
    assert returned(Quantity("57,650", "mi"), Quantity("57,658", "mi")) == 8
    assert returned(Quantity("57,650", "mi"), Quantity("57,605", "mi")) == -45
    assert (
        returned(Quantity("100,000", "km"), Quantity("62,138", "mi"))
        == Fraction("62138") * Fraction("1.609344") - 100_000
    )
    assert returned(Quantity("57,650", "mi"), None) is None
    assert returned(Quantity("?", "mi"), Quantity("57,658", "mi")) is None


@given(st.integers(0, 10**12), st.integers(0, 4000))
def test_offers_always_fit_and_never_repeat_what_was_typed(typed: int, days: int) -> None:
    on = VISITS[-1][0] + timedelta(days=days)
    doubt = odometer_check(Fraction(typed), on, VISITS, RATE)
    if doubt is not None:
        assert len(doubt.offers) <= 3
        for offer in doubt.offers:
            assert offer.value != typed
            assert odometer_check(Fraction(offer.value), on, VISITS, RATE) is None


def visit(day: date, reading: str, unit: str = "mi", reason: str = "") -> Visit:
    return Visit(day, Quantity(reading, unit), reason)


HISTORY = [visit(day, str(int(value))) for day, value in VISITS]


@pytest.mark.parametrize("reason", ["replaced instrument", "rolled over", "not actual"])
def test_a_lawful_reason_is_not_questioned_and_starts_anew(reason: str) -> None:
    """49 CFR 580 knows beside the actual reading: past what it can show, and not actual (from memory)."""
    assert visit_doubt(visit(TODAY, "1,200"), HISTORY) is not None
    low = visit(TODAY, "1,200", reason=reason)
    assert visit_doubt(low, HISTORY) is None
    after = [*HISTORY, low]
    assert visit_doubt(visit(TODAY + timedelta(days=100), "3,900"), after) is None
    if reason == "rolled over":
        return  # the stretch before it then went at 240 a day: whatever comes next fits better
    doubt = visit_doubt(visit(TODAY + timedelta(days=100), "39,000"), after)
    assert doubt is not None
    assert doubt.kind == "too much"
    assert doubt.before == 1200


def test_running_hours_are_another_instrument() -> None:
    hours = visit(TODAY, "1210", "h")
    assert visit_doubt(hours, HISTORY) is None
    lower = visit_doubt(visit(TODAY + timedelta(days=60), "1150", "h"), [hours])
    assert lower is not None
    assert lower.kind == "lower"
    assert visit_doubt(visit(TODAY + timedelta(days=60), "1250", "h"), [hours]) is None
