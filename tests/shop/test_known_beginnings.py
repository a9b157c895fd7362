"""A longer beginning is answered from what a shorter one was told, wherever that was all of it."""

import pytest

from ticket.assist.known_beginnings import KnownBeginnings
from ticket.store.index_rows import Phrase

MOST = 3


def history_of(*texts: str, asked: list[tuple[str, str]]) -> KnownBeginnings:
    """What is kept of a shop whose phrases of findings are these, and which questions it was asked."""

    def history(kind: str, beginning: str) -> list[Phrase]:
        asked.append((kind, beginning))
        return [Phrase(kind, text) for text in texts if kind == "found" and text.casefold().startswith(beginning)][
            :MOST
        ]

    return KnownBeginnings(history, MOST)


def test_letters_typed_one_after_the_other_ask_once() -> None:
    asked: list[tuple[str, str]] = []
    known = history_of("Fan hub", "Fan drive level", asked=asked)
    assert [phrase.text for phrase in known("found", "fan")] == ["Fan hub", "Fan drive level"]
    assert [phrase.text for phrase in known("found", "fan d")] == ["Fan drive level"]
    assert known("found", "fan dx") == []
    assert asked == [("found", "fan")]


def test_another_kind_or_another_beginning_asks_again() -> None:
    asked: list[tuple[str, str]] = []
    known = history_of("fan hub", "hose dry", asked=asked)
    known("found", "fan")
    assert known("did", "fan") == []
    assert [phrase.text for phrase in known("found", "hose")] == ["hose dry"]
    assert asked == [("found", "fan"), ("did", "fan"), ("found", "hose")]


@pytest.mark.parametrize("many", [MOST, MOST + 2])
def test_what_may_have_been_cut_is_no_whole_answer(many: int) -> None:
    asked: list[tuple[str, str]] = []
    texts = [f"fan {letter}" for letter in "abcdefgh"[:many]]
    known = history_of(*texts, asked=asked)
    known("found", "fan")
    assert [phrase.text for phrase in known("found", texts[-1])] == [texts[-1]]
    assert len(asked) == 2
