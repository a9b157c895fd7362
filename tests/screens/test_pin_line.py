"""PINs on the screens: one line at the foot, and screens that lock themselves."""

from functools import partial
from pathlib import Path

import pytest
from textual.widgets import Input, Static

from support.clock import Clock
from support.pins import PIN, make_cheap, with_pin
from ticket.screens.app import TicketApp
from ticket.screens.lock_screen import LockScreen
from ticket.screens.pin_line import PinLine, TellLine
from ticket.screens.settings_screen import SettingsScreen
from ticket.screens.sign_screen import SignScreen
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of
from ticket.shop.settings import put


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    make_cheap(monkeypatch)


@pytest.fixture
def number(database: Path) -> int:
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        made = new_ticket(shop)
        add_lines(shop, made, "says: horn is silent\nfound: horn fuse good")
        with_pin(shop)
        return made


def app_of(database: Path) -> TicketApp:
    return TicketApp(database, partial(Shop.open, database, "K. Orlo", now=Clock()))


def top(app: TicketApp) -> object:
    """The screen on top, of which nothing is known."""
    return app.screen


def told(app: TicketApp) -> str:
    return str(app.screen.query_one("#told", Static).content)


async def test_signing_asks_in_one_line_and_goes_on_behind_it(database: Path, number: int) -> None:
    app = app_of(database)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause(0.3)
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press("f12", "f12")
        await pilot.pause()
        assert isinstance(top(app), SignScreen)
        for field in app.screen.query(Input):
            field.value = "walked in"
        await pilot.press("f12")
        await pilot.pause()
        assert isinstance(top(app), PinLine)
        assert told(app).startswith("Signing needs the PIN.")
        await pilot.press(*"000001", "enter")
        await pilot.pause()
        assert told(app) == "That is not the PIN of K. Orlo. 2 more before a wait."
        assert app.screen.query_one(Input).value == ""
        assert not any("000001" in str(part) for part in app.screen.query(Static).results(Static))
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(top(app), SignScreen), "what was typed stands as it was"
        assert all(field.value == "walked in" for field in app.screen.query(Input))
        await pilot.press("f12")
        await pilot.pause()
        await pilot.press(*PIN, "enter")
        await pilot.pause(0.2)
        assert isinstance(top(app), TicketScreen)
        assert ticket_of(app.shop, number).seal
        assert app.shop.store.proofs.name_checked(number)
        app.close_shop()


async def test_a_new_pin_is_typed_twice_and_its_code_stays_until_it_is_written_down(database: Path) -> None:
    app = app_of(database)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause(0.3)
        app.push_screen(SettingsScreen(app.shop))
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, SettingsScreen)
        while screen.page().key != "pin/K. Orlo":
            await pilot.press("down")
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(top(app), PinLine)
        await pilot.press(*"11", "enter")
        await pilot.pause()
        assert told(app).startswith("A PIN has 4 to 12")
        await pilot.press(*PIN, "enter")
        await pilot.pause()
        await pilot.press(*"482916", "enter")
        await pilot.pause()
        assert told(app).startswith("They are not the same")
        await pilot.press(*PIN, "enter")
        await pilot.pause()
        assert isinstance(top(app), TellLine)
        assert "Recovery code: " in str(app.screen.query_one(Static).content)
        await pilot.press("enter")
        await pilot.pause()
        assert app.screen is screen
        assert list(app.shop.gate.known().promises) == ["K. Orlo"]
        app.close_shop()


async def test_screens_nobody_touched_are_locked_and_come_back_as_they_were(
    database: Path, number: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = app_of(database)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause(0.3)
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press(*"found: half a li")
        screen = app.screen
        monkeypatch.setattr(app._idle, "_since", app._idle._since - 599)
        app.look()
        await pilot.pause()
        assert app.screen is screen
        app._idle._since -= 2
        app.look()
        app.look()
        await pilot.pause()
        assert isinstance(top(app), LockScreen)
        assert sum(isinstance(one, LockScreen) for one in app.screen_stack) == 1
        shown = "\n".join(str(strip.text) for strip in app.screen._compositor.render_strips())
        assert "horn" not in shown
        assert "half a li" not in shown
        await pilot.press(*"000001", "enter")
        await pilot.pause()
        assert told(app).startswith("That is not the PIN of K. Orlo")
        await pilot.press(*PIN, "enter")
        await pilot.pause()
        assert app.screen is screen
        assert app.screen.query_one("#prompt", Input).value == "found: half a li"
        app.close_shop()


async def test_without_pins_or_with_no_minutes_nothing_locks(database: Path) -> None:
    app = app_of(database)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause(0.3)
        shop = app.shop
        app._idle._since -= 100_000
        assert not app._idle.too_long(shop)
        with_pin(shop)
        assert app._idle.too_long(shop)
        shop.gate.ask = lambda _: PIN
        put(shop, "setting/lock_minutes", "0")
        assert not app._idle.too_long(shop)
        app.close_shop()
