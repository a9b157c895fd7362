"""The order in which one key offers the kinds of a line."""

import pytest

from ticket.job.kinds import KINDS
from ticket.notes.likely_kinds import likely_kinds, with_next_kind
from ticket.notes.read import read


@pytest.mark.parametrize(("line", "second"), [
    # common practice, no source
    ("seat motor 4 A before greasing, 2 A after", "proof"),
    ("2 qts gear oil @ 14", "used"), ("front seal replaced", "did"),
    ("cust wants it by friday", "says"), ("prob the relay", "maybe"), ("left a voicemail, no answer", "told"),
    ("tires in 3000 mi", "later"),
])  # fmt: skip
def test_what_the_words_hint_at_comes_right_behind_the_finding(line: str, second: str) -> None:
    assert likely_kinds(line)[:2] == ("found", second)
    assert read(with_next_kind(line))[0].fact.kind == second


@pytest.mark.parametrize("line", ["", "x", "1.2h replaced pump", "# x", "B did: x", "P0420 stored", "did: "])
def test_every_kind_can_be_reached_and_the_line_comes_back(line: str) -> None:
    assert sorted(likely_kinds(line)) == sorted(KINDS)
    seen, now = [], line
    for _ in KINDS:
        now = with_next_kind(now)
        seen.append(read(now)[0].fact.kind if now.strip() else "found")
    assert sorted(seen) == sorted(KINDS)
    assert with_next_kind(now) == with_next_kind(line)
