"""A verb of work belongs to what it was typed of: verbs of one entry that changed places are refused."""

import pytest
from story_jobs import case_of, ticket_from

from ticket.job.values import Ref
from ticket.story.judge import PROVED, REFUSED, judge
from ticket.story.sentence import Lit, Sentence

SWAPPED = [
    ("did: replaced water pump and tightened belt", "We tightened the water pump and replaced the belt."),
    ("did: replaced water pump and tightened belt", "The belt was replaced and the water pump tightened."),
    ("did: replaced water pump and tightened belt", "We tightened the water pump."),
    ("did: cleaned ground, replaced fuse", "We cleaned the fuse and replaced the ground."),
    ("did: replaced tie rod end and aligned front", "We aligned the tie rod end and replaced the front."),
    ("did: greased hinge and oiled latch", "We oiled the hinge and greased the latch."),
    ("did: removed and cleaned injectors, replaced seals", "We cleaned the seals and replaced the injectors."),
    ("did: replaced left lamp and cleaned right lamp", "We replaced the right lamp and cleaned the left lamp."),
    ("offer: replace belt and tighten pump; est 3", "Replace the pump and tighten the belt."),
]
KEPT = [
    ("did: replaced water pump and tightened belt", "We tightened the belt and replaced the water pump."),
    ("did: replaced water pump and tightened belt", "The water pump was replaced, and we tightened the belt."),
    ("did: cleaned ground, replaced fuse", "We replaced the fuse after cleaning the ground."),
    ("did: removed and cleaned injectors, replaced seals", "We cleaned the injectors and replaced the seals."),
    ("did: replaced and torqued bolts, sealed cover", "We replaced the bolts, tightened them, and sealed the cover."),
]
# Honest, though other words than those typed: an installed pump may be told as replaced, and what somebody else did.
HONEST = [
    ("did: installed pump and replaced belt", "We replaced the pump and the belt."),
    ("says: had belt replaced last week ¦ did: replaced pump and tightened belt", "You had the belt replaced."),
]


def _answer(typed: str, told: str) -> str:
    case = case_of(ticket_from("\n".join(typed.split(" ¦ "))))
    sources = tuple(Ref(entry.no) for entry in case.ticket.living)
    return judge(case, "customer", Sentence((Lit("It was so."),), sources), told).word


@pytest.mark.parametrize(("typed", "told"), SWAPPED)
def test_verbs_that_changed_places_are_refused(typed: str, told: str) -> None:
    assert _answer(typed, told) == REFUSED


@pytest.mark.parametrize(("typed", "told"), KEPT)
def test_pairs_in_another_order_are_proved(typed: str, told: str) -> None:
    assert _answer(typed, told) == PROVED


@pytest.mark.parametrize(("typed", "told"), HONEST)
def test_an_honest_other_wording_is_not_refused(typed: str, told: str) -> None:
    assert _answer(typed, told) != REFUSED
