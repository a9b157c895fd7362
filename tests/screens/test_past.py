"""Past jobs on the screen: found while typing, counted, read beside the ticket in hand, copied from."""

from contextlib import suppress
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from support.screens_desk import DAY, demo_desk, flat, page_text, screen_of, until
from ticket.assist.copied_entry import carried
from ticket.job.errors import InputError
from ticket.job.kinds import Did, Later, Note
from ticket.job.text import one_line
from ticket.job.values import Due, Quantity, Ref
from ticket.past.counts import count
from ticket.past.intervals import wilson
from ticket.past.turned_out import Outcome
from ticket.screens.long_page import LongPage
from ticket.screens.page import Page
from ticket.screens.past_found import FoundScreen
from ticket.screens.past_rows import (
    SORTS,
    columns_for,
    count_rows,
    empty_rows,
    in_order,
    job_row,
    preview_rows,
    stressed,
    was_rows,
)  # fmt: skip
from ticket.screens.past_screen import PastScreen
from ticket.screens.prompt import Prompt
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import copy_entry, undo
from ticket.shop.opening import Shop
from ticket.shop.past import Results, live_query, search, what_it_was
from ticket.shop.reading import ticket_of
from ticket.store.briefs import Brief


@given(st.text(), st.text(), st.text(max_size=5), st.sampled_from((40, 60, 76, 80, 118)))
def test_a_found_job_fits_in_one_literal_line(vehicle: str, cause: str, word: str, width: int) -> None:
    job = Brief(7, "open", DAY, vehicle, vehicle, "9 mi", (("P0562", "16"),), (cause,), (cause,), cause)
    results = Results(1, (job,), count([job], [DAY.date()]), {7: 9}, (word,))
    found = (job_row(job, results, width), *preview_rows(job, results, width))
    for row in (*found, *count_rows(results, width), *empty_rows(vehicle, Results(), width)):
        assert row.text == one_line(row.text)
        assert cell_len(row.text) <= max(width, 60)


@pytest.mark.parametrize("width", [60, 80, 110, 120, 200])
def test_past_jobs_stand_in_columns(width: int) -> None:
    columns = columns_for(width)
    assert all(left.end < right.start for left, right in pairwise(columns))
    assert columns[-1].end < width
    first = Brief(7, "signed", DAY, "Corvane Alder", "", "9 mi", (), ("seal passes",), ("seal replaced",), "roars")
    second = replace(first, number=8, causes=(), vehicle="Belter Finch")
    results = Results(2, (first, second), came_back={7: 9})
    assert "« 9" in job_row(first, results, width).text
    assert "not found" in job_row(second, results, width).text
    assert "! " not in job_row(first, results, width).text
    over = replace(first, over=True, total=28781, billed=28500, agreed=9000, base="before tax")
    assert "! seal" in job_row(over, results, width).text
    head = preview_rows(over, results, 120)[0].text
    assert "285.00 of 90.00 agreed (before tax), 195.00 above what was agreed" in head
    assert "agreed" not in preview_rows(replace(over, over=False, billed=None), results, 120)[0].text
    assert [one.number for one in in_order(results.jobs, "vehicle", {})] == [8, 7]
    assert [one.number for one in in_order(results.jobs, "cause", {})] == [7, 8]
    assert all(len(in_order(results.jobs, sort, {7: 9})) == 2 for sort in SORTS)


@given(st.text(), st.lists(st.text(max_size=4), max_size=3))
def test_stressing_words_loses_nothing(text: str, words: list[str]) -> None:
    assert "".join(span.text for span in stressed(text, words)) == text


@given(st.text(max_size=60))
def test_any_typed_text_is_an_answerable_query(text: str) -> None:
    with suppress(InputError):  # a date that is none
        assert live_query(text).limit


def test_the_last_word_may_be_a_beginning(demo: Path) -> None:
    with Shop.open(demo, "K. Orlo") as shop:
        assert {job.number for job in search("alternat", shop).jobs} >= {1015}
        assert search("alternat ", shop).jobs == (), "a space behind it ends the word"
        found = search("P0455", shop)
        assert found.came_back == {1006: 1010}
        assert found.counts.causes == (("cracked purge hose at the canister", 1), ("fuel cap does not seal", 1))
        assert search("since:nonsense", shop).problem
        assert search("", shop).total == 23


async def test_from_a_ticket_its_code_is_looked_for_and_a_job_is_read_beside_it(demo: Path) -> None:
    async with demo_desk(demo, (120, 40)) as (app, pilot):
        app.open_ticket(1023)
        await pilot.pause()
        ticket = screen_of(app, TicketScreen)
        await until(pilot, lambda: "P0562-16 before 3 finished jobs" in flat(page_text(app, "#story")))
        await pilot.press("ctrl+f")
        await pilot.pause()
        screen_of(app, PastScreen)
        await until(pilot, lambda: bool(app.screen.query_one("#page", LongPage).keys))
        assert app.screen.query_one("#page", LongPage).keys == [1019, 1015, 1002]
        beside = flat(page_text(app, "#counts"))
        assert "Codes: P0562 3" in beside
        assert "With sub-code: P0562-16 3" in beside
        assert "no cause stated" not in beside, "the ticket in hand is no past job of itself"
        await pilot.press("enter")
        await pilot.pause()
        screen_of(app, FoundScreen)
        assert "Your ticket 1023" in page_text(app, "#own")
        shown = app.screen.query_one("#page", Page)
        offer = next(e.no for e in ticket_of(app.shop, 1019).living if e.kind == "offer")
        finding = next(e for e in ticket_of(app.shop, 1019).living if e.kind == "found" and e.fact.run)  # type: ignore[attr-defined]
        shown.choose(offer)
        before = len(ticket_of(app.shop, 1023).entries)
        await pilot.press("enter")
        await pilot.pause()
        *_, copy, remark = ticket_of(app.shop, 1023).entries
        assert len(ticket_of(app.shop, 1023).entries) == before + 2
        assert (copy.kind, remark.kind, remark.shop_only) == ("offer", "note", True)
        assert isinstance(remark.fact, Note)
        assert remark.fact.text.startswith(f"copied from 1019/{offer}: ")
        assert copy.concern
        assert f"copied from 1019/{offer}" in flat(page_text(app, "#own"))
        shown.choose(finding.no)
        await pilot.press("enter")
        await pilot.pause()
        assert len(ticket_of(app.shop, 1023).entries) == before + 2, "a reading of another vehicle is never taken over"
        await pilot.press("escape", "escape")
        await pilot.pause()
        assert app.screen is ticket
        line = app.screen.query_one(Prompt).value
        assert line.startswith("found: ")
        assert finding.fact.run.values[0].number not in line.partition("(")[0]  # type: ignore[attr-defined]


