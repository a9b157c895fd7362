"""Typed lines and the sentence each becomes: the forty pairs of the project's style sheet (its own facts and words)."""

from pathlib import Path

import pytest
from story_jobs import sentences, told_of

PAIRS = [
    tuple(line.split("\t"))
    for line in Path(__file__).with_name("cleaning-pairs.tsv").read_text(encoding="utf-8").split("\n")
    if line
]


def test_all_forty_are_here() -> None:
    assert len(PAIRS) == 40


@pytest.mark.parametrize(("kind", "typed", "told"), PAIRS, ids=[f"{pair[0]}-{pair[1][:24]}" for pair in PAIRS])
def test_a_typed_line_becomes_its_sentence(kind: str, typed: str, told: str) -> None:
    story = told_of(f"{kind}: {typed}", gloss=True)
    assert told in sentences(story), "\n".join(sentences(story))


@pytest.mark.parametrize(
    ("found", "proof", "told"),
    [
        # the time stands with one of two bare values: which is whose, nobody can say
        ("press test 100 kPa drops to 62 in 5 min", "100 kPa, 99 after 15 min",
         "Pressure test, now: 100 kPa, 99 after 15 min."),
        ("L outer tie rod end 1.4 mm play, was 0.6 in Aug (max 1.0)", "0.1 mm",
         "We measured the left outer tie rod end play again: 0.1 mm, down from 1.4 mm; "
         "no more than 1.0 mm is allowed."),
        ("rear driveshaft runout 1.6 mm (max 0.5), dent 30 cm ahead of rear u-joint", "0.3 mm",
         "We measured the rear driveshaft wobble again: 0.3 mm, down from 1.6 mm; no more than 0.5 mm is allowed."),
        ("frt pads L 2.1 R 0.8 mm (min 3)", "L 11.5 R 11.5 mm",
         "We measured the thickness of the brake pads again: left front 11.5 mm; right front 11.5 mm, within limits; "
         "at least 3 mm is needed."),
        ("block htr open circuit, no reading (14-18 ohm)", "15.8 ohm, 7.5 A at 119 V",
         "Block heater, now: 15.8 Ω, 7.5 A at 119 V."),
        ("rear htr hose in 71 C out 24 C, front in 72 out 61", "rear in 72 C out 60 C",
         "Heater hose, now: Rear in 72 C out 60 C."),
    ],
)  # fmt: skip
def test_what_is_measured_again_keeps_its_own_name_side_and_time(found: str, proof: str, told: str) -> None:
    assert told in sentences(told_of(f"says: noise\nfound: {found}\ndid: fitted hose\nproof: 2 now {proof}"), "proof")
