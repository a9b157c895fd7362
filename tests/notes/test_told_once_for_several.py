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
