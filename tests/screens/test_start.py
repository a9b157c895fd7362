"""The first run: no database yet; four answers start a shop, one key shows the demo; the look is seen at once."""

from functools import partial
from pathlib import Path

import pytest
from textual.widgets import Input

from support.clock import Clock
from support.screens_desk import DAY, flat, page_text, screen_of, until
from ticket.machine.environment import person_name, told_look
from ticket.screens.app import TicketApp, run
from ticket.screens.jobs_screen import JobsScreen
from ticket.screens.long_page import LongPage
from ticket.screens.start_screen import StartScreen
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import add_lines
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of


def app_in(path: Path) -> TicketApp:
    door = partial(Shop.open, path, person_name(), now=Clock(DAY))
    return TicketApp(path, partial(door, create=False), partial(door, create=True))


@pytest.mark.parametrize("size", [(80, 24), pytest.param((120, 40), marks=pytest.mark.slow)])
async def test_four_answers_start_a_shop(tmp_path: Path, size: tuple[int, int]) -> None:
    path = tmp_path / "folder" / "shop.db"
    app = app_in(path)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        screen_of(app, StartScreen)
        assert not path.exists(), "looking writes nothing"
        await pilot.press(*"Wrenfold", "enter")
        app.screen.query_one("#field-person", Input).value = " "
        await pilot.press("ctrl+s")
        await until(pilot, lambda: "Starting" not in str(app.screen.query_one("#why").render()))
        screen = screen_of(app, StartScreen)  # said what is wrong, kept what was typed
        assert not path.parent.exists(), "an answer that cannot be makes no shop"
        screen.control("person").put(" Mira [/x] Sund ")
        await pilot.press("enter", "space")
        assert screen.typed("distance") == "km", "what is chosen is never typed"
        await pilot.press("ctrl+s")
        await pilot.pause(0.3)
        screen_of(app, JobsScreen)
        assert "Ctrl+N opens the first one" in flat(page_text(app))
        assert (app.shop.settings.shop, app.shop.settings.distance) == ("Wrenfold", "km")
        assert app.shop.person == "Mira [/x] Sund"
        await pilot.press("ctrl+n", "ctrl+s")
        await pilot.pause()
        screen_of(app, TicketScreen)
        add_lines(app.shop, 1, "found: lamp dark")
        assert ticket_of(app.shop, 1).entries[0].person == "Mira [/x] Sund"
        app.close_shop()
    assert person_name() == "Mira [/x] Sund", "nobody tells a name twice"
    assert person_name("Dov Ashgrave") == "Dov Ashgrave"


async def test_an_empty_file_is_started_like_a_missing_one(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    path.touch()
    app = app_in(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        screen_of(app, StartScreen)
        assert str(path) in " ".join(str(app.screen.query_one("#why").render()).split()).replace(" ", "")
        await pilot.press("ctrl+s")
        await pilot.pause(0.3)
        screen_of(app, JobsScreen)
        app.close_shop()
    assert path.stat().st_size


@pytest.mark.parametrize("opened", [False, True], ids=["before it is opened", "while it is open"])
async def test_a_shop_that_vanished_is_not_made_again_by_the_screens(tmp_path: Path, *, opened: bool) -> None:
    path = tmp_path / "shop.db"
    app = app_in(path)
    Shop.open(path, "K. Orlo", now=Clock(DAY)).close()
    async with app.run_test(size=(80, 24)) as pilot:
        if opened:
            assert app.shop.store.numbers() == []
        path.unlink()
        await until(pilot, lambda: app.return_code is not None)
        app.close_shop()
    assert app.return_code == 2
    assert not path.exists()


async def test_the_demo_is_one_key_away_and_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    app = app_in(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: bool(app.screen.query("#field-jobs")))
        await pilot.press("escape", "up", *["down"] * 6, "space", "ctrl+s")
        await until(pilot, lambda: isinstance(app.screen, JobsScreen))
        await until(pilot, lambda: any(1020 in page.keys for page in app.screen.query("#page").results(LongPage)))
        folder = app.database.parent
        await pilot.press(*"1020", "enter")
        await until(pilot, lambda: isinstance(app.screen, TicketScreen))
        assert screen_of(app, TicketScreen).number == 1020
        app.close_shop()
    assert not folder.exists()
    assert not path.exists()


async def test_where_nothing_may_be_written_it_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    path = tmp_path / "file" / "shop.db"
    app = app_in(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("ctrl+s")
        await pilot.pause()
        screen_of(app, StartScreen)
        assert "cannot be" in str(app.screen.query_one("#why").render())
        app.close_shop()


async def test_a_fault_on_the_screens_reaches_the_edge_that_tells_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing of it is painted on the terminal: a trace tells nobody what to do, and may name a customer."""

    def breaks(app: TicketApp) -> None:
        app._handle_exception(RuntimeError("Ada Fenn"))

    monkeypatch.setattr(TicketApp, "run", breaks)
    with pytest.raises(RuntimeError):
        run(tmp_path / "shop.db", partial(Shop.open, tmp_path / "shop.db"))
    assert "Ada" not in "".join(capsys.readouterr())


async def test_the_look_that_is_chosen_is_seen_at_once_and_kept(tmp_path: Path) -> None:
    app = app_in(tmp_path / "shop.db")
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: bool(app.screen.query("#field-colours")))
        before = app.inks
        screen = screen_of(app, StartScreen)
        screen.control("colours").put("light" if not before.name.startswith("light") else "dark")
        await pilot.pause()
        assert app.inks.name != before.name
        screen.control("signs").put("letters")
        await pilot.pause()
        assert app.inks.letters
        assert told_look()["TICKET_SIGNS"] == "letters"
        app.close_shop()
