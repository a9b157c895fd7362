"""What is proposed for the lines of the demo jobs, held against the numbers that stand behind them."""

import dataclasses
import json
from collections import Counter

import pytest

from ticket.assist.line_settling import propose
from ticket.data import data_folder
from ticket.gaps.ticket_lookup import bad_values
from ticket.job.entry import Draft
from ticket.job.kinds import Cause, Did, Later, Offer, Ruled, Used
from ticket.job.ticket_document import from_document

FILES = sorted(data_folder("demo_jobs").glob("[0-9]*.json"), key=lambda file: file.name)


@pytest.fixture(scope="module")
def counted() -> Counter[str]:
    """How many numbers stood, were proposed, and were proposed rightly, over all jobs."""
    counts: Counter[str] = Counter()
    for file in FILES:
        ticket = from_document(json.loads(file.read_text(encoding="utf-8")))
        for at, entry in enumerate(ticket.entries):
            fact = entry.fact
            if entry.struck or entry.amended or not isinstance(fact, Cause | Ruled | Offer | Later | Did | Used):
                continue
            before = dataclasses.replace(ticket, entries=ticket.entries[:at])
            out = {one.no for one in before.living if bad_values(before, one)}
            draft = Draft(dataclasses.replace(fact, refs=()), concern=entry.concern)
            numbers = set(propose(draft, before, lambda one, out=out: one.no in out))  # type: ignore[misc]
            stood = {ref for ref in fact.refs if not ref.ticket}
            counts += Counter(stood=len(stood), proposed=len(numbers), right=len(numbers & stood))
    return counts


def test_of_a_hundred_numbers_proposed_at_least_ninety_five_are_right(counted: Counter[str]) -> None:
    assert counted["right"] >= 0.95 * counted["proposed"]


def test_silence_is_no_way_to_be_right(counted: Counter[str]) -> None:
    assert counted["right"] >= 0.6 * counted["stood"]
