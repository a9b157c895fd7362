"""How warm it was while something was read, and hours of work without their word: common practice, no source."""

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read


@pytest.mark.parametrize(
    ("line", "value", "verdict"),
    [
        ("charge pressure 310 psi at 1900 rpm fluid 160F, min 280", "310", "in"),
        ("genset oil press 48 psi at 1800 rpm coolant 180F, min 50", "48", "low"),
        ("case drain 3.1 gal/min at 2000 psi fluid 150F, max 3", "3.1", "high"),
        ("iat thermistor 2.6k at 20C, spec 2.3-2.6", "2.6", "in"),
        ("cell spread 0.04 V, read at 38 % SOC", "0.04", "none"),
    ],
)
def test_a_circumstance_is_no_reading(line: str, value: str, verdict: str) -> None:
    said = [(one["value"], one["verdict"]) for one in meaning_of(read(line))["measurements"]]
    assert said == [(value, verdict)]


def test_a_limit_that_may_be_the_fluids_judges_nothing() -> None:
    said = meaning_of(read("oil press 48 psi at 1800 rpm coolant 180F, max 195"))
    assert {one["verdict"] for one in said["measurements"]} == {"none"}
    assert said["questions"] or said["unread"]


@pytest.mark.parametrize("line", ["crane whines under 30F", "brake squeals below 40F", "clutch slips over 200F"])
def test_when_a_thing_misbehaves_is_asked_about_and_measures_nothing(line: str) -> None:
    said = meaning_of(read(line))
    assert said["measurements"] == []
    assert said["unread"]


@pytest.mark.parametrize(
    ("line", "kind", "hours"),
    [
        ("3h tilt cylinder out and in", "did", "3"),
        ("1.5 h gearbox off and on, book 2", "did", "1.5"),
        ("1.2 hr trace the dead dome lamp, chafed at the hinge", "did", "1.2"),
        ("0.5 h tightened head bolts to 90 Nm", "did", "0.5"),
        ("gearbox out and in", "found", None),
        ("did: refilled the final drive, 4.1 L out, it takes 6.2", "did", None),
        ("did half or one hr on the coupler", "found", None),
    ],
)
def test_hours_that_open_a_line_of_work_are_billed_and_two_figures_are_not(
    line: str, kind: str, hours: str | None
) -> None:
    said = meaning_of(read(line))
    assert (said["kind"], said["hours"], said["measurements"]) == (kind, hours, [])
