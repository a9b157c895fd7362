"""Bent forms of the lexicon against lemminflect (https://github.com/bjascob/LemmInflect), a library of English
inflection built on the NIH's SPECIALIST Lexicon."""

import pytest

from ticket.language.forms import gerund, plural, regular_past, third
from ticket.language.lexicon import irregular, works
from ticket.language.tables import rows

lemminflect = pytest.importorskip("lemminflect")

# Where two forms are in use and lemminflect names only the other: American spelling or workshop usage.
_BOTH_IN_USE = {
    "fit",  # fitted beside fit
    "person",  # people
    "equal", "level",  # one l in American spelling
    "get", "lean", "smell", "speed", "shear", "program",  # got, leaned, smelled, speeded, sheared, programmed
    "lie", "light",  # lain (it gives the other verb), lit
    }  # fmt: skip


def _rows(cls: tuple[str, ...]) -> list[tuple[str, ...]]:
    return [row for row in rows("en", "lexicon") if row[1] in cls and row[0].isalpha() and row[0].islower()]


def _known(word: str, tag: str, pos: str) -> set[str]:
    """Every form lemminflect has for a word, by its lists or by its rules."""
    return set(lemminflect.getInflection(word, tag, inflect_oov=False)) or set(
        lemminflect.getAllInflections(word, pos).get(tag, ())
    )


def test_the_past_of_every_doing_is_one_that_is_in_use() -> None:
    wrong = []
    for row in _rows(("doing", "link")):
        past = row[3] or regular_past(row[0])
        known = _known(row[0], "VBD", "VERB")
        if known and past not in known and row[0] not in _BOTH_IN_USE:
            wrong.append((row[0], past, known))
    assert not wrong


def test_every_verb_that_is_irregular_there_is_irregular_here() -> None:
    for row in _rows(("doing", "link")):
        known = _known(row[0], "VBD", "VERB")
        if known and regular_past(row[0]) not in known and row[0] not in _BOTH_IN_USE:
            assert row[0] in irregular(), row[0]


def test_third_person_and_gerund_are_in_use() -> None:
    wrong = []
    for row in _rows(("doing", "link")):
        for told, tag in ((third(row[0]), "VBZ"), (gerund(row[0]), "VBG")):
            known = _known(row[0], tag, "VERB")
            if known and told not in known and row[0] not in _BOTH_IN_USE:
                wrong.append((row[0], told, known))
    assert not wrong


def test_participles_are_in_use() -> None:
    wrong = []
    for row in _rows(("doing", "link")):
        participle = row[4] or row[3] or regular_past(row[0])
        known = _known(row[0], "VBN", "VERB")
        if known and participle not in known and row[0] not in _BOTH_IN_USE:
            wrong.append((row[0], participle, known))
    assert not wrong


def test_the_plural_of_every_thing_is_in_use() -> None:
    wrong = []
    for row in _rows(("thing",)):
        if row[3] == "-" or row[2] in ("mass", "pronoun"):
            continue
        told = row[3].removeprefix("!") or plural(row[0])
        known = _known(row[0], "NNS", "NOUN")
        if known - {row[0]} and told not in known and row[0] not in _BOTH_IN_USE:
            wrong.append((row[0], told, known))
    assert not wrong


def test_the_told_past_of_work_begins_with_a_past_that_is_in_use() -> None:
    wrong = []
    for work in works().values():
        base, past = (
            text.split(" ")[0].split("-")[0 if "-" not in text.split(" ")[0] else -1] for text in (work.base, work.past)
        )
        known = _known(base, "VBD", "VERB") | _known(base, "VBN", "VERB")
        if known and past not in known and base not in _BOTH_IN_USE:
            wrong.append((work.name, past, known))
    assert not wrong
