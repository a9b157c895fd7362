"""Typed words that are a sentence as they stand; common practice, no source."""

import pytest

from ticket.language.as_said import as_said
from ticket.language.certain import read
from ticket.language.records import Unsure
from ticket.language.sentences import sentences


@pytest.mark.parametrize(
    ("typed", "where", "told"),
    [
        ("wont hold on a grade", "risk", "it will not hold on a grade"),
        ("can drip on the exhaust n stink", "risk", "it can drip on the exhaust and stink"),
        ("engine may stop again", "risk", "the engine may stop again"),
        ("van can roll off, leave in gear", "risk", "the van can roll off; leave in gear"),
        ("goes soft loaded", "risk", "it goes soft loaded"),
        ("you smell exhaust inside", "watch", "you smell exhaust inside"),
        ("it leaks now", "because", "it leaks now"),
        ("LR tire is below its limit", "because", "the left rear tire is below its limit"),
        ("our clamp was not seated", "cause", "our clamp was not seated"),
        ("fluid leaking from rusted line", "cause", "the fluid was leaking from rusted line"),
    ],
)
def test_a_sentence_is_told_in_its_own_order(typed: str, where: str, told: str) -> None:
    assert as_said(typed, where) == told


@pytest.mark.parametrize(
    ("typed", "where"),
    [
        ("plugs up", "risk"),  # a thing that is up, or what it does
        ("engine stops again", "risk"),  # "stops" is a thing too
        ("gov cuts out 118 psi", "found"),
        ("bush split letting wheel toe out", "cause"),
        ("it zorbels now", "because"),  # a word nobody listed
        ("clamp we left loose", "cause"),
        ("fluid leaking from line", "found"),
        ("he just hauls to the dump", "because"),
        ("", "risk"),
    ],
)
def test_what_may_be_read_otherwise_is_none(typed: str, where: str) -> None:
    assert as_said(typed, where) == ""


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("rocker cover damp at the back, no drips", "The rocker cover was damp at the back, and there were no drips."),
        ("coolant level on the mark", "The coolant level was on the mark."),
        ("oil level at MAX", "The oil level was at its maximum."),
        ("tensioner in its marks", "The tensioner was within its marks."),
        ("u-joints and centre brg no play", "The u-joints and the centre bearing had no play."),
        ("upper & lower hoses dry", "The upper and lower hoses were dry."),
        ("no knock today", "There was no knock today."),
    ],
)
def test_set_endings_and_marks_close_a_clause(typed: str, told: str) -> None:
    meaning = read(typed, "found")
    assert not isinstance(meaning, Unsure)
    assert sentences(meaning, "en") == (told,)


@pytest.mark.parametrize("typed", ["air filter dusty, ok to run", "rear calipers slide ok", "hoses pump dry"])
def test_a_plural_in_front_and_what_one_may_do_keep_a_line_as_typed(typed: str) -> None:
    assert isinstance(read(typed, "found"), Unsure)
