"""Words and figures without their space, and what the parts of one line have in common: common practice, no source."""

import pytest

from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read


def _stated(line: str) -> list[Json]:
    stated: list[Json] = meaning_of(read(line))["measurements"]
    return stated


def _judged(line: str) -> list[tuple[str, str | None, str | None, str]]:
    return [(one["value"], one["low"], one["high"], one["verdict"]) for one in _stated(line)]


@pytest.mark.parametrize(
    ("line", "apart"),
    [
        ("tie rod play0.8mm max 0.5", "tie rod play 0.8 mm max 0.5"),
        ("rear slip2.4%, max 2", "rear slip 2.4 %, max 2"),
        ("chain sag was 41 mm now28, 20-30", "chain sag was 41 mm now 28, 20-30"),
        ("points gap 9 thou shouldbe 12 to 14", "points gap 9 thou should be 12 to 14"),
        ("rail 52 psi at1800, min 50", "rail 52 psi at 1800, min 50"),
        ("rail 48 psi atleast 50", "rail 48 psi at least 50"),
    ],
)
def test_a_missing_space_changes_nothing_that_is_stated(line: str, apart: str) -> None:
    assert _judged(line) == _judged(apart)
    assert any(verdict in ("low", "high", "in") for *_, verdict in _judged(line))


@pytest.mark.parametrize("name", ["PAG46", "SAE30", "R134a", "AT2105", "DOT5.1"])
def test_a_name_with_digits_is_no_figure(name: str) -> None:
    assert _stated(f"filled with {name}, no leaks") == []


@pytest.mark.parametrize("verb", ["are", "were", "read", ""])
def test_a_count_in_front_of_a_verb_names_the_places(verb: str) -> None:
    stated = _stated(f"glow plugs 1 to 3 {verb} 0.7 1.4 0.6 ohm")
    expected = [("cylinder 1", "0.7"), ("cylinder 2", "1.4"), ("cylinder 3", "0.6")]
    assert [(one["at"][0], one["value"]) for one in stated] == expected


@pytest.mark.parametrize(
    ("line", "judged"),
    [
        # of two values only the one whose name the limits carry
        ("gov cut in 92 cut out 131 psi cut out s/b 120-135", [("92", None, None), ("131", "120", "135")]),
        ("supply 11.9 return 0.4 v return max 0.2", [("11.9", None, None), ("0.4", None, "0.2")]),
        # of two speeds only the one the limits are for; no reading was taken at two speeds
        ("oil press 24 psi idle 58 psi at 2100 rpm min 12 idle", [("24", "12", None), ("58", None, None)]),
        # one time said for both sides
        ("left ram drops 29 mm in 10 min right 3 mm max 12", [("29", None, "12"), ("3", None, "12")]),
    ],
)
def test_limits_judge_what_their_words_name(line: str, judged: list[tuple[str, str | None, str | None]]) -> None:
    assert [found[:3] for found in _judged(line)] == judged


def test_a_speed_without_its_unit_in_front_of_a_least_value_is_no_time() -> None:
    (one,) = _stated("oil press 48 psi at 1900 min 30")
    assert (one["value"], one["low"], one["when"]) == ("48", "30", ["at 1900"])
    assert _stated("oil press 24 psi at 650 rpm 58 psi at 1900 min 12 idle")[1]["verdict"] == "none"


@pytest.mark.parametrize(("axle", "at"), [("rear", ["rear"]), ("front", ["front"]), ("axle 2", ["axle 2"])])
def test_what_compares_the_sides_is_of_their_axle(axle: str, at: list[str]) -> None:
    *_, one = _stated(f"{axle} rollers n/s 160 o/s 148 kg, imbalance 7.5 %")
    assert (one["of"], one["at"], one["value"]) == ("imbalance", at, "7.5")


@pytest.mark.parametrize("gear", ["2nd gear", "in 3rd gear", "in 10th gear"])
def test_a_gear_is_how_it_was_read(gear: str) -> None:
    (one,) = _stated(f"boost 0.7 bar {gear}")
    assert (one["of"], one["when"]) == ("boost", [gear])


def test_a_side_in_short_letters() -> None:
    stated = _stated("rt side hub end play .009 in lt side .003 limit .001-.005")
    assert [(one["at"], one["verdict"]) for one in stated] == [(["right"], "high"), (["left"], "in")]


@pytest.mark.parametrize("thing", ["remote", "boom", "winch"])
@pytest.mark.parametrize(("measure", "unit"), [("flow", "L/min"), ("pressure", "bar"), ("temp", "C")])
def test_a_number_in_front_of_a_measure_and_its_figure_is_of_the_name(thing: str, measure: str, unit: str) -> None:
    (one,) = _stated(f"{thing} 2 {measure} 61 {unit}")
    assert (one["of"], one["value"]) == (f"{thing} 2 {measure}", "61")


@pytest.mark.parametrize(
    ("line", "whens"),
    [
        ("oil press 79 cold 26 psi hot", ["cold", "hot"]),
        ("charge press 310 low idle 390 psi high idle", ["low idle", "high idle"]),
    ],
)
def test_one_unit_is_enough_for_two_states_side_by_side(line: str, whens: list[str]) -> None:
    assert [(one["unit"], one["when"]) for one in _stated(line)] == [("psi", [when]) for when in whens]


@pytest.mark.parametrize(
    ("line", "at"), [("one rear shoe 1.2 mm other one 3, min 1.5", "rear"), ("one coil 0.7 mm other 1.9, min 1.5", "")]
)
def test_of_two_that_nobody_tells_apart_both_are_read_and_asked_about(line: str, at: str) -> None:
    one, other = _stated(line)
    assert (one["of"], one["at"], one["verdict"]) == (other["of"], other["at"], "low")
    assert (other["verdict"], " ".join(one["at"])) == ("in", at)
    assert len(meaning_of(read(line))["questions"]) == 2


def test_a_letter_in_front_of_another_state_is_no_unit_and_a_bound_no_condition() -> None:
    assert {one["unit"] for one in _stated("restriction 8 inHg, 3 w new")} <= {"inHg", None}
    (one,) = _stated("air loss 3 psi in 1 min brakes on max 2")
    assert (one["high"], one["verdict"]) == ("2", "high")


@pytest.mark.parametrize(
    ("line", "low", "high"),
    [("imbalance 38 % fails over 30", None, "30"), ("front pads 2 mm fail under 3", "3", None)],
)
def test_a_word_for_failing_leads_a_bound_right_behind_the_value(line: str, low: str | None, high: str | None) -> None:
    (one,) = _stated(line)
    assert (one["low"], one["high"], one["verdict"]) == (low, high, "low" if low else "high")
