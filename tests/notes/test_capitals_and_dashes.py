"""The lines of hands written in other marks mean the same: in capitals, with dashes for commas, without spaces.

Nobody labels these lines: what they have to mean is what the line of the hand means.
"""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from support.labelled_lines import labelled
from ticket.notes.meaning import meaning_of
from ticket.notes.read import read

HANDS = Path(__file__).parent / "hands"
ROUNDS = ("round-44", "round-45", "round-46", "round-47")
CASE_DECIDES = re.compile(r"ohm|\brr\b|\b[a-z]\b", re.I)  # milliohms and megohms, a motorcycle's rear, letters of units


def _readings(line: str) -> list[tuple[object, ...]]:
    told = meaning_of(read(line))["measurements"]
    return [(one["value"], one["to"], (one["unit"] or "").casefold(), one["at"], one["verdict"]) for one in told]


def _lines(matter: re.Pattern[str]) -> Iterator[str]:
    for name in ROUNDS:
        for label in labelled(HANDS / f"{name}.jsonl"):
            if label.get("kind") == "found" and matter.search(label["line"]):
                yield label["line"]


@pytest.mark.parametrize(
    ("matter", "change", "most"),
    [
        (re.compile(r"[0-9]"), str.upper, 0),
        (re.compile(r"[a-z], [a-z]"), lambda line: re.sub(r"(?<=[a-z]), (?=[a-z])", " - ", line), 2),
        (re.compile(r"[0-9] (?:mm|psi|bar)\b"), lambda line: re.sub(r"(?<=[0-9]) (?=(?:mm|psi|bar)\b)", "", line), 0),
    ],
    ids=["capitals", "dashes", "no space before the unit"],
)
def test_another_hand_with_other_marks_is_read_alike(
    matter: re.Pattern[str], change: Callable[[str], str], most: int
) -> None:
    lines = [line for line in _lines(matter) if not CASE_DECIDES.search(line) or change is not str.upper]
    apart = [line for line in lines if _readings(change(line)) != _readings(line)]
    assert len(lines) > 25
    assert len(apart) <= most, apart
