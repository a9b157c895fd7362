"""Why something waits is told as that, and never as the reason of its urgency or as a part of the work."""

import pytest
from story_jobs import case_of, sentences, ticket_from

from ticket.language.terse import past
from ticket.story.build import build


def told(line: str) -> list[str]:
    return sentences(build(case_of(ticket_from(f"says: noise\nlater: {line}"))), "later")


@pytest.mark.parametrize(
    ("line", "sentences"),
    [
        ("hose; cable on back order; do now", ["Hose: this is urgent.", "Why it waits: Cable on back order."]),
        ("pump; because supply house says Thursday; do now", ["Why it waits: Supply house says Thursday."]),
        ("tire; because he just hauls to the dump; do now", ["Why it waits: He just hauls to the dump."]),
        ("hose; because closed till Mon; do soon", ["Why it waits: Closed till Mon."]),
        ("tire; because cord coming through; do now", ["Why: Cord coming through."]),
        ("belts; because they are cracked; do now", ["Why: They are cracked."]),
        ("hose; because supply hose cracked; do soon", ["Why: Supply hose cracked."]),
        ("bush; because it wants replacing; do soon", ["Why: It wants replacing."]),
        ("seal; because part of the lip is gone; do soon", ["Why: Part of the lip is gone."]),
    ],
)
def test_the_label_says_whether_it_is_why_it_waits(line: str, sentences: list[str]) -> None:
    assert set(sentences) <= set(told(line))


def test_numbers_of_entries_are_no_reason() -> None:
    assert not [line for line in told("hose; because 2 3; do soon") if "Why" in line]


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("replace pads and machine rotors", "replace pads and machine rotors"),
        ("remove wheel and patch tire", "remove wheel and patch tire"),
        ("replace hose and clamp, secure hose", "replaced hose and clamp, secured hose"),
        ("replaced pads and machine rotors", "replaced pads and machine rotors"),
    ],
)
def test_a_note_bends_all_its_work_or_none(typed: str, line: str) -> None:
    assert past(typed) == line


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("look at pump again; may wait; because dry and holds pressure; in 6000 mi", "Why it can wait: Dry and holds"),
        ("test battery again; may wait; because 585 cca is ok", "Why it can wait: 585"),
        ("look again when it clunks; may wait; because nothing loose", "Why it can wait: Nothing loose."),
        ("check level again; may wait; because a second leak may be hidden; in 2 weeks", "Why: A second leak may be"),
    ],
)
def test_why_it_can_wait_is_no_reason_to_come_back(line: str, sentence: str) -> None:
    assert any(one.startswith(sentence) for one in told(line))


def test_a_note_with_unlisted_work_behind_and_is_bent_in_no_half() -> None:
    assert past("rhf cv boot, clean n regrease joint") == "right front CV boot, clean and regrease joint"


@pytest.mark.parametrize(
    ("behind", "sentences"),
    [
        ("by the 15th", ["Risk: Poor grip.", "When: by the 15th."]),
        ("next Friday, not approved yet", ["Why it waits: We are waiting for your answer.", "When: next Friday."]),
        ("waiting on Odell", ["Risk: Poor grip.", "Why it waits: We are waiting for your answer."]),
        ("call when it slides", ["Risk: Poor grip.", "Please call when it slides."]),
        ("town driving only till then", ["Risk: Poor grip.", "Until then: Town driving only."]),
        ("call out needed if it dies", ["Risk: Poor grip; call out needed if it dies."]),
        ("brakes may lock", ["Risk: Poor grip; brakes may lock."]),
    ],
)
def test_what_stands_behind_a_risk_is_no_part_of_it(behind: str, sentences: list[str]) -> None:
    lines = f"customer: Maud Odell\n\nsays: noise\nlater: tire; may wait; risk: poor grip; {behind}"
    assert set(sentences) <= set(sentences_of(lines))


def sentences_of(lines: str) -> list[str]:
    return sentences(build(case_of(ticket_from(lines))), "later")


def test_an_order_behind_a_risk_stands_in_the_box_and_what_waits_for_a_part_is_urgent() -> None:
    lines = (
        "says: grinds\nlater: rear pads; pads on back order; do now; risk: pads to metal; town driving only till then"
    )
    box = sentences(build(case_of(ticket_from(lines))), "read")
    assert "Until then: Town driving only." in box
    assert "This is urgent." in box
    assert not any("back order" in one for one in box)


def test_a_reason_ends_where_a_day_or_an_order_begins() -> None:
    line = "next service; may wait; because just done; at 12,100 unit h; risk: shuts off; do not load it by day"
    lines = told(line)
    assert {"Why: Just done.", "When: at 12,100 unit h.", "Please do not load it by day."} <= set(lines)


def test_a_danger_by_its_item_alone_says_what_may_happen() -> None:
    lines = (
        "says: gate hangs\nfound: lift cable broken\n"
        "later: cables; do not wait, danger; risk: platform falls, can crush somebody"
    )
    box = sentences(build(case_of(ticket_from(lines))), "read")
    assert any("can crush somebody" in one for one in box)
    assert "This must not wait." in box
    assert not any("danger" in one for one in box)


def test_what_was_put_off_because_of_a_no_is_the_work_that_was_refused() -> None:
    lines = (
        "says: squeals\nfound: RF pad inner 1 mm (min 3)\noffer: front pads, 2 rotors; do now; est 412.60\n"
        "told: Bo by phone, no 3\nlater: front brakes; she declined; risk: brake can fail"
    )
    told_later = sentences_of(lines)
    assert len([one for one in told_later if one.endswith(("must not wait.", "Front brakes."))]) == 1
    assert not any("declined" in one for one in told_later)
