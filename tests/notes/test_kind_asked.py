"""A line that is likely no finding asks which kind it is, and stays a finding; a plain finding is not asked.

Common practice of the trade, no source for the lines.
"""

from pathlib import Path

import pytest

from support.labelled_lines import labelled
from ticket.notes.kind_asked import ASKED, asked_kind
from ticket.notes.lead import lead_of
from ticket.notes.read import read

HANDS = Path(__file__).parent / "hands"
RARELY = 0.02
"""The share of plain findings that may be asked about."""


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("shimmed the mast rollers, free play gone", "did"),
        ("repacked and sealed both hubs", "did"),
        ("left msg w Odalys re the mast, 912.40", "told"),
        ("said ok to one of them", "told"),
        ("drove 9 mi, wobble gone", "proof"),
        ("pulled 3 t up the ramp, was 9 s now 6 s after bleeding", "proof"),
        ("mast chains can wait another season", "later"),
        ("wipers tired, recommend before the winter", "later"),
        ("gearbox oil change at 210000 km", "later"),
        ("cabin filter at next service", "later"),
        ("belt cracking, change within 2 months", "later"),
        ("bracket WQ-4471 & bolts, 41.20", "used"),
        ("lift ECU F-21 stored", "code"),
        ("quoted 840 for the mast", "offer"),
        ("need a mast chain, est 310", "offer"),
        ("cause G103 loose behind the mast", "cause"),
        ("root cause loose ground strap", "cause"),
        ("not the mast bearing, no play", "ruled"),
        ("not clutch, plate 7 mm", "ruled"),
        ("U0100, no comm", "code"),
        ("CO031-1F wheel sensor, stored", "code"),
        ("P301", "code"),
        ("P301 misfire cyl 1", "code"),
        ("lf wss 3 now 1.24 kohm", "proof"),
        ("entry 12 now 15 psi", "proof"),
        ("recheck of 3: 8 mm", "proof"),
        ("codes cleared, road test 12 mi", "proof"),
        ("offer replace mast bearing 1.2 h 84.50", "offer"),
        ("diag no start 1.0", "did"),
        ("flash code 32 active", "code"),
        ("mast lag 9 s before bleeding, 4 s after", "proof"),
        ("lamp feed 9.6 V before, 12.9 V after I cleaned the ground", "proof"),
    ],
)
def test_a_line_that_is_likely_no_finding_is_asked(line: str, kind: str) -> None:
    assert asked_kind(line) == kind
    (draft,) = read(line)
    assert draft.fact.kind == "found"
    (question,) = [remark for remark in draft.remarks if remark.text == ASKED[kind]]
    assert (question.start, question.end) == (0, len(line))
    (answer,) = question.answers
    assert read(answer)[0].fact.kind == kind


@pytest.mark.parametrize(
    "line",
    ["noise started at 120000 km", "oil change at 210000 km was done elsewhere", "leaks since oil change at 80000 km",
     "light came on at next start", "pads fitted at last service", "cause of the noise unknown", "not charging",
     "not checked", "needs a mast chain"],
)  # fmt: skip
def test_what_only_begins_like_another_kind_is_not_asked(line: str) -> None:
    assert asked_kind(line) == ""


def test_plain_findings_of_many_hands_are_hardly_ever_asked() -> None:
    """Lines of twenty-one practitioners that they themselves call findings, without a leading word."""
    lines = [
        label["line"]
        for path in sorted(HANDS.glob("*.jsonl"))
        for label in labelled(path)
        if label.get("kind") == "found" and not lead_of(label["line"]).kind
    ]
    asked = [line for line in lines if asked_kind(line) and read(line)[0].fact.kind == "found"]
    assert len(lines) > 500
    assert len(asked) <= RARELY * len(lines), asked


def test_a_line_that_may_be_a_test_keeps_its_readings() -> None:
    (draft,) = read("hub .014 before .004 after repack, .001 to .010")
    assert len(draft.fact.measurements) == len([".014", ".004"])  # type: ignore[attr-defined]


def test_while_a_line_may_be_a_sale_or_a_talk_its_sums_are_no_readings() -> None:
    for line in ("made up a hose 1/2 x 60 in, 44.80", "said ok to one of them 412"):
        (draft,) = read(line)
        assert draft.remarks
        assert draft.fact.measurements == ()  # type: ignore[attr-defined]
