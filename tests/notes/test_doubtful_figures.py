"""What may as well have been done, filled in, tightened to or named is asked about; what was read is stated.

Lines of a fork lift yard, made up beside the rule. Common practice of the trade, no source.
"""

import pytest

from ticket.job.kinds import Found
from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read
from ticket.readings.measured_groups import groups
from ticket.readings.verdict import judge


def said(line: str) -> Json:
    return meaning_of(read(line))


def stated(line: str) -> list[tuple[str, str | None, list[str]]]:
    return [(one["value"], one["unit"], one["at"]) for one in said(line)["measurements"]]


@pytest.mark.parametrize(
    "line",
    [
        "found: mast rail shortened 30 mm",
        "found: tilt cylinder bolts all checked at 95 Nm",
        "found: drive motor brushes set 0.4 mm",
        "found: mast chain slack reset to 30 mm",
        "found: gearbox topped 2.4 L",
        "found: ramp climbed with 1800 kg",
        "found: no leak at 12 bar",
        "found: no creep pumped up to 15 bar",
        "found: lift rope 12 mm, 3 strands broken",
        "pressures 32 36 35 31",
        "rears 6 and 4, one is done",
        "hole 40 x 15 mm in the mast",
        "mast tyre 14.9 bar no 1.49 bar",
        "front or rear mast pads 3 mm",
        "hub nut 280 Nm",
        "tyre pressures left 4 of them, 9",
    ],
)
def test_a_figure_that_nothing_says_was_read_is_asked_about(line: str) -> None:
    answer = said(line)
    assert answer["measurements"] == []
    assert answer["unread"], "a number fell silent"


@pytest.mark.parametrize(
    ("line", "readings"),
    [
        ("found: tilt pin turning torque 4 Nm", [("4", "Nm", [])]),
        ("found: mast leaked 0.2 L overnight", [("0.2", "L", [])]),
        ("found: drained 5.1 L, tank 7.3 L", [("5.1", "L", []), ("7.3", "L", [])]),
        ("found: sling scale reads 410 kg", [("410", "kg", [])]),
        ("found: torqued 95 Nm, breakaway 60 Nm", [("60", "Nm", [])]),
        ("found: m = 12.3 g", [("12.3", "g", [])]),
        ("found: mast bolts 60 Nm (min 95)", [("60", "Nm", [])]),
    ],
)
def test_a_word_for_a_measure_or_limits_say_that_it_was_read(line: str, readings: list[object]) -> None:
    assert stated(line) == readings


def test_the_likeliest_answer_puts_the_piece_in_quotes() -> None:
    (draft,) = read("found: mast rail shortened 30 mm")
    (remark,) = draft.remarks
    assert remark.answers == ('"30 mm"',)
    (again,) = read('found: mast rail shortened "30 mm"')
    assert again.remarks == ()
    assert isinstance(again.fact, Found)


def test_a_further_figure_of_another_thing_in_no_unit_is_asked_about() -> None:
    answer = said("recovered 0.9 lb, charge is 1.75")
    assert [one["value"] for one in answer["measurements"]] == ["0.9"]
    assert [one["text"] for one in answer["unread"]] == ["1.75"]


@pytest.mark.parametrize(
    ("line", "places"),
    [
        ("gap 2 mm at the rear joint", [[]]),
        ("inner spring broke, stroke 60 mm", [[]]),
        ("14 psi back pressure", [[]]),
        ("CAN H 2.7 V, CAN L 2.3 V", [[], []]),
        ("front hubs 60 C LF 41 C RF", [["left front"], ["right front"]]),
        ("mast pads 3 mm L 4 mm R rail 24.1 mm", [["left"], ["right"], []]),
        ("60 ohm between bus wires, pins 6 and 14", [["pin 6 pin 14"]]),
        ("rt rear wheel play 2 mm", [["right rear"]]),
        ("drive axle 7 6 5 7 mm", [[], [], [], []]),
        ("axle 2 left 7 mm", [["axle 2 left"]]),
    ],
)
def test_a_place_that_names_a_thing_is_a_word(line: str, places: list[list[str]]) -> None:
    assert [at for _value, _unit, at in stated(line)] == places


def test_a_lone_rr_asks_which_rear_it_is() -> None:
    (question,) = said("rr hub play 2 mm")["questions"]
    assert question["answers"] == ["RR hub play 2 mm", "rear hub play 2 mm"]
    assert said("rr hub 2 mm, lr hub 1 mm")["questions"] == []


