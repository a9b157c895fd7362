"""A reading typed in one unit with limits typed in another gets the verdict that exact fractions give, as Pint does.

Sources: factors by BIPM, The International System of Units, 9th edition, and NIST Special Publication 811 (2008),
appendix B, written here once more and apart from the program's own table; Pint (BSD), a reference library that the
program does not use. The wordings of limits are common practice, no source. ``TICKET_FULL=1`` takes all 2,000 pairs.
"""

import os
import random
from dataclasses import dataclass
from fractions import Fraction

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read

PAIRS = 2000 if os.environ.get("TICKET_FULL") else 300
CLOSE = 1e-9  # nearer than this, binary fractions cannot tell the sides apart: the exact check decides alone

# What one unit is in the unit of the first row of its quantity, and what is added to it, by the sources above.
_POUND_FORCE, _INCH = Fraction("4.4482216152605"), Fraction("0.0254")
_ROWS: dict[str, list[tuple[str, Fraction | int, Fraction | int]]] = {
    "pressure": [
        ("kPa", 1, 0), ("bar", 100, 0), ("psi", _POUND_FORCE / _INCH**2 / 1000, 0),
        ("inHg", Fraction("3.386388640341"), 0),
    ],
    "length": [("mm", 1, 0), ("in", Fraction("25.4"), 0), ("thou", Fraction("0.0254"), 0)],
    "voltage": [("V", 1, 0), ("mV", Fraction(1, 1000), 0)],
    "current": [("A", 1, 0), ("mA", Fraction(1, 1000), 0)],
    "resistance": [("ohm", 1, 0), ("kohm", 1000, 0)],
    "temperature": [("C", 1, 0), ("F", Fraction(5, 9), Fraction(-160, 9))],
    "torque": [("Nm", 1, 0), ("lb-ft", _POUND_FORCE * 12 * _INCH, 0)],
    "volume": [("L", 1, 0), ("mL", Fraction(1, 1000), 0), ("qt", Fraction("0.946352946"), 0)],
}  # fmt: skip
EXACT = {name: {unit: (Fraction(size), Fraction(plus)) for unit, size, plus in rows} for name, rows in _ROWS.items()}
PINT = {
    "kPa": "kilopascal", "bar": "bar", "psi": "psi", "inHg": "inch_Hg", "mm": "millimeter", "in": "inch",
    "thou": "thou", "V": "volt", "mV": "millivolt", "A": "ampere", "mA": "milliampere", "ohm": "ohm",
    "kohm": "kiloohm", "C": "degree_Celsius", "F": "degree_Fahrenheit", "Nm": "newton * meter",
    "lb-ft": "force_pound * foot", "L": "liter", "mL": "milliliter", "qt": "quart",
}  # fmt: skip
THINGS = {
    "pressure": ["pressure", "oil pressure", "rail pressure"], "length": ["lining", "rotor", "end play"],
    "voltage": ["supply", "voltage drop"], "current": ["parasitic draw", "pump draw"],
    "resistance": ["heater coil", "sensor resistance"], "temperature": ["coolant temp", "hub temp"],
    "torque": ["wheel nut torque"], "volume": ["fill"],
}  # fmt: skip
TYPICAL = {"pressure": 300, "length": 12, "voltage": 12, "current": 3, "resistance": 800, "temperature": 90,
           "torque": 120, "volume": 5}  # fmt: skip
LOWEST = ["(min {low} {unit})", "(min {low}{unit})", "(minimum {low} {unit})", "(at least {low} {unit})",
          "min {low} {unit}", ", spec min {low} {unit}", "; min {low} {unit}"]  # fmt: skip
HIGHEST = ["(max {high} {unit})", "(max {high}{unit})", "(no more than {high} {unit})", "(not over {high} {unit})",
           "max {high} {unit}", ", spec max {high} {unit}"]  # fmt: skip
BETWEEN = ["({low} to {high} {unit})", "({low}-{high} {unit})", "(spec {low} to {high} {unit})",
           ", should be {low} to {high} {unit}", "spec {low}-{high} {unit}"]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Pair:
    """A reading, its limits in another unit, and the line that states both."""

    line: str
    value: str
    unit: str
    low: str
    high: str
    limits: str
    quantity: str

    def exactly(self) -> str:
        """The verdict by fractions: a value equal to a limit is within it."""
        value = _in_base(self.value, self.unit, self.quantity)
        if self.low and value < _in_base(self.low, self.limits, self.quantity):
            return "low"
        return "high" if self.high and value > _in_base(self.high, self.limits, self.quantity) else "in"


