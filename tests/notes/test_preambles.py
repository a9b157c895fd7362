"""What a line begins with before it names a thing takes no part in what is read; common practice, no source."""

import pytest

from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read


def _stated(line: str) -> list[Json]:
    return list(meaning_of(read(f"found: {line}"))["measurements"])


@pytest.mark.parametrize("ahead", ["wheel off", "had it on the lift", "looked again today", "cover off"])
@pytest.mark.parametrize(
    "line",
    [
        "front discs NS 21.6 OS 22.3 mm, scrap below 22",
        "front tyres cold 32 psi NS, 24 OS",
        "leak down 5 psi in 1 min with brakes applied, max 4",
        "charging 14.1 V at 1200 rpm, 13.8-14.4",
        "rear rotors right 0.389 in left 0.402, discard 0.394",
    ],
)
def test_a_clause_in_front_changes_nothing(ahead: str, line: str) -> None:
    assert _stated(f"{ahead}, {line}") == _stated(line)


def test_a_thing_named_in_front_names_what_is_read_behind() -> None:
    (one,) = _stated("wiper motor current, low speed, glass wet 9.6 A")
    assert one["of"] == "wiper motor current"


@pytest.mark.parametrize("tail", ["", " so something is off", " on these"])
def test_a_refusal_turns_a_limit_round_whatever_follows(tail: str) -> None:
    (one,) = _stated(f"rail 95 psi, none should be under 130{tail}")
    assert (one["low"], one["high"], one["verdict"]) == ("130", None, "low")


@pytest.mark.parametrize("tail", ["", " worn", " or change it"])
def test_what_is_wished_is_not_turned_round_by_a_word_behind(tail: str) -> None:
    (one,) = _stated(f"push rod travel 1-1/2 inch, should be under 1-1/8 inch{tail}")
    assert (one["low"], one["high"], one["verdict"]) == (None, "1.125", "high")


def test_a_decimal_with_its_unit_glued_to_it_is_a_length_beside_an_outlet_too() -> None:
    *_, one = _stated("outlet temp L 143 F, R 211 F (max 72); pedal play 1.13in (1.02-1.81in)")
    assert (one["value"], one["unit"], one["verdict"]) == ("1.13", "in", "in")
