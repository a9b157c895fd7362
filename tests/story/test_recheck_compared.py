"""A reading taken again is compared with the newest one of its chain, in stories, questions, trends and on the screen.

That a level found low, put right and low again has fallen since it was put right is arithmetic; that it is told so and
not as a gain is common practice, no source.
"""

from dataclasses import replace
from datetime import timedelta

import pytest
from story_jobs import MORNING, case_of, sentences, signed, ticket_from

from support.faithful.whole import check_story
from ticket.gaps.find import find_gaps
from ticket.grid.columns import columns_for
from ticket.grid.entries import cells_of
from ticket.grid.entry_words import entry_words
from ticket.grid.sight import Sight
from ticket.job.case import Case
from ticket.job.kinds import Proof
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity, Ref, Run, Value
from ticket.readings.trend import trends
from ticket.story.build import build
from ticket.story.document import to_document
from ticket.story.sentence import Val

FIRST = """says: fan drive whines
found: fan-drive reservoir level -14 mm (-3 to 0)
did: 0.4 h top up fan-drive reservoir; for 2
proof: 2 now -1 mm"""
BACK = "says: here to have the level read again; back from 1801\nproof: 1801/2 now -9 mm"
READERS = ("customer", "payer", "shop")


def earlier_visit(lines: str = FIRST, number: int = 1801, days: int = 30) -> Ticket:
    made = signed(lines, number=number, opened=MORNING - timedelta(days=days))
    return replace(made, header=replace(made.header, odometer_in=Quantity("90000", "mi")))


def recheck(lines: str = BACK) -> Ticket:
    made = ticket_from(lines)
    return replace(made, header=replace(made.header, odometer_in=Quantity("90600", "mi")))


def proofs(case: Case, no: int, reader: str, language: str) -> list[str]:
    told = build(case, reader, language)
    wanted = [
        item for part in told.sections for item in part.sentences if Ref(no) in item.sources and "mm" in item.text
    ]
    return [item.text.replace("\u00a0", " ") for item in wanted]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("where", ["same ticket", "next visit", "proof of a proof"])
def test_a_level_that_fell_after_it_was_put_right_is_never_told_against_the_first_reading(
    where: str, reader: str, language: str
) -> None:
    if where == "next visit":
        case, no = case_of(recheck(), earlier_visit()), 2
    else:
        named = "2" if where == "same ticket" else "4"
        case, no = case_of(ticket_from(f"{FIRST}\nproof: {named} now -9 mm")), 5
    told = " ".join(proofs(case, no, reader, language))
    assert "9 mm" in told
    assert "14" not in told
    if reader != "shop":
        assert "1 mm" in told or "−1)" in told, "what it was put right to is what it fell from"
    assert not check_story(to_document(build(case, reader, language)), case)


def test_the_earlier_visit_is_named_as_the_source_of_what_it_was() -> None:
    case = case_of(recheck(), earlier_visit())
    told = build(case, "customer")
    (pair,) = [item for part in told.sections for item in part.sentences if "Before" in item.text]
    assert pair.sources == (Ref(2), Ref(4, 1801), Ref(2, 1801))
    values = {(part.text.replace("\u00a0", " "), part.no) for part in pair.generated if isinstance(part, Val)}
    assert ("1 mm", Ref(4, 1801)) in values


def test_a_third_visit_is_compared_with_the_second() -> None:
    second = earlier_visit("says: level read again\nproof: 1801/2 now -9 mm\nproof: 1801/2 now -2 mm", 1802, 10)
    third = ticket_from("says: level read again\nproof: 1801/2 now -4 mm")
    case = case_of(third, second, earlier_visit())
    assert [text for text in sentences(build(case, "customer")) if "Before, it stood 2 mm below its mark" in text]
    for reader in READERS:
        assert not check_story(to_document(build(case, reader)), case)


def test_a_pressure_that_fell_again_is_not_told_as_up() -> None:
    lines = (
        "says: slow\nfound: boost pressure 17 psi (min 25)\ndid: 1 h replace hose\n"
        "proof: 2 now 29 psi\nproof: 2 now 21 psi"
    )
    told = " ".join(sentences(build(case_of(ticket_from(lines)), "customer")))
    assert "29 psi, up from 17" in told
    assert "21 psi this time, down from 29" in told


