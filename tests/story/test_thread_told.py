"""What waits through several visits is told as one thing, in both languages, and held by the checker."""

from dataclasses import replace
from datetime import timedelta

import pytest
from story_jobs import MORNING, case_of, sentences, signed, ticket_from

from support.faithful.whole import check_story
from ticket.gaps.find import find_gaps
from ticket.job.case import Case
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity
from ticket.story.build import build
from ticket.story.document import to_document

FIRST = """says: fan drive whines
found: fan-drive reservoir level -14 mm (-20 to 0)
found: engine oil level +6 mm (0 to 10)
did: 0.4 h top up fan-drive reservoir; for 2
proof: 2 now -1 mm
later: read the level again; may wait; for 2 3; in 500 mi"""
WAITS = "says: level read again\nproof: 1801/2 now -9 mm\nlater: for 1801/6; looked at, still waits"


def at(made: Ticket, miles: int) -> Ticket:
    return replace(made, header=replace(made.header, odometer_in=Quantity(str(miles), "mi")))


def earlier(lines: str, number: int, days: int, miles: int) -> Ticket:
    return at(signed(lines, number=number, opened=MORNING - timedelta(days=days)), miles)


ONE = earlier(FIRST, 1801, 60, 90_000)
TWO = earlier(WAITS.replace("-9", "-3"), 1802, 30, 90_500)


def told(case: Case, language: str = "en", reader: str = "customer") -> str:
    story = build(case, reader, language)
    assert not check_story(to_document(story), case)
    return " ".join(sentences(story))


@pytest.mark.parametrize("language", ["en", "es"])
def test_what_was_looked_at_and_still_waits_is_still_to_do(language: str) -> None:
    text = told(case_of(at(ticket_from(WAITS), 90_600), ONE), language)
    assert ("Still to do" in text) or "this can wait" in text or language == "es"
    assert ("in 500 miles again, counted from today" if language == "en" else "a partir de hoy") in text


@pytest.mark.parametrize(
    ("language", "said"), [("en", "So far this was looked at on"), ("es", "Hasta ahora se revisó el")]
)
def test_the_days_it_was_seen_are_told(language: str, said: str) -> None:
    text = told(case_of(at(ticket_from(WAITS), 91_000), TWO, ONE), language)
    assert said in text
    assert text.count("2026") >= 2


def test_a_level_that_fell_again_says_so_with_its_loss() -> None:
    text = told(case_of(at(ticket_from(WAITS), 90_600), ONE))
    assert "The fan-drive reservoir level went down by 8 mm over the last 600 miles." in text
    assert "It has fallen again since: fluid is getting out." in text


def test_the_neighbour_that_rose_tells_where_it_went() -> None:
    lines = WAITS.replace("later", "proof: 1801/3 now +9 mm\nlater")
    text = told(case_of(at(ticket_from(lines), 90_600), ONE))
    assert "fluid is passing from one to the other" in text
    assert "The engine oil level went up by 3 mm over the last 600 miles." in text


def test_a_level_counted_downward_fell_when_its_figure_grew() -> None:
    first = earlier(
        "says: whine\nfound: drive level 14 mm below (0 to 3 mm below)\ndid: 0.4 h top up drive; for 2\n"
        "proof: 2 now 1 mm\nlater: read the level again; may wait; for 2; in 500 mi", 1801, 60, 90_000,
    )  # fmt: skip
    text = told(case_of(at(ticket_from(WAITS.replace("-9", "9").replace("1801/6", "1801/5")), 90_600), first))
    assert "went down by 8 mm" in text
    assert "It has fallen again since" in text


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("reader", ["payer", "shop"])
def test_the_other_readers_are_told_the_thread_too(reader: str, language: str) -> None:
    text = told(case_of(at(ticket_from(WAITS), 90_600), TWO, ONE), language, reader)
    if language == "en":
        assert "Read the level again: seen on January 22, 2026; February 21, 2026; and today." in text
        assert "went down by 6 mm over the last 100 miles" in text
        assert "It has fallen again since: fluid is getting out." in text
        assert "; in 500 miles" not in text
    else:
        assert "visto el 22 de enero de 2026" in text
        assert "se está escapando fluido" in text


@pytest.mark.parametrize("reader", ["customer", "payer", "shop"])
def test_each_reader_is_told_between_which_weeks_it_falls_due(reader: str) -> None:
    before = earlier("says: tires", 1790, 200, 85_000)
    item = "later: replace belt; {}; for 1; in 3000 mi"
    for judged in ("may wait", "do soon"):
        text = told(case_of(at(ticket_from(f"says: squeak\n{item.format(judged)}"), 90_000), before), "en", reader)
        assert "3,000 miles" in text
        assert "between " in text


def test_a_distance_typed_at_the_second_look_is_the_one_that_is_told() -> None:
    lines = f"{WAITS}; in 400 mi"
    text = told(case_of(at(ticket_from(lines), 90_600), ONE))
    assert "in 400 miles, counted from today" in text
    assert "500 miles" not in text.split("this can wait")[1]


@pytest.mark.parametrize(
    ("miles", "said"),
    [
        (90_000, "about two times as much as before"),
        (94_000, "about three times as much as before"),
        (84_100, "times as much as since then"),
    ],
)
def test_a_change_of_habits_is_told_by_its_size(miles: int, said: str) -> None:
    visits = [earlier("says: tires", 1790 - at_, 30 * at_, 86_000 - 900 * at_) for at_ in range(4, 14)]
    late = miles - (miles - 82_400) // 2
    visits += [earlier("says: tires", 1791, 60, late), earlier("says: tires", 1790, 120, 82_400)][:1]
    text = told(case_of(at(ticket_from("says: squeak\nlater: replace belt; for 1; in 3000 mi"), miles), *visits))
    assert said in text


def test_a_level_that_stayed_had_been_short() -> None:
    text = told(case_of(at(ticket_from(WAITS.replace("-9", "-1")), 90_600), ONE))
    assert "It has stayed where it was: before that it had been filled short." in text


def test_work_done_for_an_offer_of_it_is_not_told_as_left() -> None:
    lines = "says: level\noffer: read the level again; for 1801/6\ndid: 0.2 h read the level again; for 2"
    text = told(case_of(at(ticket_from(lines), 90_600), ONE))
    assert "We did not look at it today" not in text


def gaps(case: Case) -> dict[str, str]:
    return {gap.id: gap.question for gap in find_gaps(case)}


def test_a_suspicion_that_a_second_look_decides_is_not_nagged_about() -> None:
    lines = "says: whine\nfound: reservoir level -14 mm (-3 to 0)\nmaybe: shaft seal passing"
    assert "suspicion-open" in gaps(case_of(ticket_from(lines)))
    assert "suspicion-open" not in gaps(case_of(ticket_from(f"{lines}\nlater: read the level again; for 2; in 500 mi")))


def test_what_was_measured_and_not_decided_is_asked_with_a_proposal() -> None:
    measured = ticket_from("says: level\nproof: 1801/2 now -9 mm")
    asked = gaps(case_of(at(measured, 90_600), ONE))["measured-undecided"]
    assert "later: for 1801/6; looked at, still waits; in " in asked
    answered = ticket_from(WAITS)
    assert "measured-undecided" not in gaps(case_of(at(answered, 90_600), ONE))
    assert "earlier-waiting" not in gaps(case_of(at(answered, 90_600), ONE))
    assert "earlier-waiting" in gaps(case_of(at(ticket_from("says: tires"), 90_600), ONE))
