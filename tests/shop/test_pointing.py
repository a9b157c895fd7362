"""Entries that a line points at: the reading that rules something out, and numbers that came too early.

A number that was typed before there was such an entry is asked about at once, and again when it is given.
"""

from pathlib import Path

from support.clock import Clock
from ticket.job.entry import Entry
from ticket.notes.read import read
from ticket.notes.write import write
from ticket.shop.changing import add_lines, edit_entry, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import open_gaps, story_of


def asked(shop: Shop, number: int) -> set[str]:
    return {gap.id for gap in open_gaps(shop, number) if gap.id.startswith("reference-")}


def cause_typed_early(shop: Shop, number: int) -> Entry:
    add_lines(shop, number, "says: lamp stays on\nfound: lamp switch stuck")
    (cause,) = add_lines(shop, number, "cause: switch stuck; from 4")
    assert [note.state for note in cause.settled.draft.remarks] == ["question"]
    return cause.entry


def test_a_reference_that_came_before_its_entry_stays_asked_until_the_line_is_retyped(tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.db", "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop)
        cause = cause_typed_early(shop, number)
        assert asked(shop, number) == {"reference-missing"}
        add_lines(shop, number, "found: hinge bent")
        assert asked(shop, number) == {"reference-ahead"}
        edit_entry(shop, number, cause.no, read("cause: switch stuck; from 2")[0].fact, cause.fact)
        assert asked(shop, number) == set()
        edit_entry(shop, number, cause.no, cause.fact)
        assert asked(shop, number) == set(), "whoever retypes it sees what stands there"


def test_a_reference_that_now_reaches_a_contact_blocks(tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.db", "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop)
        cause_typed_early(shop, number)
        add_lines(shop, number, "told: Ada Fenn by phone, she waits")
        assert {"reference-unfit", "reference-ahead"} <= asked(shop, number)


def test_a_reading_that_rules_something_out_is_a_finding_that_is_judged(tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.db", "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop)
        add_lines(shop, number, "says: hum at speed")
        for line in ("ruled: hub bearing; play 0.02 mm (max 0.05)", "ruled: wiring, 0.3 ohm (max 1)"):
            found, ruled = (item.entry for item in add_lines(shop, number, line))
            assert (found.kind, ruled.kind) == ("found", "ruled")
            assert write(ruled.fact).endswith(f"; from {found.no}")
        assert len(add_lines(shop, number, "ruled: fuse; good")) == 1
        block = "ruled: hub bearing; play 0.02 mm (max 0.05)\ncause: tire; from 6"
        assert len(add_lines(shop, number, block)) == 2, "the lines of a block keep their numbers"
        told = " ".join(one.text for part in story_of(shop, number).sections for one in part.sentences)
        assert "It was not the hub bearing, because the hub bearing play was within limits." in told
