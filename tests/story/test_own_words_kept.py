"""Words of the sentence that is reworded are the program's own: they are never held against the writer."""

import pytest
from story_jobs import case_of, ticket_from

from ticket.story.build import build
from ticket.story.judge import PROVED, judge

TYPED = """says: fan does not run
found: fan clutch leaks
offer: replace fan clutch; do now; est 466.50
told: Dara Holm by phone 555-0150, yes 3; total 466.50 before tax
later: drive belt; do now; because cracked; risk: can break"""
CASE = case_of(ticket_from(TYPED))
TOLD = [one for section in build(CASE).sections for one in section.sentences]


def _answer(of: str, text: str) -> str:
    sentence = next(one for one in TOLD if of in one.text.replace("\u00a0", " "))
    return judge(CASE, "customer", sentence, text).word


@pytest.mark.parametrize(
    ("of", "text"),
    [
        ("said yes", "You said yes to this by phone; the total is $466.50 before tax."),
        ("said yes", "You said yes by phone: the total is $466.50 before tax."),
        ("belt: this must not wait", "The drive belt should not wait."),
    ],
)
def test_own_words_of_the_sentence_are_proved(of: str, text: str) -> None:
    assert _answer(of, text) == PROVED


@pytest.mark.parametrize(
    ("of", "text"),
    [
        ("said yes", "You said yes to this in person; the total is $466.50 before tax."),
        ("said yes", "The phone said yes to this."),
        ("said yes", "You said yes to this by phone; the total is $466.50 after tax."),
        ("belt: this must not wait", "Drive belt: this did not wait."),
        ("belt: this must not wait", "The drive belt can wait."),
        ("belt: this must not wait", "Drive belt: it must wait."),
    ],
)
def test_own_words_prove_nothing_else(of: str, text: str) -> None:
    assert _answer(of, text) != PROVED
