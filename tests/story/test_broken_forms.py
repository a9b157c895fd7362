"""Sentences that were no English: one of several things, a reason without a verb."""

import pytest
from story_jobs import sentences, told_of


@pytest.mark.parametrize(
    ("line", "section", "sentence"),
    [
        ("used: 1 x BP-1 front pads", "did", "We used 1 × front pads."),
        ("used: 2 x BP-1 front pads", "did", "We used two front pads."),
        ("used: 1 x AF-1 air filter", "did", "We used one air filter."),
        ("ruled: fan relay; coil in limits", "", "It was not the fan relay, because the coil was in limits."),
        ("ruled: fan relay; coil in bracket", "", "Ruled out: Fan relay; coil in bracket."),
        ("ruled: fan relay; clicks", "", "Ruled out: Fan relay; clicks."),
        ("ruled: hoses; no leaks", "", "It was not the hoses, because there were no leaks."),
        ("found: RR shock leaking oil", "found", "Right rear shock leaking oil."),
    ],
)
def test_a_line_is_told_in_whole_sentences_or_as_typed(line: str, section: str, sentence: str) -> None:
    assert sentence in sentences(told_of(f"says: x\n{line}"), section)
