"""A code or a label that nobody typed is refused in a language whose words the judge cannot prove."""

import pytest
from story_jobs import case_of, ticket_from

from ticket.job.values import Ref
from ticket.story.judge import REFUSED, judge
from ticket.story.sentence import Lit, Sentence

CASE = case_of(ticket_from("code: P0562-16 engine computer, stored\nfound: pin B12 loose"))
SENTENCE = Sentence((Lit("Era así."),), (Ref(1), Ref(2)))


@pytest.mark.parametrize("text", ["El código es P0420.", "El código es P0562-17.", "El pin B21 estaba flojo."])
def test_a_code_nobody_typed_is_refused(text: str) -> None:
    assert judge(CASE, "customer", SENTENCE, text, "es").word == REFUSED


@pytest.mark.parametrize("text", ["El código es P0562-16.", "El código es P0562.", "El pin B12 estaba flojo."])
def test_a_typed_one_is_left_to_the_writer(text: str) -> None:
    assert judge(CASE, "customer", SENTENCE, text, "es").word != REFUSED
