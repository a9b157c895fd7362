"""An answer is bound to the offer it was given to, whatever else the same contact answered."""

import pytest
from story_jobs import case_of, ticket_from

from ticket.story.build import build
from ticket.story.judge import PROVED, REFUSED, Answer, judge
from ticket.story.sentence import Sentence

TYPED = """customer: Dara Holm

says: fan does not run
offer: replace rad fan; do now; est 466
offer: replace LF tire; do soon; est 132
offer: replace RF tire; do soon; est 132
offer: replace cabin filter; est 30
told: Dara Holm by phone 555-0150, yes 2, 3; no 4; thinks 5; total 598
did: for 2, 3; replaced rad fan and LF tire"""
CASE = case_of(ticket_from(TYPED))
TOLD = [sentence for section in build(CASE).sections for sentence in section.sentences]


def about(number: int, words: str) -> Sentence:
    """The sentence about an offer with these words."""
    held = [one for one in TOLD if words in one.text and any(getattr(ref, "no", 0) == number for ref in one.sources)]
    return held[0]


def answer(sentence: Sentence, text: str) -> Answer:
    return judge(CASE, "customer", sentence, text)


@pytest.mark.parametrize(
    "text",
    ["You said yes to this.", "You agreed to this by phone.", "You gave us the go-ahead.", "You okayed the work."],
)
def test_what_was_refused_is_not_told_as_agreed(text: str) -> None:
    assert answer(about(4, "said no"), text).word == REFUSED
    assert answer(about(4, "Replace"), text).word == REFUSED  # though that sentence does not cite the contact
    assert answer(about(5, "think"), text).word == REFUSED


@pytest.mark.parametrize("text", ["You said no to this.", "You declined this by phone.", "You refused."])
def test_what_was_agreed_is_not_told_as_refused(text: str) -> None:
    assert answer(about(2, "said yes"), text).word == REFUSED


def test_the_bare_word_of_another_answer_is_no_proof() -> None:
    assert answer(about(4, "said no"), "Yes to this.").word != PROVED
    assert answer(about(4, "said no"), "You said to this by phone.").word != PROVED


def test_the_own_answer_is_still_proved() -> None:
    assert answer(about(4, "said no"), "You said no to this.").word == PROVED
    assert answer(about(2, "said yes"), "You said yes to this.").word == PROVED


def test_of_two_like_things_the_side_says_which_was_answered() -> None:
    assert answer(about(2, "said yes"), "You said yes to the right front tire.").word == REFUSED
    assert answer(about(4, "said no"), "You said no to the left front tire.").word == REFUSED
