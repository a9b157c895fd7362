"""One key goes round the places of a ticket: the line, the questions, the entries, each concern."""

from pathlib import Path

from test_ticket_line import open_new, point_at
from test_whole_job import desk

from support.screens_desk import page_text, screen_of
from ticket.grid.entries import STRUCK_KEY
from ticket.screens.entry_screen import EntryScreen
from ticket.screens.header_screen import HeaderScreen
from ticket.screens.phone_screen import PhoneScreen
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import add_lines

LINES = "says: fan roars\nfound: hub loose\nB says: brakes squeal\nB found: pads LF 2 mm (min 3)"


async def test_tab_goes_round_and_shift_tab_the_other_way(database: Path) -> None:
    async with desk(database) as (app, pilot):
        prompt = await open_new(app, pilot)
        add_lines(app.shop, 1, LINES)
        screen = screen_of(app, TicketScreen)
        screen.reread()
        seen = []
        for _ in range(5):
            await pilot.press("tab")
            await pilot.pause()
            seen.append((screen.shown.asks, screen.shown.concern, screen.page().key))
        assert seen[0][0], "first to what is asked"
        assert seen[1] == (False, "", 1), "then to the first entry"
        assert [place[1] for place in seen[2:4]] == ["A", "B"], "then to each concern"
        assert "hub loose" not in page_text(app, "#page") or screen.shown.concern == ""
        assert seen[4][:2] == (False, ""), "and back"
        assert seen[4][2] == screen.home
        await pilot.press("shift+tab")
        assert screen.shown.concern == "B"
        assert prompt.has_focus
        await pilot.press("escape")
        assert screen.shown.concern == "", "one step back shows all of it"


async def test_one_step_back_leaves_after_a_line_was_taken_back(database: Path) -> None:
    async with desk(database) as (app, pilot):
        await open_new(app, pilot)
        await pilot.press(*"says: fan roars", "enter", *"found: hub loose", "enter", "ctrl+z", "escape")
        await pilot.pause()
        assert not isinstance(app.screen, TicketScreen)


async def test_what_is_folded_away_moves_the_pointer_to_no_other_entry_and_old_words_go(database: Path) -> None:
    async with desk(database) as (app, pilot):
        await open_new(app, pilot)
        add_lines(app.shop, 1, LINES)
        screen = screen_of(app, TicketScreen)
        screen.reread()
        await point_at(app, pilot, 2)
        await pilot.press("alt+x")
        assert "Entry 2 is struck" in page_text(app, "#understood")
        assert "hub loose" in page_text(app, "#understood"), "which one it was"
        await pilot.press("alt+u", "alt+u")
        assert screen.page().key == STRUCK_KEY
        await point_at(app, pilot, 4)
        await pilot.press("alt+e")
        await pilot.pause()
        screen_of(app, EntryScreen).control("what").put("pads LF 4 mm (min 3)")
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert "Entry 4 is changed." in page_text(app, "#understood")


async def test_enter_on_a_question_goes_where_it_is_answered(database: Path) -> None:
    async with desk(database) as (app, pilot):
        prompt = await open_new(app, pilot)
        add_lines(app.shop, 1, f"{LINES}\nB offer: renew pads; est 90; for 4\nA says: fan roars on hills")
        screen = screen_of(app, TicketScreen)
        screen.reread()

        async def ask(rule: str) -> None:
            if not screen.shown.asks:
                await pilot.press("ctrl+g")
            at = next(at for at, gap in enumerate(screen.view.gaps) if gap.id == rule)
            screen.page().choose(f"gap{at}")
            await pilot.press("enter")
            await pilot.pause()

        await ask("offer-unanswered")
        screen_of(app, PhoneScreen)
        await pilot.press("escape")
        await ask("vehicle-missing")
        header = screen_of(app, HeaderScreen)
        await pilot.pause()
        assert app.focused is header.control("vehicle"), "the field that is asked about"
        await pilot.press("escape")
        add_lines(app.shop, 1, "B maybe: seized pin")
        screen.reread()
        await ask("suspicion-open")
        assert prompt.value == "ruled: "
        assert screen.sticky == "B", "the answer belongs to the concern of what is asked about"
        assert "was suspected" in page_text(app, "#understood"), "the question is still read"
        await pilot.press("escape", *"found: hub dry", "enter")
        await pilot.pause()
        assert "is written; Esc shows all entries" in page_text(app, "#understood"), "though it is not among these"
        await pilot.press("ctrl+g", "f2")
        assert screen.editing is not None, "and its entry is one key away"
