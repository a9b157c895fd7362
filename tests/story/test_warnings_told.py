"""A warning that was given to the customer stands on the copy; the rest of the talk stays inside (common practice)."""

from datetime import date

import pytest

from support.tickets import ticket_of
from ticket.job.case import Case, Settings
from ticket.story.build import build

LINES = ["says: clunk", "found: LF ball joint loose", "offer: replace LF ball joint; do now; est 300"]


def told(words: str, language: str = "en") -> list[str]:
    """What stands first of all, and what the talks are told as: a warning is told once, as long as it holds there."""
    case = Case(
        ticket_of([*LINES, f"told: Ada Fenn by phone, no 3; {words}"], customer="Ada Fenn"),
        Settings(),
        date(2026, 3, 2),
    )
    return [
        one.text
        for part in build(case, language=language).sections
        for one in part.sentences
        if part.id in ("read", "agreed")
    ]


@pytest.mark.parametrize(
    "words",
    ["told her it can pull apart", "warned not safe to drive", "do not drive it", "wheel could come off, will think"],
)
@pytest.mark.parametrize(("language", "label"), [("en", "We warned of this: "), ("es", "We warned of this: ")])
def test_what_was_warned_of_is_told_with_its_label(words: str, language: str, label: str) -> None:
    assert len([one for one in told(words, language) if one.startswith(label)]) == 1


@pytest.mark.parametrize(
    "words", ["her brother drives past", "she moves next month", "told him price again", "the idiot says not safe"]
)
def test_other_talk_stays_inside(words: str) -> None:
    assert not [one for one in told(words) if "warned" in one or words.split(maxsplit=1)[0] in one]


@pytest.mark.parametrize(
    ("words", "whole"),
    [
        (
            "warned wheel can come off, not fit to tow, towing it home anyway",
            "Wheel can come off, not fit to tow, towing",
        ),
        ("told her do not use it, only at walking pace", "Do not use it, only at walking pace."),
        ("warned unsafe, knows, still no", "Unsafe, knows."),
        ("warned it may snap, wants it Friday, our cost 12.00", "It may snap."),
    ],
)
def test_a_warning_is_told_whole_and_nothing_else_with_it(words: str, whole: str) -> None:
    warned = [one for one in told(words) if one.startswith("We warned of this: ")]
    assert len(warned) == 1
    assert warned[0].removeprefix("We warned of this: ").startswith(whole)


@pytest.mark.parametrize(
    "words",
    [
        "ready 3 pm",
        "back weds for the left",
        "driver to check level Friday",
        "will film it next time",
        "here or anywhere handy",
    ],
)
def test_what_happens_next_is_told_as_typed(words: str) -> None:
    assert any(words.lower() in one.lower() for one in told(words))


def test_a_no_to_what_the_talk_itself_offered_is_no_refusal_of_the_work() -> None:
    lines = [*LINES, "told: Ada Fenn by phone, no 3", "told: Ada Fenn, offered a tow home, no thanks"]
    story = build(Case(ticket_of(lines, customer="Ada Fenn"), Settings(), date(2026, 3, 2)))
    told_lines = [one.text for part in story.sections if part.id == "agreed" for one in part.sentences]
    assert "The answer then was no." in told_lines
    assert not [one for one in told_lines if one.startswith("You said no to this work")]


@pytest.mark.parametrize(
    "line",
    ["brake disc cracked, do not drive", "front discs cracked, dont drive", "brake hose bulged, don't tow with it"],
)
def test_an_order_in_a_finding_is_no_tale_of_what_did_not_happen(line: str) -> None:
    case = Case(ticket_of(["says: grinding", f"found: {line}"]), Settings(), date(2026, 3, 2))
    texts = [one.text for part in build(case).sections for one in part.sentences]
    assert not [one for one in texts if "did not" in one]
    assert [one for one in texts if "do not" in one]


def test_what_does_not_work_is_still_told() -> None:
    case = Case(ticket_of(["says: wipers", "found: rear lamps do not work"]), Settings(), date(2026, 3, 2))
    assert "The rear lamps did not work." in [one.text for part in build(case).sections for one in part.sentences]
