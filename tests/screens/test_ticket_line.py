"""The line of a ticket: completed, kept, never covered; and what can be done to the entry under the pointer."""

from pathlib import Path

from rich.cells import cell_len
from test_whole_job import desk, type_line
from textual import events
from textual.pilot import Pilot
from textual.widgets import Input

from support.clock import BEGIN, Clock
from support.facts import run_of
from support.screen import screen_lines, screen_text
from support.screens_desk import flat, page_text, screen_of
from ticket.assist.on_the_clock import on_the_clock
from ticket.job.kinds import Did, Found
from ticket.job.text import one_line
from ticket.machine.draft_lines import DraftLines
from ticket.notes.write import write
from ticket.screens.amend_screen import AmendScreen
from ticket.screens.app import TicketApp
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import add_lines, clock, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of


def before(database: Path, *lines: str) -> int:
    """A ticket of the shop's past; its number."""
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop)
        add_lines(shop, number, "\n".join(lines))
    return number


async def open_new(app: TicketApp, pilot: Pilot[int]) -> Prompt:
    """A new ticket on screen; its line."""
    app.open_ticket(new_ticket(app.shop))
    await pilot.pause()
    assert isinstance(app.screen, TicketScreen)
    return app.screen.query_one(Prompt)


async def point_at(app: TicketApp, pilot: Pilot[int], no: int) -> None:
    """Put the pointer on an entry."""
    app.screen.query_one("#page", Page).choose(no)
    await pilot.pause()


async def test_a_line_completes_from_the_past_and_enter_takes_only_what_is_typed(database: Path) -> None:
    before(
        database, "did: 0.4 h replace horn ground strap; rate electrical", "used: 1 x GS-0412 ground strap, new @ 9.80",
        "found: horn ground strap resistance 0.1 ohm (max 0.5)", "did: 0.9 h replace horn",
    )  # fmt: skip
    async with desk(database) as (app, pilot):
        prompt = await open_new(app, pilot)
        await pilot.press(*"did: replace horn g")
        assert "0.4 h replace horn ground strap; rate electrical" in page_text(app, "#understood")
        assert "0.4 h replace horn ground strap" in screen_text(app)
        await pilot.press("right")
        assert prompt.value == "did: 0.4 h replace horn ground strap; rate electrical"
        await pilot.press("enter")
        await pilot.press(*"u: grou", "right", "enter")
        await pilot.press(*"horn gr", "ctrl+right", "ctrl+right", "ctrl+right", *"48")
        assert prompt.value == "horn ground strap resistance 48"
        await pilot.press("right", "enter")
        await pilot.press(*"did: replace horn")
        first = page_text(app, "#understood").rpartition("→ ")[2]
        await pilot.press("alt+down")
        assert page_text(app, "#understood").rpartition("→ ")[2] != first
        await pilot.press("enter")
        texts = [entry.fact for entry in ticket_of(app.shop, 2).entries]
        assert texts[1].price == "9.80"  # type: ignore[attr-defined]
        assert run_of(texts[2]).limits.high == "0.5"  # type: ignore[union-attr]
        assert texts[3] == Did(text="replace horn")


async def test_a_line_longer_than_the_screen_scrolls_with_its_cursor(database: Path) -> None:
    async with desk(database) as (app, pilot):
        await open_new(app, pilot)
        await pilot.press(*("abcdefghij" * 9), *"XYZ")
        await pilot.pause()
        assert "XYZ" in screen_lines(app)[-3]
        await pilot.press("home")
        await pilot.pause()
        assert "abcdefghij" in screen_lines(app)[-3]
        assert "XYZ" not in screen_lines(app)[-3]


async def test_what_cannot_be_done_is_said_above_the_line_and_never_over_it(database: Path) -> None:
    async with desk(database) as (app, pilot):
        await open_new(app, pilot)
        await pilot.press(*"half typed", "f6")
        lines = screen_lines(app)
        assert "half typed" in lines[-3]
        assert "Move the pointer to an entry first" in "\n".join(lines)
        await pilot.press("s")
        assert "Move the pointer" not in screen_text(app)


