"""Conditions that stand in a comma part of their own, and moments before and after: common practice, no source."""

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("oil pressure, hot, 2500 rpm, 40 psi (min 35)", [("40", "hot, 2500 rpm", "in")]),
        ("soot filter, 2500 rpm, hot 0.1 kPa (2.0 to 6.0 per maker)", [("0.1", "2500 rpm, hot", "low")]),
        ("bleed-down 3 psi in 1 min, parking brakes applied, max 4", [("3", "in 1 min, parking brakes applied", "in")]),
        ("probe stuck on 0.2 V, held 2500 rpm", [("0.2", "held 2500 rpm", "none")]),
        ("pump feed 10.4 V w/ pump pulling 8 amps, at least 11.5", [("10.4", "w/ pump pulling 8 amps", "low")]),
        ("press shows 900 kPa at the 130 psi mark", [("900", "at the 130 psi mark", "none")]),
        ("steam 54 psi hi side 190 psi @ 1500 rpm, 80 F ambient",
         [("54", "@ 1500 rpm, 80 F ambient", "none"), ("190", "@ 1500 rpm, 80 F ambient", "none")]),
        ("return over 30 s, cyl 1 11 mL, cyl 2 12 mL", [("11", "over 30 s", "none"), ("12", "over 30 s", "none")]),
    ],
)  # fmt: skip
def test_a_condition_of_its_own_belongs_to_what_was_read_under_it(
    line: str, wanted: list[tuple[str, str, str]]
) -> None:
    said = meaning_of(read(line))["measurements"]
    assert [(one["value"], one["when"][0], one["verdict"]) for one in said] == wanted


@pytest.mark.parametrize(
    ("line", "older", "newer"),
    [
        ("toe was 4.1 mm now 1.2", "4.1", "1.2"),
        ("stroke 1.2 mm, was 3.9", "3.9", "1.2"),
        ("drop 0.9 V before cleaning, 0.1 after", "0.9", "0.1"),
    ],
)
def test_the_two_ends_of_a_change_say_which_is_the_older(line: str, older: str, newer: str) -> None:
    said = {one["value"]: " ".join(one["when"]) for one in meaning_of(read(line))["measurements"]}
    assert "before" in said[older]
    assert "before" not in said[newer]
