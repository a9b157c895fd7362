"""A writer's words in the place of a typed line are the shop's: nothing above them calls them the technician's."""

from dataclasses import replace

from story_jobs import MORNING, case_of, ticket_from

from ticket.job.case import Case
from ticket.job.reworded_sentence import Rewording
from ticket.papers.sheet import Heading, Items, Lead, Paragraph
from ticket.papers.story_blocks import story_blocks
from ticket.story.build import build
from ticket.story.rewording import basis
from ticket.story.sentence import NOTE, Section, Sentence

FOUND = "says: x\nfound: hose clamp off\nfound: loose bolt missing\nfound: horn ok"
CAUSE = "says: x\nfound: horn ok\ncause: gov cuts out 118 psi"


def reworded(case: Case, words: str, text: str) -> Case:
    """The case with the sentence of these words put into others, kept although they may not be proved."""
    sentence = next(one for part in build(case).sections for one in part.sentences if words in one.text)
    made = Rewording(
        "customer", sentence.original, text, "Bo Karst", MORNING, basis(case, sentence.sources), "en", unproved="so"
    )
    return replace(case, ticket=replace(case.ticket, rewordings=(*case.ticket.rewordings, made)))


def section(case: Case, name: str) -> Section:
    return next(one for one in build(case).sections if one.id == name)


def mine(part: Section) -> Sentence:
    return next(one for one in part.sentences if one.reworded)


def test_it_stands_in_front_of_what_is_still_in_the_technicians_words() -> None:
    case = case_of(ticket_from(FOUND))
    before = section(case, "found")
    assert [one.under for one in before.sentences if one.form == NOTE] == ["In the technician’s words"] * 2
    after = section(reworded(case, "Loose bolt", "A bolt was missing."), "found")
    assert mine(after).form != NOTE
    assert not mine(after).under
    assert [one.text for one in after.sentences][-1] == "Hose clamp off."
    blocks = list(story_blocks(build(reworded(case, "Loose bolt", "A bolt was missing."))))
    at = next(i for i, one in enumerate(blocks) if isinstance(one, Lead) and "technician" in one.text)
    assert isinstance(blocks[at - 1], Paragraph)
    notes = blocks[at + 1]
    assert isinstance(notes, Items)
    assert len(notes.items) == 1


def test_a_title_says_it_no_more_where_nothing_typed_is_left() -> None:
    case = case_of(ticket_from("says: x\nfound: hose clamp off\nfound: loose bolt missing"))
    assert "technician" in section(case, "found").title
    once = reworded(case, "Loose bolt", "A bolt was missing.")
    assert "technician" not in section(once, "found").title
    assert [one.under for one in section(once, "found").sentences] == ["", "In the technician’s words"]
    twice = reworded(once, "Hose clamp", "The clamp of the hose was off.")
    assert {one.under for one in section(twice, "found").sentences} == {""}


def test_a_reworded_cause_is_not_the_technicians() -> None:
    case = case_of(ticket_from(CAUSE))
    assert "technician" in section(case, "cause").title
    told = reworded(case, "Governor cuts out", "Most likely, the governor cuts out at 118 psi.")
    assert "technician" not in section(told, "cause").title
    headings = [one.text for one in story_blocks(build(told)) if isinstance(one, Heading)]
    assert not any("technician" in text for text in headings)
