"""A declined danger asks for a picture, and is content with one of the offer or of what it rests on."""

import pytest
from gap_cases import case_of, ids

from ticket.gaps.find import find_gaps

LINES = """
says: brake pedal low
found: front pads LF 1 mm (min 3)
offer: replace front pads; for 2; {judgement}; est 240
told: Ada Fenn in person, {answer} 3
"""


def case(more: str = "", judgement: str = "do not drive", answer: str = "no") -> str:
    return LINES.format(judgement=judgement, answer=answer) + more


@pytest.mark.parametrize("judgement", ["do now", "do not drive"])
def test_pressing_work_that_was_declined_is_best_shown(judgement: str) -> None:
    (gap,) = [gap for gap in find_gaps(case_of(case(judgement=judgement))) if gap.id == "declined-not-shown"]
    assert (gap.level, gap.entry) == ("advice", 3)
    assert "Add: photo: FILE; ...; for 2" in gap.question
    noted = case_of(case("# no picture was taken\n", judgement=judgement))
    assert "declined-not-shown" not in ids(noted), "that there is none is an answer too"


@pytest.mark.parametrize("answer", ["yes", "thinks"])
def test_nothing_is_asked_before_it_was_declined(answer: str) -> None:
    assert "declined-not-shown" not in ids(case_of(case(answer=answer)))


def test_what_may_wait_asks_for_no_picture() -> None:
    assert "declined-not-shown" not in ids(case_of(case(judgement="may wait")))


@pytest.mark.parametrize(("shows", "asked"), [("for 2", False), ("for 3", False), ("for 1", True), ("before", True)])
def test_a_picture_of_the_finding_or_of_the_offer_answers_it(shows: str, asked: bool) -> None:
    found = ids(case_of(case(f"photo: 0123456789ab; pads worn to the plate; {shows}\n")))
    assert ("declined-not-shown" in found) is asked
