"""Texts nobody would type: a story never fails, and its time stays in proportion."""

import time

import pytest
from story_jobs import case_of

from support.tickets import MORNING
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Fact, Found, Later, Maybe, Offer, Proof, Ruled, Says, Told, Used
from ticket.job.ticket import Ticket
from ticket.job.values import Limits, Ref, Run, Value
from ticket.papers.markdown import as_markdown
from ticket.papers.plain_text import as_text
from ticket.story.build import build
from ticket.story.sentence import READERS

PIECES = [
    "R&R ",
    "1,",
    "hose dry, ",
    "replace hose, ",
    "; ",
    "as soon as ",
    "“ ",
    "with hose and ",
    "when ",
    "\u202e",
    "(",
    "too ",
]
LONGEST = 64 * 1024


def ticket_full_of(text: str) -> Ticket:
    run = Run((Value("3", text), Value("2", "LF")), "mm", Limits(low="1"))
    facts: list[Fact] = [
        Says(text=text), Code(code="P0300", unit=text, frame=text), Found(what=text, seen=text),
        Found(what=text, run=run, seen=text), Maybe(text=text), Ruled(text=text, reason=text, refs=(Ref(3),)),
        Cause(text=text, refs=(Ref(3), Ref(4))), Offer(text=text), Did(text=text, hours="1"),
        Used(text=text, amount="1", unit="x"), Later(text=text, because=text, risk=text, watch=text),
        Told(who=text, words=text), Proof(what=text, seen=text),
    ]  # fmt: skip
    return Ticket(1, MORNING, entries=tuple(Entry(no, fact, "Bo Karst", MORNING) for no, fact in enumerate(facts, 1)))


@pytest.mark.slow
@pytest.mark.parametrize("piece", PIECES[:4])
def test_sixty_four_kibibytes_in_every_field_take_seconds_not_minutes(piece: str) -> None:
    ticket = ticket_full_of((piece * LONGEST)[:LONGEST])
    start = time.process_time()
    story = build(case_of(ticket))
    assert time.process_time() - start < 20  # about two seconds on a quiet machine
    assert {source for section in story.sections for item in section.sentences for source in item.sources} >= {Ref(1)}


@pytest.mark.slow
@pytest.mark.parametrize("piece", PIECES)
@pytest.mark.parametrize("reader", READERS)
def test_long_remarks_are_told_or_quoted(piece: str, reader: str) -> None:
    story = build(case_of(ticket_full_of((piece * 70).strip() or piece)), reader)
    assert as_text(story, 60)
    assert as_markdown(story)
