"""What is said once for several readings, and where the next thing begins: common practice, no source."""

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read


@pytest.mark.parametrize(
    ("line", "condition", "values"),
    [
        ("oil pressure hot 1.2 bar @ 800 rpm and 3.1 bar @ 2500", "hot", ["1.2", "3.1"]),
        ("rear tyres cold 30 psi LH, 22 RH", "cold", ["30", "22"]),
        ("rail cranking 180 bar before, 260 bar after the pump", "cranking", ["180", "260"]),
        ("charge 13.0 V before the belt, 14.2 V after, at 1500 rpm lights on", "at 1500 rpm", ["13", "14.2"]),
        ("inlet 280 C outlet 255 C after 10 min at 2400 rpm", "after 10 min at 2400 rpm", ["280", "255"]),
        ("CAN high pin 3 2.6 V, CAN low pin 11 2.4 V key on, nothing moves", "key on", ["2.6", "2.4"]),
        ("leak now 2 psi in 1 min, was 6 psi", "in 1 min", ["2", "6"]),
        ("suction 20 psi discharge 190 psi on the rig, 80 F ambient", "80 F ambient", ["20", "190"]),
    ],
)
def test_a_condition_said_once_is_for_all_of_the_list(line: str, condition: str, values: list[str]) -> None:
    said = meaning_of(read(line))["measurements"]
    assert [one["value"] for one in said] == values
    assert all(condition in " ".join(one["when"]) for one in said), said


@pytest.mark.parametrize(
    ("line", "whens"),
    [
        ("vacuum 18 inHg at idle, 21 inHg at 2500 rpm", ["at idle", "at 2500 rpm"]),
        ("oil pressure 2.1 bar hot, 4.5 bar cold at 2000 rpm", ["hot", "cold at 2000 rpm"]),
        ("battery 12.5 V, 14.2 V at 1500 rpm", ["", "at 1500 rpm"]),
        ("battery 12.5 V, cranking 9.9 V", ["", "cranking"]),
    ],
)
def test_a_condition_of_one_reading_is_not_for_the_other(line: str, whens: list[str]) -> None:
    said = meaning_of(read(line))["measurements"]
    assert [" ".join(one["when"]) for one in said] == whens


def test_what_charges_is_a_thing_of_its_own() -> None:
    said = meaning_of(read("battery 12.5 V rested, charging 13.2 V at 2000 rpm, should be 13.8 to 14.6"))[
        "measurements"
    ]
    assert [(one["of"], one["verdict"]) for one in said] == [("battery rested", "none"), ("battery charging", "low")]


def test_the_name_of_the_first_value_goes_on_behind_the_work() -> None:
    said = meaning_of(read("charging 13.0 V before cleaning the ground, 14.2 after"))["measurements"]
    assert [one["of"] for one in said] == ["charging", "charging"]


@pytest.mark.parametrize(
    ("line", "places"),
    [
        ("compression number 1 160 number 2 155 number 3 90 psi", ["cylinder 1", "cylinder 2", "cylinder 3"]),
        ("injector no 4 12.5 ohm", ["cylinder 4"]),
        ("cyl 1 21 bar, cyl2 20,5, cyl3 14", ["cylinder 1", "cylinder 2", "cylinder 3"]),
        ("left front tie rod end 3 mm play, right one 0.5 mm", ["left front", "right front"]),
        ("blower resistor 2.0 ohm pin 1 to pin 3", ["pin 1 pin 3"]),
        ("pads 4 mm, RR", ["right rear"]),
        ("glow plugs 1 and 3 0.8 ohm, 2 and 4 open", ["cylinder 1 cylinder 3"]),
        ("compression 11.5 bar on 1, 11 on 2, 7 on 3", ["cylinder 1", "cylinder 2", "cylinder 3"]),
    ],
)
def test_places_in_words_that_go_on(line: str, places: list[str]) -> None:
    said = meaning_of(read(line))["measurements"]
    assert [" ".join(one["at"]) for one in said] == places


def test_a_cell_is_what_was_measured_and_its_number_names_it() -> None:
    said = meaning_of(read("cells 3 and 7 1.2 V, rest 2.1"))["measurements"]
    assert [(one["of"], one["at"]) for one in said] == [("cell 3 cell 7", []), ("cells rest", [])]


def test_a_decimal_comma_before_a_comma_is_one_figure() -> None:
    said = meaning_of(read("cyl 1 21 bar, cyl2 20,5, cyl3 14"))["measurements"]
    assert [one["value"] for one in said] == ["21", "20.5", "14"]


@pytest.mark.parametrize(
    ("line", "field", "figure"),
    [
        ("used: 2 x 44-1020 disc, new @ R685.50", "price", "685.5"),
        ("used: 2 x 44-1020 filter @ kr 120", "price", "120"),
        ("used: 1 x 44-1020 brake hose, R95", "price", "95"),
        ("told: owner 14:20, yes to all but not over R3500", "ceiling", "3500"),
        ("1h45 gearbox oil drained and refilled", "hours", "1.75"),
    ],
)
def test_sums_with_a_sign_in_letters_and_hours_with_minutes(line: str, field: str, figure: str) -> None:
    assert meaning_of(read(line))[field] == figure


@pytest.mark.parametrize("line", ["used: 650 g R134a", "used: 1 tyre 195/65 R15", "used: 2 hub caps R16, chrome"])
def test_a_name_that_begins_with_the_letter_of_a_sum_costs_nothing(line: str) -> None:
    assert meaning_of(read(line))["price"] is None
