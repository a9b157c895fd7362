"""Forecasts are checked by the next reading; a shop's own factor comes from two hundred of them, never from fewer."""

from datetime import date, timedelta
from math import log
from random import Random

import pytest

from ticket.followups.calibration import (
    FELL_BACK,
    LEAST,
    MOST,
    NEEDED,
    SHOWN_ONLY,
    STOPPED,
    TOO_FEW,
    USED,
    calibrate,
    factor_of,
    last_check,
)  # fmt: skip
from ticket.followups.driving import Visit, driving
from ticket.followups.priors import of_shop
from ticket.job.values import Quantity

VISITS = [
    Visit(date.fromisoformat(day), Quantity(reading, "mi"))
    for day, reading in (
        ("2024-03-04", "41200"), ("2024-09-12", "46350"), ("2025-01-20", "49800"), ("2025-06-30", "54100"),
        ("2025-11-03", "57650"),
    )
]  # fmt: skip


def test_the_factor_of_two_hundred_checks() -> None:
    """Worked value: misses .01, .02 .. 2.00; the 181st is 1.81, over 1.645 that is 1.1003."""
    assert factor_of([i / 100 for i in range(1, 201)]) == pytest.approx(1.1003, abs=5e-5)
    assert (factor_of([0.1] * 200), factor_of([9.0] * 200)) == (LEAST, MOST)


def test_a_check_holds_the_forecast_before_against_the_next_reading() -> None:
    """The last stretch went at 28.18 a day; the four readings before tell 26.68 with a deviation of .25 on the log."""
    check = last_check(driving(VISITS))
    assert check is not None
    assert (check.day, check.sooner) == (VISITS[-1].day, True)
    assert 0 < check.miss < 1
    far = [*VISITS[:-1], Visit(VISITS[-1].day, Quantity("67000", "mi"))]
    much = last_check(driving(far))
    assert much is not None
    assert much.miss > 1.645


@pytest.mark.parametrize("keep", [0, 1, 2])
def test_what_is_no_check(keep: int) -> None:
    """No forecast of its own, nothing to hold it against, or too soon after it."""
    assert last_check(driving(VISITS[:keep])) is None
    soon = [*VISITS[:2], Visit(VISITS[1].day + timedelta(days=5), Quantity("46500", "mi"))]
    assert last_check(driving(soon)) is None


def test_a_reading_two_years_on_checks_nothing() -> None:
    """What is held against a forecast is read between two weeks and two years after it (both days among them)."""
    start, miles = VISITS[-1].day, 57650
    for days, seen in ((13, False), (14, True), (730, True), (731, False)):
        on = start + timedelta(days=days)
        check = last_check(driving([*VISITS, Visit(on, Quantity(str(miles + 27 * days), "mi"))]))
        assert (check is not None and check.day == on) == seen, days


def drawn(many: int, wide: float, seed: int = 3) -> list[tuple[float, bool]]:
    chance = Random(seed)
    return [(abs(x := chance.gauss(0, wide)), x > 0) for _ in range(many)]


@pytest.mark.parametrize(
    ("many", "state"), [(0, TOO_FEW), (49, TOO_FEW), (50, SHOWN_ONLY), (199, SHOWN_ONLY), (200, USED)]
)
def test_never_from_fewer(many: int, state: str) -> None:
    found = calibrate(drawn(many, 1.3))
    assert (found.state, found.checks) == (state, many)
    assert (found.factor == 1.0) == (many < NEEDED)


def test_it_is_made_anew_after_each_fifty() -> None:
    checks = drawn(260, 1.3)
    assert calibrate(checks).factor == calibrate(checks[:250]).factor
    assert calibrate(checks).counted == 250
    assert calibrate([*checks[:250], *drawn(50, 3.0)]).factor != calibrate(checks).factor


def test_it_brings_the_coverage_back() -> None:
    """Misses a third too wide: 79 of 100 held, 90 afterwards, within what 500 checks can tell."""
    found = calibrate(drawn(500, 1.3))
    assert found.before == pytest.approx(0.79, abs=0.05)
    assert found.after == pytest.approx(0.90, abs=0.01)
    later = [miss for miss, _ in drawn(4000, 1.3, seed=9)]
    assert sum(miss <= 1.645 * found.factor for miss in later) / 4000 == pytest.approx(0.9, abs=0.03)


def test_a_stop_and_a_fall_back_are_said() -> None:
    assert calibrate([(4.0 if i % 7 == 0 else 0.5, True) for i in range(200)]).state == STOPPED  # 86 of 100 held
    quiet = [*[(0.2, True)] * 200, *[(2.5, False)] * 50]
    assert (calibrate(quiet).state, calibrate(quiet).factor >= 1) == (FELL_BACK, True)


def test_the_centre_of_a_shop_is_the_median_of_fifty() -> None:
    """Worked value: rates 20, 30 and 45 a day, 49 vehicles are too few; ln 1.5 is the median distance from ln 30."""
    known = [log(20)] * 17 + [log(30)] * 16 + [log(45)] * 17
    assert of_shop(known[:49]) is None
    found = of_shop(known)
    assert found is not None
    assert found.centre == pytest.approx(30)
    assert found.spread == pytest.approx((1.4826 * log(1.5)) ** 2)
    alike, unlike = of_shop([log(30)] * 50), of_shop([log(1), log(900)] * 25)
    assert alike is not None
    assert unlike is not None
    assert (alike.spread, unlike.spread) == (0.09, 0.64)
