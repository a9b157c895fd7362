"""How a thing was read: states, slopes, speeds, the air and the moment of the work; common practice, no source."""

import pytest

from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read


def _stated(line: str) -> list[Json]:
    return list(meaning_of(read(f"found: {line}"))["measurements"])


def _when(line: str) -> list[str]:
    return [" ".join(one["when"]) for one in _stated(line)]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        # a thing and its state, behind a marker, behind a value, or in a part of its own
        ("supply 56.8 V w/ both heaters running, 55 to 60 ok", ["w/ both heaters running"]),
        ("feed 27.9 V 1500 rpm all lamps on", ["1500 rpm all lamps on"]),
        ("boom creeps 12 mm in 5 min, bucket empty", ["in 5 min, bucket empty"]),
        ("panel 18.9 V in, 13.2 V out, full sun", ["full sun"] * 2),
        # the engine ran so fast while what stands behind was read
        ("1500 rpm high 365 psi low 52 psi", ["1500 rpm"] * 2),
        # the air is around all of it
        ("high 342 psi idle, 365 psi at 1500 rpm, ambient 41 C", ["idle, ambient 41 C", "at 1500 rpm, ambient 41 C"]),
        # what was found before the work and left behind it
        ("relief 155 bar as found 178 as left", ["as found before", "as left after"]),
        ("hub 54 C, was 88 before the new bearing", ["after", "before, before the new bearing"]),
    ],
)
def test_how_it_was_read_is_of_all_it_can_be_of(line: str, wanted: list[str]) -> None:
    assert _when(line) == wanted


def test_a_run_that_opens_a_test_is_how_all_behind_it_was_read() -> None:
    (one,) = meaning_of(read("proof: ran heater 20 min, plenum 58 C, stayed lit"))["measurements"]
    assert one["when"] == ["20 min"]


def test_a_tolerance_apart_is_of_each_specified_value() -> None:
    line = "low idle 640 rpm, high idle 2430. book 750 and 2400, +/-50"
    assert [(one["low"], one["high"], one["verdict"]) for one in _stated(line)] == [
        ("700", "800", "low"),
        ("2350", "2450", "in"),
    ]


def test_a_sum_in_rand_is_a_sum() -> None:
    said = meaning_of(read("told: Ada by email, go ahead all, R8450 total, not above R9000"))
    assert (said["total"], said["ceiling"]) == ("8450", "9000")
    assert meaning_of(read("used: 1 x 88-F104 filter R212,50"))["price"] == "212.5"


def test_a_slope_is_where_a_thing_was_tried_and_no_reading() -> None:
    assert _stated("brake holds 15% ramp") == []


def test_two_bare_numbers_in_a_code_are_no_truck_fault_for_sure() -> None:
    (code,) = meaning_of(read("code: 2-7 throttle, stored"))["codes"]
    assert (code["code"], code["spn"], code["fmi"]) == ("2-7", None, None)


def test_what_one_and_the_other_read_is_no_number_of_a_place() -> None:
    said = meaning_of(read("found: 18 bar one port 14 other"))
    assert all("14" not in " ".join(one["at"]) for one in said["measurements"])
    assert said["questions"] or said["unread"]


def test_none_allowed_bounds_what_was_read_whatever_follows() -> None:
    (one,) = _stated("drop test lost 0.5 psi in 3 min, none allowed so something leaks")
    assert (one["high"], one["verdict"]) == ("0", "high")
