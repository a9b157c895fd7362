"""When a distance will be reached, as a customer reads it: between two weeks, never one day, in both languages."""

from dataclasses import replace
from datetime import timedelta

import pytest
from story_jobs import MORNING, case_of, sentences, signed, ticket_from

from support.faithful.whole import check_story
from ticket.job.case import Case
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity
from ticket.story.build import build
from ticket.story.document import to_document

LATER = "says: service\nlater: replace front pads; may wait; in 3000 mi"


def at(made: Ticket, miles: int) -> Ticket:
    return replace(made, header=replace(made.header, odometer_in=Quantity(str(miles), "mi")))


def driven(*visits: tuple[int, int], last: int = 57_650, lines: str = LATER) -> Case:
    """A ticket of today behind visits so many days ago with so many miles on the odometer."""
    earlier = [
        at(signed("says: service", number=1800 + i, opened=MORNING - timedelta(days=days)), miles)
        for i, (days, miles) in enumerate(visits)
    ]
    return case_of(at(ticket_from(lines), last), *sorted(earlier, key=lambda one: one.opened, reverse=True))


STEADY = ((609, 41_200), (417, 46_350), (287, 49_800), (126, 54_100))


def told(case: Case, language: str = "en") -> str:
    story = build(case, "customer", language)
    assert not check_story(to_document(story), case)
    return " ".join(sentences(story))


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", "if driving stays as it is, that is about early July, between June 15 and August 9, 2026"),
        ("es", "será hacia principios de julio, entre el 15 de junio y el 9 de agosto de 2026"),
    ],
)
def test_a_steady_driver(language: str, said: str) -> None:
    """The worked vehicle (88, 109 and 135 days), its last visit moved to March 23, 2026: whole weeks outward."""
    assert said in told(driven(*STEADY), language)


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", "since about September 2025 you have driven about two times as much as before"),
        ("es", "maneja unas dos veces lo de antes"),
    ],
)
def test_a_change_that_two_readings_confirm_is_said(language: str, said: str) -> None:
    """27 miles a day, then 60 twice (worked value: changed)."""
    case = driven((809, 41_200), (617, 46_350), (487, 49_800), (326, 54_100), (200, 57_650), (100, 63_650), last=69_650)
    assert said in told(case, language)
    back = driven((809, 41_200), (617, 53_000), (487, 61_000), (326, 71_000), (200, 72_000), (100, 72_800), last=73_600)
    assert "you have driven less than before" in told(back)


def test_nothing_is_told_of_a_driver_nobody_knows() -> None:
    assert "driving" not in told(driven())


def test_the_calendar_limit_caps_what_is_told() -> None:
    text = told(driven(*STEADY, lines="says: service\nlater: replace front pads; in 3000 mi or 4 months"))
    assert "between June 15 and July 23, 2026" in text


def test_another_language_of_dates() -> None:
    case = driven(*STEADY)
    other = replace(case, settings=replace(case.settings, dates="2 March 2026"))
    assert "between 15 June and 9 August 2026" in told(other)
