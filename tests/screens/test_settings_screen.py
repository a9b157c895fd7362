"""What a shop may set: checked as it is typed, journaled when kept, and shown with who changed it last."""

import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.pilot import Pilot
from textual.widgets import Static

from support.clock import Clock
from ticket.job.case import Settings
from ticket.job.errors import TicketError
from ticket.machine.environment import LOOK, told_look
from ticket.money.prices import prices_document
from ticket.screens.app import TicketApp
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.settings_rows import compare_rows, settings_rows
from ticket.screens.settings_screen import CompareScreen, SettingsScreen
from ticket.shop import money
from ticket.shop import settings as setting_up
from ticket.shop.changing import new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of
from ticket.shop.settings import flaw, items, put

GOOD = [
    ("setting/shop", "Wrenfold [/x] Repair"),
    ("setting/paper", "A4"),
    ("setting/rules", "US-FL"),
    ("person/+", "Dov Ashgrave, writer"),
    ("rate/+", "general 95.00"),
    ("tax/+", "sales   tax 7.25  on part, fluid"),
    ("table/+", "bought parts: markup: 0 = 60, 50 = 40"),
    ("list/part_table", "bought parts"),
    ("list/quotes", "before tax"),
    ("term/+", "VGT = turbo with moving vanes"),
]
BAD = [
    ("setting/paper", "A5", "Letter, A4"),
    ("setting/comeback_days", "soon", "whole number"),
    ("setting/language", "xx", "choose one of"),
    ("setting/rules", "XX-1", "There are no local rules"),
    ("person/+", "Dov Ashgrave, boss", "is no role"),
    ("rate/+", "95.00", "Name the rate"),
    ("rate/+", "general dear", "an amount such as"),
    ("tax/+", "sales tax 7.25", "what it falls on"),
    ("tax/+", "sales tax 7.25 on wheels", "must be one of"),
    ("table/+", "t: markup: 50 = 40", "the first band starts at 0"),
    ("list/part_table", "none such", "no table"),
    ("term/+", "VGT", "Write the term"),
    ("file/prices", "/nowhere/at-all.json", "cannot be read"),
]


def values(shop: Shop) -> dict[str, str]:
    return {item.key: item.value for item in items(shop)}


def test_every_setting_has_an_item_and_every_good_line_is_kept(shop: Shop) -> None:
    import dataclasses

    assert {f"setting/{field.name}" for field in dataclasses.fields(Settings)} <= values(shop).keys()
    for key, typed in GOOD:
        assert flaw(shop, key, typed) == "", key
        put(shop, key, typed)
    now = values(shop)
    assert (now["setting/paper"], now["person/Dov Ashgrave"], now["rate/general"]) == ("A4", "writer", "95.00")
    assert (now["tax/sales tax"], now["list/part_table"]) == ("7.25 on part, fluid", "bought parts")
    assert now["table/bought parts"] == "markup: 0 = 60, 50 = 40"
    assert now["term/VGT"] == "turbo with moving vanes"
    assert money.pack(shop).id == "US-FL"
    assert setting_up.changes(shop)["paper"].by == "K. Orlo"
    assert shop.store.audit(deep=True).ok
    for key, item in now.items():
        if item and not key.startswith(("file/", "pin/")):
            assert flaw(shop, key, item) == "", f"what is shown for {key} can be typed again"


def test_what_will_not_do_is_one_sentence_and_changes_nothing(shop: Shop) -> None:
    before, events = values(shop), len(shop.store.history())
    for key, typed, reason in BAD:
        said = flaw(shop, key, typed)
        assert reason in said, (key, typed, said)
        assert "\n" not in said
        with pytest.raises(TicketError):
            put(shop, key, typed)
    assert values(shop) == before
    assert len(shop.store.history()) == events


def test_an_emptied_line_takes_a_rate_a_tax_a_table_and_a_term_away(shop: Shop) -> None:
    for key, typed in GOOD:
        put(shop, key, typed)
    for key in ("rate/general", "tax/sales tax", "table/bought parts", "term/VGT"):
        put(shop, key, "")
    assert not {"rate/general", "tax/sales tax", "table/bought parts", "term/VGT"} & values(shop).keys()
    assert money.prices(shop).part_table == "", "a table that is gone prices nothing"


def test_whole_files_are_taken_in_by_their_path(shop: Shop, tmp_path: Path) -> None:
    put(shop, "rate/+", "general 95.00")
    document = prices_document(money.prices(shop)) | {"currency": "USD"}
    (tmp_path / "prices.json").write_text(json.dumps(document))
    put(shop, "file/prices", str(tmp_path / "prices.json"))
    assert money.prices(shop).currency == "USD"
    (tmp_path / "codes.csv").write_text("code,plain,trade,area,source\nP1A30,fan fault,fan drive,powertrain,own\n")
    put(shop, "file/codes", str(tmp_path / "codes.csv"))
    assert "P1A30" in {row[0] for row in case_of(shop, new_ticket(shop)).codes}
    (tmp_path / "broken.json").write_text("{")
    assert "no JSON" in flaw(shop, "file/pack", str(tmp_path / "broken.json"))
    assert flaw(shop, "file/prices", str(tmp_path / "broken.json"))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40, deadline=None)