async def test_on_a_small_screen_the_counts_are_one_key_away(demo: Path) -> None:
    async with demo_desk(demo) as (app, pilot):
        await pilot.press("ctrl+f")
        await pilot.pause()
        await until(pilot, lambda: bool(app.screen.query_one("#page", LongPage).keys))
        await pilot.press(*"tensio")
        await until(pilot, lambda: app.screen.query_one("#page", LongPage).keys == [1019])
        assert not app.screen.query_one("#counts").display
        await pilot.press("tab")
        await pilot.pause()
        assert app.screen.query_one("#counts").display
        assert "Turned out to be: worn belt tensioner" in flat(page_text(app, "#counts"))
        await pilot.press("tab", "enter")
        await pilot.pause()
        assert "Read only" in page_text(app, "#top")
        await pilot.press("escape")
        await pilot.pause()
        app.screen.query_one(Prompt).value = "[/x] nothing like it"
        await until(pilot, lambda: "No job here fits “[/x] nothing like it”" in flat(page_text(app)))


def test_what_belongs_to_the_other_job_stays_there(demo: Path) -> None:
    assert carried(Did(text="replace belt", hours="0.5", refs=(Ref(3),), by="Jory Pellam")) == Did(
        text="replace belt", hours="0.5"
    )
    waits = Later(text="seal", date="2026-01-01", due=Due(time=Quantity("2", "months")), answer="gone")
    assert carried(waits) == Later(text="seal", due=Due(time=Quantity("2", "months")))
    with Shop.open(demo, "K. Orlo") as shop:
        kinds = set()
        for number in shop.store.numbers():
            for entry in ticket_of(shop, number).living:
                if number == 1023 or entry.kind in kinds:
                    continue
                kinds.add(entry.kind)
                if entry.kind in ("says", "told"):
                    with pytest.raises(InputError):
                        copy_entry(shop, number, entry.no, 1023)
                    continue
                copied = copy_entry(shop, number, entry.no, 1023)
                assert bool(copied.line) == (entry.kind in ("code", "found", "proof"))
                if copied.number:
                    made = ticket_of(shop, 1023).entry(copied.number)
                    assert made is not None
                    assert made.kind == ("maybe" if entry.kind in ("cause", "ruled") else entry.kind)
                    undo(shop, 1023)
        assert kinds >= set("says code found maybe ruled cause offer did used later told proof".split())
        assert shop.store.audit(deep=True).ok


def causes_of(*found: tuple[str, int, int]) -> tuple[int, tuple[Outcome, ...]]:
    """Finished jobs and their causes: text, how many, how many of them came back."""
    whole = sum(many for _, many, _ in found)
    made = (Outcome(t, tuple(range(n)), tuple(range(back)), wilson(n, whole)) for t, n, back in found)
    return whole, tuple(made)


def test_what_the_jobs_were_is_drawn_on_one_scale_from_five_jobs_on() -> None:
    was = causes_of(("worn belt", 9, 1), ("corroded ground cable", 5, 0))
    text = [row.text for row in was_rows(*was, 80, 6)]
    assert all(cell_len(line) <= 80 for line in text)
    assert text[1].split() == "What it was of 14 95 % range of the share came back".split()
    assert text[2].split()[:3] == ["worn", "belt", "9"]
    assert text[2].endswith("1 of 9")
    assert text[2].index("●") > text[3].index("●"), "nine of fourteen lie farther right than five"
    assert text[4].strip() == "0          50      100 %"
    few = [row.text for row in was_rows(*causes_of(("worn belt", 3, 0)), 80, 6)]
    assert "range" not in few[1]
    assert few[2].split() == "worn belt 3 0 of 3".split()
    assert was_rows(*was, 60, 6) == [], "a narrow window has no room for it"
    assert len(was_rows(*was, 80, 4)) == 4


def test_the_causes_of_what_was_found_are_counted_as_the_shop_calls_them(demo: Path) -> None:
    with Shop.open(demo, "K. Orlo") as shop:
        jobs, causes = what_it_was(shop, search("P0562", shop).jobs)
        assert (jobs, [len(one.jobs) for one in causes]) == (3, [1, 1, 1])


async def test_a_field_is_completed_behind_the_search_and_taken_with_an_arrow(demo: Path) -> None:
    async with demo_desk(demo, (120, 40)) as (app, pilot):
        app.push_screen(PastScreen())
        await pilot.pause()
        await pilot.press(*"fan ov")
        prompt = screen_of(app, PastScreen).query_one(Prompt)
        await pilot.press("right")
        assert prompt.value == "fan over:"
        await pilot.press("right")
        assert prompt.value == "fan over:yes"
        await pilot.press("right")
        assert prompt.value == "fan over:yes"
