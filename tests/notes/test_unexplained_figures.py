"""A figure beside a reading that nothing says to be one is unread; the words in these lines stand in no list."""

import pytest

from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read


def _said(line: str) -> Json:
    return meaning_of(read(f"found: {line}"))


@pytest.mark.parametrize(
    ("line", "stated", "unread"),
    [
        # right behind a condition with a figure stands more of the condition
        ("pump flow 41 l/min at 1700 rpm 140 bar", ["41"], ["140 bar"]),
        ("insulation 0.2 Mohm 500 V (min 1)", ["0.2"], ["500 V"]),
        # an open end behind what was read says what would be bad, or as well what was read
        ("fan 7.2 A on low, over 9 A bad", ["7.2"], []),
        # a span behind what was read in its unit says what it should be, or as well what was read
        ("feed 14.2 V at 5000 rpm lamps on now 13.5-14.8", ["14.2"], ["13.5-14.8"]),
        # how warm something was meanwhile
        ("relief 345 bar gronk open sludge 52 C", ["345"], ["52 C"]),
        # a rating in front of the noun it belongs to
        ("60 A pump motor good, 12.4 V in, 12.3 V out", ["12.4", "12.3"], ["60 A"]),
        # alone in no unit at no place
        ("rest 12.4 V at 20 C, drawer only 1165", ["12.4"], ["1165"]),
    ],
)
def test_a_figure_that_nothing_explains_is_unread(line: str, stated: list[str], unread: list[str]) -> None:
    said = _said(line)
    assert [one["value"] for one in said["measurements"]] == stated
    assert set(unread) <= {one["text"] for one in said["unread"]}


@pytest.mark.parametrize(
    ("line", "stated"),
    [
        ("oil 28 psi at 700 rpm 62 psi at 2100 rpm", ["28", "62"]),
        ("sensor gap 1.8 mm RR, 0.9 the rest", ["1.8", "0.9"]),
        ("element 18 ohm, to ground above 2 Mohm", ["18", "2"]),
        ("low side 52 high side 165 at 1800 rpm", ["52", "165"]),
    ],
)
def test_a_figure_with_a_word_a_place_or_a_condition_of_its_own_is_stated(line: str, stated: list[str]) -> None:
    assert [one["value"] for one in _said(line)["measurements"]] == stated


def test_how_many_of_a_thing_is_no_reading_at_a_place_either() -> None:
    said = _said("mount bal 2 tires and patch plug RR")
    assert not said["measurements"]
    assert said["unread"]
