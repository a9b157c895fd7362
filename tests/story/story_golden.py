"""The jobs whose stories are kept, and how they are built."""

from datetime import UTC, datetime
from pathlib import Path

from story_jobs import case_of, signed, ticket_from

from ticket.job.case import Case
from ticket.papers.plain_text import as_text
from ticket.story.build import build

HERE = Path(__file__).parent
JOBS, GOLDEN = HERE / "jobs", HERE / "golden"
WIDTH = 100

# Days on which the earlier visits took place; number 3098 is the one example 8 came back from.
_EARLIER = {
    "07-service-declined": (3039, datetime(2025, 12, 13, 10, 0, tzinfo=UTC)),
    "08-fan-comeback": (3098, datetime(2026, 3, 2, 10, 0, tzinfo=UTC)),
}
_TERSE = ("01-brakes", "04-misfire-warranty", "06-truck-boost")
_NUMBERS = {
    "01-brakes": 3107, "02-charging": 3112, "03-stall-not-reproduced": 3120, "04-misfire-warranty": 3125,
    "05-hybrid-cooling": 3131, "06-truck-boost": 3140, "07-service-declined": 3152, "08-fan-comeback": 3160,
}  # fmt: skip


def jobs() -> list[str]:
    """Names of the jobs, in order."""
    return sorted(path.stem for path in JOBS.glob("*.txt") if not path.stem.endswith(".earlier"))


READERS = {job: ("customer", "payer", "shop") if job in _TERSE else ("customer",) for job in jobs()}


def case_for(job: str) -> Case:
    """A job with the earlier visits it refers to."""
    ticket = ticket_from(
        (JOBS / f"{job}.txt").read_text(encoding="utf-8"), number=_NUMBERS.get(job, 3200 + int(job[:2]))
    )
    if job not in _EARLIER:
        return case_of(ticket)
    number, opened = _EARLIER[job]
    text = (JOBS / f"{job}.earlier.txt").read_text(encoding="utf-8")
    return case_of(ticket, signed(text, number=number, opened=opened))


def golden_text(job: str, reader: str) -> str:
    """The story as it is kept: plain text with the sources of every sentence."""
    return as_text(build(case_for(job), reader), WIDTH, sources=True)
