"""A figure stays with its own word, and what only looks like a reading is none. The lines are invented."""

from fractions import Fraction
from itertools import product

import pytest

from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read

THINGS = ("hoist pump", "cooler", "tilt motor", "ram")
PAIRS = {
    "bar": (("discharge", "suction"), ("supply", "return"), ("L1", "L2")),
    "V": (("up", "down"), ("red", "blue"), ("pos", "neg")),
    "mm": (("runout", "endplay"), ("axial", "radial"), ("long", "deep"), ("thick", "wide")),
}


def _said(line: str) -> Json:
    return meaning_of(read(line))


def _named(line: str) -> dict[Fraction, str]:
    return {Fraction(one["value"]): one["of"] or "" for one in _said(line)["measurements"]}


def _open(line: str) -> list[str]:
    said = _said(line)
    return [line[one["start"] : one["end"]] for one in (*said["unread"], *said["questions"])]


@pytest.mark.parametrize("unit", PAIRS)
def test_a_name_behind_each_value_is_of_the_value_before_it(unit: str) -> None:
    for thing, (one, other) in product(THINGS, PAIRS[unit]):
        for first, second in ((one, other), (other, one)):
            named = _named(f"{thing} 7.1 {unit} {first} 3.2 {unit} {second}")
            assert first in named[Fraction("7.1")], (thing, first, named)
            assert second not in named[Fraction("7.1")]
            assert second in named[Fraction("3.2")], (thing, second, named)
            assert first not in named[Fraction("3.2")]


def test_a_name_in_front_of_each_value_is_of_the_value_behind_it() -> None:
    for (one, other), thing in product((("inlet", "outlet"), ("supply", "return"), ("red", "blue")), THINGS):
        named = _named(f"{thing} {one} 7.1 bar {other} 3.2 bar")
        assert one in named[Fraction("7.1")]
        assert other in named[Fraction("3.2")]
        assert other not in named[Fraction("7.1")]


def test_a_measure_goes_with_the_only_value_it_can_measure() -> None:
    named = _named("slew bearing 0.4 mm clearance 61 kPa")
    assert "clearance" in named[Fraction("0.4")]
    assert "clearance" not in named[Fraction(61)]


def test_two_names_that_can_stand_on_either_side_are_asked_about() -> None:
    assert _said("steer 3 mm drag link 1 mm tie rod")["measurements"] == []
    assert _open("steer 3 mm drag link 1 mm tie rod")


@pytest.mark.parametrize("rate", ["a min", "per minute", "each hour", "a day", "every 5 min"])
@pytest.mark.parametrize("value", ["2 psi", "12 drops", "9 mm"])
def test_a_rate_is_no_limit(rate: str, value: str) -> None:
    (one,) = _said(f"gland loses {value} {rate}")["measurements"]
    assert one["value"] == value.split(maxsplit=1)[0]
    assert one["low"] is None
    assert one["verdict"] == "none"
    assert any(rate in when for when in one["when"])


def test_a_limit_that_is_a_rate_judges_nothing_but_a_rate() -> None:
    assert _said("gland loses 30 mm, max 10 per min")["measurements"][0]["verdict"] == "none"
    assert _said("gland loses 30 mm per min, max 10 per min")["measurements"][0]["verdict"] == "high"


@pytest.mark.parametrize(
    ("line", "values"),
    [
        ("open at plug 7, 0 V at pin 2", ["0"]),
        ("feed 42 % tank 1, 88 % tank 2", ["42", "88"]),
        ("stud 3 stripped, others 90 Nm", ["90"]),
        ("crane 1.5 t on the hook, sinks 10 mm", ["10"]),
        ("coupler torqued 200 Nm, play 1.5 mm", ["1.5"]),
        ("tarp motor 38 A, breaker 40 A", ["38"]),
        ("drain tank 1/3 full, 12 V", ["12"]),
        ("ram drifts 90 mm in 10 min 1500 kg", ["90"]),
        ("tow bar socket 7 pin, feed 12.1 V", ["12.1"]),
        ("bearing 94 C, other end 41 C, grease gun 3 strokes", ["94", "41"]),
    ],
)
def test_what_names_loads_rates_or_sets_something_is_no_reading(line: str, values: list[str]) -> None:
    said = [one["value"] for one in _said(line)["measurements"]]
    assert set(said) <= set(values), said
    assert len(said) == len(values) or _open(line)


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("topped def 20 L, $1.35 a litre", "used"),
        ("used 9.5 L 80w90 in the rear diff", "used"),
        ("used 2 qt in the last month", "found"),
        ("poured 3 L distilled in the cells", "found"),
        ("recharged 1.4 lb", "found"),
    ],
)
def test_what_was_filled_in_is_no_reading(line: str, kind: str) -> None:
    said = _said(line)
    assert said["kind"] == kind
    if line.startswith(("poured", "recharged", "topped")):
        assert said["measurements"] == []
    if kind == "used":
        assert (said["quantity"], said["measure"]) in {("20", "L"), ("9.5", "L")}


