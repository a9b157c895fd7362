"""The findings of the demo jobs, which hold the form of older tickets, say the same when they are typed again today."""

import json
from pathlib import Path

from ticket.job.kinds import Found, Proof
from ticket.job.ticket_document import from_document
from ticket.notes.meaning import Json, measurements_of_fact
from ticket.notes.read import read_line
from ticket.notes.shapes import Context
from ticket.notes.write import write_plainly
from ticket.readings.measured_groups import measures

DEMO = Path(__file__).parents[2] / "demo_jobs"
KEPT = ("value", "to", "than", "unit", "low", "high", "nominal", "verdict")
ONE_MORE = "balance: fan drive took 0.9 L, engine drained 20.4 L of 18.9 at 60 degC; outside dry"
"""The older form held one run a finding; what the engine drained of its rated filling is a second reading."""


def said(fact: Found | Proof) -> list[list[object]]:
    readings: list[Json] = measurements_of_fact(fact)
    return [[one.get(name) for name in KEPT] for one in readings]


def test_every_finding_of_the_demo_reads_as_it_was_kept() -> None:
    tried = 0
    for path in sorted(DEMO.glob("1*.json")):
        for entry in from_document(json.loads(path.read_text(encoding="utf-8"))).entries:
            if not isinstance(entry.fact, Found | Proof) or not measures(entry.fact):
                continue
            line = write_plainly(entry.fact)
            (draft,) = read_line(line, Context())
            assert isinstance(draft.fact, Found | Proof)
            assert draft.remarks == (), line
            again = said(draft.fact)
            assert again[: len(said(entry.fact))] == said(entry.fact), line
            assert len(again) == len(said(entry.fact)) + (ONE_MORE in line), line
            tried += 1
    assert tried == 99
