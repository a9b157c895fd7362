"""The kind of a line is seen before Enter, and one key makes it another."""

from pathlib import Path

from rich.cells import cell_len
from test_ticket_line import open_new
from test_whole_job import desk

from support.screen import screen_text
from support.screens_desk import page_text, screen_of
from ticket.job.kinds import KINDS
from ticket.screens.app import TicketApp
from ticket.screens.help_screen import help_rows
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import add_lines
from ticket.shop.reading import ticket_of


def sign(app: TicketApp) -> str:
    return page_text(app, "#mark").strip()


async def test_the_kind_stands_before_the_line_while_it_is_typed(database: Path) -> None:
    async with desk(database) as (app, pilot):
        prompt = await open_new(app, pilot)
        assert sign(app) == "A  says ›"  # a new ticket asks what the customer says
        await pilot.press(*"1.2h replaced ")
        assert sign(app) == "did ›"
        assert "did › 1.2h replaced" in screen_text(app)
        await pilot.press(*"pump? (min")
        assert sign(app) == "found ›"  # in doubt it is a finding
        prompt.value = ""
        await pilot.pause()
        assert sign(app) == "A  says ›"


async def test_the_first_line_of_a_ticket_is_the_complaint_where_it_is_nothing_else(database: Path) -> None:
    async with desk(database) as (app, pilot):
        prompt = await open_new(app, pilot)
        for line, kind in (
            ("fan roars on hills", "says"), ("pads LF 7 RF 2 mm (min 3)", "found"), ("found: hub loose", "found"),
            ("1.2 h replaced pump", "did"), ("P0420 stored", "code"),
        ):  # fmt: skip
            prompt.value = line
            await pilot.pause()
            assert sign(app).endswith(f"{kind} ›"), line
        prompt.value = "fan roars on hills"
        await pilot.press("enter", *"hoses dry", "enter")
        await pilot.pause()
        entries = ticket_of(app.shop, 1).entries
        assert [(entry.kind, entry.concern) for entry in entries] == [("says", "A"), ("found", "A")]


async def test_the_kind_stands_there_however_the_line_spells_it(database: Path) -> None:
    async with desk(database) as (app, pilot):
        prompt = await open_new(app, pilot)
        add_lines(app.shop, 1, "says: hub hums")
        screen_of(app, TicketScreen).reread()
        for line in ("found: hub loose", "# A Found: hub loose", "f: hub loose", "hub loose", "foun: hub loose"):
            prompt.value = line
            await pilot.pause()
            assert sign(app).endswith("found ›"), line


async def test_enter_takes_a_certain_kind_and_a_finding_otherwise(database: Path) -> None:
    async with desk(database) as (app, pilot):
        await open_new(app, pilot)
        for line in ("1.2h replaced pump", "drove it, no noise", "P0420 stored"):
            await pilot.press(*line, "enter")
            await pilot.pause()
        assert [entry.kind for entry in ticket_of(app.shop, 1).entries] == ["did", "found", "code"]


async def test_one_key_makes_it_the_next_likely_kind_and_enter_writes_that(database: Path) -> None:
    async with desk(database) as (app, pilot):
        prompt = await open_new(app, pilot)
        await pilot.press(*"drove it, no noise", "alt+t")
        assert prompt.value == "proof: drove it, no noise"
        assert sign(app) == "proof ›"
        await pilot.press("enter")
        await pilot.pause()
        assert ticket_of(app.shop, 1).entries[0].kind == "proof"


async def test_the_key_goes_round_all_kinds_and_keeps_letter_mark_and_text(database: Path) -> None:
    async with desk(database) as (app, pilot):
        prompt = await open_new(app, pilot)
        await pilot.press(*"# A did: new seal 1.1 h")
        seen = []
        for _ in range(len(KINDS)):
            await pilot.press("alt+t")
            seen.append(prompt.value.removeprefix("# A ").split(":")[0])
            assert prompt.value.startswith("# A ")
            assert prompt.value.endswith("new seal 1.1 h")
        assert len(set(seen)) == len(KINDS)
        assert prompt.value == "# A did: new seal 1.1 h"


async def test_the_line_keeps_its_place_whatever_its_kind_is(database: Path) -> None:
    async with desk(database) as (app, pilot):
        prompt = await open_new(app, pilot)
        widths = set()
        for word in ("", "did: ", "code: ", "says: ", "p: "):
            prompt.value = f"{word}x"
            await pilot.pause()
            widths.add(cell_len(page_text(app, "#mark")))
        assert len(widths) == 1


async def test_a_question_in_the_line_has_no_kind_and_help_names_the_key(database: Path) -> None:
    async with desk(database) as (app, pilot):
        await open_new(app, pilot)
        assert isinstance(app.screen, TicketScreen)
        app.screen.ask("why", "Why?", lambda _answer: None)
        await pilot.press(*"did it", "alt+t")
        assert sign(app) == "why ›"
        assert app.screen.prompt().value == "did it"
    told = " ".join(row.text for row in help_rows("ticket", 116))
    assert "Alt+A" in told
    assert "another kind of fact" in told
