"""Copies: made and checked, kept by count, put back without writing over anything, and what is lost by it is said."""

import contextlib
from datetime import timedelta
from pathlib import Path

import pytest

from support.clock import Clock
from ticket.cli.main import main
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import audit_shop, kept_verdicts
from ticket.shop.rolling_copies import copy_of_day
from ticket.shop.settings import flaw, put
from ticket.store import driver


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TICKET_NOW", "2026-03-02T14:10:00+00:00")
    made = tmp_path / "shop" / "shop.db"
    with Shop.open(made, "K. Orlo", now=Clock()) as shop:
        add_lines(shop, new_ticket(shop), "says: fan roars")
    monkeypatch.setenv("TICKET_DB", str(made))
    return made


def more(path: Path, *lines: str) -> int:
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop)
        add_lines(shop, number, "\n".join(lines) or "says: horn is silent")
        return number


def test_copies_are_named_by_their_head_and_kept_by_count(path: Path, tmp_path: Path) -> None:
    copies = tmp_path / "copies"
    copies.mkdir()
    (copies / "notes-2026-03-02-r1-abcdef.db").write_text("another's")
    for _ in range(4):
        more(path)
        assert main(["backup", str(copies), "--keep", "2"]) == 0
    assert main(["backup", str(copies), "--keep", "2"]) == 0, "nothing new: the copy that is there stays"
    own = sorted(
        (one.name for one in copies.iterdir() if one.name.startswith("shop-")), key=lambda name: (len(name), name)
    )
    assert len(own) == 2
    head = audit_shop(path).head
    assert own[-1] == f"shop-2026-03-02-r{head.partition('-')[0]}-{head.partition('-')[2][:6]}.db"
    assert (copies / "notes-2026-03-02-r1-abcdef.db").exists()
    assert all((copies / name).stat().st_mode & 0o077 == 0 for name in own)


def test_a_damaged_shop_is_not_copied_and_no_copy_goes(path: Path, tmp_path: Path) -> None:
    copies = tmp_path / "copies"
    copies.mkdir()
    assert main(["backup", str(copies), "--keep", "1"]) == 0
    before = sorted(copies.iterdir())
    more(path)
    with contextlib.closing(driver.sqlite3.connect(str(path), isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER journal_fix")
        connection.execute("UPDATE journal SET at = '2026-01-01T00:00:00.000Z' WHERE seq = 2")
    assert main(["backup", str(copies), "--keep", "1"]) == 2
    assert sorted(copies.iterdir()) == before


def test_a_copy_is_put_back_beside_what_stood_there(
    path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = tmp_path / "copy.db"
    assert main(["backup", str(copy)]) == 0
    lost = more(path)
    head = audit_shop(path).head
    capsys.readouterr()
    assert main(["restore", str(copy)]) == 2
    told = capsys.readouterr().err
    assert "2 actions on tickets 2 would be lost. Nothing was changed." in told
    assert audit_shop(path).head == head
    assert main(["restore", str(copy), "--aside"]) == 0
    assert audit_shop(path.with_name("shop.db.aside-1")).head == head
    whole = audit_shop(path, deep=True)
    assert whole.ok
    assert any("put a copy back that ended at row" in one and "were lost" in one for one in whole.remarks)
    assert more(path) == lost + 1, "a number that may stand on a paper is not given again"
    (verdict,) = kept_verdicts(path, [head])
    assert "lies in what the restore of" in verdict.says
    assert not verdict.ok


def test_nothing_is_put_back_while_another_terminal_is_open(
    path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = tmp_path / "copy.db"
    assert main(["backup", str(copy)]) == 0
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        assert shop.store.numbers() == [1]
        assert main(["restore", str(copy), "--aside"]) == 2
        assert "is open at another terminal" in capsys.readouterr().err
        add_lines(shop, 1, "note: goes on")
    assert audit_shop(path, deep=True).ok
    assert sorted(one.name for one in path.parent.iterdir() if "aside" in one.name) == []


def test_a_copy_that_does_not_prove_itself_is_refused(
    path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = tmp_path / "copy.db"
    assert main(["backup", str(copy)]) == 0
    with contextlib.closing(driver.sqlite3.connect(str(copy), isolation_level=None)) as connection:
        connection.execute("UPDATE person SET name = 'Bo Karst'")
    assert main(["restore", str(copy), "--to", str(tmp_path / "new" / "shop.db")]) == 2
    assert "does not prove itself" in capsys.readouterr().err
    assert not (tmp_path / "new").exists()
    assert main(["restore", str(tmp_path / "nothing.db")]) == 2


def test_the_setting_makes_one_copy_a_day_and_keeps_so_many(path: Path, tmp_path: Path) -> None:
    copies = tmp_path / "copies"
    copies.mkdir()
    clock = Clock()
    with Shop.open(path, "K. Orlo", now=clock) as shop:
        assert copy_of_day(shop) == "", "nobody asked for copies"
        put(shop, "setting/copies", f"{copies}, 2")
        for _ in range(4):
            assert copy_of_day(shop) == ""
            assert copy_of_day(shop) == "", "one a day"
            clock.at += timedelta(days=1)
            new_ticket(shop)
    own = sorted(one.name for one in copies.iterdir())
    assert [name[:15] for name in own] == ["shop-2026-03-04", "shop-2026-03-05"]
    assert all(audit_shop(copies / name).ok for name in own)


def test_a_copy_that_cannot_be_made_is_told_and_stops_nothing(path: Path, tmp_path: Path) -> None:
    copies = tmp_path / "copies"
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        put(shop, "setting/copies", str(copies))
        assert copy_of_day(shop).startswith("There is no copy of today: no such file or directory.")
        copies.mkdir()
        for text in ("copies, 3", f"{copies}, 0", f"{copies}, x", f"{copies}, 1000"):
            assert flaw(shop, "setting/copies", text), text
        with contextlib.closing(driver.sqlite3.connect(str(path), isolation_level=None)) as connection:
            connection.execute("DROP TRIGGER journal_fix")
            connection.execute("UPDATE journal SET at = '2026-01-01T00:00:00.000Z' WHERE seq = 2")
        assert "keep older backups" in copy_of_day(shop)
    assert not list(copies.iterdir())


def test_the_copies_of_another_shop_stay_in_the_same_folder(path: Path, tmp_path: Path) -> None:
    copies = tmp_path / "copies"
    copies.mkdir()
    with Shop.open(tmp_path / "other" / "shop.db", "K. Orlo", now=Clock()) as other:
        add_lines(other, new_ticket(other), "says: horn is silent")
        other.store.backup(copies / "shop-2026-03-01-r3-abcdef.db")
    for _ in range(2):
        more(path)
        assert main(["backup", str(copies), "--keep", "1"]) == 0
    assert len(list(copies.iterdir())) == 2
    assert (copies / "shop-2026-03-01-r3-abcdef.db").exists()


def test_ticket_new_makes_the_copy_of_the_day(path: Path, tmp_path: Path) -> None:
    copies = tmp_path / "copies"
    copies.mkdir()
    assert main(["shop", "copies", f"{copies}, 3"]) == 0
    assert main(["new"]) == 0
    assert len(list(copies.iterdir())) == 1