@pytest.mark.parametrize(
    ("line", "readings"),
    [
        ("mast roller play .018", [("0.018", "in", [])]),
        ("12V rail 13.9", [("13.9", "V", [])]),
        ("mast flange 0.21 mm out, 0.1", [("0.21", "mm", [])]),
        ("track bolts 3 broken 5 loose", []),
        ("fan on 98 off 92 C", [("98", "C", []), ("92", "C", [])]),
        ("14.3 V idle, 14.1 loaded", [("14.3", "V", []), ("14.1", "V", [])]),
        ("mast tyre 6 5 4 mm across", [("6", "mm", []), ("5", "mm", []), ("4", "mm", [])]),
        ("hub runout 0.09 mm, disc 0.14", [("0.09", "mm", []), ("0.14", "mm", [])]),
        ("comp 150 148 95", [("150", "psi", []), ("148", "psi", []), ("95", "psi", [])]),
        ("tank test 30 psi, drops 12 in 15 s", [("30", "psi", []), ("12", "psi", [])]),
        ("front pads at 2 mm rears at 5", [("2", "mm", ["front"]), ("5", "mm", ["rear"])]),
        ("plug 5 volts, cyl 5 0.4 ohm, 6 open", [("0.4", "ohm", ["cylinder 5"])]),
        ("wheel nuts 3 loose of 10", []),
        ("takes 6 min 20 to lift", [("380", "s", [])]),
        ("oil pressures 1.9 and 24 bar 28 outside", [("1.9", "bar", []), ("24", "bar", [])]),
        ("mast cap 14 psi lets go at 9", [("9", "psi", [])]),
        ("carriage rim 1.9 mm lateral 0.8 radial", [("1.9", "mm", []), ("0.8", "mm", [])]),
        ("axle 1 hub 78 C, axle 2 only 34", [("78", "C", ["axle 1"]), ("34", "C", ["axle 2"])]),
        ("stroke 2-1/2in axle 1, 1 5/16in axle 2", [("2.5", "in", ["axle 1"]), ("1.3125", "in", ["axle 2"])]),
    ],
)
def test_what_the_thing_its_list_or_its_notation_says(line: str, readings: list[object]) -> None:
    assert stated(line)[-len(readings) :] == readings if readings else stated(line) == []


@pytest.mark.parametrize(
    ("line", "when"),
    [
        ("truck 14.4 V idle, 13.9 V with mast lamp, beacon and heater on", "with mast lamp, beacon and heater on"),
        ("truck 13.1 V w everything on", "w everything on"),
        ("after repair pressure 118 bar", "after repair"),
        ("alt 14.4 V, mast battery 13.6 V, engine 2000 rpm", "2000 rpm"),
        ("line pressure 55 psi in d, 210 psi in r", ""),
        ("blower 9.8 A on hi", "on hi"),
        ("hub 78 C after a 15 km tow, hub 2 34 C", "after a 15 km tow"),
        ("mast oil 71 C after 8 hr soak, tilt oil 33 C", "after 8 hr soak"),
        ("LR lamp drop 1.3 V beacon on, RR 0.06", "beacon on"),
        ("RF signal 0 Hz @ 20 mph, LF 410 Hz", "@ 20 mph"),
    ],
)
def test_how_it_was_read(line: str, when: str) -> None:
    assert when in ", ".join(said(line)["measurements"][-1]["when"])


def test_what_it_should_do_is_a_limit_whatever_the_verb() -> None:
    (one,) = said("mast lifts 22 psi, should see 30+")["measurements"]
    assert (one["low"], one["verdict"]) == ("30", "low")


@pytest.mark.parametrize(
    ("line", "low", "high", "verdict"),
    [
        ("imbalance 28 % over 25 allowed", None, "25", "high"),
        ("pads 2 mm, under the 3 allowed", "3", None, "low"),
        ("runout 0.1 mm over the 0.05 max", None, "0.05", "high"),
        ("pads 4 mm, over 3 allowed", "3", None, "in"),
        ("pads 2 mm below min 3", "3", None, "low"),
        ("runout 0.1 mm, over the max of 0.05", None, "0.05", "high"),
    ],
)
def test_a_sign_right_behind_a_reading_compares_it(line: str, low: str | None, high: str | None, verdict: str) -> None:
    (one,) = said(line)["measurements"]
    assert (one["low"], one["high"], one["verdict"]) == (low, high, verdict)


def test_limits_with_a_stroke_go_to_the_readings_in_turn() -> None:
    one, other = said("mast oil 18 psi hot idle 52 at 1500, min 15/45")["measurements"]
    assert (one["low"], one["verdict"], other["low"], other["verdict"]) == ("15", "in", "45", "in")


def test_room_that_is_wanted_is_the_least() -> None:
    (one,) = said("rust 40 mm from the mast anchor, inspector wants 150 clear")["measurements"]
    assert (one["low"], one["verdict"]) == ("150", "low")


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("later mast tyres, 5000 km or next service whichever turns up first", "later"),
        ("says mast drops in the night", "says"),
        ("did r&r mast pump and belt 2.3", "did"),
        ("no ans at 555-0133, lm 3pm", "told"),
        ("spn 3364/18, 4364/2 both inactive", "code"),
        ("later model mast", "found"),
        ("did not lift", "found"),
    ],
)
def test_a_word_of_the_notation_without_its_colon(line: str, kind: str) -> None:
    assert said(line)["kind"] == kind


