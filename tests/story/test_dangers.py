"""A danger that was found and is not put right stands before everything else; common practice, no source."""

from dataclasses import replace

import pytest
from story_jobs import case_of

from support.faithful import check_story
from support.tickets import ticket_of
from ticket.job.kinds import Later
from ticket.job.ticket import Vehicle
from ticket.story.build import build
from ticket.story.document import to_document
from ticket.story.sentence import Story

STOP = (
    "later: tighten wheel bolts; do not drive; because two of them are loose; risk: wheel may come off; in 1 day; for 2"
)


def story_of(*lines: str) -> Story:
    """The customer's story, judged from outside as well."""
    case = case_of(ticket_of(lines))
    story = build(case)
    assert [flaw for flaw in check_story(to_document(story), case) if not flaw.finding.advice] == []
    return story


def first(*lines: str) -> list[str]:
    section = story_of(*lines).sections[0]
    return [sentence.text for sentence in section.sentences] if section.id == "read" else []


def test_a_danger_is_told_first_as_it_was_found_with_the_shops_judgement() -> None:
    told = first("says: clunk from the left", "found: two wheel bolts loose", STOP)
    assert told == [
        "Two wheel bolts were loose.",
        "Risk: Wheel may come off.",
        "Please do not drive until this is done.",
    ]
    assert story_of("says: clunk", "found: two wheel bolts loose", STOP).sections[0].title == "Please read this first"


@pytest.mark.parametrize(
    ("found", "offer"),
    [
        ("found: fuel hose leaking", "offer: replace fuel hose; for 2; do now"),
        ("found: brake fluid below its mark", "offer: replace brake hose; for 2; do now"),
        ("found: carbon monoxide in the cabin 80 ppm (max 9)", "offer: replace muffler; for 2; do now"),
        ("found: left front tire split", "offer: replace left front tire; for 2; do now"),
    ],
)
def test_pressing_offers_count_until_their_work_is_done(found: str, offer: str) -> None:
    told = first("says: smell inside", found, offer)
    assert told[-1] == "This must not wait."
    work = offer.partition(";")[0].replace("offer", "did") + "; for 3"
    assert first("says: smell inside", found, offer, work) == []


def test_what_is_no_danger_or_may_wait_does_not_stand_there() -> None:
    wiper = "later: replace wiper blade; do not drive; because torn; risk: streaks in rain; for 2"
    assert first("says: clunk", "found: wiper blade torn", wiper) == []
    assert first("says: clunk", "found: two wheel bolts loose", STOP.replace("do not drive", "do soon")) == []


def test_a_danger_that_only_the_words_of_the_item_name_is_told_first_in_them() -> None:
    told = first("says: clunk", "# found: two wheel bolts loose", STOP.replace("; for 2", ""))
    assert told == ["Tighten wheel bolts. Risk: Wheel may come off.", "Please do not drive until this is done."]
    done = "did: tightened wheel bolts"
    assert first("says: clunk", STOP.replace("; for 2", ""), done) == []


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (["found: drag link play, not safe to drive"], "Drag link play, not safe to drive."),
        (["later: hay rake drawbar; do soon; because cracked, unsafe"], "Hay rake drawbar. Why: Cracked, unsafe."),
        (
            ["offer: replace kayak rack; est 90", "told: Ada Fenn, no 2; warned it can come loose"],
            "We warned of this: It can come loose.",
        ),
    ],
)  # fmt: skip
def test_words_that_forbid_driving_and_warnings_stand_first_while_nothing_was_done(lines: list[str], told: str) -> None:
    assert told in first("says: clunk", *lines)


def test_the_box_names_no_part_that_was_replaced() -> None:
    told = first(
        "says: pulls", "found: left rear brake hose cracked, right rear brake hose bulging",
        "offer: replace right rear brake hose; for 2; do now", "did: replaced left rear brake hose",
        "used: 1 x brake hose, new @ 20.00", "told: Ada Fenn, no 3",
    )  # fmt: skip
    assert told == ["Replace the right rear brake hose.", "This must not wait."]


def test_it_stands_first_in_another_language_too() -> None:
    case = case_of(ticket_of(["says: clunk from the left", "found: two wheel bolts loose", STOP]))
    story = build(case, "customer", "es")
    assert story.sections[0].title == "Por favor, lea esto primero"
    assert [sentence.text for sentence in story.sections[0].sentences] == [
        "Dos tornillos de la rueda estaban flojos.",
        "Por favor, no conduzca hasta que esto esté hecho.",
        "Risk: Wheel may come off.",
    ]


@pytest.mark.parametrize(
    ("vehicle", "ban"),
    [
        ("2014 Lunstrom 28 ft pup trailer", "Please do not pull the trailer until this is done."),
        ("2015 Gantley L50 forklift", "Please do not use the machine until this is done."),
        ("2018 Orvick 16 ft box truck", "Please do not drive until this is done."),
    ],
)
def test_nobody_is_told_not_to_drive_what_nobody_drives(vehicle: str, ban: str) -> None:
    case = case_of(ticket_of(["says: drags", "found: left drum cracked", "later: left drum; do not pull it; for 2"]))
    header = replace(case.ticket.header, vehicle=Vehicle(label=vehicle))
    story = build(replace(case, ticket=replace(case.ticket, header=header)))
    assert ban.replace("Please", "Left drum: please") in [one.text for part in story.sections for one in part.sentences]


@pytest.mark.parametrize(
    ("line", "risk", "when"),
    [
        ("later: shoes; do not drive; risk: drum cracks; when drums land Fri", "drum cracks", "when drums land Fri"),
        ("later: shoes; do now; risk: drum cracks; when the rest ships", "drum cracks", "when the rest ships"),
        ("later: shoes; do now; risk: brake fades; when hot", "brake fades; when hot", ""),
        ("later: shoes; do now; risk: brake fades; when braking hard", "brake fades; when braking hard", ""),
    ],
)  # fmt: skip
def test_when_the_work_comes_is_no_part_of_the_danger(line: str, risk: str, when: str) -> None:
    later = ticket_of(["says: drags", line]).entries[-1].fact
    assert isinstance(later, Later)
    assert (later.risk, later.due.event if later.due else "") == (risk, when)


def test_what_the_driver_must_leave_meanwhile_stands_first_though_nobody_judged_the_work() -> None:
    item = "later: fan assembly; because waiting on a part; risk: overheats at idle; dont idle it"
    assert first("says: runs hot", item) == ["Fan assembly. Risk: It overheats at idle.", "Please do not idle it."]


def test_what_stands_first_is_not_told_again_where_it_was_found() -> None:
    told = [
        one.text
        for part in story_of("says: clunk", "found: two wheel bolts loose", STOP).sections
        for one in part.sentences
    ]
    assert told.count("Two wheel bolts were loose.") == 1