async def test_a_half_typed_line_is_offered_again(database: Path) -> None:
    number = before(database, "says: no heat")
    gone = DraftLines(database, "K. Orlo")
    gone.keep(number, "found: blend door st")
    (file,) = gone._folder.glob("*.json")
    file.rename(file.with_name(f"{file.stem.rpartition('-')[0]}-{2**22 + 1}.json"))  # a process that is gone
    async with desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        assert app.screen.query_one(Prompt).value == "found: blend door st"
        assert "Still in the line from before" in page_text(app, "#understood")
        await pilot.press(*"uck")
        for _ in range(100):
            if kept := [file for file in gone._folder.glob("*.json") if "blend door stuck" in file.read_text()]:
                break
            await pilot.pause(0.05)
        assert kept[0].stat().st_mode & 0o077 == 0
        await pilot.press("enter")
        await pilot.pause(0.7)
        assert not list(gone._folder.glob("*.json"))
    assert gone.left(number) == ""


async def test_leaving_in_the_middle_of_a_line_keeps_it(database: Path) -> None:
    number = before(database, "says: no heat")
    async with desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press(*"cause: bl")
    assert DraftLines(database, "K. Orlo").left(number) == "cause: bl"


async def test_the_form_shows_every_field_and_reads_each_as_typed(database: Path) -> None:
    number = before(database, "used: 1 x GS-0412 ground strap, new @ 9.80")
    async with desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await point_at(app, pilot, 1)
        await pilot.press("alt+e")
        await pilot.pause()
        fields = {field.id: field.value for field in app.screen.query(Input)}
        assert fields["field-amount"] == "1"
        assert fields["field-price"] == "9.80"
        assert len(fields) >= 10
        app.screen.query_one("#field-price", Input).value = "cheap"
        await pilot.pause()
        assert "wanted is an amount" in screen_text(app)
        await pilot.press("ctrl+s")
        assert not isinstance(app.screen, TicketScreen), "a field that is not understood keeps the form open"
        app.screen.query_one("#field-price", Input).value = "11.20"
        app.screen.query_one("#field-core", Input).value = "5"
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert isinstance(app.screen, TicketScreen)
        fact = ticket_of(app.shop, number).entries[0].fact
        assert (fact.price, fact.core) == ("11.20", "5")  # type: ignore[attr-defined]


async def test_an_entry_moves_hides_is_struck_and_comes_back(database: Path) -> None:
    number = before(database, "says: no heat", "says: squeal", "B found: belt glazed")
    async with desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await point_at(app, pilot, 3)
        await pilot.press(*"half", "alt+g")
        assert "Which concern does entry 3 belong to" in flat(page_text(app, "#understood"))
        await pilot.press("i", "enter")
        assert "no concern" in page_text(app, "#understood")
        await pilot.press("backspace", "a", "enter")
        assert app.screen.query_one(Prompt).value == "half", "the line from before is back"
        await pilot.press("alt+h", "f6")
        entry = ticket_of(app.shop, number).entries[2]
        assert (entry.concern, entry.shop_only, entry.struck) == ("A", True, True)
        await pilot.press("f6", "alt+h")
        entry = ticket_of(app.shop, number).entries[2]
        assert (entry.shop_only, entry.struck) == (False, False)
        await pilot.press("escape")
        await type_line(app, pilot, "B")
        await type_line(app, pilot, "pulley bent")
        await type_line(app, pilot, "D")
        assert [item.concern for item in ticket_of(app.shop, number).entries] == ["A", "B", "A", "B"]


async def test_labour_runs_on_the_clock_by_one_key(database: Path) -> None:
    number = before(database, "did: 0.5 h clean ground point", "found: belt glazed")
    async with desk(database, (120, 40)) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await point_at(app, pilot, 1)
        await pilot.press("alt+k")
        assert "K. Orlo on the clock since" in flat(screen_text(app))
        await pilot.press("alt+k")
        assert "on the clock since" not in screen_text(app)
        (span,) = ticket_of(app.shop, number).entries[0].fact.clock  # type: ignore[attr-defined]
        assert span.start < span.end
        await point_at(app, pilot, 2)
        await pilot.press("alt+k")
        assert "Only labour runs on the clock" in screen_text(app)


