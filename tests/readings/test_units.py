"""Units against published factors, and the rules of spelling."""

import string
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.readings import units
from ticket.readings.units import NAMES, convert, convert_gap, find, same

# NIST Special Publication 811 (2008), appendix B.8, seven figures as printed there: multiply to get the SI unit.
# The pressure rows were seen second-hand, the others are from memory; each also follows from the definitions.
SP811 = [
    ("in", "m", "2.54E-02"), ("ft", "m", "3.048E-01"), ("mi", "m", "1.609344E+03"), ("thou", "m", "2.54E-05"),
    ("psi", "Pa", "6.894757E+03"), ("inHg", "Pa", "3.386389E+03"), ("mmHg", "Pa", "1.333224E+02"),
    ("inH2O", "Pa", "2.490889E+02"), ("Torr", "Pa", "1.333224E+02"), ("atm", "Pa", "1.01325E+05"),
    ("kg/cm2", "Pa", "9.80665E+04"), ("lbf", "N", "4.448222E+00"), ("lb-ft", "Nm", "1.355818E+00"),
    ("lb-in", "Nm", "1.129848E-01"), ("gal", "L", "3.785412E+00"), ("qt", "L", "9.463529E-01"),
    ("pt", "L", "4.731765E-01"), ("fl oz", "mL", "2.957353E+01"), ("imp gal", "L", "4.54609E+00"),
    ("imp fl oz", "mL", "2.841306E+01"), ("lb", "kg", "4.535924E-01"), ("oz", "g", "2.834952E+01"),
    ("mph", "m/s", "4.4704E-01"), ("PS", "W", "7.354988E+02"), ("hp", "W", "7.456999E+02"),
    ("gal/min", "L/min", "3.785412E+00"), ("cfm", "L/min", "2.831685E+01"),
]  # fmt: skip

# Worked conversions from the exact definitions, six places, as an independent units library printed them.
WORKED = [
    ("100000", "mi", "160934.4", "km"), ("87654", "mi", "141065.438976", "km"), ("200000", "km", "124274.238447", "mi"),
    ("5", "qt", "4731.764730", "mL"), ("5.7", "qt", "5394.211792", "mL"), ("1", "pt", "473.176473", "mL"),
    ("76", "lb-ft", "103.042164", "Nm"), ("100", "lb-ft", "135.581795", "Nm"), ("140", "lb-in", "15.817876", "Nm"),
    ("32", "psi", "220.632233", "kPa"), ("35", "psi", "241.316505", "kPa"), ("100", "psi", "689.475729", "kPa"),
    ("20", "inHg", "67.727773", "kPa"), ("29.92", "inHg", "101.320748", "kPa"),
    ("195", "degF", "90.555556", "degC"), ("180", "degF", "82.222222", "degC"),
]  # fmt: skip

ONE_PER_NAME = sorted({unit.name for name in NAMES if (unit := find(name))})


@pytest.mark.parametrize(("name", "si", "printed"), SP811)
def test_factor_is_the_published_one(name: str, si: str, printed: str) -> None:
    got = convert(Fraction(1), name, si)
    assert got is not None
    figures, _, power = printed.partition("E")
    last_place = Fraction(10) ** (int(power) - len(figures.partition(".")[2]))
    assert abs(got - Fraction(printed)) <= last_place / 2


@pytest.mark.parametrize(("value", "unit", "expected", "other"), WORKED)
def test_worked_conversion(value: str, unit: str, expected: str, other: str) -> None:
    got = convert(Fraction(value), unit, other)
    assert got is not None
    assert round(got, 6) == Fraction(expected)


def test_exact_points_of_the_scales() -> None:
    """The defining points of the temperature scales and the counts of the calendar."""
    assert convert(Fraction(212), "degF", "degC") == 100
    assert convert(Fraction(-40), "degC", "degF") == -40
    assert convert_gap(Fraction(9), "degF", "degC") == 5  # a tolerance has no zero point
    assert convert(Fraction(2), "years", "months") == 24
    assert convert(Fraction(1), "month", "days") is None  # a month has no fixed length
    assert convert(Fraction(2), "32nds", "in") == Fraction(2, 32)
    assert convert(Fraction(1), "V", "A") is None
    assert convert(Fraction(1), "furlong", "m") is None


@given(
    st.fractions(max_denominator=10**6),
    st.sampled_from(ONE_PER_NAME),
    st.sampled_from(ONE_PER_NAME),
)
def test_round_trip_is_exact(value: Fraction, one: str, other: str) -> None:
    there = convert(value, one, other)
    unit, target = find(one), find(other)
    assert unit is not None
    assert target is not None
    if unit.dimension != target.dimension:
        assert there is None
    else:
        assert there is not None
        assert convert(there, other, one) == value


def test_every_unit_round_trips_with_its_own_kind() -> None:
    """Random pairs seldom share a dimension: here all that do, so that no factor is left untried."""
    pairs = [
        (one, other)
        for one in ONE_PER_NAME
        for other in ONE_PER_NAME
        if one != other and convert(Fraction(7, 3), one, other) is not None
    ]
    assert len(pairs) > 200
    for one, other in pairs:
        there = convert(Fraction(7, 3), one, other)
        assert there is not None
        assert convert(there, other, one) == Fraction(7, 3)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Ohm", "Ohm"), ("ohms", "Ohm"), ("mOhm", "mOhm"), ("MOhm", "MOhm"), ("Mohm", "MOhm"), ("mohm", None),
        ("MOHM", None), ("m", "m"), ("M", None), ("s", "s"), ("S", None), ("KPA", "kPa"), ("MM", "mm"), ("PSI", "psi"),
        ("v", "V"), ("NM", "Nm"), ("Kohm", "kOhm"), ("ft lbs", "lb-ft"), ("in-lbs", "lb-in"), ("°C", "degC"),
        (" V ", "V"),
    ],
)  # fmt: skip
def test_case_decides_where_it_matters(text: str, name: str | None) -> None:
    unit = find(text)
    assert (unit.name if unit else None) == name


def test_both_signs_for_ohm_and_micro() -> None:
    for text in ("k\u03a9", "k\u2126"):
        assert (unit := find(text)) is not None
        assert unit.name == "kOhm"
    for text in ("\u00b5A", "\u03bcA"):
        assert (unit := find(text)) is not None
        assert unit.name == "uA"


def test_names_are_longest_first_and_all_found() -> None:
    assert [len(name) for name in NAMES] == sorted((len(name) for name in NAMES), reverse=True)
    assert all(find(name) for name in NAMES)
    assert len(NAMES) == len(set(NAMES))


def test_table_is_complete_and_says_where_it_is_from() -> None:
    rows = list(units._rows())
    names = [unit.name for unit, _ in rows]
    assert len(names) == len(set(names))
    spellings = [spelling for _, all_of_it in rows for spelling in all_of_it]
    assert sorted(spellings) == sorted(set(spellings)), "one spelling names two units"
    for unit, _ in rows:
        assert unit.factor > 0
        assert unit.one
        assert unit.many
        assert unit.sign
        assert all(char in string.printable for char in unit.name)
        assert unit.glued == (unit.sign in ("%", "°"))


def test_same_unit_under_two_spellings() -> None:
    assert same("lb-ft", "ft-lb")
    assert same("clicks", "click")
    assert same("bananas", "bananas")
    assert not same("V", "bananas")
    assert not same("mOhm", "MOhm")


@given(st.text(max_size=40))
def test_any_text_is_a_unit_or_none(text: str) -> None:
    unit = find(text)
    assert unit is None or unit.name in ONE_PER_NAME
    assert same(text, text)
