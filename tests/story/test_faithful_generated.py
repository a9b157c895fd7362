"""The stories the program tells meet the judge: worked jobs, demo jobs and random tickets, for every reader."""

import json
from collections.abc import Iterable
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from support.faithful import Flaw, check_removal, check_story
from support.jobs import NAMES, load_job
from support.tickets import tickets
from ticket.data import data_folder
from ticket.job.case import Case, Settings
from ticket.job.ticket import Ticket
from ticket.job.ticket_document import FORMAT, from_document
from ticket.story.build import build
from ticket.story.document import to_document
from ticket.story.sentence import READERS


def _flaws(case: Case, readers: Iterable[str] = READERS) -> list[Flaw]:
    told = [check_story(to_document(build(case, reader)), case) for reader in readers]
    return [flaw for flaws in told for flaw in flaws if not flaw.finding.advice]


@pytest.mark.parametrize("name", NAMES)
def test_worked_jobs(name: str) -> None:
    assert not _flaws(load_job(name).case)


def _demo_cases() -> list[Case]:
    loaded = [json.loads(path.read_text(encoding="utf-8")) for path in sorted(data_folder("demo_jobs").glob("*.json"))]
    found = [from_document(one) for one in loaded if one.get("format") == FORMAT]
    return [
        Case(one, Settings(), date(2026, 9, 1), tuple(
            other for other in reversed(found)
            if other.number < one.number and other.header.vehicle == one.header.vehicle
        ))
        for one in found
    ]  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("case", _demo_cases(), ids=lambda case: str(case.ticket.number))
def test_demo_jobs(case: Case) -> None:
    assert not _flaws(case)


@pytest.mark.parametrize("no", [2, 5, 6, 12])
def test_an_entry_taken_off_takes_its_sentences_along(no: int) -> None:
    case = load_job("charging").case
    before = to_document(build(case))
    entries = tuple(replace(one, struck=True) if one.no == no else one for one in case.ticket.entries)
    after = to_document(build(replace(case, ticket=replace(case.ticket, entries=entries))))
    assert not check_removal(before, after, no)


@settings(max_examples=12)  # the judge costs more than the story
@given(tickets(), st.sampled_from(("payer", "shop")))
def test_random_tickets(ticket: Ticket, other: str) -> None:
    assert not _flaws(Case(ticket, Settings(), date(2026, 3, 5)), ("customer", other))
