"""A number is a reading only where what stands between it and its thing is known: common practice, no source."""

import pytest

from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read


def values(line: str) -> list[str]:
    """The values that are stated."""
    return [one["value"] for one in meaning_of(read(line))["measurements"]]


def judged(line: str) -> list[tuple[str, str]]:
    """Each value with its verdict."""
    return [(one["value"], one["verdict"]) for one in meaning_of(read(line))["measurements"]]


def placed(line: str) -> list[tuple[str, str]]:
    """Each value with its position."""
    return [(one["value"], " ".join(one["at"])) for one in meaning_of(read(line))["measurements"]]


def is_asked(said: Json) -> bool:
    """Whether something of the line is open."""
    return bool(said["questions"] or said["unread"])


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("accumulator 80 bar charged, 61 after an hour, should still have 70", ["80", "61"]),
        ("tread 4/32, last shop wrote 6/32", ["0.125"]),
        ("steering 3 mm at the rim, the inspector says 13 mm", ["3"]),
        ("fuel pressure 2.8 bar, regulated to 3.5", ["2.8"]),
        ("tyre 1.9 bar, 2.4 on the door", ["1.9"]),
        ("rotor 21.8 mm, 22 mm is as thin as it goes", ["21.8"]),
        ("duals RR inner 85 outer 60 psi, both to be 100", ["85", "60"]),
        ("alternator only 61 A at 1500 rpm, 80 % of that is the pass", ["61"]),
        ("bucket pin 49.2 mm in 50.1 bush", []),
        ("refitted the wheels, tightened to 110 Nm", []),
    ],
)
def test_what_wishes_sets_reports_or_defines_is_asked_about(line: str, wanted: list[str]) -> None:
    assert values(line) == wanted
    assert is_asked(meaning_of(read(line)))


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("caliper on 2 R seized, pads gone", []),
        ("lever on 3 L sticks", []),
        ("oil 3 L low on a 7 L sump", ["3"]),
        ("wheel nuts LR 3 loose, others 120 Nm", ["120"]),
        ("air tank 1 drained 30 mL, tank 2 dry", ["30"]),
        ("plug 2 out and back in, gap 0.8 mm", ["0.8"]),
    ],
)
def test_a_number_that_names_or_counts_is_no_reading(line: str, wanted: list[str]) -> None:
    assert values(line) == wanted


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("oil pressure 18 psi hot, 25 is the bottom line", [("18", "low")]),
        ("discharge temp 96 C, 90 is the ceiling", [("96", "high")]),
        ("front pads 4 mm, good to 2 mm", [("4", "in")]),
        ("ripple 0.7 V AC, if more than 0.5 the diode is bad", [("0.7", "high")]),
        ("pump up 60 to 90 psi took 41 s at 1500 rpm, want 35 or less", [("41", "high")]),
        ("handbrake 9 clicks, took it up to 5", [("9", "none")]),
        ("tyre was 1.2 bar this morning, blown up to 2.4, down to 2.1 by noon", [("1.2", "none")]),
        ("pads front 4 rear 2 mm, min 3 front", [("4", "in"), ("2", "none")]),
        ("left rear tyre 2.1, limit 2", [("2.1", "none")]),
        ("battery 12.6 V key off, 8.7 cranking, 9.6 min cranking", [("12.6", "none"), ("8.7", "low")]),
        ("battery needs 11 V at 20 C", []),
    ],
)
def test_a_bound_judges_only_where_its_words_say_so(line: str, wanted: list[tuple[str, str]]) -> None:
    assert judged(line) == wanted


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("tanks 1/2: 110 95 psi", [("110", "position 1"), ("95", "position 2")]),
        ("hoses 1, 2 and 3: 200 180 60 bar",
         [("200", "position 1"), ("180", "position 2"), ("60", "position 3")]),
        ("rams 1/2/3: 140 138 90 bar", [("140", "position 1"), ("138", "position 2"), ("90", "position 3")]),
        ("coils 1 0.5 ohm, 2 dead, 3 0.5 ohm", [("0.5", "cylinder 1"), ("0.5", "cylinder 3")]),
        ("wheel sensor 1 1.1 kohm, 2 open, 3 1.2 kohm", [("1.1", "sensor 1"), ("1.2", "sensor 3")]),
        ("tyre osr inside edge under 2 mm, outside 4",
         [("2", "off side rear inner"), ("4", "off side rear outer")]),
        ("arm bush split ns, ball joint os has 2 mm lift", [("2", "off side")]),
        ("sensor gap 1.8 mm RR, 0.9 the rest", [("1.8", "right rear"), ("0.9", "")]),
        ("air dryer purges at 118 psi, cuts back in at 95", [("118", ""), ("95", "")]),
        ("door actuator 12.4 V in, 0.3 V out", [("12.4", ""), ("0.3", "")]),
        ("rams 1/2/3: 140 138 bar", []),
        ("hubs 40 42 95 41 C front to back", []),
    ],
)  # fmt: skip
def test_numbers_that_count_on_and_words_of_place_give_each_value_its_own(
    line: str, wanted: list[tuple[str, str]]
) -> None:
    assert placed(line) == wanted


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("feed 13.4 V at the studs, 12.1 at the board, both with a 15 A load on", ["with a 15 A load on"] * 2),
        ("cranking 9.9 V, dropped to 8.1 after 5 s", ["", "after 5 s"]),
        ("soot 34 % at start 8 % after regen", ["", "after regen"]),
        ("hubs L 60 C R 110 C after the same 10 mile drive", ["after the same 10 mile drive"] * 2),
    ],
)
def test_a_condition_is_of_what_it_was_said_of(line: str, wanted: list[str]) -> None:
    assert [" ".join(one["when"]) for one in meaning_of(read(line))["measurements"]] == wanted
