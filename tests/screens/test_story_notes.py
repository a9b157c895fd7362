"""The writer's way through the notes of a story: worst first, two keys for a good wording, one more to keep it."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path

import pytest
from textual.pilot import Pilot

from support.clock import Clock
from support.screens_desk import flat, page_text
from ticket.job.book_entry import BookEntry
from ticket.screens.app import TicketApp
from ticket.screens.note_rows import ROWS, doubt_of, note_rows, waiting_words, width_rows
from ticket.screens.page import Page
from ticket.screens.story_keep import KeepScreen
from ticket.screens.story_screen import StoryScreen
from ticket.screens.story_words import WordsBox
from ticket.shop import wordings
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of, story_of, ticket_of
from ticket.story.noted import notes

LINES = """
says: brakes growl
found: gov cuts out 118 psi
found: hub zorbel worn
did: 1 h caged & changed LR 30/30 can, adj slack
"""


@asynccontextmanager
async def story(database: Path) -> AsyncIterator[tuple[TicketApp, Pilot[int]]]:
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop)
        add_lines(shop, number, LINES)
    app = TicketApp(database, partial(Shop.open, database, "K. Orlo", now=Clock()))
    async with app.run_test(size=(90, 30), notifications=True) as pilot:
        await pilot.pause(0.3)
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press("ctrl+t")
        await pilot.pause()
        assert isinstance(app.screen, StoryScreen)
        yield app, pilot
        app.close_shop()


async def press(pilot: Pilot[int], *keys: str) -> None:
    await pilot.press(*keys)
    await pilot.pause()


def pointed(app: TicketApp) -> str:
    assert isinstance(app.screen, StoryScreen)
    sentence = app.screen._pointed()
    return sentence.text if sentence else ""


def entries(app: TicketApp) -> list[BookEntry]:
    return list(app.shop.book.entries)


def said(app: TicketApp) -> str:
    return app.told


def box(app: TicketApp) -> str:
    return app.screen.query_one(WordsBox).text


async def test_the_notes_are_counted_and_walked_worst_first_and_round(database: Path) -> None:
    async with story(database) as (app, pilot):
        assert "3 wait for a wording" in flat(page_text(app, "#top"))
        await press(pilot, "ctrl+g")
        assert pointed(app).startswith("Caged and changed"), "what was done stands before what was found"
        assert "typed caged & changed" in flat(page_text(app, "#flaws"))
        await press(pilot, "ctrl+g")
        assert pointed(app).startswith("Governor cuts out")
        await press(pilot, "ctrl+g")
        assert pointed(app).startswith("Hub zorbel"), "unlisted words last"
        assert "zorbel: 1 a thing, 2 a matter, 3 a state, 4 a doing" in flat(page_text(app, "#flaws"))
        assert "offer The hub zorbel was worn." in flat(page_text(app, "#flaws"))
        await press(pilot, "ctrl+g")
        assert pointed(app).startswith("Caged and changed")


async def test_enter_takes_an_offered_wording_with_two_keys_and_the_pointer_goes_on(database: Path) -> None:
    async with story(database) as (app, pilot):
        await press(pilot, "ctrl+g", "ctrl+g", "ctrl+g", "enter")
        assert box(app) == "The hub zorbel was worn."
        await press(pilot, "enter")
        assert "The hub zorbel was worn. (in the words of K. Orlo)" in flat(page_text(app))
        assert "2 wait for a wording" in flat(page_text(app, "#top"))
        assert pointed(app).startswith("Caged and changed")
        assert entries(app) == [], "nothing is kept silently"


async def test_the_arrows_in_the_box_go_to_the_other_notes_and_escape_leaves_it_a_note(database: Path) -> None:
    async with story(database) as (app, pilot):
        await press(pilot, "ctrl+g", "enter")
        assert box(app).startswith("Caged")
        await press(pilot, "down")
        assert box(app).startswith("Governor")
        await press(pilot, "up", "up")
        assert box(app).startswith("The hub zorbel")
        await press(pilot, "escape")
        assert not app.screen.has_class("rewording")
        assert "3 wait" in flat(page_text(app, "#top"))
        assert ticket_of(app.shop, 1).rewordings == ()


async def test_what_the_judge_refuses_is_not_taken(database: Path) -> None:
    async with story(database) as (app, pilot):
        await press(pilot, "ctrl+g", "ctrl+g", "enter")
        app.screen.query_one(WordsBox).load_text("The governor cut out at 119 psi.")
        await press(pilot, "enter")
        assert "119" in page_text(app, "#flaws")
        await press(pilot, "alt+q")
        assert isinstance(app.screen, StoryScreen), "and it is not kept either"
        assert ticket_of(app.shop, 1).rewordings == ()
        assert entries(app) == []


async def test_one_key_more_shows_the_phrase_with_its_places_narrows_it_and_keeps_it(database: Path) -> None:
    async with story(database) as (app, pilot):
        await press(pilot, "ctrl+g", "ctrl+g", "enter")
        app.screen.query_one(WordsBox).load_text("The governor cut out at 118 psi.")
        await press(pilot, "alt+q")
        assert isinstance(app.screen, StoryScreen), "“cuts” may be a thing or a doing: its writer is asked once more"
        assert ticket_of(app.shop, 1).rewordings == ()
        await press(pilot, "alt+q")
        assert isinstance(app.screen, KeepScreen)
        shown = flat(page_text(app))
        assert "clause {thing} cuts out {n}" in shown
        assert "told {thing} cut out at {n}" in shown
        assert entries(app) == []
        await press(pilot, "right", "right", "left", "enter")
        assert isinstance(app.screen, StoryScreen)
        (kept,) = entries(app)
        assert (kept.typed, kept.by, kept.ticket) == ("governor cuts out {n}", "K. Orlo", 1)
        assert ticket_of(app.shop, 1).rewordings[0].text == "The governor cut out at 118 psi."


async def test_a_wording_taken_before_can_be_kept_and_taken_back_later(database: Path) -> None:
    async with story(database) as (app, pilot):
        wordings.take(app.shop, 1, 2, "The governor cut out at 118 psi.", unproved=True)
        assert isinstance(app.screen, StoryScreen)
        app.screen.changed_elsewhere()
        at = next(i for i, one in enumerate(app.screen.pairs.sentences) if "118" in one.text)
        app.screen.query_one("#page", Page).choose(f"s{at}")
        await press(pilot, "alt+q", "escape")
        assert entries(app) == []
        await press(pilot, "alt+q", "enter")
        assert entries(app)[0].typed == "{thing} cuts out {n}"
        app.screen.query_one("#page", Page).choose(f"s{at}")
        await press(pilot, "alt+x")
        assert ticket_of(app.shop, 1).rewordings == ()


async def test_a_digit_says_what_the_underlined_word_is(database: Path) -> None:
    async with story(database) as (app, pilot):
        await press(pilot, "ctrl+g", "ctrl+g", "ctrl+g", "1")
        (kept,) = entries(app)
        assert (kept.size, kept.where, kept.typed, kept.ticket) == ("word", "thing", "zorbel", 1)
        assert "zorbel: 1 a thing" not in flat(page_text(app, "#flaws"))
        assert "The hub zorbel was worn." in flat(page_text(app)), "the line is certain now"
        assert "2 wait for a wording" in flat(page_text(app, "#top"))
        await press(pilot, "ctrl+g", "1")
        assert len(entries(app)) == 1
        assert "Every word of this note is listed" in said(app)


async def test_without_a_note_the_keys_say_so(database: Path) -> None:
    async with story(database) as (app, pilot):
        await press(pilot, "1")
        assert "Move the pointer to a note first." in said(app)
        await press(pilot, "alt+q")
        assert "Give a note its words first" in said(app)


@pytest.mark.parametrize("width", [20, 48, 60, 90, 160])
def test_the_rows_of_a_note_fit_and_show_the_word_in_doubt(tmp_path: Path, width: int) -> None:
    from rich.cells import cell_len

    with Shop.open(tmp_path / "shop.db", "K. Orlo", now=Clock()) as shop:
        new_ticket(shop)
        add_lines(shop, 1, LINES)
        for note in notes(case_of(shop, 1), story_of(shop, 1)):
            rows = note_rows(note, (), ("The command failed in a long sentence that says what to do.",), width)
            assert len(rows) == ROWS
            assert all(cell_len(row.text) <= width for row in rows)
            start, end = doubt_of(note, ())
            doubted = [span.text for row in rows for span in row.spans if span.style == "unread"]
            assert doubted == ([note.line[start:end]] if end else []) or len(note.line) > width
            choices = wordings.widths_of(shop, 1, note, note.sentence.text)
            assert all(cell_len(row.text) <= max(width, 20) for row in width_rows(choices, 0, max(width, 20)))


def test_one_note_is_one_note() -> None:
    assert (waiting_words(0), waiting_words(1)) == ("", "1 waits for a wording")
