"""The story with what it rests on: sentences and entries light each other; it is written out and printed."""

import stat
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.pilot import Pilot
from textual.widgets import Input

from support.clock import Clock
from support.screen import screen_text
from support.screens_desk import flat, page_text, screen_of, until
from ticket.job.values import Ref
from ticket.screens.app import TicketApp
from ticket.screens.page import Page
from ticket.screens.sign_screen import SignScreen
from ticket.screens.story_pairs import LIT, Pairs, below_rows, entry_rows, key_of, place_of, sentence_rows
from ticket.screens.story_screen import StoryScreen
from ticket.screens.story_words import WordsBox
from ticket.screens.story_write import WriteScreen
from ticket.shop.changing import add_lines, edit_entry, new_ticket, sign_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of, story_of, ticket_of, unanswered, understand

LINES = """
says: horn is silent since the car wash
found: horn ground strap resistance 48 ohm (max 0.5)
found: [/x] horn fuse [red]good
cause: corroded horn ground strap; from 2
""".strip()


def pairs_of(shop: Shop, number: int) -> Pairs:
    return Pairs(case_of(shop, number), story_of(shop, number))


@asynccontextmanager
async def story(database: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[tuple[TicketApp, Pilot[int]]]:
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop)
        add_lines(shop, number, LINES)
    app = TicketApp(database, partial(Shop.open, database, "K. Orlo", now=Clock()))
    async with app.run_test(size=size, notifications=True) as pilot:
        await pilot.pause(0.3)
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press("ctrl+t")
        await pilot.pause()
        assert isinstance(app.screen, StoryScreen)
        yield app, pilot
        app.close_shop()


def bare(text: str) -> str:
    return "".join(text.split())


def notices(app: TicketApp) -> str:
    return app.told


@pytest.mark.parametrize("width", [20, 77, 117])
def test_every_sentence_and_entry_lights_its_counterpart_and_fits(shop: Shop, width: int) -> None:
    number = new_ticket(shop)
    add_lines(shop, number, LINES)
    pairs = pairs_of(shop, number)
    for place, sentence in enumerate(pairs.sentences):
        rows = [*sentence_rows(pairs, width), *below_rows(pairs, key_of(place), width, 99)]
        shown = bare(" ".join(row.text for row in below_rows(pairs, key_of(place), width, 99)))
        assert all(bare(pairs.words(source)) in shown for source in sentence.sources)
        lit = {row.key for row in entry_rows(pairs, width, lit=sentence.sources) if row.text.startswith(LIT)}
        assert lit == {source.no for source in sentence.sources if isinstance(source, Ref)}
        assert all(cell_len(row.text) <= width for row in rows)
        for height in (1, 2, 3):
            few = [row.text for row in below_rows(pairs, key_of(place), max(width, 77), height)]
            told = sum(any(row.startswith(f" {pairs.words(one)[:9]}") for row in few) for one in sentence.sources)
            left = [int(row.split()[1]) for row in few if row.startswith(" and ")]
            assert len(few) <= height
            assert height == 1 or told + sum(left) == len(sentence.sources), "what has no room is counted"
    for entry in pairs.case.ticket.living:
        tellers = pairs.tellers(entry.no)
        rows = entry_rows(pairs, width, entry.no, under=True)
        shown = bare(" ".join(row.text for row in rows if row.key == entry.no))
        assert all(bare(pairs.sentences[place].text) in shown for place in tellers)
        lit = {place_of(row.key) for row in sentence_rows(pairs, width, lit=tellers) if row.text.startswith(LIT)}
        assert lit == set(tellers)
        assert all(cell_len(row.text) <= width for row in rows)


