"""When a distance is reached: worked values, found apart from this program by the method's own reference code.

The constants and the coverage come from simulated drivers (``benchmarks/forecast.py``); all vehicles are invented.
"""

from datetime import date, timedelta
from fractions import Fraction
from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.followups.calendar_span import in_weeks, told
from ticket.followups.habit import Habit, Reading, habit, settled, steps
from ticket.followups.priors import AVERAGE_DRIVER, MACHINE, Prior, of_age, of_fleet
from ticket.followups.reach import reach
from ticket.followups.spoken import words

KM = 1.609344


def day(text: str) -> date:
    return date.fromisoformat(text)


A: list[Reading] = [
    (day("2024-03-04"), 41200), (day("2024-09-12"), 46350), (day("2025-01-20"), 49800), (day("2025-06-30"), 54100),
    (day("2025-11-03"), 57650),
]  # fmt: skip
LATELY = (day("2026-02-11"), 63650.0)
AGAIN = (day("2026-05-22"), 69650.0)
SLIPPED = [(on, 94800 if value == 49800 else value) for on, value in A]
REPLACED = [*A[:3], (A[3][0], 120), (A[4][0], 3670)]
FLEET = [
    (day("2025-03-01"), 120000), (day("2025-05-01"), 127000), (day("2025-07-01"), 133800), (day("2025-09-01"), 141000),
    (day("2025-11-01"), 148100),
]  # fmt: skip
LOADER = [
    (day("2025-03-03"), 1210), (day("2025-06-10"), 1402.5), (day("2025-09-15"), 1598), (day("2026-01-12"), 1790),
]  # fmt: skip

# Readings, prior, what is left, then rate, s2, var, spread, and the whole days: early, call, middle, late.
WORKED = [
    (A, AVERAGE_DRIVER, 500, 27.475, 0.2654, 0.00606, 0.1695, (13, 16, 18, 25), "own"),
    (A, AVERAGE_DRIVER, 3000, 27.475, 0.2654, 0.00606, 0.1285, (88, 100, 109, 135), "own"),
    (SLIPPED, AVERAGE_DRIVER, 3000, 27.515, 0.3516, 0.00824, 0.1486, (85, 98, 109, 140), "own"),
    (A[-2:], AVERAGE_DRIVER, 3000, 27.903, 1.0025, 0.03374, 0.2710, (68, 89, 107, 168), "own"),
    (A[-3:], AVERAGE_DRIVER, 3000, 27.618, 0.5203, 0.01351, 0.1845, (80, 95, 108, 148), "own"),
    ([], AVERAGE_DRIVER, 3000, 25.4, 1, 0.36, 0.6310, (41, 77, 118, 334), "average"),
    ([], AVERAGE_DRIVER, 500, 25.4, 1, 0.36, None, (6, 12, 19, 59), "average"),
    (A[-1:], AVERAGE_DRIVER, 3000, 25.4, 1, 0.36, 0.6310, (41, 77, 118, 334), "average"),
    ([*A, LATELY], AVERAGE_DRIVER, 3000, 42.012, 1.6944, 0.11078, 0.4370, (34, 53, 71, 147), "perhaps changed"),
    ([*A, LATELY, AGAIN], AVERAGE_DRIVER, 3000, 56.062, 0.5569, 0.01622, 0.2152, (37, 46, 53, 77), "changed"),
    ([*A, (day("2026-05-03"), 57650)], AVERAGE_DRIVER, 3000, 27.470, 0.2654, 0.00631, 0.1294, (88, 100, 109, None),
     "parked"),
    (REPLACED, AVERAGE_DRIVER, 3000, 27.540, 0.3520, 0.00855, 0.1497, (85, 98, 108, 140), "own"),
    (FLEET, AVERAGE_DRIVER, 5000, 102.283, 0.3157, 0.01264, 0.1744, (36, 43, 48, 66), "own"),
    (LOADER, MACHINE, 250, 1.718, 0.5777, 0.01909, 0.1984, (104, 127, 145, 202), "own"),
    (A[-1:], of_age(57650, 2192), 3000, 25.927, 1, 0.14754, 0.4312, (56, 86, 115, 236), "average"),
]  # fmt: skip


