"""A line of work as long as a pasted block is told without its names being tried word by word."""

import pytest
from story_jobs import case_of, ticket_from

from ticket.language.certain import read_name
from ticket.story.build import build
from ticket.story.sections import did


def test_a_name_longer_than_anybody_types_is_not_read(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[int] = []

    def watched(name: str) -> object:
        seen.append(len(name))
        return read_name(name)

    monkeypatch.setattr(did, "read_name", watched)
    long = "hose and clasuction " * 60
    build(case_of(ticket_from(f"says: x\ndid: 0.9 h left brake pad, {long}\nused: 1 x left brake pad")))
    assert max(seen, default=0) <= 120
