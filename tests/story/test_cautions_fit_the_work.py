"""A caution is told for what was done to which system of which vehicle, and for nothing that only sounds like it.

Which work opens which system is common practice of the trade, no source; the words of each caution name theirs.
"""

from dataclasses import replace
from datetime import date

import pytest

from support.tickets import ticket_of
from ticket.job.case import Case, Settings
from ticket.story.cautions import called_for, cautions
from ticket.story.context import Job
from ticket.story.facts.systems import vehicle_kind
from ticket.story.precautions import cautions_for


def case_of(*lines: str, vehicle: str = "") -> Case:
    ticket = ticket_of(lines)
    header = replace(ticket.header, vehicle=replace(ticket.header.vehicle, label=vehicle))
    return Case(replace(ticket, header=header), Settings(), date(2026, 3, 2))


def told(*lines: str, vehicle: str = "") -> set[str]:
    return {caution.id for caution, _ in called_for(Job(case_of(*lines, vehicle=vehicle)))}


@pytest.mark.parametrize(
    ("caution", "line", "alike"),
    [
        ("wheels-off", "did: r/r rear pads and rotors", "did: replace brake light switch"),
        ("wheels-off", "did: rotate tires", "did: set tire pressure"),
        ("wheels-off", "did: replaced both front struts", "did: replaced tailgate strut"),
        ("battery", "did: replaced battery", "did: replaced battery coolant pump"),
        ("battery", "did: charge battery", "did: replaced key battery"),
        ("battery", "used: 1 x BT-70 battery, new @ 120.00", "used: 1 x BC-4 battery cable, new @ 12.00"),
        ("hot-coolant", "did: r&r water pump", "did: replace radiator fan motor"),
        ("hot-coolant", "did: replaced coolant pump of hybrid battery", "did: replaced washer pump"),
        ("fuel", "did: replace fuel pump", "did: replace fuel pump relay"),
        ("refrigerant", "did: evac, r&r condenser", "did: replaced points condenser"),
        ("exhaust", "did: weld exhaust pipe", "did: replace exhaust camshaft sensor"),
        ("glass-camera", "did: replace windshield", "did: replace windshield wipers"),
        ("airbag", "did: replace clock spring", "did: replace clock"),
    ],
)
def test_a_caution_belongs_to_the_work_that_opens_its_system(caution: str, line: str, alike: str) -> None:
    assert caution in told(line)
    assert caution not in told(alike)


def test_looking_at_a_system_calls_for_no_caution_about_work_on_it() -> None:
    assert told("did: inspected brake pads", "did: check radiator", "did: load test battery") == set()


def test_a_motorcycle_is_told_nothing_of_wheel_nuts_nor_a_trailer_of_an_engine() -> None:
    pads = "did: replace front brake pads"
    assert "wheels-off" in told(pads, vehicle="2018 Veldra wagon")
    assert "wheels-off" not in told(pads, vehicle="2018 Tarrin 650 motorcycle")
    assert "wheel-refit" not in {one.precaution.id for one in cautions_for(case_of(pads, vehicle="Tarrin motorcycle"))}
    assert "wheel-refit" in {one.precaution.id for one in cautions_for(case_of(pads, vehicle="Veldra wagon"))}
    assert "exhaust" not in told("did: replace muffler", vehicle="tandem trailer")


def test_high_voltage_is_told_of_a_vehicle_that_has_it_whatever_was_done() -> None:
    assert "high-voltage" in told("found: hybrid battery fan clogged", "did: cleaned fan")
    assert "high-voltage" not in told("found: charging voltage high", "did: replaced alternator")


def test_an_engine_that_may_stop_is_warned_of_until_its_cause_is_put_right() -> None:
    stalls = ("says: engine stalls at lights", "found: idle valve stuck")
    assert "engine-may-stop" in told(*stalls)
    fixed = (*stalls, "cause: idle valve stuck; from 2", "did: replace idle valve", "used: 1 x IV-3 idle valve @ 40.00")
    assert "engine-may-stop" not in told(*fixed, "proof: road test 8 mi, idle steady")


def test_every_row_names_a_system_of_the_table_and_what_it_rests_on() -> None:
    for caution in cautions():
        assert caution.source
        assert caution.system.startswith("words: ") or caution.system in SYSTEMS
        assert {vehicle_kind(kind) for kind in caution.never_on.split()} <= {
            "",
            "machine",
            "trailer",
            "cycle",
            "boat",
            "implement",
        }


SYSTEMS = {
    "wheel-end", "cooling", "air-suspension", "refrigerant", "exhaust", "windshield", "battery", "high-voltage",
    "airbag", "fuel",
}  # fmt: skip
