"""Intervals of shares against published figures, and against scipy and statsmodels where they are installed."""

import random

import pytest

from ticket.past.intervals import beta_quantile, clopper_pearson, fitted, jeffreys, rule_of_three, wilson

# Newcombe 1998, Statistics in Medicine 17, table I: Wilson without continuity correction, 95 %.
NEWCOMBE = [
    (81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718),
    (23, 60, 0.2709, 0.5098),
]  # fmt: skip
# Brown, Cai and DasGupta 2001 give the formula; these figures were computed with statsmodels.
JEFFREYS = [(81, 263, 0.2545, 0.3656), (15, 148, 0.0604, 0.1576), (0, 20, 0.0, 0.1166), (1, 29, 0.0037, 0.1501)]
# Gelman and others, Bayesian Data Analysis, section 5.1: tumours in 70 earlier groups of rats (Tarone 1982).
RATS = (
    "0/20 0/20 0/20 0/20 0/20 0/20 0/20 0/19 0/19 0/19 0/19 0/18 0/18 0/17 1/20 1/20 1/20 1/20 1/19 1/19 1/18 1/18 2/25"
    " 2/24 2/23 2/20 2/20 2/20 2/20 2/20 2/20 1/10 5/49 2/19 5/46 3/27 2/17 7/49 7/47 3/20 3/20 2/13 9/48 10/50 4/20"
    " 4/20 4/20 4/20 4/20 4/20 4/20 10/48 4/19 4/19 4/19 5/22 11/46 12/49 5/20 5/20 6/23 5/19 6/22 6/20 6/20 6/20 16/52"
    " 15/47 15/46 9/24"
)


@pytest.mark.parametrize(("part", "whole", "low", "high"), NEWCOMBE)
def test_wilson_as_published(part: int, whole: int, low: float, high: float) -> None:
    assert wilson(part, whole) == pytest.approx((low, high), abs=6e-5)


@pytest.mark.parametrize(("part", "whole", "low", "high"), JEFFREYS)
def test_jeffreys_as_a_reference_library_has_it(part: int, whole: int, low: float, high: float) -> None:
    assert jeffreys(part, whole) == pytest.approx((low, high), abs=6e-5)


def test_nothing_counted_says_nothing() -> None:
    assert wilson(0, 0) == jeffreys(0, 0) == clopper_pearson(0, 0) == (0.0, 1.0)
    assert rule_of_three(0) == 1.0


def test_shares_of_many_groups_are_fitted_as_in_the_book() -> None:
    groups = [(int(part), int(whole)) for part, whole in (one.split("/") for one in RATS.split())]
    assert len(groups) == 70
    assert (sum(part for part, _ in groups), sum(whole for _, whole in groups)) == (263, 1725)
    prior = fitted(groups)
    assert (prior.a, prior.b) == pytest.approx((1.356, 8.615), abs=0.001)  # the book rounds to 1.4 and 8.6
    assert prior.mean(4, 14) == pytest.approx(0.223, abs=0.0005)


def test_few_groups_fit_nothing_and_one_of_one_ranks_below_seventeen_of_twenty() -> None:
    prior = fitted([(17, 20), (3, 3), (1, 1)])
    assert (prior.a, prior.b) == (1.0, 1.0)
    assert prior.low(1, 1) < prior.low(3, 3) < prior.low(17, 20)


def test_a_sample_without_any_says_at_most_three_by_its_size() -> None:
    assert rule_of_three(50) == pytest.approx(0.06)
    assert clopper_pearson(0, 50)[1] == pytest.approx(0.0711, abs=0.0001)  # exact: 1 - 0.025 ** (1 / 50)


def test_quantiles_as_scipy() -> None:
    stats = pytest.importorskip("scipy.stats")
    draw = random.Random(5)
    for _ in range(200):
        a, b, share = draw.uniform(0.5, 60), draw.uniform(0.5, 60), draw.uniform(0.001, 0.999)
        assert beta_quantile(share, a, b) == pytest.approx(float(stats.beta.ppf(share, a, b)), abs=1e-12)


def test_intervals_as_statsmodels() -> None:
    proportion = pytest.importorskip("statsmodels.stats.proportion")
    draw = random.Random(6)
    for _ in range(60):
        whole = draw.randint(1, 300)
        part = draw.randint(0, whole)
        for ours, name in ((wilson, "wilson"), (clopper_pearson, "beta")):
            theirs = proportion.proportion_confint(part, whole, method=name)
            assert ours(part, whole) == pytest.approx(tuple(map(float, theirs)), abs=1e-9)
        if 0 < part < whole:  # at the ends Brown and others set the bound to 0 or 1; the library does not
            theirs = proportion.proportion_confint(part, whole, method="jeffreys")
            assert jeffreys(part, whole) == pytest.approx(tuple(map(float, theirs)), abs=1e-9)
