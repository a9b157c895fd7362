"""Labour typed behind its thing, and labour typed by its name; common practice, no source."""

import pytest

from ticket.language.certain import read
from ticket.language.named_work import named_work, service
from ticket.language.records import Unsure
from ticket.language.sentences import sentences
from ticket.language.shortforms import spell


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("plug cleaned", "We cleaned the plug."),
        ("slide pin freed and greased", "We freed and greased the slide pin."),
        ("replaced pump, toe set", "We replaced the pump and set the toe."),
        ("fitted heater, coolant back in", "We fitted the heater and put the coolant back."),
        ("rear driveshaft out and in", "We took the rear driveshaft off and put it back."),
        ("fitted L outer tie rod end, toe set", "We fitted the left outer tie rod end and set the toe."),
        ("looked at fluids", "We looked at the fluids."),
    ],
)
def test_work_behind_its_thing_is_told_in_front(typed: str, told: str) -> None:
    meaning = read(typed, "did")
    assert not isinstance(meaning, Unsure)
    assert sentences(meaning, "en") == (told,)


@pytest.mark.parametrize(
    "typed", ["pipe cracked", "lights off and on", "sleeve pushed home, new clamp", "plug patched LR", "drum set"]
)
def test_what_may_be_a_state_or_a_thing_stays_as_typed(typed: str) -> None:
    assert isinstance(read(typed, "did"), Unsure)


@pytest.mark.parametrize(
    ("typed", "named"),
    [
        ("brake check", ("a brake check",)),
        ("front end look-over and road test", ("a front end look-over", "a road test")),
        ("cooling sys diag n road test", ("a cooling system diagnosis", "a road test")),
        ("oil service", ("an oil service",)),
        ("check brakes", ()),
        ("pressure test and find leak", ()),
        ("replaced pump service", ()),
        ("zorbel check", ()),
    ],
)
def test_work_by_its_name(typed: str, named: tuple[str, ...]) -> None:
    assert named_work(typed) == named


def test_a_service_by_its_name_with_what_it_held() -> None:
    assert service("15000 km service, oil and filter") == ("15000 km service", "oil and filter")
    assert service("250 h svc") == ("250 h service", "")
    assert service("replaced service light bulb") == ("", "")


def test_what_was_done_behind_its_thing_is_not_spread_over_what_follows() -> None:
    assert isinstance(read("shaft out & in, 2 u-joints", "did"), Unsure)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("stator AC 62 V at 5000 rpm", "Stator alternating current 62 V at 5000 rpm."),
        ("evap large leak", "Fuel vapor large leak."),
        ("AC blows warm", "Air conditioning blows warm."),
    ],
)
def test_a_short_form_by_what_stands_beside_it(typed: str, told: str) -> None:
    assert spell(typed, "found") == told
