"""A question that names the line answering it tells how that line begins, and never an amount nobody said."""

import re
from pathlib import Path

import pytest

from ticket.gaps.gap import ADVICE, Gap
from ticket.job.kinds import KINDS

GAPS = Path(__file__).parents[2] / "ticket" / "gaps"


@pytest.mark.parametrize(
    ("question", "line"),
    [
        ("What was looked at? Add: found: ...", "found: "),
        ("Were they read again? Add: proof: codes read again, ...", "proof: codes read again, "),
        ("Does it wait on? Answer: later: 2 seals; for 19/2; done here", "later: 2 seals; for 19/2; "),
        ("How much went in? Add: used: 4.6 qt NUMBER oil", "used: "),
        ("Is there a picture? Add: photo: FILE; ...; for 3", "photo: "),
        ("When was it worked on? Add: clock 8:10-9:45", ""),
        ("Which findings show it? Write theirs behind it: ; from 3", ""),
        ("Whose vehicle is it?", ""),
    ],
)
def test_what_the_answering_line_begins_with(question: str, line: str) -> None:
    assert Gap("some-rule", ADVICE, question).line == line


def test_every_line_that_a_rule_names_is_of_a_kind() -> None:
    named = [
        word for file in GAPS.glob("*.py") for word in re.findall(r"Add: ([a-z]+): ", file.read_text(encoding="utf-8"))
    ]
    assert len(named) > 15
    assert set(named) <= set(KINDS)
