"""What was corrected after the signature says so, with its reason and its day, to every reader of the story."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from story_jobs import case_of

from support.faithful import check, check_story
from support.tickets import ticket_of, tickets
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.story.build import build
from ticket.story.document import to_document
from ticket.story.places import places
from ticket.story.sentence import READERS, Story

LINES = [
    "says: pulls to the right", "found: RF caliper pin seized", "cause: seized caliper pin; from 2",
    "later: replace tires; may wait; because worn; risk: car may slide; in 4 weeks",
    "later: replace hose; may wait; because soft; risk: hose may leak; in 6 weeks",
    "found: LF caliper pin seized",
    "later: replace tires; do soon; because worn; risk: car may slide; in 4 weeks",
    "used: 1 x CB-1 caliper pin, new",
]  # fmt: skip
NOTE = "We corrected this on March 2, 2026: “typed the wrong side.”"


def _amended(*, shop_only: bool = False) -> Ticket:
    made = ticket_of(LINES, status="signed")
    entries = list(made.entries)
    entries[1] = replace(entries[1], shop_only=shop_only)
    for at, reason, old in ((5, "typed the wrong side", 2), (6, 'told me "soon"', 4), (7, "forgot the part", None)):
        entries[at] = replace(entries[at], amended=True, reason=reason, replaces=old)
    return replace(made, entries=tuple(entries))


def _lines(story: Story) -> list[tuple[str, tuple[object, ...]]]:
    return [(one.text, one.sources) for _, one in places(story)]


def test_the_customer_reads_it_behind_what_was_corrected() -> None:
    lines = _lines(build(case_of(_amended())))
    at = lines.index((NOTE, (Ref(6),)))
    assert lines[at - 1][0].startswith("The left front caliper pin was seized.")
    assert [text for text, _ in lines if text == NOTE] == [NOTE]
    assert ("We corrected this on March 2, 2026: “told me ‘soon’.”", (Ref(7),)) in lines


def test_a_list_keeps_its_items() -> None:
    story = build(case_of(_amended()))
    (later,) = [section for section in story.sections if section.id == "later"]
    assert [later.sentences[start].text for start in later.items] == [
        "Replace the tires: this should be done soon.", "Replace the hose: this can wait.",
    ]  # fmt: skip


def test_payer_and_shop_read_it_at_the_end_of_the_line() -> None:
    for reader in ("payer", "shop"):
        lines = _lines(build(case_of(_amended()), reader))
        line = "Left front caliper pin seized. Corrected on March 2, 2026: “typed the wrong side.”"
        assert (line, (Ref(6),)) in lines
        assert any(text.endswith("Added on March 2, 2026, after signing: “forgot the part.”") for text, _ in lines)


def test_who_was_told_nothing_before_reads_of_an_addition() -> None:
    """The entry it replaces was for the shop only: to the customer nothing is corrected."""
    texts = [text for text, _ in _lines(build(case_of(_amended(shop_only=True))))]
    assert "We added this on March 2, 2026: “typed the wrong side.”" in texts
    assert NOTE not in texts


def test_the_judge_lets_it_in_only_with_its_source() -> None:
    ticket = _amended()
    case = case_of(ticket)
    for reader in READERS:
        assert not [flaw for flaw in check_story(to_document(build(case, reader)), case) if not flaw.finding.advice]
    finding, cause = ticket.entry(6), ticket.entry(3)
    assert finding is not None
    assert cause is not None
    assert not check(NOTE, [finding], ticket=ticket)
    assert {"F5", "F16"} <= {one.rule for one in check(NOTE, [cause], ticket=ticket)}
    assert {one.rule for one in check(NOTE.replace("2, 2026", "5, 2026"), [finding], ticket=ticket)} == {"F5"}


@pytest.mark.slow
@settings(max_examples=25)
@given(st.data(), tickets(), st.sampled_from(READERS))
def test_every_amendment_that_is_told_says_so_once(data: st.DataObject, ticket: Ticket, reader: str) -> None:
    old = data.draw(st.sampled_from([entry for entry in ticket.living if not entry.amended]))
    entry = replace(old, no=ticket.entries[-1].no + 1, amended=True, reason="typed on line 44", replaces=old.no)
    now = replace(ticket, status="signed", entries=(*ticket.entries, entry))
    lines = _lines(build(case_of(now), reader))
    told = [text for text, sources in lines if Ref(entry.no) in sources]
    said = [text for text in told if "typed on line 44" in text]
    assert len(said) == (1 if told else 0)
    assert all(text.endswith("on March 2, 2026: “typed on line 44.”") for text in said)
    case = case_of(now)
    flaws = [one.finding for one in check_story(to_document(build(case, reader)), case) if not one.finding.advice]
    assert not flaws


def test_another_language_says_so_too() -> None:
    case = case_of(_amended())
    texts = [text for text, _ in _lines(build(case, "customer", "es"))]
    assert "Left front caliper pin seized. We corrected this on March 2, 2026: “typed the wrong side.”" in texts
    line = "Added on March 2, 2026, after signing: “forgot the part.”"  # a note is marked in its own language
    assert any(text.endswith(line) for text, _ in _lines(build(case, "payer", "es")))
