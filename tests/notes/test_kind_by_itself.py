"""A line that names no kind becomes another one than a finding only where it can hardly be anything else."""

from pathlib import Path

import pytest

from ticket.job.kinds import Did, Found, Told, Used
from ticket.notes.read import read

LINES = [
    tuple(line.split("\t"))
    for line in (Path(__file__).parent / "lines_without_a_lead.tsv").read_text(encoding="utf-8").splitlines()
    if line and not line.startswith("#")
]  # common practice, no source: written by several hands' habits before the rules were
FINDINGS = [line for kind, line in LINES if kind == "found"]
OTHERS = [(kind, line) for kind, line in LINES if kind != "found"]


def kind_of(line: str) -> str:
    return read(line)[0].fact.kind


def test_there_are_enough_lines_and_most_are_findings() -> None:
    assert len(LINES) >= 200
    assert len(FINDINGS) > len(OTHERS)


def test_no_finding_turns_into_work_a_sale_or_a_consent() -> None:
    assert {line: kind_of(line) for line in FINDINGS if kind_of(line) != "found"} == {}


def test_no_line_of_another_kind_is_taken_for_a_third() -> None:
    assert {line: kind_of(line) for kind, line in OTHERS if kind_of(line) not in (kind, "found")} == {}


def test_nearly_all_lines_that_say_what_they_are_need_no_word() -> None:
    asked = [line for kind, line in OTHERS if kind_of(line) == "found"]
    assert len(asked) <= len(OTHERS) // 20, asked


@pytest.mark.parametrize(("line", "kind", "text"), [
    ("did front brakes, 1.4 hrs", Did, "front brakes"),
    ("used 2 x 44-7710 seal @ 6", Used, "seal"),
])  # fmt: skip
def test_the_word_without_its_colon_is_no_part_of_the_fact(line: str, kind: type[Did | Used], text: str) -> None:
    (draft,) = read(line)
    assert isinstance(draft.fact, kind)
    assert draft.fact.text == text
    assert draft.line == line


def test_an_answer_read_by_itself_is_whose_it_is() -> None:
    (draft,) = read("told Ada Brenn by phone 555-0170, yes")
    assert isinstance(draft.fact, Told)
    assert (draft.fact.who, draft.fact.way, [answer.answer for answer in draft.fact.answers]) == (
        "Ada Brenn", "phone", ["yes"]
    )  # fmt: skip


@pytest.mark.parametrize(
    "line",
    [
        "3 now 1.24 kohm", "12 now lf 8 rf 8 mm", "4 now -1 mm", "2107/3 now dry",
        "road test 6 mi, codes read again, none",
        "codes cleared, road test 12 mi, lamp off, codes read again none stored",
    ],
)  # fmt: skip
def test_what_was_taken_again_is_a_verification(line: str) -> None:
    assert kind_of(line) == "proof"


@pytest.mark.parametrize("line", ["12 now 15 psi", "cyl 3 now 120 psi", "was 3 now 8 mm", "idle 750, now 690 rpm"])
def test_a_number_that_may_be_a_value_is_no_entrys(line: str) -> None:
    assert kind_of(line) == "found"


@pytest.mark.parametrize(
    ("line", "left"),
    [("found: pads 3 now 8 mm", "3"), ("found: entry 12 now 1.24 kohm", "12"), ("12 now 15 psi", "12")],
)
def test_the_number_of_an_entry_is_no_reading(line: str, left: str) -> None:
    (draft,) = read(line)
    assert isinstance(draft.fact, Found)
    assert left not in {one.value for one in draft.fact.measurements}
    assert any(left in line[remark.start : remark.end] for remark in draft.remarks)


@pytest.mark.parametrize(
    ("line", "field"),
    [
        ("cause: sensor wet inside, from 3 4", "refs"), ("cause: sensor wet, from 3, 4 and 5; likely", "refs"),
        ("did: 1.2 h replaced pads, for 7", "refs"), ("ruled: wiring, 0.3 ohm (max 1)", "reason"),
        ("road test 6 mi, no noise, passed", "result"), ("cause: seal worn, likely, from 3", "sure"),
    ],
)  # fmt: skip
def test_a_comma_in_front_of_a_field_will_do(line: str, field: str) -> None:
    assert getattr(read(line)[0].fact, field)


def test_behind_a_price_a_comma_in_front_of_for_is_asked_about() -> None:
    assert any("an entry?" in remark.text for remark in read("offer: replace pads, for 12")[0].remarks)
    assert not read("cause: leak, from 3 to 4 places")[0].fact.refs  # type: ignore[attr-defined]
