"""Classes of lines once told falsely or in broken words, each with lines of its kind. Common practice, no source."""

import re
from datetime import UTC, datetime

import pytest
from story_jobs import case_of, sentences, signed, ticket_from, told_of

from ticket.story.build import build


@pytest.mark.parametrize(
    ("line", "told"),
    [
        # states of one thing in a row share its verb, and none takes the other's "not", degree or place
        ("found: fuel hose brittle, cracked", "The fuel hose was brittle and cracked."),
        ("found: seal dry, not torn", "The seal was dry and not torn."),
        ("found: seal not torn, dry", "The seal was not torn and was dry."),
        ("found: hinge badly worn, bent", "The hinge was badly worn and was bent."),
        # what something smells of is no matter that was there
        ("found: engine oil smells of fuel", "The engine oil smelled of fuel."),
        # so much of something: no name of what was measured
        ("found: tire 3 in of play", "The tire had 3 inches of play."),
        ("found: tank 3 mm of water", "The tank had 3 mm of water."),
        ("found: rotor 0.2 mm of runout (max 0.1)", "Rotor 0.2 mm of runout (no more than 0.1 mm is allowed): too high."),  # noqa: E501
        # a verb between two things is no thing itself
        ("found: engine burns oil", "Engine burns oil."),
        ("found: valve leaks coolant", "The valve leaked coolant."),
        # work in a list that ends in "and" shares its thing; without the "and" nobody knows what was cleaned
        ("did: removed, cleaned and refitted injectors", "We took the injectors off, cleaned them, and put them back."),
        ("did: cleaned, replaced pump", "Cleaned, replaced pump."),
        # a clause with a verb of its own is no part of the thing behind "and"
        ("ruled: horn relay; relay clicks and its contact drop is normal",
         "It was not the horn relay, because the relay clicked, and its contact drop was normal."),
        ("ruled: leaking pan or line; no bubbles", "It was not a leaking pan or line, because there were no bubbles."),
    ],
)  # fmt: skip
def test_a_line_of_the_class_is_told_so(line: str, told: str) -> None:
    assert told in sentences(told_of(line)), sentences(told_of(line))


def test_a_good_word_beside_a_good_reading_is_said_by_its_verdict() -> None:
    told = sentences(told_of("found: rear pads LR 4.0 mm (min 3.0), ok"), "found")
    assert told == ["The left rear brake pad was 4.0 mm thick, within limits; at least 3.0 mm is needed."]


def test_r_and_r_without_its_part_is_not_told_as_replaced_beside_work_that_has_one() -> None:
    told = sentences(told_of("did: R&R cowl panel, replace wiper linkage\nused: 1 x WL-2 wiper linkage, new @ 20.00"))
    assert not [text for text in told if "eplaced the cowl" in text]
    assert "Removed and refitted or replaced cowl panel, replaced wiper linkage." in told


def test_r_and_r_of_an_earlier_visit_is_told_only_where_its_part_was_used() -> None:
    again = "says: fan warning again\ncode: P0480-1F"
    work = "says: fan warning\ncode: P0480-1F\ndid: R&R fan relay"
    for part, told in (("", ""), ("\nused: 1 x RL-1 fan relay, new @ 9.00", " That day we replaced the fan relay.")):
        before = signed(work + part, number=2107, opened=datetime(2026, 3, 2, 10, 0, tzinfo=UTC))
        assert sentences(told_of(again, before), "visit")[0] == f"You were here for this on March 2, 2026.{told}"


@pytest.mark.parametrize("line", ["found: pump leaks fluid", "ruled: leaking pump or hose; no bubbles"])
def test_what_another_language_cannot_say_rightly_stays_whole_under_the_heading_of_the_typed_words(line: str) -> None:
    story = build(case_of(ticket_from(f"customer: Ada Fenn\n\n{line}")), language="es")
    noted = [one for section in story.sections for one in section.sentences if one.form == "note"]
    assert len(noted) == 1
    assert noted[0].under or any("inglés" in section.title for section in story.sections)


@pytest.mark.parametrize("sub", ["ZZ", "3G", "1", "1FA"])
@pytest.mark.parametrize("reader", ["customer", "payer", "shop"])
def test_what_is_no_sub_code_is_asked_about_and_told_to_nobody(sub: str, reader: str) -> None:
    told = told_of(f"code: C0031-{sub} LF wheel speed sensor, stored", reader=reader)
    assert not any(re.search(rf"\b{sub}\b", text) for text in sentences(told)), sentences(told)


@pytest.mark.parametrize(("reader", "told"), [("customer", "1.0 to 1.6 kilohms"), ("payer", "(1.0 to 1.6 kΩ)")])
def test_limits_are_told_in_the_unit_they_were_typed_in(reader: str, told: str) -> None:
    lines = "says: lamp on\nfound: wheel sensor resistance 2.4 Mohm (1.0-1.6 kohm)"
    assert any(told in text for text in sentences(told_of(lines, reader=reader)))
