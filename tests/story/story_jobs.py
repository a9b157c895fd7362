"""Tickets of the story tests: from lines of the notation, with the surroundings a shop would hand in."""

import dataclasses
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path

from hypothesis import HealthCheck, Phase, given
from hypothesis import settings as examples

from support.steady import sample
from support.tickets import ticket_of, tickets
from ticket.job.case import Case, Settings
from ticket.job.ticket import Ticket
from ticket.notes.file import read_file
from ticket.story.build import build
from ticket.story.sentence import Story

HERE = Path(__file__).parent
# The same day on the wall in every zone from ten hours behind to thirteen ahead.
MORNING = datetime(2026, 3, 23, 10, 0, tzinfo=UTC)
TODAY = date(2026, 3, 23)
RATES = ("brakes", "electrical", "diagnosis", "engine", "hybrid", "service", "chassis")


def ticket_from(text: str, *, number: int = 17, status: str = "open", opened: datetime = MORNING) -> Ticket:
    """A ticket from a plain ticket file."""
    file = read_file(text, rates=RATES)
    body = text.split("\n\n", 1)[-1] if "\n\n" in text else text
    made = ticket_of(body, number=number, status=status, opened=opened, rates=RATES)
    return dataclasses.replace(made, header=file.header)


def signed(text: str, *, number: int, opened: datetime) -> Ticket:
    """An earlier ticket that stands for good."""
    made = ticket_from(text, number=number, status="signed", opened=opened)
    return dataclasses.replace(made, closed=opened + timedelta(minutes=30), signed_by="Bo Karst")


def case_of(ticket: Ticket, *earlier: Ticket, settings: Settings | None = None) -> Case:
    """A ticket in its surroundings."""
    return Case(ticket, settings or Settings(distance="mi"), TODAY, earlier=tuple(earlier))


def told_of(lines: str, *earlier: Ticket, reader: str = "customer", gloss: bool = True) -> Story:
    """The story of some lines."""
    del gloss
    return build(case_of(ticket_from(lines), *earlier), reader)


def sentences(story: Story, section: str = "") -> list[str]:
    """The sentences as read, no-break spaces made plain; those of one section where its id is given."""
    return [
        sentence.text.replace("\u00a0", " ")
        for part in story.sections
        if not section or part.id == section
        for sentence in part.sentences
    ]


@cache
def tried(count: int) -> list[Ticket]:
    """Random tickets without hostile text, as Hypothesis likes to try them: for promises that hold of any ticket."""
    found: list[Ticket] = []

    @examples(
        max_examples=count, derandomize=True, database=None, deadline=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(tickets(hostile=False))
    def collect(ticket: Ticket) -> None:
        found.append(ticket)

    collect()
    return found


@cache
def generated(count: int) -> list[Ticket]:
    """The same random tickets at every run, without hostile text: for what is measured over all of them."""
    return sample(tickets(hostile=False), count)
