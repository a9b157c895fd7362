"""How warm it was around a thing, and how far it was driven, is never judged by the limits of what was measured."""

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read

AIR = ["{} F out", "{} F outside", "{} F in shop", "{} F ambient", "{} F in the bay", "{} F shade", "{} F in traffic"]
"""The last says nothing that anybody knows: it may be asked about."""


def verdicts(line: str) -> list[tuple[str, str]]:
    return [(taken["value"], taken["verdict"]) for taken in meaning_of(read(line))["measurements"]]


@pytest.mark.parametrize("around", AIR)
@pytest.mark.parametrize("thing", ["", "housing "])
def test_what_was_around_it_never_passes_in_its_place(around: str, thing: str) -> None:
    told = verdicts(f"found: {thing}236 F idling, {around.format(101)} (under 220)")
    assert ("101", "in") not in told
    assert ("236", "in") not in told


@pytest.mark.parametrize("around", AIR[:-1])
def test_what_was_around_it_condemns_nothing(around: str) -> None:
    assert verdicts(f"proof: vent 44 F at 1500 rpm, {around.format(99)} (under 50)") == [("44", "in")]


def test_what_leaves_a_core_is_measured() -> None:
    assert ("60", "low") in verdicts("found: heater core 82 C in, 60 C out (min 65)")


@pytest.mark.parametrize("drove", ["drove 24 mi", "road test 40 km", "hauled 12 miles"])
@pytest.mark.parametrize("read", ["topped at 214 F", "peaked at 214 F", "climbed as far as 214 F"])
def test_how_far_it_was_driven_is_not_what_is_allowed(drove: str, read: str) -> None:
    told = verdicts(f"found: {drove} up the grade, 104 F out, {read} (under 230)")
    assert all(value not in ("24", "40", "12", "104") or verdict == "none" for value, verdict in told)


def test_a_named_reading_in_front_leaves_the_next_its_limits() -> None:
    assert verdicts("found: oil 41 C, coolant 92 C (85-105)")[1] == ("92", "in")