@pytest.mark.parametrize("short", ["prim", "pri", "primary"])
def test_the_other_side_of_a_primary_is_no_second(short: str) -> None:
    named = _named(f"{short} tank 790 sec tank 760 kPa after 10 min")
    assert set(named) == {Fraction(790), Fraction(760)}
    assert "sec" in named[Fraction(760)]


@pytest.mark.parametrize("word", ["set to", "adjusted to", "reset to"])
def test_what_it_was_set_to_is_what_it_is_now(word: str) -> None:
    before, after = _said(f"idle speed was 900 rpm, {word} 650")["measurements"]
    assert "before" in before["when"]
    assert "after" in after["when"]


@pytest.mark.parametrize("lead", ["at", "in", "within", "every", "after"])
@pytest.mark.parametrize("figure", ["3", "50", "500"])
def test_a_bare_figure_that_may_be_due_is_asked_for_its_unit(lead: str, figure: str) -> None:
    said = _said(f"later: next tappets {lead} {figure}")
    assert said["unread"]
    assert not (said["due"] or {}).get("distance")


@pytest.mark.parametrize(
    ("line", "of", "value"),
    [
        ("9 lb surge cap lets go at 6 psi", "surge cap", "6"),
        ("pulley 30 mm worn to 27.5", "pulley", "27.5"),
        ("hook drifts 40 mm off line over 3 m", "hook", "40"),
        ("clutch fan 1450 rpm with engine at 2200 rpm", "clutch fan", "1450"),
        ("hitch socket 7 way pin 4 0.2 V", "hitch socket", "0.2"),
        ("lower deck valve 3 exhaust 0.05 mm", "valve 3", "0.05"),
    ],
)
def test_only_what_was_read_is_stated(line: str, of: str, value: str) -> None:
    stated = _said(line)["measurements"]
    assert [one["value"] for one in stated] == [value]
    assert of in stated[0]["of"]


@pytest.mark.parametrize(
    "line", ["bath held, pumped up to 15 psi", "0.4 Mohm, tester at 500 V", "4 creep now 11 mm", "eye 51.8 mm, pin 48"]
)
def test_what_was_put_on_it_or_names_it_is_no_reading(line: str) -> None:
    stated = {one["value"] for one in _said(line)["measurements"]}
    assert stated <= {"0.4", "51.8"}


# The figures and their bounds are worked by hand.
@pytest.mark.parametrize(
    ("line", "low", "high", "verdict"),
    [
        ("ram stroke 38 mm, not over 19 worn", None, "19", "high"),
        ("lift vacuum 12 inHg, no less than 18 worn", "18", None, "low"),
        ("slip 18 % (20 +/- 2 %)", "18", "22", "in"),
        ("charge 230 psi (200 +/- 5 %)", "190", "210", "high"),
        ("charge 80 psi between 40 and 160 psi", "40", "160", "in"),
        ("92 F bath temp up to 138", None, "138", "in"),
        ("tilt 1.2 deg, limits .6 deg-1.1 deg", "0.6", "1.1", "high"),
        ("hv insulation 42 Mohm, min 0.5", "0.5", None, "in"),
    ],
)
def test_bounds_are_taken_as_they_are_said(line: str, low: str | None, high: str | None, verdict: str) -> None:
    (one,) = _said(line)["measurements"]
    assert (one["low"], one["high"], one["verdict"]) == (low, high, verdict)


def test_two_values_without_unit_and_place_are_not_judged() -> None:
    said = _said("swivel drain 6 and 11, max 8")
    assert {one["verdict"] for one in said["measurements"]} <= {"none"}
    assert said["questions"]


@pytest.mark.parametrize("thing", ["tires", "front pads", "brake hoses", "wipers"])
@pytest.mark.parametrize(("word", "answer"), [("ok", "yes"), ("declined", "no"), ("yes", "yes")])
def test_a_thing_that_is_answered_is_nobody_and_not_everything(thing: str, word: str, answer: str) -> None:
    assert _said(f"told: {thing} {word}")["answers"] == [{"answer": answer, "to": [thing]}]


def test_a_sum_in_front_of_a_thing_and_an_exception_to_a_no() -> None:
    assert _said("told: no to the $900 pump")["answers"] == [{"answer": "no", "to": ["pump"]}]
    said = _said("told: declined everything but oil")
    assert said["answers"] == []
    assert said["unread"]
