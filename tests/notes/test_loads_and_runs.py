"""How long, under which load and at which pressure something was read: common practice, no source."""

import itertools

import pytest

from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read


def said(line: str) -> Json:
    return meaning_of(read(f"found: {line}"))


@pytest.mark.parametrize(
    ("thing", "speed", "minutes"),
    [
        *itertools.product(("return pump 14 L/min", "vane pump gives 9 gpm"), ("at 1500", "@ 2000 rpm"), (8, 12, 15)),
        ("ramp motor 20 A", "with 400 kg", 25),
    ],
)
def test_minutes_behind_a_speed_or_load_may_be_a_least_value_and_judge_nothing(
    thing: str, speed: str, minutes: int
) -> None:
    meaning = said(f"{thing} {speed}, {minutes} min")
    assert [one["verdict"] for one in meaning["measurements"]] == ["none"]
    assert [piece["text"] for piece in meaning["unread"]] == [f"{minutes} min"]


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        ("front pads 4 mm, 3 min", "in"),
        ("rear shoes 2 mm, 3 min", "low"),
        ("return pump 14 L/min at 1500, 12 is min", "in"),
    ],
)
def test_a_least_value_that_nothing_ran_for_judges(line: str, verdict: str) -> None:
    assert [one["verdict"] for one in said(line)["measurements"]] == [verdict]


@pytest.mark.parametrize("bare", ["empty", "unladen", "unloaded"])
@pytest.mark.parametrize("load", ["with 400 kg", "laden", "loaded"])
@pytest.mark.parametrize("turned", [False, True])
def test_limits_for_one_load_judge_no_reading_under_another(bare: str, load: str, turned: bool) -> None:
    pair = [f"9 s {bare}", f"16 s {load}"]
    meaning = said(f"ramp up in {', '.join(pair[::-1] if turned else pair)}, spec 8 to 12 s {bare}")
    verdicts = {one["value"]: one["verdict"] for one in meaning["measurements"]}
    assert verdicts.pop("9") == "in"
    assert verdicts == {"16": "none"} or [piece["text"] for piece in meaning["unread"]] == [f"16 s {load}"]
    assert next(" ".join(one["when"]) for one in meaning["measurements"] if one["value"] == "9") == bare


@pytest.mark.parametrize("thing", ["ram leak-down", "mast drift", "platform creep", "circuit pressure loss"])
def test_what_is_lost_without_any_unit_is_never_told_as_in_limits(thing: str) -> None:
    meaning = said(f"{thing} 14, limit 15")
    assert {one["verdict"] for one in meaning["measurements"]} <= {"none"}
    assert meaning["questions"] or meaning["unread"]


@pytest.mark.parametrize(
    ("lead", "figures"), [("case drain at 210 bar", "9 L/min"), ("spool leakage @ 180 bar", "40 mL")]
)
@pytest.mark.parametrize("thing", ["", " motor", " ram"])
def test_a_pressure_in_front_of_a_list_of_places_is_how_all_of_it_was_read(lead: str, figures: str, thing: str) -> None:
    meaning = said(f"{lead}, LH{thing} {figures}, RH 2")
    assert [(one["at"], one["value"]) for one in meaning["measurements"]] == [
        (["left"], figures.split(" ", maxsplit=1)[0]),
        (["right"], "2"),
    ]
    assert all("bar" in " ".join(one["when"]) for one in meaning["measurements"])


def test_what_opens_at_a_pressure_read_it() -> None:
    meaning = said("cap vents at 1.1 bar, LF 7 mm, RF 6")
    assert [one["value"] for one in meaning["measurements"]] == ["1.1", "7", "6"]


@pytest.mark.parametrize("how", ["sat overnight", "stood overnight"])
def test_what_closes_a_list_of_two_sides_is_how_both_stood(how: str) -> None:
    meaning = said(f"batteries 12.3 V left 12.5 V right, {how}")
    assert [" ".join(one["when"]) for one in meaning["measurements"]] == [how, how]


@pytest.mark.parametrize("because", ["because it still holds", "it still holds"])
@pytest.mark.parametrize(("back", "day"), [("back by 14/03/2026", "2026-03-14"), ("25/11/2026", "2026-11-25")])
def test_a_day_in_figures_closes_a_reason(because: str, back: str, day: str) -> None:
    due = meaning_of(read(f"later: wiper motor; may wait; {because}; {back}"))["due"]
    assert due == {"distance": None, "time": None, "date": day, "event": None}


def test_a_day_that_may_be_two_is_not_taken() -> None:
    meaning = meaning_of(read("later: wiper motor; may wait; it still holds; back by 03/04/2026"))
    assert meaning["due"] is None
    assert meaning["unread"]


@pytest.mark.parametrize("event", ["after calving", "after the hay is in"])
def test_work_to_come_back_for_waits_for_its_event(event: str) -> None:
    due = meaning_of(read(f"later: inner dual; may wait; still sound; come back {event}"))["due"]
    assert due is not None
    assert due["event"] == event


def test_what_is_back_again_is_no_event_to_wait_for() -> None:
    assert meaning_of(read("later: heater fan; may wait; noise is back after a wash"))["due"] is None


def test_an_hour_and_a_half_may_be_written_short() -> None:
    meaning = meaning_of(read("hr and a half tracing an open in the roof loom"))
    assert (meaning["kind"], meaning["hours"]) == ("did", "1.5")


@pytest.mark.parametrize("day", ["on a 31 C day", "on a 31 C afternoon"])
@pytest.mark.parametrize("limit", ["", ", max 100", ", not over 100"])
def test_how_warm_a_day_was_is_how_it_was_read(day: str, limit: str) -> None:
    (one,) = said(f"gearbox oil 96 C {day}{limit}")["measurements"]
    assert (one["value"], one["when"], one["verdict"]) == ("96", [day], "in" if limit else "none")
