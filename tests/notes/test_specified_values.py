"""One figure that a thing should have is kept as its specified value and judges nothing. Common practice, no source."""

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read

Specified = list[tuple[str, str | None, str]]


def specified(line: str) -> Specified:
    """Each value with the one specified for it, and its verdict."""
    said = meaning_of(read(line))
    return [(one["value"], one.get("nominal"), one["verdict"]) for one in said["measurements"]]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("boost actual 1.1 bar, requested 1.4", [("1.1", "1.4", "none")]),
        ("fan stat closes at 84 C instead of 92", [("84", "92", "none")]),
        ("expansion cap lifts at 0.7 bar, 1.1 stamped on it", [("0.7", "1.1", "none")]),
        ("shackle pin 24.1 mm new 25", [("24.1", "25", "none")]),
        ("lever travel 40 mm vs 55", [("40", "55", "none")]),
        ("axle stub 34.9 mm where the seal runs, new part measures 35.1", [("34.9", "35.1", "none")]),
        ("hinge bolt 40 Nm, found 22", [("22", "40", "none")]),
    ],
)
def test_another_state_of_the_thing_is_a_specified_value(line: str, wanted: Specified) -> None:
    assert specified(line) == wanted


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        ("shackle pin 24.1 mm new 25 wear limit 24.5", "low"),
        ("sleeve bore 60.1 mm, new 60.0, limit 60.2", "in"),
        ("valve spring free length 312 mm new 325 limit 318", "low"),
        ("valve spring free length 312 mm, limit 318", "none"),
    ],
)
def test_a_thing_wears_from_what_it_was_new_to_its_limit(line: str, verdict: str) -> None:
    assert [told for _, _, told in specified(line)] == [verdict]


@pytest.mark.parametrize(
    "line",
    ["ball is 50 mm, coupler stamped 52", "belt slack 12 mm old, new 5", "tank gauge 1/4 but the other is 3/4 full"],
)
def test_another_thing_or_moment_is_none(line: str) -> None:
    assert all(nominal is None for _, nominal, _ in specified(line))