async def test_the_strike_of_an_answered_offer_asks_first(database: Path) -> None:
    number = before(
        database, "says: no heat", "offer: replace heater hose; est 200.00",
        "told: Ada Fenn by phone 555-0134, yes 2; total 200.00", "offer: flush cooler; est 40.00",
    )  # fmt: skip
    async with desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await point_at(app, pilot, 2)
        await pilot.press("alt+x")
        assert "answered yes to entry 2, as entry 3 says" in flat(page_text(app, "#understood"))
        assert not ticket_of(app.shop, number).entries[1].struck
        await pilot.press("alt+x")
        assert ticket_of(app.shop, number).entries[1].struck
        await pilot.press("alt+x")
        assert not ticket_of(app.shop, number).entries[1].struck, "putting it back asks nothing"
        await point_at(app, pilot, 4)
        await pilot.press("alt+x")
        assert ticket_of(app.shop, number).entries[3].struck, "nobody answered this one"


async def test_a_clock_of_no_minute_does_not_run_on(database: Path) -> None:
    number = before(database, "did: replace heater hose")
    with Shop.open(database, "K. Orlo", now=lambda: BEGIN) as shop:
        assert "is on the clock since" in clock(shop, number, 1)
        assert "is off the clock" in clock(shop, number, 1)
        assert ticket_of(shop, number).entries[0].fact.clock == ()  # type: ignore[attr-defined]
        assert on_the_clock(ticket_of(shop, number)) == ()
        assert "is on the clock since" in clock(shop, number, 1), "it can be begun again"


async def test_a_signed_ticket_is_amended_with_its_reason(database: Path) -> None:
    number = before(database, "says: no heat", "found: LF pad 4 mm (min 3)")
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        shop.store.sign(number, ticket_of(shop, number).rev, "K. Orlo")
    async with desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press("ctrl+z")
        assert "Alt+A writes what corrects the entry" in flat(page_text(app, "#understood"))
        await point_at(app, pilot, 2)
        await pilot.press("f6")
        assert not ticket_of(app.shop, number).entries[1].struck
        await pilot.press("f2")
        prompt = app.screen.query_one(Prompt)
        prompt.value = prompt.value.replace("4 mm", "5 mm")
        await pilot.press("enter")
        await pilot.pause()
        form = screen_of(app, AmendScreen)
        assert (form.typed("entry"), "5 mm" in form.typed("what")) == ("2", True), "it names its entry and what changes"
        form.control("entry").put("9")
        await pilot.press("ctrl+s")
        form.control("entry").put("2")
        await pilot.press("ctrl+s")
        assert len(ticket_of(app.shop, number).entries) == 2, "no reason, no amendment"
        await pilot.press("enter", "enter", *"mis", "escape")
        await pilot.pause()
        assert "5 mm" in prompt.value
        await pilot.press("enter")
        await pilot.pause()
        assert screen_of(app, AmendScreen).typed("why") == "mis", "half a form is kept"
        await pilot.press("end", "down", "down", *"read", "ctrl+s")
        await pilot.pause()
        ticket = ticket_of(app.shop, number)
        assert (ticket.entries[2].replaces, ticket.entries[2].reason) == (2, "misread")
        assert app.shop.store.audit().ok
        await pilot.press("ctrl+l")
        await pilot.pause()
        assert "corrects what was signed wrong" in flat(screen_text(app))
        await pilot.press("escape")
        assert isinstance(app.screen, TicketScreen)


HOSTILE = (
    "[red]brake[/red] [/x] [type=x, v={'a[0]'}] 50% [done]", "日本語の札 テスト voltage 12.4 V (min 11.5)",
    "a\u0301e\u0301\u0323 combining n\u0303", "שלום עולם rtl", "🔧🚗 emoji ⚠️ and 👩\u200d🔧 joined", "tab\there",
    "\x1b[31mred\x1b[0m \x1b]0;title\x07 bell", "zero\u200bwidth \u202eoverride", "{}${x}`$(reboot)`", "x" * 200,
)  # fmt: skip


