"""Eight worked jobs as plain text: what was typed, and what each reader should be told.

A file holds header lines, the numbered lines of the notation, and for each reader the titles (``--``) and
sentences of the story with their sources in square brackets.
"""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from support.tickets import ticket_of
from ticket.job.case import Case, Settings
from ticket.job.ticket import Ticket

FOLDER = Path(__file__).parent / "jobs"
NAMES = tuple(sorted(path.stem for path in FOLDER.glob("*.txt")))
OPENED = datetime(2026, 3, 23, 8, 30, tzinfo=UTC)
_SENTENCE = re.compile(r"(.*) \[([^\[\]]*)\]\Z")


@dataclass(frozen=True, slots=True)
class WorkedJob:
    """One file: its title, the case, and the documents of its stories by reader."""

    title: str
    case: Case
    stories: dict[str, dict[str, Any]]


def load_job(name: str) -> WorkedJob:
    """The worked job of that name, such as ``brakes``."""
    blocks = (FOLDER / f"{name}.txt").read_text(encoding="utf-8").split("\n== ")
    head, _, lines = blocks[0].partition("\n\n")
    title, *header = head.split("\n")
    given = dict(line.split(": ", 1) for line in header)
    odometer = {"odometer_in": given["odometer in"]} if "odometer in" in given else {}
    number = int(given["ticket"])
    ticket = _numbered(lines, number, OPENED, customer=given["customer"], vehicle="2019 Corvane Petrel", **odometer)
    earlier = (_earlier(given["earlier"]),) if "earlier" in given else ()
    forecasts = {key.split()[1]: text for key, text in given.items() if key.startswith("forecast")}
    stories = {}
    for block in blocks[1:]:
        reader, _, body = block.partition("\n")
        stories[reader] = {"ticket": number, "reader": reader, "sections": list(_sections(body, forecasts))}
    return WorkedJob(title.lstrip("# "), Case(ticket, Settings(), date(2026, 3, 23), earlier), stories)


def _numbered(lines: str, number: int, opened: datetime, **header: Any) -> Ticket:
    """A ticket whose entries bear the numbers typed in front of the lines."""
    split = [line.split(" ", 1) for line in lines.split("\n") if line.strip()]
    rates = tuple(set(re.findall(r"; rate (\w+)", lines)))
    return ticket_of(
        [line for _, line in split], numbers=[int(no) for no, _ in split], number=number, opened=opened, rates=rates,
        **header,
    )  # fmt: skip


def _earlier(text: str) -> Ticket:
    number, day, lines = text.split("; ", 2)
    opened = datetime.fromisoformat(f"{day}T09:00:00+00:00")
    return _numbered(re.sub(r"; (?=\d+ \w+: )", "\n", lines), int(number), opened)


def _sections(body: str, forecasts: dict[str, str]) -> Any:
    for block in body.split("-- ")[1:]:
        title, *lines = block.strip("\n").split("\n")
        yield {"title": title, "sentences": [_sentence(line, forecasts) for line in lines]}


def _sentence(line: str, forecasts: dict[str, str]) -> dict[str, Any]:
    match = _SENTENCE.match(line)
    assert match is not None, line
    sources: list[int | str] = [int(one) if one.isdigit() else one for one in match[2].split(", ")]
    declared = [
        {"text": text, "op": "forecast", "from": int(no)} for no, text in forecasts.items()
        if int(no) in sources and text in match[1]
    ]  # fmt: skip
    return {"text": match[1], "sources": sources} | ({"derived": declared} if declared else {})
