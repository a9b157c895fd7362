"""What a figure was taken of: the quantity, the thing, its position and its conditions; what is no certain name."""

import pytest

from ticket.language.quantities import plain, position, subject
from ticket.language.terse import past, terse


@pytest.mark.parametrize(
    ("what", "unit", "label", "quantity", "conditions"),
    [
        ("front pads", "mm", "LF inner", "thickness", ()),
        ("tire tread", "mm", "RR", "tread", ()),
        ("engine oil level", "mm", "", "level", ()),
        ("compression", "psi", "cyl 3", "compression", ()),
        ("voltage drop alternator stud to B+", "V", "", "drop", ()),
        ("pressure loss of A/C in 10 min", "psi", "", "loss", ()),
        ("idle speed, hot, A/C on", "rpm", "", "other", ("hot", "air conditioning on")),
        ("fuel pressure, KOEO", "psi", "", "other", ("with the ignition on and the engine off",)),
        ("blower resistor at lowest speed", "ohm", "", "resistance", ()),
        ("drained oil", "L", "", "amount", ()),
    ],
)
def test_a_name_is_read_with_its_quantity_and_its_conditions(
    what: str, unit: str, label: str, quantity: str, conditions: tuple[str, ...]
) -> None:
    found = subject(what, unit, label)
    assert found is not None
    assert (found.quantity, tuple(map(plain, found.conditions))) == (quantity, conditions)


@pytest.mark.parametrize(
    ("what", "unit"),
    [
        ("driveshaft runout mid tube", "in"),  # of what, nobody says
        ("coolant low", "qt"),  # a state is no name
        ("vent temp", "psi"),  # the unit says another dimension
        ("gov cuts out", "psi"),
        ("cargo lift drops", "in"),  # what it did, or drops of it
        ("clamp of hose slack", "Nm"),  # how the clamp was, or the slack of the hose
        ("leak-down test", "psi"),  # a test is not what was measured
    ],
)
def test_what_is_no_certain_name_is_none(what: str, unit: str) -> None:
    assert subject(what, unit) is None


def test_two_names_of_one_thing_have_one_key() -> None:
    one, other = subject("LF rotor thickness", "mm"), subject("rotor thickness", "mm", "LF")
    assert one is not None
    assert other is not None
    assert one.key == other.key


def test_a_position_is_spelled_out() -> None:
    assert [position(label) for label in ("LF inner", "cyl 3", "R/F")] == [
        "left front inner",
        "cylinder 3",
        "right front",
    ]


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("replace LF pads", "replaced left front pads"),
        ("check front end, load test batt", "checked front end, load tested battery"),
        ("drain & refill coolant", "drained and refilled coolant"),
        ("top off diff", "topped off differential"),
        ("dry out trunk", "dried out trunk"),
        ("R&R 6 glow plugs & block heater cord", "replaced 6 glow plugs and block heater cord"),  # a part is no work
        ("oil & filter", "oil and filter"),
        ("frobnicate idle valve", "frobnicate idle valve"),
    ],
)
def test_labour_is_told_in_the_past_and_a_part_is_never_bent(typed: str, told: str) -> None:
    assert past(typed) == told


def test_r_and_r_is_both_where_nobody_knows_which_it_was() -> None:
    assert past("r&r condenser", "did undecided") == "removed and refitted or replaced condenser"
    assert terse("adj belt", "remedy") == "adjust belt"
