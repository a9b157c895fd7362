"""What was said in a contact: certain words as a sentence, what is to come under its own label, nothing lost."""

import pytest
from story_jobs import case_of, sentences, ticket_from, told_of

from ticket.story.build import build

HEAD = "vehicle: 2014 Ember Fox 2.0\ncustomer: Ada Fenn\n\nsays: noise\n"


def talks(*lines: str, language: str = "en") -> list[str]:
    return sentences(build(case_of(ticket_from(HEAD + "\n".join(lines))), language=language), "agreed")


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("told: Ada Fenn by phone, nothing found, no parts put on",
         ["We told you by phone that we found nothing and that no parts were fitted."]),
        ("told: Ada Fenn by phone, no fault found; total 60.00",
         ["We told you by phone that we found nothing.", "We named a total of $60.00."]),
        ("told: Ada Fenn by text, ready", ["We told you by text message that it is ready."]),
        ("told: Ada Fenn by phone, our fault, no charge; total 0.00",
         ["We told you by phone that this was our mistake and that there is no charge for this visit."]),
        ("told: Ada Fenn at counter, all good, next oil 84,300 km or May",
         ["We told you in person that all is in order.", "What comes next: Next oil 84,300 km or May."]),
        ("told: Ada Fenn by phone, knows rear not done, booked Fri 8 am",
         ["We spoke with you by phone.", "We wrote down: Knows rear not done.", "What comes next: Booked Fri 8 am."]),
        ("told: Ada Fenn by phone, she'll jot down the speed next time",
         ["We spoke with you by phone.", "What comes next: Will jot down the speed next time."]),
        ("told: Ada Fenn by text, ready, old batteries kept if she wants them",
         ["We told you by text message that it is ready.", "What comes next: Old batteries kept if wanted."]),
        ("told: Ada Fenn by phone, u-bolts need retorque after 100 km, here or anywhere",
         ["We spoke with you by phone.", "What comes next: U-bolts need retorque after 100 km, here or anywhere."]),
        ("told: Bo at the warranty desk by phone, bill the school, PO 4471, claim 20816",
         ["We spoke with Bo at the warranty desk by phone.", "We wrote down: Bill the school, PO 4471, claim 20816."]),
    ],
)  # fmt: skip
def test_what_was_said_is_told_by_what_it_says(line: str, told: list[str]) -> None:
    assert talks(line) == told


def test_all_good_beside_a_yes_may_be_the_customers_own_words() -> None:
    assert not any("in order" in one for one in talks("told: Ada Fenn by phone, yes, all good"))


def test_a_yes_to_a_thing_alone_is_no_wider() -> None:
    lines = talks("offer: replace heater valve; est 90.00", "told: Bo by phone, yes to the valve only, claim 20816")
    assert lines == ["Bo said yes to the valve by phone.", "We wrote down: Claim 20816."]


def test_the_sum_of_work_that_is_partly_still_to_do_is_told_as_the_sum_of_all() -> None:
    text = HEAD + (
        "offer: replace front pads; est 500.00\noffer: replace rear caliper; est 400.00\n"
        "told: Ada Fenn by phone, yes 2 3; total 900.00\ndid: replaced front pads; for 2\n"
        "later: replace rear caliper; because part on back order\ntold: Ada Fenn by phone, 3 not billed yet"
    )
    told = sentences(told_of(text), "agreed")
    assert told[0].endswith("the total with what is still to do is $900.00.")
    assert "We wrote down: Replace rear caliper: not billed yet." in told


def test_another_language_tells_the_certain_words_too() -> None:
    assert talks("told: Ada Fenn by phone, nothing found, ready", language="es") == [
        "Le dijimos por teléfono que no encontramos nada y que ya está listo."
    ]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("told: Ada Fenn by phone, yes slack adjuster, lining wait; total 236.00",
         ["You said yes to the slack adjuster by phone.", "You want to wait with the lining.",
          "We named a total of $236.00."]),
        ("told: Ada Fenn in person, no to cables and pulley", ["You said no to the cables and the pulley in person."]),
        ("told: Bo at dispatch by phone, yes; bulkhead she says wait",
         ["Bo at dispatch wants to wait with the bulkhead."]),
        ("told: Ada Fenn by phone, new battery no for now", ["You said no to the new battery by phone."]),
        ("told: Ada Fenn by text, he takes it like that, dry load only",
         ["We wrote to you by text message.", "We wrote down: Takes it like that, dry load only."]),
        # things without their commas, or what is no thing, stay as typed
        ("told: Ada Fenn by phone, yes post track rollers", ["We wrote down: Yes post track rollers."]),
        ("told: Ada Fenn by phone, yes wire bulb and battery", ["We wrote down: Yes wire bulb and battery."]),
        ("told: Ada Fenn by phone, ok to bill check", ["We wrote down: Ok to bill check."]),
        ("told: Ada Fenn by email, they pay, no more than 1,200.00", ["No more than $1,200.00 was agreed to."]),
    ],
)  # fmt: skip
def test_an_answer_to_things_by_their_names_is_told_as_one(line: str, told: list[str]) -> None:
    assert set(told) <= set(talks(line))


def test_what_was_sent_with_a_message_is_nobody() -> None:
    assert talks("told: text w/ photo at 14:05, no answer yet") == [
        "We wrote to you by text message, with a picture; we have not heard from you yet."
    ]
