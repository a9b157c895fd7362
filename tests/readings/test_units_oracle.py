"""Factors between units agree with Pint (BSD), a reference library that the program does not use."""

from fractions import Fraction

import pytest

from ticket.readings.units import convert

pint = pytest.importorskip("pint", reason="Pint, a test-only reference")

REGISTRY = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
# Our name, Pint's name.
NAMES = {
    "mm": "millimeter", "in": "inch", "thou": "thou", "ft": "foot", "mi": "mile", "km": "kilometer", "psi": "psi",
    "kPa": "kilopascal", "bar": "bar", "inHg": "inch_Hg", "V": "volt", "mV": "millivolt", "A": "ampere",
    "kOhm": "kiloohm", "Ohm": "ohm", "degC": "degree_Celsius", "degF": "degree_Fahrenheit", "Nm": "newton * meter",
    "lb-ft": "force_pound * foot", "in-lb": "force_pound * inch", "L": "liter", "mL": "milliliter", "qt": "quart",
    "pt": "pint", "fl oz": "fluid_ounce", "gal": "gallon", "Hz": "hertz", "ms": "millisecond", "s": "second",
    "g/s": "gram / second", "mph": "mile / hour", "km/h": "kilometer / hour", "kW": "kilowatt",
}  # fmt: skip
PAIRS = [
    ("in", "mm"), ("thou", "mm"), ("ft", "mm"), ("mi", "km"), ("psi", "kPa"), ("bar", "psi"), ("inHg", "kPa"),
    ("mV", "V"), ("kOhm", "Ohm"), ("degF", "degC"), ("degC", "degF"), ("lb-ft", "Nm"), ("in-lb", "Nm"),
    ("qt", "L"), ("pt", "mL"), ("fl oz", "mL"), ("gal", "L"), ("ms", "s"), ("mph", "km/h"),
]  # fmt: skip


@pytest.mark.parametrize(("start", "end"), PAIRS, ids=lambda name: name)
@pytest.mark.parametrize("value", [1, Fraction(327, 10), 100_214])
def test_a_conversion_agrees(start: str, end: str, value: Fraction) -> None:
    ours = convert(Fraction(value), start, end)
    assert ours is not None
    registry = REGISTRY
    theirs = registry.Quantity(float(value), NAMES[start]).to(NAMES[end]).magnitude
    assert float(ours) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize(("start", "end"), [("mm", "psi"), ("V", "A"), ("degC", "kPa"), ("lb-ft", "L"), ("Hz", "ms")])
def test_what_measures_different_things_does_not_convert(start: str, end: str) -> None:
    assert convert(Fraction(1), start, end) is None
    registry = REGISTRY
    with pytest.raises(pint.DimensionalityError):
        registry.Quantity(1.0, NAMES[start]).to(NAMES[end])
