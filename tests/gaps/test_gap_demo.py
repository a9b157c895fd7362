"""What is asked about the demo jobs: nothing about finished ones, and what a foreman would ask about the others."""

import json

from ticket.data import data_folder
from ticket.gaps.find import find_gaps
from ticket.job.case import Case, Settings
from ticket.job.codec import decode
from ticket.job.ticket import Person, Ticket
from ticket.job.ticket_document import from_document

ASKED = {
    1022: ["offer-unanswered 9", "offer-unanswered 10"],
    1023: ["finding-unanswered 3", "suspicion-open 7", "suspicion-open 8"],
}


def cases() -> list[Case]:
    folder = data_folder("demo_jobs")
    about = json.loads((folder / "shop.json").read_text("utf-8"))
    people = tuple(decode(Person, person) for person in about["people"])
    files = sorted(folder.glob("1*.json"), reverse=True)
    made: list[Ticket] = [from_document(json.loads(path.read_text("utf-8"))) for path in files]
    return [
        Case(
            ticket, Settings(), (ticket.closed or max(entry.at for entry in ticket.entries)).date(),
            tuple(old for old in made[i + 1 :] if old.header.vehicle == ticket.header.vehicle), people,
        )
        for i, ticket in enumerate(made)
    ]  # fmt: skip


def test_the_demo_jobs_are_asked_what_a_foreman_would_ask_and_no_more() -> None:
    asked = {case.ticket.number: [f"{gap.id} {gap.entry}" for gap in find_gaps(case)] for case in cases()}
    assert len(asked) == 23
    assert {number: gaps for number, gaps in asked.items() if gaps} == ASKED