def _in_base(number: str, unit: str, quantity: str) -> Fraction:
    size, plus = EXACT[quantity][unit]
    return Fraction(number) * size + plus


def _made(chance: random.Random) -> Pair:
    quantity = chance.choice(sorted(EXACT))
    unit, limits = chance.sample(sorted(EXACT[quantity]), 2)
    (size, plus), (other, other_plus) = EXACT[quantity][unit], EXACT[quantity][limits]
    there = TYPICAL[quantity] * Fraction(chance.randint(50, 150), 100)
    value = _typed((there - plus) / size, chance)
    exact = Fraction(value) * size + plus
    # Most limits stand near the reading, where a rounded factor would put it on the wrong side.
    near = [(exact * Fraction(1000 + chance.choice([-300, -40, -3, -1, 0, 1, 3, 40, 300]), 1000) - other_plus) / other
            for _ in range(2)]  # fmt: skip
    low, high = sorted((_typed(bound, chance) for bound in near), key=Fraction)
    wordings = chance.choice([LOWEST, HIGHEST, BETWEEN] if low != high and Fraction(low) > 0 else [LOWEST, HIGHEST])
    wording = chance.choice(wordings)
    lead = chance.choice(["", "", "found: ", "f: ", "proof: "])
    thing = chance.choice(THINGS[quantity])
    said = wording.format(low=low, high=high, unit=limits)
    glue = "" if said[0] in ",;" else " "
    line = f"{lead}{thing} {value}{chance.choice([' ', ''])}{unit}{glue}{said}"
    return Pair(line, value, unit, low if "{low}" in wording else "", high if "{high}" in wording else "", limits,
                quantity)  # fmt: skip


def _typed(number: Fraction, chance: random.Random) -> str:
    """As a meter shows it: three or four figures, at times a trailing nought."""
    number = abs(number)
    places = chance.choice([0, 1]) if number >= 100 else chance.choice([1, 2]) if number >= 1 else 4
    return f"{float(number):.{places}f}"


def _pairs() -> list[Pair]:
    chance = random.Random(811)
    return [_made(chance) for _ in range(PAIRS)]


def test_the_verdict_is_what_exact_fractions_say() -> None:
    wrong: list[object] = []
    unread: list[object] = []
    for pair in _pairs():
        said = meaning_of(read(pair.line))
        verdicts = [measured["verdict"] for measured in said["measurements"]]
        if verdicts == [pair.exactly()]:
            continue
        asked = bool(said["questions"] or said["unread"]) and not set(verdicts) & {"in", "low", "high"}
        (unread if asked else wrong).append((pair.line, verdicts, pair.exactly()))
    assert not wrong
    assert not unread, "wordings of limits that people use must be read, not asked about"


def test_the_verdict_is_what_a_library_of_units_says() -> None:
    pint = pytest.importorskip("pint", reason="Pint, a test-only reference (extra: oracles)")
    registry = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    decided = 0
    for pair in _pairs():
        value = registry.Quantity(float(pair.value), PINT[pair.unit]).to(PINT[pair.limits]).magnitude
        bounds = [float(bound) for bound in (pair.low, pair.high) if bound]
        if any(abs(value - bound) <= CLOSE * max(abs(bound), 1.0) for bound in bounds):
            continue
        below = bool(pair.low) and value < float(pair.low)
        above = bool(pair.high) and value > float(pair.high)
        expected = "low" if below else "high" if above else "in"
        (measured,) = meaning_of(read(pair.line))["measurements"]
        assert measured["verdict"] == expected, pair.line
        decided += 1
    assert decided > PAIRS * 0.9


def test_the_pairs_try_every_verdict_and_values_that_equal_their_limit() -> None:
    pairs = _pairs()
    assert {pair.exactly() for pair in pairs} == {"low", "in", "high"}
    assert sum(
        _in_base(pair.value, pair.unit, pair.quantity) == _in_base(bound, pair.limits, pair.quantity)
        for pair in pairs
        for bound in (pair.low, pair.high)
        if bound
    ) >= PAIRS // 100  # fmt: skip
