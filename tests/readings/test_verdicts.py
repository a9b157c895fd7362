"""Verdicts against limits of laws and standards, and what no limit can judge."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ticket.job.kinds import Found
from ticket.job.values import Limits, Run, Value
from ticket.notes.read import read
from ticket.notes.write import write
from ticket.readings.conformity import chance_within
from ticket.readings.limit_bounds import as_limits, convert_limits
from ticket.readings.measured_groups import groups
from ticket.readings.units import convert
from ticket.readings.verdict import judge


def run(values: str, unit: str, **limits: str) -> Run:
    return Run(tuple(Value(text) for text in values.split("|")), unit, Limits(**limits) if limits else None)


def words(values: str, unit: str, **limits: str) -> list[str]:
    return [verdict.word for verdict in judge(run(values, unit, **limits))]


# Source beside each. "from memory": check the current text before printing it as a citation.
PUBLISHED = [
    # 49 CFR 570.9 (from memory); the same figure in COMAR 11.22.04.06 A (text seen): less than 2/32 inch is rejected
    ("2/32|3/32|1/32|1 1/32", "in", {"low": "2/32"}, ["in", "in", "low", "in"]),
    # 1.6 mm is what European law prints for the same indicator (89/459/EEC, from memory): 2/32 in is 1.5875 mm
    ("1.6|1.5", "mm", {"low": "1.6"}, ["in", "low"]),
    # 49 CFR 393.75(b): 4/32 in on the front wheels of a bus or truck
    ("4/32|3/32", "in", {"low": "4/32"}, ["in", "low"]),
    # 49 CFR 393.47(d): hydraulic disc 1.6 mm, air disc 3.2 mm, air drum (not steering axle) 6.4 mm
    ("1.6|1.59|2.0", "mm", {"low": "1.6"}, ["in", "low", "in"]),
    ("3.2|3.1", "mm", {"low": "3.2"}, ["in", "low"]),
    ("6.4|6.3", "mm", {"low": "6.4"}, ["in", "low"]),
    # SAE J300: kinematic viscosity at 100 degrees C, grade 30 from 9.3, grade 40 from 12.5, grade 50 from 16.3 mm2/s
    ("13.6|9.2|16.4", "cSt", {"low": "12.5", "high": "16.3"}, ["in", "low", "high"]),
    ("9.3|9.29|12.4", "cSt", {"low": "9.3", "high": "12.5"}, ["in", "low", "in"]),
    # Battery load test, half the cold cranking amps for 15 s at 21 degrees C: 9.6 V; common practice, one table in
    # several makers' literature
    ("9.6|9.5|10.1", "V", {"low": "9.6"}, ["in", "low", "in"]),
    # Compression: makers differ (75 % or 70 % of the highest); 118/152 = .776 passes the stricter rule
    ("152|118", "psi", {"spread": "25", "spread_unit": "%"}, ["in", "in"]),
]


@pytest.mark.parametrize(("values", "unit", "limits", "expected"), PUBLISHED)
def test_published_limits(values: str, unit: str, limits: dict[str, str], expected: list[str]) -> None:
    assert words(values, unit, **limits) == expected


# JCGM 106:2012, worked examples (figures from memory, recomputed): value, limits, u, printed probability.
JCGM106 = [
    ("-5.47", Limits(high="-5.40"), "0.05", "0.92", "undecided"),  # breakdown voltage of a diode
    ("509.7", Limits(low="490"), "8.6", "0.99", "in"),  # filling of a container, in kPa
    ("13.6", Limits(low="12.5", high="16.3"), "1.8", "0.66", "undecided"),  # SAE 40 oil, mm2/s
]


@pytest.mark.parametrize(("value", "limits", "u", "printed", "word"), JCGM106)
def test_probability_of_conformity(value: str, limits: Limits, u: str, printed: str, word: str) -> None:
    bracket = as_limits(limits)
    assert f"{chance_within(Fraction(value), bracket.low, bracket.high, Fraction(u)):.2f}" == printed
    verdicts = judge(Run((Value(value),), "", limits), uncertainty=Fraction(u))
    assert [verdict.word for verdict in verdicts] == [word]


def test_half_a_step_from_a_limit_is_undecided() -> None:
    """GUM F.2.2.1: the value lies anywhere within half a step; window -8 to 0 mm, step 1 mm."""
    typed = ["-12", "-8.6", "-8.4", "-7.8", "-7", "0", ".7"]
    verdicts = judge(run("|".join(typed), "mm", low="-8", high="0"), resolution=Fraction(1))
    assert [verdict.word for verdict in verdicts] == ["low", "low", "undecided", "undecided", "in", "undecided", "high"]
    assert verdicts[0].by == 4
    assert "too coarse" in verdicts[2].reason


def test_nominal_with_tolerance_keeps_the_digits() -> None:
    def texts(nominal: str, tol: str) -> tuple[str, str]:
        bracket = as_limits(Limits(nominal=nominal, tol=tol))
        return bracket.low_text, bracket.high_text

    assert texts("9.6", "0.2") == ("9.4", "9.8")
    assert texts("0", ".5") == ("-0.5", "0.5")
    assert texts("4/32", "1/32") == ("3/32", "5/32")
    assert texts("1 1/2", "1/4") == ("1 1/4", "1 3/4")
    assert texts("1,500", "50") == ("1,450", "1,550")
    assert texts("13.25", "1") == ("12.25", "14.25")
    assert words("9.4|9.8|9.3|9.81", "V", nominal="9.6", tol="0.2") == ["in", "in", "low", "high"]


def test_words_and_bounds() -> None:
    assert words("OL", "Ohm", low="20") == ["in"]
    assert words("OL", "kOhm", high="5") == ["high"]
    assert words("OL", "V", high="5") == ["undecided"]
    assert words("metal|2.5", "mm", low="2") == ["low", "in"]
    assert words("metal", "V", low="2") == ["undecided"]
    assert words("none", "mm", low="2") == ["low"]
    assert words("none", "mm", high="0.2") == ["undecided"]  # nothing there, or nothing measured?
    assert words("<5|<4|<5.1", "mm", high="5") == ["in", "in", "undecided"]
    assert words(">550|>549", "MOhm", low="550") == ["in", "undecided"]
    assert words("<5", "mm", low="5") == ["low"]
    assert words(">5", "mm", high="5") == ["high"]
    assert words("<1", "Ohm", low="0", high="1") == ["in"]  # a resistance is never below nought
    assert words("<1", "mm", low="0", high="1") == ["undecided"]  # a level may be
    assert words("soon", "mm", low="0") == ["undecided"]


def test_limits_that_cannot_be_used_decide_nothing() -> None:
    assert words("5", "V") == ["none"]
    for limits in ({"low": "6", "high": "4"}, {"low": "six"}, {"nominal": "5", "tol": "much"}, {"high": "1/0"}):
        verdicts = judge(run("5", "V", **limits))
        assert verdicts[0].word == "undecided"
        assert verdicts[0].reason.endswith(".")


def test_the_tighter_of_two_forms_counts() -> None:
    bracket = as_limits(Limits(low="9.0", high="9.7", nominal="9.6", tol="0.2"))
    assert (bracket.low_text, bracket.high_text) == ("9.4", "9.7")


def test_amounts_and_limits_are_named() -> None:
    low, ok, high = judge(run("21.8|23.0|24.5", "V", low="22.0", high="24.0"))
    assert (low.word, low.by, low.limit) == ("low", Fraction(1, 5), "22.0")
    assert (ok.word, ok.by, ok.limit) == ("in", Fraction(1), "22.0")
    assert (high.word, high.by, high.limit) == ("high", Fraction(1, 2), "24.0")
    assert high.reason == "The reading is above 24.0."


def test_spread_falls_on_the_furthest_off() -> None:
    assert words("172|168|170|88", "psi", spread="25", spread_unit="%") == ["in", "in", "in", "low"]
    assert words("60|58|61|95", "degC", spread="15", spread_unit="degC") == ["in", "in", "in", "high"]
    assert words("4|7", "mm", spread="2", spread_unit="mm") == ["low", "high"]  # the gap cannot say which
    assert words("10|10|10|20|21", "mm", spread="5", spread_unit="mm") == ["in", "in", "in", "high", "high"]


def test_spread_in_another_unit() -> None:
    """1 bar is 14.5 psi."""
    assert words("100|110", "psi", spread="1", spread_unit="bar") == ["in", "in"]
    assert words("100|115", "psi", spread="1", spread_unit="bar") == ["low", "high"]
    assert words("100|115", "psi", spread="1", spread_unit="V") == ["undecided", "undecided"]


CONVERTIBLE = [
    ("psi", "kPa"), ("psi", "bar"), ("in", "mm"), ("degF", "degC"), ("lb-ft", "Nm"), ("kOhm", "Ohm"), ("thou", "mm"),
    ("qt", "L"), ("mph", "km/h"), ("inHg", "mbar"),
]  # fmt: skip
NUMBERS = st.decimals(min_value=-2000, max_value=2000, places=2).map(str)


@given(st.sampled_from(CONVERTIBLE), NUMBERS, NUMBERS, NUMBERS)
def test_verdict_does_not_depend_on_the_unit(pair: tuple[str, str], value: str, low: str, high: str) -> None:
    """Run and limits converted exactly, as fractions: the same word."""
    one, other = pair
    assume(Fraction(low) <= Fraction(high))
    expected = words(value, one, low=low, high=high)

    def moved(text: str) -> str:
        result = convert(Fraction(text), one, other)
        assert result is not None
        return f"{result.numerator}/{result.denominator}"

    texts = [moved(text) for text in (value, low, high)]
    assume(all(len(text) <= 64 for text in texts))
    assert words(texts[0], other, low=texts[1], high=texts[2]) == expected


@given(st.sampled_from(CONVERTIBLE), NUMBERS, NUMBERS)
def test_converted_limits_let_neither_more_nor_less_pass(pair: tuple[str, str], low: str, high: str) -> None:
    one, other = pair
    assume(Fraction(low) < Fraction(high))
    limits = convert_limits(Limits(low=low, high=high, source="maker"), one, other)
    assert limits is not None
    assert limits.source == "maker"
    bracket = as_limits(limits, other)
    assert bracket.low == convert(Fraction(low), one, other)
    assert bracket.high == convert(Fraction(high), one, other)


def test_converted_limits_are_exact_where_decimals_allow() -> None:
    assert convert_limits(Limits(low="0.2", high="1 1/2"), "in", "mm") == Limits(low="5.08", high="38.1")
    assert convert_limits(Limits(nominal="90", tol="9"), "degF", "degC") == Limits(nominal="90", tol="9", unit="degF")
    assert convert_limits(Limits(spread="18", spread_unit="degF"), "degF", "degC") == Limits(
        spread="10", spread_unit="degC"
    )
    assert convert_limits(Limits(low="1"), "V", "mm") is None


@given(NUMBERS, NUMBERS, st.lists(NUMBERS, min_size=2, max_size=6))
def test_words_follow_the_order_of_the_values(low: str, high: str, values: list[str]) -> None:
    """Sorted readings never go from high back to in or low."""
    assume(Fraction(low) <= Fraction(high))
    ordered = sorted(values, key=Fraction)
    ranks = [("low", "in", "high").index(word) for word in words("|".join(ordered), "V", low=low, high=high)]
    assert all(one <= other for one, other in pairwise(ranks))


@given(
    st.lists(st.tuples(st.text(max_size=8), st.text(max_size=4)), max_size=5),
    st.text(max_size=5),
    st.lists(st.text(alphabet="0123456789./ ,-<>+%OLx", max_size=8), min_size=6, max_size=6),
)
def test_any_text_gets_a_verdict(values: list[tuple[str, str]], unit: str, limits: list[str]) -> None:
    hostile = Run(tuple(Value(number, label) for number, label in values), unit, Limits(*limits))
    verdicts = judge(hostile, resolution=Fraction(1, 2))
    assert len(verdicts) == len(values)
    assert {verdict.word for verdict in verdicts} <= {"low", "in", "high", "undecided", "none"}
    for verdict in verdicts:
        assert bool(verdict.reason) == (verdict.word in ("low", "high", "undecided"))


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        # JCGM 106:2012, SAE 40 oil: 13.6 mm2/s, u 1.8, 12.5 to 16.3 is within with .66; 1.8 is 3.118 / sqrt 3.
        ("oil viscosity 13.6 mm2/s +/- 3.118 (12.5 to 16.3)", "undecided"),
        ("battery 12.1 V +/- 0.2 (min 12.0)", "undecided"),
        ("battery 12.4 +/- 0.2 V (min 12.0)", "in"),
        ("battery 11.5 V +/- 2 % (min 12.0)", "low"),
        ("pad LF 5.0 +/- 0.5 mm, RF 3.1 +/- 0.5 mm (min 3.0)", "in undecided"),
    ],
)
def test_a_tolerance_in_front_of_limits_is_the_gauges(line: str, verdict: str) -> None:
    (draft,) = read(f"found: {line}")
    assert isinstance(draft.fact, Found)
    judged = [one.word for group in groups(draft.fact) for one in judge(group.run)]
    assert " ".join(judged) == verdict
    assert all(one.uncertainty for one in draft.fact.measurements)
    assert not draft.remarks
    (again,) = read(write(draft.fact))
    assert again.fact == draft.fact


def test_a_tolerance_alone_is_a_limit_and_one_in_the_bracket_stays_one() -> None:
    (alone,) = read("found: battery 12.1 +/- 0.2 V")
    assert isinstance(alone.fact, Found)
    assert not alone.fact.measurements
    assert any("Which reading do these limits judge?" in remark.text for remark in alone.remarks)
    (held,) = read("found: battery 9.6 V (9.6 +/- 0.2)")
    assert isinstance(held.fact, Found)
    assert [(one.uncertainty, one.limits and one.limits.tol) for one in held.fact.measurements] == [("", "0.2")]
