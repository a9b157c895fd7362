"""Rescue: rows out of damaged files prove themselves, and a whole shop comes out of the journal alone."""

import random
from pathlib import Path

import pytest

from support.clock import Clock
from ticket.cli.main import main
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.shop.changing import add_lines, new_ticket, sign_ticket
from ticket.shop.opening import Shop, set_setting
from ticket.shop.reading import audit_shop, unanswered
from ticket.store import driver
from ticket.store.erasable import MASK
from ticket.store.proof.salvaged_rows import salvage

TICKETS, SIZE = 40, 4096
LINES = """says: fan roars
code: P1A30-7B fan control, stored
found: LF pad 4.1 mm (min 3.0)
cause: worn belt
did: 1 h belt"""


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("rescue") / "shop.db"
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        set_setting(shop, "shop", "Fenn Motors")
        for number in range(TICKETS):
            header = Header(
                vehicle=Vehicle("Corvane Alder", plate=f"FEN-{number:03}"), customer=Customer(f"Ada {number}")
            )
            add_lines(shop, new_ticket(shop, header), LINES + f"\nnote: ticket {number} " + "with many words " * 400)
        sign_ticket(shop, 1, overruled={gap.id: "waits" for gap in unanswered(shop, 1)})
    return path


def rows(path: Path) -> int:
    return audit_shop(path).rows


def damage(whole: Path, tmp_path: Path, how: str, seed: int) -> Path:
    rng, raw = random.Random(seed), bytearray(whole.read_bytes())
    page = rng.randrange(1, len(raw) // SIZE) * SIZE
    if how == "a page of zeros":
        raw[page : page + SIZE] = bytes(SIZE)
    elif how == "noise":
        raw[page : page + 4 * SIZE] = rng.randbytes(min(4 * SIZE, len(raw) - page))
    elif how == "cut":
        del raw[int(len(raw) * rng.uniform(0.3, 0.95)) :]
    elif how == "no first page":
        raw[:SIZE] = bytes(SIZE)
    else:
        other = rng.randrange(1, len(raw) // SIZE) * SIZE
        raw[page : page + SIZE] = raw[other : other + SIZE]
    path = tmp_path / "damaged.db"
    path.write_bytes(raw)
    return path


@pytest.mark.slow
def test_every_row_of_a_whole_file_is_found_and_proved(whole: Path) -> None:
    found = salvage(whole)
    assert sorted(found.rows) == list(range(1, rows(whole) + 1))
    assert not found.unproved
    assert not found.missing
    held = driver.sqlite3.connect(str(whole)).execute("SELECT count(*) FROM identity").fetchone()[0]
    assert len(found.identities) == held


# The least share of rows that proved themselves over the seeds, and of tickets that came over.
FLOORS = {"a page of zeros": 0.9, "noise": 0.8, "cut": 0.15, "no first page": 0.99, "a page over another": 0.9}


@pytest.mark.parametrize("how", FLOORS)
def test_damaged_files_give_back_what_they_hold(whole: Path, tmp_path: Path, how: str) -> None:
    total = rows(whole)
    for seed in range(4):
        path = damage(whole, tmp_path, how, seed)
        found = salvage(path)
        share = (len(found.rows) + len(found.unproved)) / total
        assert share >= FLOORS[how], (how, seed, share)


@pytest.mark.slow
@pytest.mark.parametrize("how", ["no first page", "noise", "cut"])
def test_a_new_shop_is_made_and_audits_whole(
    whole: Path, tmp_path: Path, how: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TICKET_NOW", "2026-03-02T14:10:00+00:00")
    path = damage(whole, tmp_path, how, 1)
    before, new = path.read_bytes(), tmp_path / "new.db"
    code = main(["rescue", str(path), str(new)])
    told = capsys.readouterr().out
    assert code in (0, 1)
    assert path.read_bytes() == before
    assert audit_shop(new, deep=True).ok
    with Shop.open(new, "K. Orlo", now=Clock()) as shop:
        numbers = shop.store.numbers()
        assert len(numbers) >= TICKETS * FLOORS[how] * 0.8
        ticket = shop.store.ticket(numbers[-1])
        assert ticket.header.customer.name in (f"Ada {ticket.number - 1}", MASK)
        if how == "no first page":
            assert code == 0
            assert len(numbers) == TICKETS
            assert ticket.header.customer.name != MASK
            assert shop.settings.shop == "Fenn Motors"
            assert [entry.kind for entry in ticket.entries][:3] == ["says", "code", "found"]
        else:
            assert "Rows not found" in told or "May lack" in told or code == 0
    assert main(["rescue", str(path), str(new)]) == 2


def test_a_log_that_was_left_is_read_too(tmp_path: Path) -> None:
    import shutil

    folder = tmp_path / "shop"
    with Shop.open(folder / "shop.db", "K. Orlo", now=Clock()) as shop:
        add_lines(shop, new_ticket(shop), "says: horn is silent")
        for ending in ("", "-wal"):
            shutil.copy(folder / f"shop.db{ending}", tmp_path / f"left.db{ending}")
        total = shop.store.audit().rows
    assert len(salvage(tmp_path / "left.db").rows) == total


def test_what_does_not_come_over_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "shop.db"
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop)
        add_lines(shop, number, "says: horn is silent")
        sign_ticket(shop, number, overruled={gap.id: "waits" for gap in unanswered(shop, number)})
        for name in ("K. Orlo", "Mo Vale", "Mo Vale"):
            shop.store.proofs.pins.set(name, "a hash", "own", name)
    main(["rescue", str(path), str(tmp_path / "new.db")])
    assert "PINs (2) and keys (1) do not come over" in capsys.readouterr().out
    with Shop.open(tmp_path / "new.db", "K. Orlo", now=Clock()) as new:
        assert not new.gate.known()
        assert new.store.proofs.public_keys() == {}


def test_what_is_no_shop_is_said_in_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "text").write_bytes(b"no database at all" * 1000)
    for path in ("text", "missing"):
        assert main(["rescue", str(tmp_path / path), str(tmp_path / "new.db")]) == 2
        assert not (tmp_path / "new.db").exists()
    assert capsys.readouterr().err.count("\n") == 2
