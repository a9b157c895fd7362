"""Numbers of a finding that are no reading of their own, and bounds that judge none: common practice, no source."""

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read

Told = list[tuple[str, str]]


def told(line: str) -> Told:
    """Each value with its verdict."""
    return [(one["value"], one["verdict"]) for one in meaning_of(read(line))["measurements"]]


@pytest.mark.parametrize(
    ("line", "values"),
    [
        ("tyres LF 34 psi RF 30 psi, max 3 psi apart", ["34", "30"]),
        ("brake temps LR 120 C RR 165 C, within 20 C of one another", ["120", "165"]),
        ("rollers LF 310 kg RF 205 kg, not more than 25% apart", ["310", "205"]),
        ("pads LF 7 mm RF 3 mm, no more than 2 mm difference side to side", ["7", "3"]),
        ("compression cyl 1 150 cyl 2 155 cyl 3 90 psi, no more than 15 psi between highest and lowest",
         ["150", "155", "90"]),
        ("pads inner 5 outer 8 mm, max difference 2 mm", ["5", "8"]),
        ("ride height LF 410 RF 398 mm, not over 10 mm side diff", ["410", "398"]),
        ("pads 6 mm L, 3 mm R, side to side not more than 2", ["6", "3"]),
        ("charge air 68 C at 30 C ambient, max 55 over ambient", ["68"]),
    ],
)  # fmt: skip
def test_a_bound_on_a_difference_judges_none_of_the_readings(line: str, values: list[str]) -> None:
    said = meaning_of(read(line))["measurements"]
    assert [one["value"] for one in said] == values
    assert {(one["low"], one["high"], one["verdict"]) for one in said} == {(None, None, "none")}


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("difference side to side 4 mm, max 3", [("4", "high")]),
        ("disc thickness variation 0.03 mm, max 0.02", [("0.03", "high")]),
        ("difference 4 mm, difference max 3", [("4", "high")]),
    ],
)
def test_a_difference_that_was_measured_is_a_reading(line: str, wanted: Told) -> None:
    assert told(line) == wanted


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("pedal 5 volt feed 4.97 V, signal 0.6 V", [("4.97", "none"), ("0.6", "none")]),
        ("ref 5 V 4.82 V (4.9 to 5.1)", [("4.82", "low")]),
        ("MAP 5 volt line 4.6 V, TPS 5 volt line 5.0 V; the 5 volt lines have to be 4.9 to 5.1",
         [("4.6", "low"), ("5", "in")]),
        ("load test 300 A 9.8 V, min 9.6", [("9.8", "in")]),
        ("batt load test 250 A 15 sec: 9.1 V, min 9.6", [("9.1", "low")]),
        ("winch pulling 500 kg drew 210 A, max 180", [("210", "high")]),
        ("setpoint 20 C, cab 27 C", [("27", "none")]),
        ("EGR commanded to 40 %, actual 12 %", [("12", "none")]),
        ("coolant 108 C at idle, fan is off with the command at 85 percent", [("108", "none")]),
        ("3 studs stretched, rest 110 Nm, 100 to 120", [("110", "in")]),
        ("4 injectors 0.8 ohm each", [("0.8", "none")]),
        ("relay coil 85 ohm between 85 and 86", [("85", "none")]),
        ("contacts 0.6 ohm between 30 and 87, max 0.5", [("0.6", "high")]),
        ("crank sensor 820 ohm, between 700 and 900", [("820", "in")]),
        ("coolant flow 8 L/min at 2000 rpm pump set to 60 %, min 9", [("8", "low")]),
        ("inlet 190 C outlet 182 C 15 min into the regen", [("190", "none"), ("182", "none")]),
    ],
)  # fmt: skip
def test_names_loads_set_values_and_counts_are_no_readings(line: str, wanted: Told) -> None:
    assert told(line) == wanted


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("battery 12.4 V, charging 14.1 V", ["12.4", "14.1"]),
        ("2 clicks of play, max 3", ["2"]),
        ("fan command 92 %", ["92"]),
    ],
)
def test_what_was_read_stays_a_reading(line: str, wanted: list[str]) -> None:
    assert [value for value, _ in told(line)] == wanted


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("sender 2.4 kohm at 20 C, 300 ohm at 80, spec 2.2 to 2.6 kohm at 20", [("2.4", "in"), ("300", "none")]),
        ("boost 0.9 bar at 2500 rpm, min 1.2 at 3000", [("0.9", "none")]),
        ("resistance 1.2 kohm at 25 C, spec 1.0 to 1.4 kohm at 20 C", [("1.2", "none")]),
        ("leak 12 mA at 10 min, 30 mA at 40 min, max 20 mA after 30 min", [("12", "none"), ("30", "high")]),
        ("fuel 41 psi at idle, 44 psi at 2500 rpm, spec 43 to 60 psi for both", [("41", "low"), ("44", "in")]),
    ],
)
def test_a_limit_under_a_figure_judges_only_what_was_read_under_it(line: str, wanted: Told) -> None:
    assert told(line) == wanted


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("relief 3150 psi, set 3200 +/- 40", [("3150", "low")]),
        ("brake fluid boils at 150 C, replace when under 180 C", [("150", "low")]),
        ("king pin play RF 3/16 in, out of service over 1/8 in", [("0.1875", "high")]),
        ("CO 0.5 %, limit 0.3", [("0.5", "high")]),
        ("lower ball joint 2 mm, limit 1", [("2", "high")]),
        ("rears 3 and 5, min 4", [("3", "none"), ("5", "none")]),
    ],
)
def test_limits_in_other_words(line: str, wanted: Told) -> None:
    assert told(line) == wanted


@pytest.mark.parametrize(
    "line",
    [
        "found: hose test at the tail lamp 10 min, water in the trunk after 4 min",
        "found: drove it 9 mi with 2 mi of washboard, no rattle",
        "found: road test 12 km with 3 hard stops, pedal stayed firm",
        "proof: road test 6 mi with 8 turns to full lock, no clicking; codes read again, none stored",
    ],
)
def test_how_long_how_far_and_how_often_a_test_went_is_not_asked_about(line: str) -> None:
    said = meaning_of(read(line))
    assert (said["measurements"], said["unread"], said["questions"]) == ([], [], [])


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("found: idled 20 min with 12 V at the fan, no leak", "with 12 V"),
        ("found: road test 30 mi with 4000 lb on the hitch, no sway", "with 4000 lb"),
        ("found: road test 10 mi with 55 psi oil pressure", "with 55 psi"),
    ],
)
def test_an_amount_with_a_unit_of_its_own_beside_a_test_is_still_asked_about(line: str, asked: str) -> None:
    assert [one["text"] for one in meaning_of(read(line))["unread"]] == [asked]
