"""Pictures on the screen: offered while typing, told with their pair, shown by the system's viewer or by a sentence."""

import os
from pathlib import Path

import pytest
from test_whole_job import desk
from textual.widgets import Input

from support.clock import Clock
from support.pictures import as_bytes, scene, write_photo
from support.screens_desk import flat, page_text, screen_of
from ticket.job.kinds import Photo
from ticket.machine import picture_viewer
from ticket.screens.entry_screen import EntryScreen
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop, set_setting
from ticket.shop.reading import ticket_of


@pytest.fixture
def folder(database: Path, tmp_path: Path) -> Path:
    """A shop with a ticket, and a folder of new pictures that its settings name."""
    made = tmp_path / "from the phone"
    made.mkdir()
    names = (("P1003.jpg", "teal"), ("P1002.jpg", "olive"), ("P1001; left.jpg", "navy"))
    for age, (name, colour) in enumerate(names):
        file = write_photo(made, name, as_bytes(scene(colour=colour)))
        os.utime(file, (1_700_000_000 - age, 1_700_000_000 - age))
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        set_setting(shop, "photos", str(made))
        add_lines(shop, new_ticket(shop), "says: fan roars\nfound: housing wet")
    return made


async def test_the_newest_file_is_offered_taken_and_told_with_its_pair(database: Path, folder: Path) -> None:
    async with desk(database) as (app, pilot):
        app.open_ticket(1)
        await pilot.pause()
        prompt = app.screen.query_one(Prompt)
        await pilot.press(*"photo: ")
        assert "P1003.jpg" in page_text(app, "#understood")
        await pilot.press("right")
        assert prompt.value == "photo: P1003.jpg"
        await pilot.press(*"; wet; for 2; before", "enter")
        await pilot.press(*"photo: p1001", "right")
        assert prompt.value == 'photo: "P1001; left.jpg"'
        await pilot.press(*"; dry; for 2; after", "enter")
        await pilot.pause()
        shown = flat(page_text(app))
        first, second = (entry.fact for entry in ticket_of(app.shop, 1).entries[2:])
        assert isinstance(first, Photo)
        assert isinstance(second, Photo)
        assert "3 photo wet of 2 before ▣" in shown
        assert "4 dry of 2 after ▣" in shown
        assert f"before: [3]; picture {second.picture[:12]}" in page_text(app, "#understood")
        await pilot.press("up")
        assert f"after: [4]; picture {first.picture[:12]}" in page_text(app, "#understood")


async def test_a_file_that_is_none_stays_on_the_line_with_one_sentence(database: Path, folder: Path) -> None:
    (folder / "P1003.jpg").write_bytes(b"no picture at all")
    async with desk(database) as (app, pilot):
        app.open_ticket(1)
        await pilot.pause()
        await pilot.press(*"photo: P1003.jpg; wet", "enter")
        await pilot.pause()
        assert app.screen.query_one(Prompt).value == "photo: P1003.jpg; wet", "nothing typed is lost"
        assert "is no picture this program reads" in flat(page_text(app, "#understood"))
        assert len(ticket_of(app.shop, 1).entries) == 2


async def test_the_form_shows_and_keeps_the_picture(database: Path, folder: Path) -> None:
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        add_lines(shop, 1, "photo: P1002.jpg; wet; for 2")
    async with desk(database) as (app, pilot):
        app.open_ticket(1)
        await pilot.pause()
        before = ticket_of(app.shop, 1).entries[2].fact
        assert isinstance(before, Photo)
        app.push_screen(EntryScreen(app.shop, ticket_of(app.shop, 1), ticket_of(app.shop, 1).entries[2]))
        await pilot.pause()
        fields = {field.id: field for field in app.screen.query(Input)}
        assert fields["field-picture"].value == before.picture[:12]
        fields["field-text"].value = "dripping"
        screen_of(app, EntryScreen).control("stage").put("before")
        await pilot.press("ctrl+s")
        await pilot.pause()
        now = ticket_of(app.shop, 1).entries[2].fact
        assert now == Photo(picture=before.picture, text="dripping", refs=before.refs, stage="before")


async def test_a_key_hands_it_to_the_viewer_and_says_so_where_there_is_none(
    database: Path, folder: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        add_lines(shop, 1, "photo: P1002.jpg; wet; for 2")
        entry = ticket_of(shop, 1).entries[2].fact
        assert isinstance(entry, Photo)
        content = shop.store.picture(entry.picture).content
    seen, tools = tmp_path / "seen.jpg", tmp_path / "tools"
    tools.mkdir()
    opener = tools / "xdg-open"
    opener.write_text(f'#!/bin/sh\n/bin/cp "$1" {seen}.part && /bin/mv {seen}.part {seen}\n')
    opener.chmod(0o755)
    monkeypatch.setattr("ticket.machine.picture_viewer._OPENERS", ("xdg-open",))
    async with desk(database) as (app, pilot):
        app.open_ticket(1)
        await pilot.pause()
        page = app.screen.query_one("#page", Page)
        page.choose(3)
        monkeypatch.delenv("DISPLAY", raising=False)
        monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
        await pilot.press("alt+v")
        assert "There is no picture viewer on this machine" in flat(page_text(app, "#understood"))
        monkeypatch.setenv("DISPLAY", ":0")
        monkeypatch.setenv("PATH", str(tools))
        await pilot.press("alt+v")
        assert "is shown beside the terminal" in flat(page_text(app, "#understood"))
        assert [viewer.wait(20) for viewer in picture_viewer._running] == [0]
        assert seen.read_bytes() == content
        page.choose(2)
        await pilot.press("alt+v")
        assert "Entry 2 holds no picture" in flat(page_text(app, "#understood"))


async def test_the_form_of_a_finding_with_readings_is_kept_with_enter(database: Path) -> None:
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        add_lines(shop, new_ticket(shop), "says: fan roars\nfound: reservoir level -14 mm (-3 to 0 per maker), foam")
    async with desk(database) as (app, pilot):
        app.open_ticket(1)
        await pilot.pause()
        app.push_screen(EntryScreen(app.shop, ticket_of(app.shop, 1), ticket_of(app.shop, 1).entries[1]))
        await pilot.pause()
        (field,) = [field for field in app.screen.query(Input) if field.id == "field-what"]
        field.value = field.value.replace("-14", "-12")
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert not isinstance(app.screen, EntryScreen)
        assert "−12 mm" in flat(page_text(app))
