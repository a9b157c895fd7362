"""What is said once for several readings, and what only looks like one more; common practice, no source."""

import pytest

from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read


def _stated(line: str) -> list[Json]:
    return list(meaning_of(read(f"found: {line}"))["measurements"])


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("hub temps after 12 min at 60 km/h LF 61 C, RF 108 C", ["after 12 min at 60 km/h"] * 2),
        ("high side 14.2 bar low side 2.1 bar, compressor 4000 rpm", ["4000 rpm"] * 2),
        ("module 3 at 41 C and module 4 at 33 C after 20 min of DC charge", ["after 20 min of dc charge"] * 2),
    ],
)
def test_two_conditions_ahead_or_one_behind_are_of_each(line: str, wanted: list[str]) -> None:
    assert [" ".join(one["when"]).casefold() for one in _stated(line)] == wanted


@pytest.mark.parametrize("line", ["hose 5/8 rub on the bracket, no hole yet", "hub about 1/2 mm rock"])
def test_a_size_or_half_a_unit_is_asked_about(line: str) -> None:
    said = meaning_of(read(f"found: {line}"))
    assert not said["measurements"]
    assert said["unread"]


def test_a_limit_from_side_to_side_judges_neither_side() -> None:
    assert [one["verdict"] for one in _stated("castor R 5.2 deg L 3.9 deg, max 0.5 deg side to side")] == ["none"] * 2


def test_the_unit_of_a_list_is_the_one_that_is_typed() -> None:
    said = _stated("LH disc thickness variation 0.02mm, RH .035, max .025")
    assert [(one["unit"], one["verdict"]) for one in said] == [("mm", "in"), ("mm", "high")]


def test_a_span_of_the_rest_is_read() -> None:
    said = _stated("cell 47 at 3.41 V, all the others 3.68 to 3.69 V")
    assert [(one["value"], one["to"]) for one in said] == [("3.41", None), ("3.68", "3.69")]


@pytest.mark.parametrize(("typed", "time"), [("14h10", "14:10"), ("at 9h05", "09:05")])
def test_a_time_with_a_letter_between_is_a_time(typed: str, time: str) -> None:
    assert meaning_of(read(f"told: Ada by phone {typed}, yes for all"))["time"] == time


@pytest.mark.parametrize(("line", "unit"), [("boost 24 lbs at 1600 rpm", "psi"), ("fuel press 62 pounds idle", "psi")])
def test_a_pound_of_a_named_pressure_is_one_on_each_square_inch(line: str, unit: str) -> None:
    (one,) = _stated(line)
    assert one["unit"] == unit


def test_a_mil_is_two_things_and_asked_about() -> None:
    said = meaning_of(read("found: gap 25 mil (max 30)"))
    assert said["questions"]
    assert all(one["verdict"] == "none" for one in said["measurements"])


def test_or_so_is_about() -> None:
    (one,) = _stated("pad 3 mm or so, min 4")
    assert (one["than"], one["verdict"]) == ("~", "low")


@pytest.mark.parametrize("told", ["once run 12 min", "having sat 12 min", "12 min later", "following a 12 min run"])
def test_how_long_it_ran_is_a_condition_in_other_words_too(told: str) -> None:
    (one,) = _stated(f"coolant 84 C {told}, max 95")
    assert (one["value"], one["when"], one["high"], one["verdict"]) == ("84", [told], "95", "in")


@pytest.mark.parametrize("told", ["turning 1500 rpm", "while holding 1500 rpm", "running 1500 rpm"])
def test_how_fast_it_ran_is_a_condition_in_other_words_too(told: str) -> None:
    (one,) = _stated(f"oil pressure 24 psi {told}, min 30")
    assert (one["value"], one["verdict"]) == ("24", "low")
    assert "1500" in one["when"][0]


def test_a_bracket_of_minutes_judges_nothing() -> None:
    assert all(one["verdict"] == "none" for one in _stated("batt 11.9 V (30 min) on charger"))
