"""The forecast as it was made before, which the benchmark compares with: worked values, with their sources."""

import sys
from datetime import date, timedelta
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "benchmarks"))

before: Any = import_module("forecast_before")

VISITS = [
    (date(2024, 3, 4), 41200.0), (date(2024, 9, 12), 46350.0), (date(2025, 1, 20), 49800.0),
    (date(2025, 6, 30), 54100.0), (date(2025, 11, 3), 57650.0),
]  # fmt: skip


def test_median_of_pairwise_slopes() -> None:
    """Hollander & Wolfe, Nonparametric Statistical Methods, cloud seeding: slope -.056 (book; from memory).

    The years are stretched to 20 days and the sign is turned: an odometer falls only by mistake.
    """
    yields = (1.26, 1.27, 1.12, 1.16, 1.03)
    readings = [(date(2024, 1, 1) + timedelta(days=20 * i), -value) for i, value in enumerate(yields, 1)]
    assert before.slope(readings) * 20 == pytest.approx(0.05625)


def test_one_mistyped_reading_hardly_matters() -> None:
    assert before.slope(VISITS) == pytest.approx(26.765, abs=5e-4)
    slipped = [(day, 94800.0 if value == 49800 else value) for day, value in VISITS]
    assert before.slope(slipped) == pytest.approx(26.917, abs=5e-4)


@pytest.mark.parametrize(("miles", "early", "late"), [(500, 10, 33), (3000, 83, 152)])
def test_its_interval(miles: int, early: int, late: int) -> None:
    assert [round(end) for end in before.interval(VISITS, miles)] == [early, late]


def test_the_national_average() -> None:
    """FHWA Highway Statistics 2024, VM-1: 10,786.65 miles a year per light-duty vehicle; 500 miles take 17 days."""
    assert pytest.approx(29.53, abs=5e-3) == before.AVERAGE
    assert (round(500 / before.AVERAGE), round(3000 / before.AVERAGE)) == (17, 102)