async def test_the_pointer_lists_what_a_sentence_rests_on_and_turns_to_the_entries(database: Path) -> None:
    async with story(database) as (app, pilot):
        page = app.screen.query_one("#page", Page)
        wanted = next(row.key for row in page.rows if "48" in row.text)
        await pilot.press(*["down"] * page.keys.index(str(wanted)))
        await pilot.pause()
        assert page.key == wanted
        assert "rests on" in page_text(app, "#ask")
        assert "2 found: horn ground strap resistance 48 ohm (max 0.5)" in flat(page_text(app, "#below"))
        line = next(row.text for row in page.rows if row.key == wanted)
        assert line.endswith(" 2"), "the number stands at the right edge too"
        before = page_text(app, "#below")
        await pilot.press("end")
        await pilot.pause()
        assert page.key == page.keys[-1]
        assert page_text(app, "#below") != before, "it follows the pointer wherever that went"
        page.choose(wanted)
        await pilot.press("tab")
        await pilot.pause()
        entries = app.screen.query_one("#entries", Page)
        assert entries.key == 2
        assert "told by" in page_text(app, "#entries")
        assert "Tab sentences" in flat(page_text(app, "#hints"))
        await pilot.press("down")
        await pilot.pause()
        assert entries.key == 3
        assert "[red]good" in page_text(app, "#entries")


@pytest.mark.parametrize("no_color", [False, True])
async def test_on_a_wide_screen_both_sides_stand_together(
    database: Path, monkeypatch: pytest.MonkeyPatch, no_color: bool
) -> None:
    if no_color:
        monkeypatch.setenv("NO_COLOR", "1")
    async with story(database, (120, 40)) as (app, pilot):
        page = app.screen.query_one("#page", Page)
        wanted = next(row.key for row in page.rows if "48" in row.text)
        await pilot.press(*["down"] * page.keys.index(str(wanted)))
        await pilot.pause()
        assert page.key == wanted
        assert f"{LIT}  2 found: horn ground strap" in page_text(app, "#entries")
        assert not page_text(app, "#below").strip(), "the entry stands beside already"
        await pilot.press("tab")
        await pilot.pause()
        assert any(row.key == wanted and row.text.startswith(LIT) for row in page.rows)


async def test_each_reader_is_one_key_away(database: Path) -> None:
    async with story(database) as (app, pilot):
        told = []
        for reader in ("customer", "payer", "shop", "customer"):
            assert f"for the {reader}" in page_text(app, "#top")
            told.append(page_text(app))
            await pilot.press("alt+r")
            await pilot.pause()
        assert told[0] == told[3]
        assert len(set(told)) == 3


