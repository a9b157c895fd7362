"""Pictures in stories: told last, with their entry, in words that were typed; a picture of it is a look at it."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.faithful import check_story
from support.tickets import ticket_of, tickets
from ticket.job.case import Case, Settings
from ticket.job.entry import Entry
from ticket.job.kinds import Photo
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.story.build import build
from ticket.story.document import to_document
from ticket.story.facts.pictures import pairs
from ticket.story.sentence import READERS, Story

DIGEST = "51d77a6efb5d" + "0" * 52
CAPTIONS = (
    "",
    "wet below the seal",
    "LF pad 2 mm, RF 7 mm",
    "not leaking?; do not drive",
    'owner said "x"',
    "P0300 stored",
)


def told(story: Story) -> list[str]:
    return [one.text for section in story.sections if section.id == "photo" for one in section.sentences]


@st.composite
def pictured(draw: st.DrawFn) -> Ticket:
    """A random ticket with some pictures behind its entries."""
    ticket = draw(tickets())
    last = max(entry.no for entry in ticket.entries)
    numbers = st.sampled_from([entry.no for entry in ticket.entries])
    entries = list(ticket.entries)
    for i in range(draw(st.integers(1, 4))):
        fact = Photo(
            picture=DIGEST,
            text=draw(st.sampled_from(CAPTIONS)),
            refs=tuple(map(Ref, draw(st.lists(numbers, max_size=2, unique=True)))),
            stage=draw(st.sampled_from(("", "before", "after"))),
        )
        near = draw(st.sampled_from(entries))
        entries.append(Entry(last + 1 + i, fact, near.person, near.at, near.concern, shop_only=draw(st.booleans())))
    return replace(ticket, entries=tuple(entries))


@pytest.mark.slow
@given(pictured())
def test_stories_with_pictures_say_nothing_that_nobody_typed(ticket: Ticket) -> None:
    case = Case(ticket, Settings(), ticket.opened.date())
    for reader in READERS:
        story = build(case, reader)
        assert not [flaw for flaw in check_story(to_document(story), case) if not flaw.finding.advice]
        open_ones = [entry for entry in ticket.living if isinstance(entry.fact, Photo) and not entry.shop_only]
        assert len(told(story)) == len(open_ones)
        build(case, reader, "es")


@given(pictured())
def test_every_picture_stands_once_and_before_goes_first(ticket: Ticket) -> None:
    held = [entry for entry in ticket.living if isinstance(entry.fact, Photo)]
    rows = pairs(ticket.living)
    assert sorted(entry.no for row in rows for entry in row) == [entry.no for entry in held]
    for row in rows:
        stages = [entry.fact.stage for entry in row if isinstance(entry.fact, Photo)]
        assert len(row) == 1 or stages == ["before", "after"]


@pytest.mark.parametrize(
    ("language", "lines"),
    [
        ("en", ["Wet below the seal; before; picture 51d77a6efb5d."]),
        ("es", ["Antes; imagen 51d77a6efb5d.", "Wet below the seal."]),
    ],
)
def test_a_caption_is_told_as_typed_and_what_the_program_says_in_the_language(language: str, lines: list[str]) -> None:
    photo = Photo(picture=DIGEST, text="wet below the seal", stage="before")
    ticket = ticket_of(["says: fan roars", "found: housing wet"])
    ticket = replace(ticket, entries=(*ticket.entries, replace(ticket.entries[1], no=3, fact=photo)))
    assert told(build(Case(ticket, Settings(), ticket.opened.date()), "customer", language)) == lines


def test_a_picture_of_it_is_a_look_at_it() -> None:
    ticket = ticket_of(["says: fan roars"])
    case = Case(ticket, Settings(), ticket.opened.date())
    assert "We have not looked at this yet." in str(to_document(build(case)))
    seen = replace(ticket.entries[0], no=2, fact=Photo(picture=DIGEST, text="wet"))
    pictured_case = replace(case, ticket=replace(ticket, entries=(*ticket.entries, seen)))
    assert "We have not looked" not in str(to_document(build(pictured_case)))
