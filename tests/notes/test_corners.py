"""A side and an end with a stroke between them, and other short ways to name a corner; common practice, no source."""

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read


def _places(line: str) -> list[tuple[str, str]]:
    said = meaning_of(read(f"found: {line}"))
    return [(one["value"], " ".join(one["at"])) for one in said["measurements"]]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("tyre r/r 28 psi, l/r 34", [("28", "right rear"), ("34", "left rear")]),
        ("play l/r 0.4 mm r/r 0.05 mm", [("0.4", "left rear"), ("0.05", "right rear")]),
        ("tyre nearside/r 24 psi offside/r 36", [("24", "near side rear"), ("36", "off side rear")]),
        ("left back tyre 28 psi, right back 30", [("28", "left rear"), ("30", "right rear")]),
        ("lining f/l 7 mm", [("7", "left front")]),
        # two sides or two ends where two values stand in a row
        ("pads L/R 5/4 mm", [("5", "left"), ("4", "right")]),
        ("pads F/R 5 and 4 mm", [("5", "front"), ("4", "rear")]),
    ],
)
def test_a_corner_is_one_and_two_sides_are_two(line: str, wanted: list[tuple[str, str]]) -> None:
    assert _places(line) == wanted


@pytest.mark.parametrize("line", ["tyre l/r 28 psi (min 30)", "rotor F/R 4 mm, min 5"])
def test_one_value_at_what_may_be_a_corner_or_both_sides_is_asked_about(line: str) -> None:
    said = meaning_of(read(f"found: {line}"))
    assert said["questions"]
    assert all(not one["at"] and one["verdict"] == "none" for one in said["measurements"])
