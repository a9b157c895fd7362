"""Two people on one ticket: each sees the other, and what both change is shown side by side."""

import os
from dataclasses import fields
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.widgets import Input

from support.screens_desk import demo_desk, flat, page_text, screen_of, until
from support.tickets import tickets
from ticket.assist.merging import Clash, merge, merge_facts
from ticket.job.kinds import Found, Offer
from ticket.job.text import one_line
from ticket.job.ticket import Ticket
from ticket.machine.presence import STALE, Presence, company_words
from ticket.screens.conflict_rows import conflict_rows
from ticket.screens.conflict_screen import ConflictScreen
from ticket.screens.header_screen import HeaderScreen
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import add_lines, edit_entry, new_ticket, set_header
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of


def test_terminals_on_one_ticket_see_each_other_until_one_dies(tmp_path: Path) -> None:
    database = tmp_path / "shop.db"
    mine, hers, elsewhere = (Presence(database, name, name) for name in ("Dov", "Kaia", "Jory"))
    mine.be_on(7)
    hers.be_on(7)
    elsewhere.be_on(8)
    assert mine.others(7) == ("Kaia",)
    assert hers.others(7) == ("Dov",)
    assert company_words(hers.others(7), "Kaia") == "Dov is here too"
    assert company_words(("Dov", "Dov", "Kaia"), "Kaia") == "Dov and you at another terminal are here too"
    assert company_words((), "Kaia") == ""
    here = tmp_path / "shop.db.here"
    now = (here / "Dov").stat().st_mtime
    os.utime(here / "Kaia", (now - STALE - 1, now - STALE - 1))  # as after kill -9: nobody touches it any more
    mine.be_on(7)
    assert mine.others(7) == ()
    hers.be_on(7)
    assert mine.others(7) == ("Kaia",), "a terminal that was only slow is seen again"
    (here / "odd").write_bytes(b"\xff\xfe7\n\x1b[31m")
    (here / "other").write_text("7\n\x1b[31m[/x]" + "y" * 500, encoding="utf-8")
    mine.be_on(7)
    hostile = next(name for name in mine.others(7) if name != "Kaia")
    assert "\x1b" not in hostile
    assert len(hostile) <= 80
    for one in (mine, hers, elsewhere):
        one.leave()


def test_nobody_is_seen_where_the_folder_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "shop.db.here").write_text("in the way", encoding="utf-8")
    presence = Presence(tmp_path / "shop.db", "Dov", "a")
    presence.be_on(7)
    assert presence.others(7) == ()
    presence.leave()


NAMES = ("vehicle", "plate", "phone")
FIELDS = st.fixed_dictionaries({name: st.sampled_from(("", "a", "b", "c")) for name in NAMES})


@given(FIELDS, FIELDS, FIELDS)
def test_a_merge_keeps_every_change_and_clashes_only_where_both_changed(
    before: dict[str, str], mine: dict[str, str], theirs: dict[str, str]
) -> None:
    merged, clashes = merge(before, mine, theirs)
    for name in NAMES:
        changed = {side[name] for side in (mine, theirs)} - {before[name]}
        if len(changed) == 2:
            assert Clash(name, before[name], mine[name], theirs[name]) in clashes
            assert merged[name] == mine[name]
        else:
            assert merged[name] == (changed.pop() if changed else before[name])
    assert len(clashes) == len({clash.name for clash in clashes})


@given(tickets(), tickets(), st.data())
def test_merged_entries_hold_what_each_changed(one: Ticket, other: Ticket, data: st.DataObject) -> None:
    facts = [entry.fact for entry in (*one.entries, *other.entries)] or [Found(what="x")]
    before, mine, theirs = (data.draw(st.sampled_from(facts)) for _ in range(3))
    merged, clashes = merge_facts(before, mine, theirs)
    if type(before) is type(mine) is type(theirs):
        for item in fields(mine):
            changed = getattr(mine, item.name) != getattr(before, item.name)
            assert getattr(merged, item.name) == getattr(mine if changed else theirs, item.name)
    assert merge_facts(before, mine, before) == (mine, ())
    assert not merge_facts(before, before, theirs)[1] or type(before) is not type(theirs)
    assert all(clash.mine != clash.theirs for clash in clashes)


