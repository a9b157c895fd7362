"""A line that names no kind becomes another one than a finding only where it can hardly be anything else."""

from pathlib import Path

import pytest

from ticket.job.kinds import Did, Told, Used
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