@given(st.sampled_from([key for key, _ in GOOD]), st.text(max_size=40))
def test_any_text_is_understood_or_refused_in_one_sentence(shop: Shop, key: str, typed: str) -> None:
    assert "\n" not in flaw(shop, key, typed)


@pytest.mark.parametrize("width", [20, 76, 116])
def test_rows_fit_and_show_hostile_names_literally(shop: Shop, width: int) -> None:
    for key, typed in GOOD:
        put(shop, key, typed)
    rows = settings_rows(items(shop), setting_up.changes(shop), ["Keys: none changed."], width)
    assert all(cell_len(row.text) <= width for row in rows)
    assert "[/x]" in " ".join(row.text for row in rows)
    packs = [money.find_pack(shop, identity) for identity in ("US-FL", "US-NY", "US-OH")]
    shown = compare_rows(packs, "US-FL", "400.00", width)
    assert all(cell_len(row.text) <= width for row in shown)
    order = [row.key for row in shown if row.key]
    # N.Y. Veh. & Traf. Law 398-d(2): nothing above; OAC 109:4-3-13(C): consent at ten per cent, so a cent less;
    # Fla. Stat. 559.909(1)(b): the greater of ten dollars and ten per cent.
    assert list(dict.fromkeys(order)) == ["US-NY", "US-OH", "US-FL"]
    assert "439.99" in " ".join(row.text for row in shown)
    assert "440.00" in " ".join(row.text for row in shown)


@asynccontextmanager
async def opened(database: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[tuple[TicketApp, Pilot[int]]]:
    app = TicketApp(database, partial(Shop.open, database, "K. Orlo", now=Clock()))
    async with app.run_test(size=size, notifications=True) as pilot:
        await pilot.pause(0.3)
        await pilot.press("alt+o")
        await pilot.pause()
        assert isinstance(app.screen, SettingsScreen)
        yield app, pilot
        app.close_shop()


def why(app: TicketApp) -> str:
    return str(app.screen.query_one("#why", Static).content)


@pytest.mark.parametrize("no_color", [False, True])
async def test_a_value_is_checked_as_typed_and_kept_by_enter(
    database: Path, monkeypatch: pytest.MonkeyPatch, no_color: bool
) -> None:
    if no_color:
        monkeypatch.setenv("NO_COLOR", "1")
    async with opened(database) as (app, pilot):
        page = app.screen.query_one("#page", Page)
        page.choose("setting/paper")
        await pilot.press("enter")
        await pilot.pause()
        prompt = app.screen.query_one(Prompt)
        assert prompt.value == "Letter"
        assert "one of: Letter, A4" in why(app)
        prompt.value = "A5"
        await pilot.pause()
        assert "must be one of" in why(app)
        await pilot.press("enter")
        await pilot.pause()
        assert app.shop.settings.paper == "Letter"
        prompt.value = "A4"
        await pilot.press("enter")
        await pilot.pause()
        assert app.shop.settings.paper == "A4"
        line = next(row.text for row in page.rows if row.key == "setting/paper")
        assert "A4" in line
        assert "K. Orlo" in line
        await pilot.press("enter", "x", "escape")
        await pilot.pause()
        assert app.shop.settings.paper == "A4", "Escape keeps nothing"
        assert isinstance(app.screen, SettingsScreen)


async def test_what_is_typed_is_shown_literally(database: Path) -> None:
    async with opened(database) as (app, pilot):
        app.screen.query_one("#page", Page).choose("setting/rules")
        await pilot.press("enter")
        await pilot.pause()
        app.screen.query_one(Prompt).value = "[/x] [red]"
        await pilot.pause()
        assert "'[/x] [red]'" in why(app)


async def test_the_rules_stand_side_by_side_with_their_standing(database: Path) -> None:
    async with opened(database, (120, 40)) as (app, pilot):
        await pilot.press("alt+v")
        await pilot.pause()
        assert isinstance(app.screen, CompareScreen)
        text = " ".join(" ".join(row.text for row in app.screen.query_one("#page", Page).rows).split())
        assert "Florida [US-FL]" in text
        assert "559.909" in text
        assert "Not legal advice" in text
        assert "(the shop's own choice)" in text


async def test_the_look_of_this_login_is_one_key_away_and_kept(database: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.delenv(LOOK, raising=False)
    async with opened(database) as (app, pilot):
        before = app.inks.name
        page = app.screen.query_one("#page", Page)
        for wanted in ("dark", "light"):
            page.choose("look/colours")
            await pilot.press("enter")
            await pilot.pause()
            assert app.inks.name == wanted
        assert before == "dark"
        assert told_look()[LOOK] == "light"
        page.choose("look/signs")
        await pilot.press("enter", "enter")
        await pilot.pause()
        assert app.inks.letters
        assert "letters" in "".join(row.text for row in page.rows)
    again = TicketApp(database, partial(Shop.open, database, "K. Orlo", now=Clock()))
    assert (again.inks.name, again.inks.letters) == ("light", True)