@pytest.mark.parametrize(("readings", "prior", "left", "rate", "uneven", "var", "spread", "days", "word"), WORKED)
def test_worked_values(
    readings: list[Reading], prior: Prior, left: float, rate: float, uneven: float, var: float, spread: float | None,
    days: tuple[int, ...], word: str,
) -> None:  # fmt: skip
    found = habit(readings, prior)
    assert found is not None
    assert found.per_day == pytest.approx(rate, abs=6e-4)
    assert found.uneven == pytest.approx(uneven, abs=6e-5)
    assert found.var == pytest.approx(var, abs=6e-6)
    run = reach(found, left)
    assert run is not None
    assert ((run.early, run.call, run.middle, run.late), found.word) == (days, word)
    if spread is not None and run.late is not None:  # the width, read back from the unrounded late end
        exact = left / found.per_day
        assert exact * exp(1.645 * spread) == pytest.approx(run.late, abs=1.2)


def test_stretches_with_their_unevenness() -> None:
    """The logarithms, variances and weights by age that the worked values rest on."""
    from ticket.followups.habit import HALF, noise

    done = steps(A)
    assert [round(moved / days, 3) for days, moved, _ in done] == [26.823, 26.538, 26.708, 28.175]
    assert [round(noise(days, moved / days, 25.4), 6) for days, moved, _ in done] == [
        0.031792, 0.036667, 0.033812, 0.037123,
    ]  # fmt: skip
    assert [round(0.5 ** (age / HALF), 5) for _, _, age in done] == [0.67304, 0.76146, 0.88724, 1.0]


def test_the_shops_own_factor_widens() -> None:
    found = habit(A, AVERAGE_DRIVER)
    assert found is not None
    run = reach(found, 3000, 1.2)
    assert run is not None
    assert (run.early, run.call, run.middle, run.late) == (84, 98, 109, 141)


@pytest.mark.parametrize(("readings", "before", "since"), [([*A, LATELY], 27.03, 60.00), ([*A, LATELY, AGAIN], 27, 60)])
def test_a_change_is_said_with_both_rates(readings: list[Reading], before: float, since: float) -> None:
    found = habit(readings, AVERAGE_DRIVER)
    assert found is not None
    assert found.before == pytest.approx(before, abs=0.1)
    assert found.since == pytest.approx(since, abs=0.1)
    assert found.turned == A[-1][0], "the first stretch at the new rate begins there"


# The words: ends outward to whole weeks (Monday before, Sunday after), the year once at the end.
SAID = [
    (A, 500, "about late November, between 10 November and 30 November 2025"),
    (A, 3000, "about mid-February, between 26 January and 22 March 2026"),
    ([], 3000, "some time between 8 December 2025 and 4 October 2026"),
    ([*A, LATELY, AGAIN], 3000, "about mid-July, between 22 June and 9 August 2026"),
    ([*A, (day("2026-05-03"), 57650)], 3000, "not before 27 July 2026"),
    (A, 200, "within two weeks"),
]


@pytest.mark.parametrize(("readings", "left", "said"), SAID)
def test_words(readings: list[Reading], left: float, said: str) -> None:
    start = readings[-1][0] if readings else A[-1][0]
    found = habit(readings, AVERAGE_DRIVER)
    assert found is not None
    run = reach(found, left)
    assert run is not None
    late = None if run.late is None else start + timedelta(days=run.late)
    assert words(told(start, start + timedelta(days=run.early), start + timedelta(days=run.middle), late)) == said


def test_weeks() -> None:
    assert (in_weeks(88, 109, 135).about, in_weeks(88, 109, 135).least, in_weeks(88, 109, 135).most) == (16, 12, 20)


def test_five_others_make_a_fleet() -> None:
    """Their median, and a variance never under .16."""
    assert of_fleet([4.0] * 4) is None
    same = of_fleet([4.0] * 5)
    assert same is not None
    assert same.centre == pytest.approx(exp(4.0))
    assert same.spread == 0.16
    apart = of_fleet([3.0, 3.5, 4.0, 4.5, 5.0])
    assert apart is not None
    assert apart.spread == pytest.approx((1.4826 * 0.5) ** 2)