@pytest.mark.parametrize(
    "line",
    [
        "bus H 2.71 V at pin 6, bus L 2.28 V pin 14, KOEO",
        "mast ref 4.98 V sig 1.62 V gnd 0.02 V KOEO",
        "hi side 342 psi lo side 61 idle",
    ],
)
def test_how_key_and_engine_stood_is_of_all_that_was_read(line: str) -> None:
    for one in said(line)["measurements"]:
        assert {"KOEO", "idle"} & set(one["when"]), one


def test_what_is_left_after_a_while_is_what_the_limit_is_for() -> None:
    answer = said("mast oil 51 psi KOEO, bleeds to 30 in 5 min, min 48")
    assert [one["verdict"] for one in answer["measurements"]] == ["none", "low"]
    assert answer["questions"]


@pytest.mark.parametrize(
    ("line", "readings"),
    [
        ("40 A maxi fuse good, 12.5 V in", [("12.5", "V", [])]),
        ("mast converter 28.1 in 13.4 out 22 A", []),
        ("lamp 12.1 V into switch 0 out", [("12.1", "V", [])]),
        ("wheel torque 175/90 Nm at L/R", [("175", "Nm", ["left"]), ("90", "Nm", ["right"])]),
        ("mast freq L/R 352 / 32 Hz", [("352", "Hz", ["left"]), ("32", "Hz", ["right"])]),
        ("mast lo side 45 no wait 54 psi, hi side 240 psi", [("240", "psi", [])]),
        ("plugs cyl 1 0.8 ohm, cyl 2 OL, cyl 3 0.9", [("0.8", "ohm", ["cylinder 1"]), ("0.9", "ohm", ["cylinder 3"])]),
        ("feed 3.2 V, comes back 5.01 V", [("3.2", "V", []), ("5.01", "V", [])]),
        ("pin to frame 0.9 V, nmt 0.3", [("0.9", "V", [])]),
    ],
)
def test_ratings_corrections_and_open_circuits(line: str, readings: list[object]) -> None:
    assert stated(line) == readings


@pytest.mark.parametrize(
    "line", ["mast test 150 psi, 20 min, no leaks", "held 50 psi, 20 min, no leaks", "mast soak 200 F, 30 min"]
)
def test_so_long_in_a_part_of_its_own_is_no_least_value(line: str) -> None:
    (one,) = said(line)["measurements"]
    assert (one["low"], one["verdict"]) == (None, "none")
    assert one["when"] or said(line)["unread"]


def test_a_least_value_near_what_was_read_stays_one() -> None:
    (one,) = said("mast oil press 45 psi, 50 min")["measurements"]
    assert (one["low"], one["verdict"]) == ("50", "low")


def test_a_sum_beside_a_consent_is_never_in_limits() -> None:
    answer = said("Rhoda approved at the yard 1430, not over 2k")
    assert all(one["verdict"] == "none" for one in answer["measurements"])


@pytest.mark.parametrize(
    "line",
    [
        "mast oil 41 psi, pump good for 60",
        "vacuum 14, needs 4 more",
        "float 0.3 A stays above the 50 mA sleep",
        "mast belt 91 % worn, 80 % change",
        "lift 32 mm over the 30 mark",
    ],
)
def test_what_is_no_bound_never_puts_a_reading_in_limits(line: str) -> None:
    answer = said(line)
    assert all(one["verdict"] == "none" for one in answer["measurements"]), answer["measurements"]
    assert answer["unread"] or answer["questions"]


@pytest.mark.parametrize(
    "line",
    ["1 x wq-4471 bar, max .015", "coolant was 10 f mix fluid 4% water, change at 3", "mast 92 s 5 to 8 bar, 60 s max",
     "only, stamped coil 33 hooks 40 actuator R, x"],
)  # fmt: skip
def test_no_line_ends_the_reader(line: str) -> None:
    assert said(line)["kind"]


def test_what_is_told_behind_a_list_of_sides_was_read_at_none_of_them() -> None:
    assert [at for _value, _unit, at in stated("lamp left 11.4 V, right 12.6, truck battery 13.8")] == [
        ["left"],
        ["right"],
        [],
    ]


@pytest.mark.parametrize("line", ["3 lamps 63..54", "found: 2 hoses 4..", "found: 3 clips 1..2 mm (min 3)"])
def test_what_is_no_figure_behind_a_count_leaves_the_line_readable(line: str) -> None:
    """Two full stops in one figure make no amount of it."""
    (draft,) = read(line)
    assert draft.fact.kind == "found"
    assert all(verdict.word == "none" for group in groups(draft.fact) for verdict in judge(group.run))