@given(st.text(), st.text(), st.text(), st.sampled_from((20, 76, 116)))
def test_both_versions_stand_side_by_side_whole_and_literal(before: str, mine: str, theirs: str, width: int) -> None:
    rows = conflict_rows("Kaia changed it.", [Clash("risk", before, mine, theirs)], width, retype=True)
    assert all(cell_len(row.text) <= width and row.text == one_line(row.text) for row in rows)
    shown = "".join("".join(row.text.split()) for row in rows)
    if width == 20:
        for text in (before, mine, theirs):
            assert "".join(one_line(text).split()) in shown
    assert [row.key for row in rows if row.key] == [key for key in ("mine", "theirs", "line") for row in rows
                                                   if row.key == key]  # fmt: skip


async def test_who_else_is_on_the_ticket_stands_in_its_top_line(database: Path, shop: Shop) -> None:
    number = new_ticket(shop)
    async with demo_desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        other = Presence(database, "Kaia [/x]", "other")
        other.be_on(number)
        app.screen.query_one(Prompt).value = "found: half"
        await until(pilot, lambda: "Kaia [/x] is here too" in flat(page_text(app, "#top")))
        assert app.screen.query_one(Prompt).value == "found: half"
        assert other.others(number) == ("K. Orlo",)
        other.leave()
        await until(pilot, lambda: "is here too" not in page_text(app, "#top"))
    assert not (database.parent / "shop.db.here").exists(), "the last one out takes the folder away"


@pytest.mark.parametrize(("steps", "text"), [(("up",), "mine wins"), ((), "theirs wins")])
async def test_a_field_both_retyped_is_chosen_from(
    database: Path, shop: Shop, steps: tuple[str, ...], text: str
) -> None:
    number = new_ticket(shop)
    add_lines(shop, number, "offer: replace belt; est 80.00")
    async with demo_desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press("up", "f2")
        await pilot.pause()
        edit_entry(shop, number, 1, Offer(text="theirs wins", estimate="80.00", hours="0.5"))
        prompt = app.screen.query_one(Prompt)
        prompt.value = "offer: mine wins; est 80.00"
        await pilot.press("enter")
        await pilot.pause()
        screen_of(app, ConflictScreen)
        shown = flat(page_text(app))
        assert "before yours theirs" in shown
        assert "replace belt mine wins theirs wins" in shown
        assert "was changed by K. Orlo" in shown
        await pilot.press(*steps, "enter")
        await pilot.pause()
        screen_of(app, TicketScreen)
        fact = ticket_of(app.shop, number).entries[0].fact
        assert isinstance(fact, Offer)
        assert (fact.text, fact.estimate, fact.hours) == (text, "80.00", "0.5")
        assert app.screen.query_one(Prompt).value == ""
        edits = [event.verb for event in app.shop.store.history(number)].count("edit")
        assert edits == (2 if steps else 1), "theirs was journaled before mine was"


async def test_the_typed_line_can_be_taken_back_from_a_conflict(database: Path, shop: Shop) -> None:
    number = new_ticket(shop)
    add_lines(shop, number, "offer: replace belt")
    async with demo_desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press("up", "f2")
        await pilot.pause()
        edit_entry(shop, number, 1, Offer(text="theirs"))
        app.screen.query_one(Prompt).value = "offer: mine"
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("down", "enter")
        await pilot.pause()
        screen_of(app, TicketScreen)
        assert app.screen.query_one(Prompt).value == "offer: mine"
        await pilot.press("enter")
        await pilot.pause()
        assert getattr(ticket_of(app.shop, number).entries[0].fact, "text", "") == "mine", (
            "now typed over theirs knowingly"
        )


async def test_two_forms_of_one_header_lose_nothing(database: Path, shop: Shop) -> None:
    from dataclasses import replace

    number = new_ticket(shop)
    async with demo_desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press("ctrl+l")
        await pilot.pause()
        form = screen_of(app, HeaderScreen)
        header = ticket_of(shop, number).header
        set_header(shop, number, replace(header, ready_by="Friday", vehicle=replace(header.vehicle, plate="GRN 04")))
        form.query_one("#field-vehicle", Input).value = "Corvane Alder"
        form.query_one("#field-ready-by", Input).value = "Monday"
        await pilot.press("ctrl+s")
        await pilot.pause()
        screen_of(app, ConflictScreen)
        assert "nothing Monday Friday" in flat(page_text(app))
        app.screen.query_one("#page", Page).choose("theirs")
        await pilot.press("enter")
        await pilot.pause()
        screen_of(app, TicketScreen)
        kept = ticket_of(app.shop, number).header
        assert (kept.vehicle.label, kept.vehicle.plate, kept.ready_by) == ("Corvane Alder", "GRN 04", "Friday")
