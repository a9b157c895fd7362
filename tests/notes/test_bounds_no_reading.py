"""Numbers that bound, advise, stamp or set are no reading, nor are clock positions; common practice, no source."""

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read

Told = list[tuple[str, str]]


def told(line: str) -> Told:
    """Each value with its verdict."""
    return [(one["value"], one["verdict"]) for one in meaning_of(read(line))["measurements"]]


def is_asked(line: str) -> bool:
    """Whether something of the line is open."""
    said = meaning_of(read(line))
    return bool(said["questions"] or said["unread"])


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("drums 229.8 mm, we recommend below 230 mm", [("229.8", "none")]),
        ("belt tension 120 N, recommended 150", [("120", "none")]),
        ("motor casing 84 C, cutoff 80 C", [("84", "none")]),
        ("disc 24.1 mm front, 22 mm stamped on the bell", [("24.1", "none")]),
        ("lathe belt tightened to 300 N", []),
        ("2 L coolant premixed", []),
    ],
)
def test_a_number_behind_a_word_that_bounds_or_sets_is_asked_about(line: str, wanted: Told) -> None:
    assert told(line) == wanted
    assert is_asked(line)


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("drum 230.6 mm; 231 mm cast as maximum", [("230.6", "in")]),
        ("drum 231.4 mm; 231 mm cast as maximum", [("231.4", "high")]),
        ("disc 21.4 mm, 22 mm marked on it as min", [("21.4", "low")]),
        ("hand brake 14 % on the rollers, 16 % required", [("14", "low")]),
    ],
)
def test_a_mark_that_says_its_side_is_a_limit(line: str, wanted: Told) -> None:
    assert told(line) == wanted


def test_a_change_to_a_value_stays_a_reading() -> None:
    assert told("rear tire 22 psi, aired to 35") == [("22", "none"), ("35", "none")]


def test_what_was_set_first_is_a_condition_of_what_was_read_then() -> None:
    (one,) = meaning_of(read("tank pumped to 7 bar, dropped 0.4 bar in 3 min"))["measurements"]
    assert one["value"] == "0.4"
    assert "7 bar" in " ".join(one["when"])


@pytest.mark.parametrize(
    ("line", "values"),
    [
        ("RR wheel rocks 2 mm at 12 and 6 o'clock, nothing 3 and 9", ["2"]),
        ("RR hub rocks 2 mm, none 3 and 9, all of it 12 and 6", ["2"]),
        ("pads 3 and 9 mm", ["3", "9"]),
    ],
)
def test_hours_across_the_dial_are_places(line: str, values: list[str]) -> None:
    assert [value for value, _ in told(line)] == values


@pytest.mark.parametrize(
    ("line", "places"),
    [
        ("brake force 1480 N L, 1010 N R, imbalance 32 %", [["left"], ["right"], []]),
        ("pipe rubbed to 0.5 mm by the left wheel arch", [[]]),
        ("tyres 4 mm in the centre, 2 mm at the outer edge", [["center"], ["outer"]]),
    ],
)
def test_a_place_goes_on_to_nothing_else(line: str, places: list[list[str]]) -> None:
    assert [one["at"] for one in meaning_of(read(line))["measurements"]] == places


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("front linings 5, min 4 mm", [("5", "none")]),  # 5/32 in is 3.97 mm
        ("front linings 3, min 4 mm", [("3", "low")]),  # low in both
        ("front linings 5 mm, min 4 mm", [("5", "in")]),
        ("front linings LF 5 RF 6 mm, min 4 mm", [("5", "in"), ("6", "in")]),
    ],
)
def test_a_lining_without_a_unit_is_not_judged_in(line: str, wanted: Told) -> None:
    assert told(line) == wanted
    assert is_asked(line) == any(verdict == "none" for _, verdict in wanted)
