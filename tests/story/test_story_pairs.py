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