def test_a_reading_under_other_conditions_in_between_is_passed_over() -> None:
    lines = (
        "says: slow\nfound: boost pressure at full load 17 psi\ndid: 1 h replace hose\n"
        "proof: 2 now boost pressure at idle 2 psi\nproof: 2 now boost pressure at full load 29 psi"
    )
    told = " ".join(sentences(build(case_of(ticket_from(lines)), "customer")))
    assert "29 psi, up from 17" in told


def test_what_only_the_shop_may_see_of_an_earlier_visit_is_not_told() -> None:
    hidden = earlier_visit(FIRST.replace("proof: 2", "# proof: 2"))
    told = " ".join(sentences(build(case_of(recheck(), hidden), "customer")))
    assert "9 mm below its mark" in told
    assert "Before" not in told


def test_a_bad_recheck_against_limits_of_an_earlier_visit_is_asked_about() -> None:
    bad, good = recheck(), recheck(BACK.replace("-9", "-2"))
    asked = {no: [gap.id for gap in find_gaps(case_of(one, earlier_visit()))] for no, one in ((9, bad), (2, good))}
    assert "proof-failed" in asked[9]
    assert "proof-failed" not in asked[2]


def test_a_trend_starts_from_the_state_it_left_with() -> None:
    (trend,) = trends(recheck(), (earlier_visit(),))
    assert (trend.start, trend.end) == (Quantity("-1", "mm"), Quantity("-9", "mm"))
    assert trend.wear.state == "reached"


def test_a_first_reading_corrected_after_signing_does_not_become_the_newest() -> None:
    visit = earlier_visit()
    first = visit.entries[1]
    again = replace(first, no=9, replaces=first.no, amended=True, reason="read from the wrong line")
    amended = replace(visit, entries=(*visit.entries, again))
    (trend,) = trends(recheck(), (amended,))
    assert trend.start == Quantity("-1", "mm")
    told = " ".join(sentences(build(case_of(recheck(), amended), "customer")))
    assert "Before, it stood 1 mm below its mark" in told


def test_a_level_that_fell_again_is_not_told_as_filled_right() -> None:
    later = "later: read the level again; may wait; because it was low; risk: fan may stop; in 600 mi; for 2"
    right, fell = (
        " ".join(sentences(build(case_of(ticket_from(f"{FIRST}{more}\n{later}")), "customer")))
        for more in ("", "\nproof: 2 now -9 mm")
    )
    decides = "has fallen again by then"
    assert decides in right
    assert decides not in fell


def told_of(case: Case, at: int) -> str:
    """The row of an entry in the table, as one text."""
    return "".join(
        span.text.replace("\u00a0", " ")
        for row in cells_of(Sight(case), case.ticket.entries[at])
        for span in (*row.what, *row.result)
    )


def test_the_screen_shows_what_it_was_last_and_judges_it() -> None:
    case = case_of(recheck(), earlier_visit())
    shown = told_of(case, 1)
    assert "was −1" in shown
    assert "low by" in shown
    same = case_of(ticket_from(f"{FIRST}\nproof: 4 now -9 mm"))
    assert "was −1" in told_of(same, 4)
    assert "after the work -9 mm [5]" in entry_words(Sight(same), same.ticket.entries[1], columns_for(80))


@pytest.mark.parametrize(
    ("what", "first", "told"),
    [
        ("", "none", "left front too little, right front too thin; at least 3.0 mm is needed."),
        ("=", "none", "left front too little, right front too low; at least 3.0 mm is needed."),
        ("x?", "0.8", "left front too low, right front too low; at least 3.0 mm is needed."),
    ],
)
def test_a_test_told_as_typed_says_the_limit_it_takes_from_the_finding(what: str, first: str, told: str) -> None:
    """A verdict never stands without its limit, and "none" is too little of whatever it is, not too thin."""
    ticket = ticket_from("says: brakes grind\nfound: pads LF 0.8, RF 0.8 mm (min 3.0)")
    run = Run((Value(first, "LF"), Value("0.8", "RF")), "mm")
    again = replace(ticket.entries[1], no=3, fact=Proof(what=what, of=Ref(2), run=run))
    case = case_of(replace(ticket, entries=(*ticket.entries, again)))
    story = build(case)
    [line] = sentences(story, "proof")
    assert line.endswith(told)
    assert not [flaw for flaw in check_story(to_document(story), case) if not flaw.finding.advice]
