"""The data files: every language tells every record, no row stands twice, every trial and word has what it needs."""

from collections import Counter

import pytest

from ticket.language.lexicon import look, words
from ticket.language.tables import languages, rows
from ticket.language.voices import voice
from ticket.readings.units import find

_CLASSES = set(
    "thing matter state quality doing link place degree det no not modal be has join but count side particle when"
    " pronoun condition ending".split()
)


def test_no_word_stands_twice_in_one_class() -> None:
    held = Counter((row[0].lower(), row[1]) for row in rows("en", "lexicon"))
    assert [key for key, times in held.items() if times > 1] == []


def test_every_row_of_the_lexicon_has_a_class_that_is_known() -> None:
    assert {row[1] for row in rows("en", "lexicon")} <= _CLASSES
    assert all(row[5] in ("bad", "good", "=") for row in rows("en", "lexicon") if row[1] == "state")


def test_every_language_tells_the_same_records() -> None:
    told = {language: {row[0].split(" low")[0] for row in rows(language, "templates")} for language in languages()}
    assert len(told) > 1
    for language, records in told.items():
        assert records == told["en"], language


def test_every_trial_has_a_telling_in_every_language() -> None:
    for language in languages():
        for _, kind, needs in rows("en", "trials"):
            text = voice(language).template(f"trial {kind}")
            assert text is not None, (language, kind)
            assert ("{n}" in text) == (needs not in ("none", "place")), (language, kind)


def test_left_and_right_are_sides_and_nothing_else() -> None:
    for side in ("left", "right"):
        assert {word.cls for word in look(side)} == {"side"}


def test_units_of_every_language_are_units() -> None:
    for language in languages():
        for row in rows(language, "lexicon"):
            if (
                language != "en"
                and row[0] == "unit"
                and row[1] not in ("set", "pair", "pcs", "can", "bottle", "tube", "roll")
            ):
                assert find(row[1]) is not None, (language, row[1])


@pytest.mark.parametrize("cls", ["thing", "matter", "state", "doing"])
def test_every_class_is_looked_up_in_small_letters(cls: str) -> None:
    held = [text for text, found in words().items() if any(word.cls == cls for word in found)]
    assert len(held) > 100
    assert all(text == text.lower() for text in held)