async def test_a_file_is_offered_and_never_overwritten_unasked(
    database: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with story(database) as (app, pilot):
        await pilot.press("alt+w")
        await pilot.pause()
        assert isinstance(app.screen, WriteScreen)
        await pilot.press("end", "right", "right", "right", "down", "space")
        assert (app.screen.typed("what"), app.screen.typed("form")) == ("story", "markdown")
        await pilot.pause()
        target = Path(app.screen.query_one("#field-file", Input).value)
        assert target.name == "ticket-1-customer.md"
        target.write_text("mine")
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert target.read_text() == "mine"
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert isinstance(app.screen, StoryScreen)
        assert r"\[/X\]" in target.read_text()
        assert [path.name for path in tmp_path.iterdir() if path.suffix == ".part"] == []


async def test_the_printer_gets_the_paper_or_one_sentence_says_why_not(
    database: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    async with story(database) as (app, pilot):
        await pilot.press("alt+p")
        await app.workers.wait_for_complete()
        assert "no printer command" in notices(app)
        command = tmp_path / "lp"
        command.write_text(f"#!/bin/sh\n/bin/cat > {tmp_path}/printed\necho request id is bay-7\n")
        command.chmod(command.stat().st_mode | stat.S_IXUSR)
        await pilot.press("alt+p")
        await app.workers.wait_for_complete()
        assert "request id is bay-7" in notices(app)
        assert (tmp_path / "printed").stat().st_size > 100
        command.write_text("#!/bin/sh\n/bin/cat > /dev/null\necho no such destination >&2\nexit 1\n")
        await pilot.press("alt+p")
        await app.workers.wait_for_complete()
        assert "no such destination" in notices(app)


async def at_sentence(app: TicketApp, pilot: Pilot[int], words: str) -> None:
    page = app.screen.query_one("#page", Page)
    wanted = next(row.key for row in page.rows if row.key is not None and words in row.text)
    page.choose(wanted)
    await pilot.pause()


async def test_a_sentence_is_reworded_with_the_check_live_and_taken_back(database: Path) -> None:
    async with story(database, (80, 30)) as (app, pilot):
        await at_sentence(app, pilot, "48")
        before = app.screen.pairs.story  # type: ignore[attr-defined]
        await pilot.press("enter")
        await pilot.pause()
        box = app.screen.query_one(WordsBox)
        assert app.focused is box
        box.load_text("The horn ground strap measured 51 ohms.")
        await pilot.pause()
        assert page_text(app, "#flaws").startswith("no ")
        assert "51" in page_text(app, "#flaws")
        await pilot.press("enter")
        await pilot.pause()
        assert app.screen.has_class("rewording"), "what nobody recorded is not kept"
        assert "Esc leaves the sentence as it was" in page_text(app, "#flaws"), (
            "the way out is told where Enter is none"
        )
        assert not ticket_of(app.shop, 1).rewordings
        box.load_text("")
        await pilot.press(*"The ground strap of the horn stood at 48 ohms; up to 0.5 ohms is normal.")
        await pilot.pause()
        assert page_text(app, "#flaws").startswith("Nothing speaks against"), page_text(app, "#flaws")
        await pilot.press("enter")
        await pilot.pause()
        assert "in the words of K. Orlo" in flat(page_text(app))
        assert ticket_of(app.shop, 1).rewordings[0].text.startswith("The ground strap of the horn")
        await at_sentence(app, pilot, "The ground strap of the horn")
        await pilot.press("alt+x")
        await pilot.pause()
        assert app.screen.pairs.story.sections == before.sections  # type: ignore[attr-defined]
        await pilot.press("enter", "escape")
        await pilot.pause()
        assert isinstance(app.screen, StoryScreen)
        assert not app.screen.has_class("rewording")


async def test_what_is_not_proved_takes_a_second_enter_and_keeps_its_reason(database: Path) -> None:
    async with story(database, (80, 30)) as (app, pilot):
        await at_sentence(app, pilot, "48")
        await pilot.press("enter")
        box = app.screen.query_one(WordsBox)
        box.load_text("The horn ground strap stood at 48 ohms, like a rusty old nail.")
        await pilot.pause()
        assert page_text(app, "#flaws").startswith("? ")
        assert "Enter twice keeps them anyway" in flat(page_text(app, "#flaws"))
        await pilot.press("enter")
        await pilot.pause()
        assert not ticket_of(app.shop, 1).rewordings, "the first Enter only asks"
        assert "Enter once more keeps it all the same" in notices(app)
        box.load_text("The horn ground strap stood at 48 ohms, like a rusty nail.")
        await pilot.press("enter")
        await pilot.pause()
        assert not ticket_of(app.shop, 1).rewordings, "other words are asked about anew"
        await pilot.press("enter")
        await pilot.pause()
        (kept,) = ticket_of(app.shop, 1).rewordings
        assert kept.by == "K. Orlo"
        assert "is not typed" in kept.unproved
        assert "in the words of K. Orlo, not proved" in flat(page_text(app))


async def test_sentences_and_entries_are_taken_along_by_a_key(database: Path) -> None:
    async with story(database, (120, 40)) as (app, pilot):
        add_lines(app.shop, 1, "found: horn fuse holder wet")
        app.screen.changed_elsewhere()  # type: ignore[attr-defined]
        await pilot.pause()
        before = len(app.screen.pairs.sentences)  # type: ignore[attr-defined]
        await at_sentence(app, pilot, "holder was wet")
        await pilot.press("space")
        await pilot.pause()
        assert "+ The horn fuse holder was wet" in flat(page_text(app))
        await at_sentence(app, pilot, "48")
        await pilot.press("enter")
        await pilot.pause()
        box = app.screen.query_one(WordsBox)
        assert box.text.endswith("The horn fuse holder was wet.")
        box.load_text("The horn ground strap was at 48 ohms, and the horn fuse holder was wet.")
        await pilot.press("enter")
        await pilot.pause()
        (kept,) = ticket_of(app.shop, 1).rewordings
        assert [one.original for one in kept.merges] == ["The horn fuse holder was wet."]
        assert len(app.screen.pairs.sentences) == before - 1  # type: ignore[attr-defined]
        await at_sentence(app, pilot, "We know this")
        await pilot.press("tab", "space")
        await pilot.pause()
        assert any(line.startswith(" +") for line in page_text(app, "#entries").split("\n"))


async def test_words_whose_ground_changed_are_shown_as_such_and_can_be_taken_away(database: Path) -> None:
    async with story(database, (80, 40)) as (app, pilot):
        await at_sentence(app, pilot, "48")
        await pilot.press("enter")
        app.screen.query_one(WordsBox).load_text("The horn ground strap stood at 48 ohms; up to 0.5 ohms is normal.")
        await pilot.press("enter")
        await pilot.pause()
        assert ticket_of(app.shop, 1).rewordings
        settled = understand(app.shop, ticket_of(app.shop, 1), "found: horn ground strap resistance 47 ohm (max 0.5)")
        edit_entry(app.shop, 1, 2, settled[0].draft.fact)
        app.screen.changed_elsewhere()  # type: ignore[attr-defined]
        await pilot.pause()
        assert "what it rests on has changed" in flat(page_text(app))
        await at_sentence(app, pilot, "The horn ground strap stood at 48")
        await pilot.press("alt+x")
        await pilot.pause()
        assert not ticket_of(app.shop, 1).rewordings


async def test_language_and_measures_are_one_key_each(database: Path) -> None:
    async with story(database) as (app, pilot):
        add_lines(app.shop, 1, "found: front brake disc thickness 25.4 mm (min 22)")
        await pilot.press("alt+m")
        await pilot.pause()
        assert "measures US" in page_text(app, "#top")
        assert "(1.000 in)" in flat(page_text(app)), (
            "25.4 mm are one inch exactly (international yard and pound agreement)"
        )
        await pilot.press("alt+m", "alt+m", "alt+l")
        await pilot.pause()
        assert "in Spanish" in page_text(app, "#top")
        assert "Lo que" in page_text(app)


@pytest.mark.parametrize(
    ("form", "head"), [pytest.param("pdf", b"%PDF-", marks=pytest.mark.slow), ("html", b"<!DOCTYPE html>")]
)
async def test_the_whole_copy_is_written_in_every_form(database: Path, tmp_path: Path, form: str, head: bytes) -> None:
    target = tmp_path / "copy"
    async with story(database) as (app, pilot):
        await pilot.press("alt+w")
        await pilot.pause()
        for name, text in (("form", form), ("file", str(target))):
            screen_of(app, WriteScreen).control(name).put(text)
            await pilot.pause()
        await pilot.press("ctrl+s")
        await pilot.pause()
    assert target.read_bytes()[: len(head)].lower() == head.lower()


async def test_an_invoice_is_written_once_the_ticket_is_signed_and_the_story_leads_to_signing(
    database: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with story(database) as (app, pilot):
        await pilot.press("alt+w")
        await pilot.pause()
        form = screen_of(app, WriteScreen)
        form.control("what").put("invoice")
        await pilot.pause()
        assert form.typed("file") == "invoice-1.txt"
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert "An invoice is of a signed ticket" in form.answered
        assert not (tmp_path / "invoice-1.txt").exists(), "and no number was given"
        why = {gap.id: "a test" for gap in unanswered(app.shop, 1)}
        sign_ticket(app.shop, 1, overruled=why)
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert "0001" in (tmp_path / "invoice-1.txt").read_text(encoding="utf-8")
    async with story(database) as (app, pilot):
        await pilot.press("f12")
        await pilot.pause()
        await until(pilot, lambda: "Not yet" in screen_text(app) or isinstance(app.screen, SignScreen))


async def test_other_measures_do_not_make_words_look_outdated(database: Path) -> None:
    async with story(database, (80, 40)) as (app, pilot):
        add_lines(app.shop, 1, "found: front brake disc thickness 21.4 mm (min 22)")
        app.screen.changed_elsewhere()  # type: ignore[attr-defined]
        await at_sentence(app, pilot, "21.4")
        await pilot.press("enter")
        app.screen.query_one(WordsBox).load_text("The front brake disc was 21.4 mm thick; at least 22 mm is required.")
        await pilot.press("enter")
        await pilot.pause()
        assert "in the words of K. Orlo" in flat(page_text(app))
        await pilot.press("alt+m")
        await pilot.pause()
        assert "has changed" not in flat(page_text(app))
        await at_sentence(app, pilot, "21.4")
        await pilot.press("enter")
        await pilot.pause()
        assert not app.screen.has_class("rewording")
        assert "the shop's own measures" in notices(app)
