"""The vocabulary of generated findings: what is measured, where, in which units, under which conditions.

Common practice of the trade, no source, but for the sizes of units: those are exact by definition (SI Brochure, 9th
edition; international yard and pound agreement of 1959). Written from the meaning of a line, never from what the
reader knows.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

INCH = Fraction(254, 10)
POUND_FORCE = Fraction(45359237, 10**8) * Fraction(980665, 10**5)
PSI = POUND_FORCE / Fraction(254, 10000) ** 2

# Unit: dimension, size in the first unit of the dimension, zero point of that unit in it.
SIZES: dict[str, tuple[str, Fraction, Fraction]] = {
    "mm": ("length", Fraction(1), Fraction(0)),
    "cm": ("length", Fraction(10), Fraction(0)),
    "in": ("length", INCH, Fraction(0)),
    "thou": ("length", INCH / 1000, Fraction(0)),
    "kPa": ("pressure", Fraction(1000), Fraction(0)),
    "bar": ("pressure", Fraction(100000), Fraction(0)),
    "psi": ("pressure", PSI, Fraction(0)),
    "inHg": ("vacuum", Fraction(1), Fraction(0)),
    "V": ("voltage", Fraction(1), Fraction(0)),
    "mV": ("voltage", Fraction(1, 1000), Fraction(0)),
    "A": ("current", Fraction(1), Fraction(0)),
    "mA": ("current", Fraction(1, 1000), Fraction(0)),
    "ohm": ("resistance", Fraction(1), Fraction(0)),
    "kohm": ("resistance", Fraction(1000), Fraction(0)),
    "C": ("temperature", Fraction(1), Fraction(0)),
    "F": ("temperature", Fraction(5, 9), Fraction(-160, 9)),
    "Nm": ("torque", Fraction(1), Fraction(0)),
    "lb-ft": ("torque", POUND_FORCE * Fraction(3048, 10000), Fraction(0)),
    "rpm": ("speed", Fraction(1), Fraction(0)),
    "Hz": ("frequency", Fraction(1), Fraction(0)),
    "%": ("share", Fraction(1), Fraction(0)),
    "deg": ("angle", Fraction(1), Fraction(0)),
    "s": ("time", Fraction(1), Fraction(0)),
    "min": ("time", Fraction(60), Fraction(0)),
    "mph": ("road speed", Fraction(1), Fraction(0)),
    "L": ("volume", Fraction(1), Fraction(0)),
    "qt": ("volume", Fraction(946352946, 10**9), Fraction(0)),
}

# How a unit is typed; `True` behind it: also glued to its number.
SPELLINGS: dict[str, tuple[tuple[str, bool], ...]] = {
    "mm": (("mm", True), ("MM", True)),
    "cm": (("cm", True),),
    "in": (("in", True), ('"', True), ("inch", False), ("inches", False), ("in.", False)),
    "thou": (("thou", False), ("thousandths", False)),
    "kPa": (("kPa", True), ("kpa", True), ("KPA", False)),
    "bar": (("bar", True),),
    "psi": (("psi", True), ("PSI", True)),
    "inHg": (("inHg", True), ("in Hg", False), ("inhg", False)),
    "V": (("V", True), ("v", True), ("volts", False), ("VDC", False)),
    "mV": (("mV", True), ("mv", True), ("millivolts", False)),
    "A": (("A", True), ("amps", False), ("amp", False)),
    "mA": (("mA", True), ("ma", True), ("milliamps", False)),
    "ohm": (("ohm", False), ("ohms", False), ("Ω", True)),
    "kohm": (("kohm", False), ("kohms", False), ("kΩ", True), ("k ohm", False)),
    "C": (("C", True), ("°C", True), ("deg C", False)),
    "F": (("F", True), ("°F", True), ("deg F", False)),
    "Nm": (("Nm", True), ("N·m", False), ("nm", False), ("N-m", False)),
    "lb-ft": (("lb-ft", False), ("ft-lb", False), ("ft lbs", False), ("ft-lbs", False)),
    "rpm": (("rpm", True), ("RPM", False)),
    "Hz": (("Hz", True), ("hz", False)),
    "%": (("%", True), ("percent", False), ("pct", False)),
    "deg": (("deg", False), ("°", True), ("degrees", False)),
    "s": (("s", True), ("sec", False), ("seconds", False)),
    "min": (("min", False), ("minutes", False), ("mins", False)),
    "mph": (("mph", True),),
    "L": (("L", True), ("liters", False), ("litres", False)),
    "qt": (("qt", False), ("qts", False), ("quarts", False)),
}


@dataclass(frozen=True, slots=True)
class Span:
    """The values one measure takes in one unit, with so many decimals."""

    unit: str
    least: float
    most: float
    decimals: int = 0
    fractions: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Measure:
    """One thing that is measured: its names, units, kinds of place, which limit it has, under what it is measured."""

    names: tuple[str, ...]
    spans: tuple[Span, ...]
    places: tuple[str, ...] = ()
    limit: str = "both"
    conditions: tuple[str, ...] = ()


def _measure(names: str, spans: tuple[Span, ...], places: str, limit: str, conditions: str = "") -> Measure:
    return Measure(tuple(names.split("|")), spans, tuple(places.split()), limit, tuple(conditions.split()))


MEASURES: tuple[Measure, ...] = (
    _measure(
        "brake pad|pad|pads|brake lining|lining",
        (Span("mm", 1, 14, 0), Span("mm", 1, 14, 1)),
        "corner side wheel",
        "low",
    ),
    _measure(
        "tread|tire tread|tread depth", (Span("in", 1, 20, 0, (32,)), Span("mm", 1, 12, 1)), "corner side axle", "low"
    ),
    _measure(
        "rotor|rotor thickness|disc thickness", (Span("mm", 18, 40, 1), Span("in", 1, 2, 3)), "corner side", "low"
    ),
    _measure(
        "rotor runout|disc runout|hub runout",
        (Span("mm", 0, 1, 2), Span("in", 0, 1, 3), Span("thou", 1, 20)),
        "corner side",
        "high",
    ),
    _measure(
        "push rod stroke|pushrod travel|chamber stroke",
        (Span("in", 1, 3, 0, (2, 4, 8, 16)), Span("mm", 20, 70)),
        "side axle",
        "high",
    ),
    _measure(
        "tire pressure|pressure|cold pressure",
        (Span("psi", 20, 120), Span("kPa", 150, 900), Span("bar", 1, 9, 1)),
        "corner axle",
        "both",
    ),
    _measure("compression", (Span("psi", 60, 240), Span("bar", 4, 30, 1)), "cylinder", "low", "hot crank"),
    _measure("leakdown|cyl leakage", (Span("%", 1, 60),), "cylinder", "high", "hot"),
    _measure(
        "oil pressure|oil press|galley pressure", (Span("psi", 5, 90), Span("kPa", 40, 600)), "", "low", "hot speed"
    ),
    _measure(
        "rail pressure|fuel pressure|supply pressure",
        (Span("psi", 30, 90), Span("bar", 2, 8, 1)),
        "bank",
        "both",
        "crank speed koeo",
    ),
    _measure("boost|charge pressure", (Span("psi", 2, 40), Span("kPa", 20, 300)), "", "both", "speed load"),
    _measure("vacuum|manifold vacuum", (Span("inHg", 5, 25),), "", "low", "speed hot"),
    _measure(
        "batt|battery|battery voltage|bat", (Span("V", 6, 15, 1), Span("V", 6, 15, 2)), "", "low", "static crank load"
    ),
    _measure(
        "charging volts|alternator output|alt volts",
        (Span("V", 11, 15, 1), Span("V", 22, 29, 1)),
        "",
        "both",
        "speed load",
    ),
    _measure(
        "ground drop|voltage drop|cable drop", (Span("mV", 5, 900), Span("V", 0, 2, 2)), "side", "high", "crank load"
    ),
    _measure(
        "starter draw|cranking draw|motor current", (Span("A", 60, 400), Span("A", 2, 30, 1)), "", "high", "crank"
    ),
    _measure("parasitic draw|key off draw|sleep current", (Span("mA", 5, 900),), "", "high", "time"),
    _measure(
        "injector|coil primary|solenoid coil",
        (Span("ohm", 1, 90, 1), Span("ohm", 10, 900)),
        "cylinder bank",
        "both",
        "hot heat",
    ),
    _measure(
        "temp sensor|sensor resistance|sender",
        (Span("kohm", 1, 20, 1), Span("ohm", 200, 9000)),
        "pin bank",
        "both",
        "heat",
    ),
    _measure("coolant temp|outlet temp|vent temp", (Span("C", 5, 115), Span("F", 40, 240)), "side", "high", "speed"),
    _measure(
        "lug torque|wheel torque|bolt torque", (Span("Nm", 60, 600), Span("lb-ft", 50, 500)), "corner axle", "both"
    ),
    _measure(
        "belt deflection|free play|pedal free play|end play", (Span("mm", 2, 30), Span("in", 0, 2, 2)), "", "both", ""
    ),
    _measure("camber|caster", (Span("deg", 0, 6, 1),), "corner side", "both"),
    _measure("sensor signal|output freq|wheel speed sensor", (Span("Hz", 20, 900),), "corner side", "low", "road"),
    _measure("fan speed|stall speed|governed speed", (Span("rpm", 500, 3200),), "", "both", "hot"),
)

# Kind of place: spellings; each spelling is a row of (typed, meaning). "{}" takes the number.
PLACES: dict[str, tuple[tuple[tuple[str, tuple[str, ...]], ...], ...]] = {
    "corner": tuple(
        tuple(zip(row, (("left", "front"), ("right", "front"), ("left", "rear"), ("right", "rear")), strict=True))
        for row in (
            ("LF", "RF", "LR", "RR"),
            ("LF", "RF", "LR", "RR"),
            ("L/F", "R/F", "L/R", "R/R"),
            ("left front", "right front", "left rear", "right rear"),
            ("front left", "front right", "rear left", "rear right"),
            ("FL", "FR", "RL", "RR"),
            ("LH front", "RH front", "LH rear", "RH rear"),
        )
    ),
    "side": tuple(
        tuple(zip(row, (("left",), ("right",)), strict=True))
        for row in (("L", "R"), ("L", "R"), ("left", "right"), ("LH", "RH"), ("L/H", "R/H"), ("lt", "rt"))
    ),
    "wheel": tuple(
        tuple(zip(row, (("inner",), ("outer",)), strict=True))
        for row in (("inner", "outer"), ("inboard", "outboard"), ("inside", "outside"), ("in", "out"), ("inr", "otr"))
    ),
}
NUMBERED: dict[str, tuple[str, ...]] = {
    "cylinder": ("cyl {}", "cyl. {}", "cylinder {}", "#{}", "cyl #{}", "cyl{}"),
    "axle": ("axle {}", "axle #{}", "axle {}"),
    "bank": ("bank {}", "B{}", "bank {}"),
    "pin": ("pin {}", "pin #{}"),
}
MOST_NUMBERED = {"cylinder": 8, "axle": 4, "bank": 2, "pin": 24}

WORD_CONDITIONS: dict[str, tuple[str, ...]] = {
    "hot": ("hot", "cold", "warm", "at idle", "idle", "at hot idle", "engine warm"),
    "crank": ("cranking", "while cranking", "on crank", "during crank"),
    "static": ("static", "at rest", "engine off", "key off"),
    "load": ("loaded", "under load", "no load", "with lights on", "with AC on", "w/ blower on"),
    "koeo": ("KOEO", "key on", "engine off", "key on engine off"),
}
# Condition with a number: unit, least, most, step, markers ("" is none).
NUMBER_CONDITIONS: dict[str, tuple[str, int, int, int, tuple[str, ...]]] = {
    "speed": ("rpm", 600, 3200, 100, ("@ ", "at ", "@", "")),
    "time": ("min", 5, 60, 5, ("after ", "after ")),
    "heat": ("C", 10, 95, 5, ("@ ", "at ", "@")),
    "road": ("mph", 5, 65, 5, ("@ ", "at ")),
    "load": ("A", 50, 300, 10, ("with ", "w/ ", "@ ")),
}
NAMES_WITH_DIGITS = ("G103", "C214", "K4 relay", "F12", "5 V ref", "15 A fuse", "5W-30", "X7 plug")
REMARKS = ("ok", "worn", "good", "needs attention", "looks fine", "out of spec", "rechecked")