def test_a_dip_and_a_peak_are_dropped_a_lasting_fall_is_not() -> None:
    assert settled(SLIPPED) == [*A[:2], *A[3:]]
    assert settled([*A[:2], (A[2][0], 4980), *A[3:]]) == [*A[:2], *A[3:]]
    assert settled(REPLACED) == REPLACED


def test_nothing_driven_is_no_division_by_nought() -> None:
    """A floor of 3 % of the usual; and hours of which one reading is known cannot be told."""
    stands = habit([(A[0][0], 5.0), (A[4][0], 5.0)], AVERAGE_DRIVER)
    assert stands is not None
    assert stands.per_day > 0.02 * 25.4
    assert habit([(A[0][0], 5.0)], MACHINE) is None
    assert habit([(A[0][0], 5.0), (A[4][0], 5.0)], MACHINE) is None
    beyond = habit([], AVERAGE_DRIVER)
    assert beyond is not None
    assert reach(beyond, 1e9) is None
    assert reach(beyond, 0) == reach(beyond, -5)


def test_the_unit_changes_no_day() -> None:
    kilometres = Prior(25.4 * KM, 0.36, 25.4 * KM)
    one, other = habit(A, AVERAGE_DRIVER), habit([(on, value * KM) for on, value in A], kilometres)
    assert one is not None
    assert other is not None
    assert reach(one, 3000) == reach(other, 4828.032)


STRETCHES = st.lists(st.tuples(st.integers(0, 400), st.integers(-2000, 20000)), min_size=0, max_size=9)


def driven(stretches: list[tuple[int, int]]) -> list[Reading]:
    on, at, found = A[0][0], 50_000, []
    for days, miles in stretches:
        on, at = on + timedelta(days=days), max(0, at + miles)
        found.append((on, float(at)))
    return found


@given(STRETCHES, st.floats(1, 20_000), st.floats(1, 20_000), st.randoms(use_true_random=False))
def test_laws(stretches: list[tuple[int, int]], left: float, more: float, chance: object) -> None:
    """More to drive is never sooner; the days stand in their order; the order of the readings changes nothing."""
    readings = driven(stretches)
    found = habit(readings, AVERAGE_DRIVER)
    assert isinstance(found, Habit)
    near, far = reach(found, left), reach(found, left + more)
    if near is not None:
        assert near.early <= near.call <= near.middle
        assert near.late is None or near.middle <= near.late
    if near is not None and far is not None:
        assert near.early <= far.early
        assert near.call <= far.call
        assert near.middle <= far.middle
        assert far.late is None or (near.late is not None and near.late <= far.late)
    chance.shuffle(readings)  # type: ignore[attr-defined]
    assert habit(readings, AVERAGE_DRIVER) == found


def test_gauge_and_driving_uncertainty_add_up() -> None:
    """Lining of 8, then 5 mm 16,450 miles later, limit 2 (computation by first order and Fieller: 15,773 to 17,162)."""
    from ticket.followups.forecast import limit_reached
    from ticket.readings.wear import wear

    found = habit(A, AVERAGE_DRIVER)
    assert found is not None
    worn = wear(Fraction(8), Fraction(5), Fraction(2), Fraction(16450), steps=(Fraction(1, 10), Fraction(1, 10)))
    fine = limit_reached(worn, A[-1][0], found)
    coarse = limit_reached(
        wear(Fraction(8), Fraction(5), Fraction(2), Fraction(16450), steps=(Fraction(1), Fraction(1))), A[-1][0], found
    )
    assert fine is not None
    assert coarse is not None
    assert fine[0] == coarse[0] == A[-1][0] + timedelta(days=598)  # 16,450 / 27.475
    assert coarse[1] < fine[1] < fine[0]
    assert fine[2] is not None
    assert coarse[2] is not None
    assert fine[2] < coarse[2]
    still = wear(Fraction(5), Fraction(5), Fraction(2), Fraction(16450), steps=(Fraction(1), Fraction(1)))
    assert limit_reached(still, A[-1][0], found) is None
