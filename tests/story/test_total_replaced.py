"""A second yes to the same work with another total says that it takes the place of the first."""

from story_jobs import case_of, sentences, ticket_from, told_of

from support.faithful import check_story
from ticket.story.build import build
from ticket.story.document import to_document

HEAD = "says: x\noffer: replace rad fan; est 466.50\noffer: replace belt; est 90\n"
FIRST = "told: Dara Holm by phone 555-0150, yes 2; total 466.50\n"
AGAIN = "told: Dara Holm by phone 555-0150, yes 2; total 485.94\n"
OTHER = "told: Dara Holm by phone 555-0150, yes 3; total 90.00\n"
SAYS_SO = "in place of the one named before"


def agreed(lines: str) -> list[str]:
    return sentences(told_of(lines), "agreed")


def test_a_new_total_of_the_same_work_replaces_the_first() -> None:
    first, second = agreed(HEAD + FIRST + AGAIN)
    assert SAYS_SO not in first
    assert "$485.94" in second
    assert SAYS_SO in second


def test_a_total_of_other_work_and_the_same_total_replace_nothing() -> None:
    assert not [one for one in agreed(HEAD + FIRST + OTHER) if SAYS_SO in one]
    assert not [one for one in agreed(HEAD + FIRST + FIRST) if SAYS_SO in one]


def test_it_is_faithful_and_told_in_spanish_too() -> None:
    case = case_of(ticket_from(HEAD + FIRST + AGAIN))
    document = to_document(build(case))
    assert [flaw for flaw in check_story(document, case) if not flaw.finding.advice] == []
    spanish = build(case, "customer", "es")
    assert any("en lugar del nombrado antes" in one.text for part in spanish.sections for one in part.sentences)
