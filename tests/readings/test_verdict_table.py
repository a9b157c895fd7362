"""Readings that are no single figure against one or two limits, case by case.

A range of values that were all read is beyond a limit where its end is; a bound or a rough figure decides only where
every value it leaves open gets the one verdict (the reasoning of JCGM 106:2012, 7 and 8, on intervals instead of
distributions). That "about" means within a tenth is common practice, no source. Exact factors: NIST SP 811, B.8.
"""

from fractions import Fraction

import pytest

from ticket.job.values import Limits, Measurement, Run, Value
from ticket.readings.inexact import Parts, parts, text_of_value
from ticket.readings.verdict import judge

LOW, HIGH, BOTH = Limits(low="10"), Limits(high="20"), Limits(low="10", high="20")
ZERO = Limits(low="0", high="20")


@pytest.mark.parametrize(
    ("typed", "low", "high", "both"),
    [
        ("9", "low", "in", "low"),
        ("10", "in", "in", "in"),
        ("20", "in", "in", "in"),
        ("21", "in", "high", "high"),
        ("10-20", "in", "in", "in"),
        # a range may be an unsure reading or one that swings: partly beyond a limit it decides nothing
        ("9-15", "undecided", "in", "undecided"),
        ("15-9", "undecided", "in", "undecided"),
        ("15-21", "in", "undecided", "undecided"),
        ("9-21", "undecided", "undecided", "undecided"),
        ("7-9", "low", "in", "low"),
        ("21-25", "in", "high", "high"),
        ("<10", "low", "in", "low"),
        ("<11", "undecided", "in", "undecided"),
        ("<20", "undecided", "in", "undecided"),
        ("<21", "undecided", "undecided", "undecided"),
        (">9", "undecided", "undecided", "undecided"),
        (">10", "in", "undecided", "undecided"),
        (">19", "in", "undecided", "undecided"),
        (">20", "in", "high", "high"),
        ("10+", "in", "undecided", "undecided"),
        ("20+", "in", "undecided", "undecided"),
        ("21+", "in", "high", "high"),
        ("~9", "low", "in", "low"),  # 8.1 to 9.9
        ("~10", "undecided", "in", "undecided"),
        ("~12", "in", "in", "in"),  # 10.8 to 13.2
        ("~19", "in", "undecided", "undecided"),  # 17.1 to 20.9
        ("~23", "in", "high", "high"),  # 20.7 to 25.3
    ],
)
def test_a_value_against_the_limits(typed: str, low: str, high: str, both: str) -> None:
    words = [judge(Run((Value(typed),), "psi", limits))[0].word for limits in (LOW, HIGH, BOTH)]
    assert words == [low, high, both]


@pytest.mark.parametrize(("unit", "word"), [("ohm", "in"), ("mm", "undecided")])
def test_below_a_figure_is_within_where_nothing_can_be_below_nought(unit: str, word: str) -> None:
    assert judge(Run((Value("<5"),), unit, ZERO))[0].word == word


def test_what_was_aimed_at_judges_nothing() -> None:
    assert judge(Run((Value("34"),), "psi", Limits(nominal="32")))[0].word == "none"
    assert judge(Run((Value("34"),), "psi", Limits(nominal="32", tol="1")))[0].word == "high"


@pytest.mark.parametrize(
    ("typed", "unit", "limits", "word"),
    [
        ("31.9", "psi", Limits(low="220", unit="kPa"), "low"),  # 220 kPa are 31.9083... psi
        ("32", "psi", Limits(low="220", unit="kPa"), "in"),
        ("1/3", "ft", Limits(low="4", high="4", unit="in"), "in"),  # four inches are a third of a foot, exactly
        ("26-28", "psi", Limits(low="180", high="190", unit="kPa"), "undecided"),  # they are 26.1 to 27.6 psi
        ("27", "V", Limits(low="180", unit="kPa"), "undecided"),
    ],
)
def test_limits_in_another_unit_judge_exactly(typed: str, unit: str, limits: Limits, word: str) -> None:
    verdict = judge(Run((Value(typed),), unit, limits))[0]
    assert verdict.word == word
    assert word == "in" or limits.unit in f"{verdict.reason} {verdict.limit}"


def test_a_range_near_a_limit_needs_a_fine_enough_gauge() -> None:
    run = Run((Value("10-15"),), "mm", LOW)
    assert judge(run)[0].word == "in"
    assert judge(run, resolution=Fraction(1))[0].word == "undecided"
    assert judge(Run((Value("7-8"),), "mm", LOW), resolution=Fraction(1))[0].word == "low"


@pytest.mark.parametrize(
    ("one", "text", "taken"),
    [
        (Measurement("195", to="230"), "195-230", Parts("195", to="230")),
        (Measurement("-5", to="-3"), "-5--3", Parts("-5", to="-3")),
        (Measurement("5", than="~"), "~5", Parts("5", than="~")),
        (Measurement("30", than=">="), "30+", Parts("30", than=">=")),
        (Measurement("1 7/8", than="<"), "<1 7/8", Parts("1 7/8", than="<")),
        (Measurement("OL"), "OL", Parts("OL")),
    ],
)
def test_a_value_as_text_is_taken_apart_again(one: Measurement, text: str, taken: Parts) -> None:
    assert text_of_value(one) == text
    assert parts(text) == taken
