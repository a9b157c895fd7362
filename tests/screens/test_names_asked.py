"""An auditor asks on the screens who customers are: shown where asked, told by the journal, hidden again by one key."""

import json
from pathlib import Path

import pytest
from textual.pilot import Pilot

from support.clock import Clock
from support.pins import PIN, make_cheap, with_pin
from support.screen import screen_text
from ticket.job.ticket import Customer, Header, Person, Vehicle
from ticket.screens.app import TicketApp
from ticket.screens.page import Page
from ticket.screens.pin_line import PinLine
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop, add_person
from ticket.shop.settings import set_pin
from ticket.store.driver import connect

AUDITOR = "Petra Quill"


@pytest.fixture
def filled(database: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two tickets of a named customer, the shop's people, nobody with a PIN."""
    monkeypatch.setenv("TICKET_NOW", "2026-03-02T14:10:00+00:00")
    monkeypatch.setenv("TICKET_PERSON", AUDITOR)
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        add_person(shop, Person(AUDITOR, "auditor"))
        for plate in ("GRN 04", "GRN 05"):
            number = new_ticket(
                shop, Header(Vehicle("Corvane Petrel", "", plate), Customer("Maren Oastley", "555-0112"))
            )
            add_lines(shop, number, "says: horn is silent\nfound: horn fuse good\nlater: horn pad; in 1 week")
    return database


def app_of(database: Path, person: str = AUDITOR) -> TicketApp:
    def opened() -> Shop:
        shop = Shop.open(database, person, now=Clock())
        shop.hide_from_auditor()
        return shop

    return TicketApp(database, opened)


def shown(app: TicketApp) -> str:
    return "\n".join(row.text for page in app.screen.query(Page) for row in page.rows)


def looks(database: Path) -> list[dict[str, object]]:
    connection = connect(database)
    try:
        rows = connection.execute("SELECT body FROM journal WHERE verb = 'look' ORDER BY seq").fetchall()
    finally:
        connection.close()
    return [{key: json.loads(body)[key] for key in ("tickets", "what")} for (body,) in rows]


async def press(pilot: Pilot[int], *keys: str) -> None:
    await pilot.press(*keys)
    await pilot.pause(0.3)


async def test_names_are_shown_where_asked_told_by_the_journal_and_hidden_again(filled: Path) -> None:
    app = app_of(filled)
    async with app.run_test(size=(140, 45)) as pilot:
        await pilot.pause(0.5)
        app.open_ticket(1)
        await press(pilot)
        assert "Oastley" not in shown(app)
        await press(pilot, "ctrl+r")
        assert "Maren Oastley" in shown(app)
        assert "the journal says that you asked" in app.told
        assert looks(filled) == [{"tickets": [1], "what": "screens"}]
        await press(pilot, "escape")
        assert "Oastley" in shown(app), "the list that stood below"
        app.open_ticket(2)
        await press(pilot)
        assert "Maren Oastley" in shown(app)
        assert looks(filled)[1:] == [{"tickets": [2], "what": "screens"}]
        rows = app.shop.store.audit().rows
        await press(pilot, *"found: x", "enter")
        assert app.shop.store.audit().rows == rows, "an auditor's screens change nothing, with names too"
        await press(pilot, "escape", "ctrl+r")
        assert "Oastley" not in shown(app)
        await press(pilot, "escape", "escape")
        assert app.screen.id == "_default" or getattr(app.screen, "subject", "") == "jobs"
        assert "Oastley" not in shown(app), "neither the list nor what it tells of the pointed job"
        assert len(looks(filled)) == 2
        assert app.fault is None
        app.close_shop()


async def test_an_auditor_is_shown_no_key_that_writes_and_is_refused_before_typing(filled: Path) -> None:
    app = app_of(filled)
    async with app.run_test(size=(140, 45)) as pilot:
        await pilot.pause(0.5)
        app.open_ticket(1)
        await press(pilot)
        keys = screen_text(app).splitlines()[-1]
        assert "past jobs" in keys
        assert [word for word in ("write", "undo", "retype", "call", "amend") if word in keys] == []
        opened = app.screen
        for key in ("ctrl+n", "f12", "f8"):
            await press(pilot, key)
            assert app.screen is opened, key
            assert app.told == "An auditor looks at this shop and changes nothing in it.", key
        await press(pilot, "ctrl+l")
        assert all(row.query("Field, Choice").first().disabled for row in app.screen.query("FieldRow"))
        app.close_shop()


async def test_lists_show_names_too_and_a_lock_hides_them(filled: Path) -> None:
    app = app_of(filled)
    async with app.run_test(size=(140, 45)) as pilot:
        await pilot.pause(0.5)
        for keys in (("f7",), ("ctrl+r",)):
            await press(pilot, *keys)
        assert "Maren Oastley" in shown(app)
        assert looks(filled) == [{"tickets": [], "what": "screens"}]
        app._unlocked(None)
        await press(pilot)
        assert "Oastley" not in shown(app)
        app.close_shop()


async def test_with_pins_asking_needs_the_auditors(filled: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    make_cheap(monkeypatch)
    with Shop.open(filled, "K. Orlo", now=Clock()) as shop:
        with_pin(shop)
    app = app_of(filled)
    async with app.run_test(size=(140, 45)) as pilot:
        await pilot.pause(0.5)
        await press(pilot, "ctrl+r")
        assert "has none" in app.told, "no PIN, no names"
        assert not looks(filled)
        app.close_shop()
    with Shop.open(filled, "K. Orlo", now=Clock()) as shop:
        shop.gate.ask = lambda _question: PIN
        set_pin(shop, AUDITOR, PIN)
    app = app_of(filled)
    async with app.run_test(size=(140, 45)) as pilot:
        await pilot.pause(0.5)
        await press(pilot, "ctrl+r")
        assert isinstance(app.screen, PinLine)
        await press(pilot, "escape")
        assert "Oastley" not in shown(app)
        await press(pilot, "ctrl+r")
        await press(pilot, *PIN, "enter")
        assert "Oastley" in shown(app)
        assert looks(filled) == [{"tickets": [], "what": "screens"}]
        app.close_shop()


async def test_whoever_sees_names_anyway_is_told_so(filled: Path) -> None:
    app = app_of(filled, "K. Orlo")
    async with app.run_test(size=(140, 45)) as pilot:
        await pilot.pause(0.5)
        await press(pilot, "ctrl+r")
        assert app.told == "Names are hidden from auditors alone: you see them."
        assert not looks(filled)
        app.close_shop()
