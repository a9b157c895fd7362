"""Clock times around a ticket: what other tickets and the journal tell a question about them."""

from datetime import UTC, datetime
from pathlib import Path

from ticket.job.kinds import Fact
from ticket.notes.read import read
from ticket.shop.changing import add_lines, edit_entry, new_ticket, undo
from ticket.shop.opening import Shop
from ticket.shop.reading import open_gaps

NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)


def fact(line: str) -> Fact:
    (draft,) = read(line)
    return draft.fact


def gap_ids(shop: Shop, number: int) -> set[str]:
    return {gap.id for gap in open_gaps(shop, number)}


def test_one_person_on_two_jobs_and_changed_times_are_asked_about(tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.db", "Bo Karst", now=lambda: NOW) as shop:
        one, other = new_ticket(shop), new_ticket(shop)
        add_lines(shop, one, "did: 1 h splice wire; clock 8:40-9:40")
        assert "clocked-twice" not in gap_ids(shop, one)
        add_lines(shop, other, "did: 1 h replace horn; clock 9:30-10:30")
        assert "clocked-twice" in gap_ids(shop, one)
        assert "clocked-twice" in gap_ids(shop, other)
        edit_entry(shop, other, 1, fact("did: 1 h replace horn; clock 9:30-10:30, 11:00-11:30"))
        assert "clock-changed" not in gap_ids(shop, other)
        edit_entry(shop, other, 1, fact("did: 1 h replace horn; clock 9:45-10:45"))
        (gap,) = [gap for gap in open_gaps(shop, other) if gap.id == "clock-changed"]
        assert gap.question.startswith("Bo Karst changed the clock from 9:30-10:30 to 9:45-10:45.")
        undo(shop, other)
        undo(shop, other)
        assert "clock-changed" not in gap_ids(shop, other)