async def test_hostile_lines_show_literally_and_nothing_is_pushed_out_of_its_place(database: Path) -> None:
    async with desk(database) as (app, pilot):
        prompt = await open_new(app, pilot)
        for i, line in enumerate(HOSTILE, 1):
            prompt.put("")
            prompt.insert_text_at_cursor(f"maybe: {line}")
            await pilot.pause()
            lines = screen_lines(app)
            assert all(cell_len(row) <= 80 for row in lines)
            assert "\x1b" not in "".join(lines)
            await pilot.press("enter")
            assert len(ticket_of(app.shop, 1).entries) == i
            assert all(cell_len(row) <= 80 for row in screen_lines(app))
        shown = "".join("".join(row.text.split()) for row in app.screen.query_one("#page", Page).rows)
        for line in HOSTILE:
            assert "".join(one_line(line).split()) in shown
        assert [entry.fact.text for entry in ticket_of(app.shop, 1).entries] == [line.strip() for line in HOSTILE]  # type: ignore[attr-defined]


async def test_a_scanned_number_is_never_a_finding(database: Path) -> None:
    before(database, "used: 1 x GS-0412 ground strap, new @ 9.80")
    async with desk(database) as (app, pilot):
        await open_new(app, pilot)
        await pilot.press(*"GS-0412", "enter", *"1CVPT18X9K2004417", "enter", *"5012345678900", "enter")
        kinds = [entry.kind for entry in ticket_of(app.shop, 2).entries]
        assert kinds[:2] == ["used", "note"]


async def test_what_is_typed_ahead_never_joins_the_line_before(database: Path) -> None:
    async with desk(database) as (app, pilot):
        app.open_ticket(new_ticket(app.shop))
        await pilot.pause()
        lines = [f"found: hose {i} dry" for i in range(6)]
        for line in lines:  # without a pause: all keys are in the queue before the first line is written
            for letter in line:
                app.post_message(events.Key(letter, letter))
            app.post_message(events.Key("enter", None))
        await pilot.pause()
        facts = [entry.fact for entry in ticket_of(app.shop, 1).entries]
        assert [fact.what for fact in facts if isinstance(fact, Found)] == [line[7:] for line in lines]
        for key in ("a", "b", "backspace", "c", "left", "d"):
            app.post_message(events.Key(key, key if len(key) == 1 else None))
        await pilot.pause()
        assert app.screen.query_one(Prompt).value == "adc", "editing keys act in the order they were pressed"
        await pilot.press("ctrl+u", "delete")
        await pilot.press("alt+q", "x")
        assert app.screen.query_one(Prompt).value == "x"


async def test_a_word_of_the_notation_alone_is_not_written_but_shown_by_example(database: Path) -> None:
    async with desk(database) as (app, pilot):
        prompt = await open_new(app, pilot)
        for typed in ("did", "Used:", "later :"):
            prompt.put(typed)
            await pilot.press("enter")
            await pilot.pause()
            kind = typed.strip(" :").casefold()
            assert f"What belongs behind {kind}? Such as: {kind}: " in flat(page_text(app, "#understood"))
            assert prompt.value == typed, "nothing typed is lost"
        assert ticket_of(app.shop, 1).entries == ()
        prompt.put("did not start")
        await pilot.press("enter")
        await pilot.pause()
        assert len(ticket_of(app.shop, 1).entries) == 1


async def test_a_retyped_line_takes_what_the_row_below_says_it_takes(database: Path) -> None:
    number = before(
        database, "says: knock from the left front over bumps", "found: lf lower arm bush gap 6 mm (max 2)",
        "cause: lf lower arm bush torn; from 2",
    )  # fmt: skip
    async with desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await point_at(app, pilot, 3)
        await pilot.press("f2", "ctrl+u")
        await pilot.press(*"cause: lf lower arm bush split", "enter")
        await pilot.pause()
        assert "split; from 2" in one_line(write(ticket_of(app.shop, number).entries[2].fact))
        await point_at(app, pilot, 2)
        await pilot.press("f2", "ctrl+u", *"cause: lf lower arm bush torn through")
        assert "rests on" not in page_text(app, "#understood"), "a line rests on no entry that it stands in for"
