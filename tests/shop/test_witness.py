"""Witnesses: signed rows told to files elsewhere, and what they show when a file's end was cut off."""

import json
import os
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from support.clock import Clock
from support.installed import Command
from ticket.cli.main import main
from ticket.job.errors import InputError
from ticket.machine import witness_file
from ticket.shop.changing import add_lines, amend_ticket, new_ticket, sign_ticket
from ticket.shop.opening import Shop, set_setting
from ticket.shop.reading import kept_verdicts, unanswered
from ticket.shop.settings import put


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    folder = tmp_path / "stick"
    folder.mkdir()
    return folder / "heads.jsonl"


@pytest.fixture
def shop(database: Path, stick: Path) -> Iterator[Shop]:
    with Shop.open(database, "K. Orlo", now=Clock()) as opened:
        set_setting(opened, "witness", [str(stick)])
        yield opened


def sign(shop: Shop) -> int:
    number = new_ticket(shop)
    add_lines(shop, number, "says: horn is silent")
    sign_ticket(shop, number, overruled={gap.id: "waits" for gap in unanswered(shop, number)})
    return number


def said(shop: Shop) -> tuple[str, ...]:
    """What somebody should hear about the last action."""
    return shop.told


def rows(stick: Path) -> list[int]:
    return [json.loads(line)["seq"] for line in stick.read_text(encoding="utf-8").splitlines()]


def test_every_signed_row_is_told_once_in_the_form_a_head_has(shop: Shop, stick: Path) -> None:
    amend_ticket(shop, sign(shop), "found: horn fuse good", "looked again")
    sign(shop)
    assert said(shop) == ()
    with shop.store._session.reading() as db:
        signed = [row[0] for row in db.execute("SELECT seq FROM signature ORDER BY seq").fetchall()]
    assert rows(stick) == signed
    assert len(signed) == 3
    assert stick.stat().st_mode & 0o777 == 0o600
    (verdict,) = kept_verdicts(shop.store.path, [str(stick)])
    assert (verdict.ok, "3 heads fit" in verdict.says) == (True, True)


def test_what_a_witness_missed_is_told_later_and_signing_goes_on(shop: Shop, stick: Path) -> None:
    sign(shop)
    stick.parent.rename(stick.parent.with_name("away"))
    sign(shop)
    assert len(said(shop)) == 1
    assert "cannot be told: no such file or directory" in said(shop)[0]
    stick.parent.with_name("away").rename(stick.parent)
    sign(shop)
    assert said(shop) == ()
    assert len(rows(stick)) == 3


def test_a_line_that_was_cut_off_takes_no_other_along(shop: Shop, stick: Path) -> None:
    sign(shop)
    whole = stick.read_bytes()
    stick.write_bytes(whole + whole[:100])
    sign(shop)
    lines = stick.read_bytes().split(b"\n")
    assert [bool(line) and line.endswith(b"}") for line in lines] == [True, False, True, False]


@pytest.mark.parametrize("what", ["pipe", "folder", "link"])
def test_what_is_no_plain_file_stops_no_work(shop: Shop, stick: Path, what: str) -> None:
    if what == "pipe":
        os.mkfifo(stick)
    elif what == "folder":
        stick.mkdir()
    else:
        stick.symlink_to("/dev/full")
    sign(shop)
    assert len(said(shop)) == 1
    assert shop.store.audit().ok


def test_a_witness_that_never_answers_is_waited_for_no_longer(monkeypatch: pytest.MonkeyPatch) -> None:
    import threading

    never = threading.Event()
    monkeypatch.setattr(witness_file, "_LIMIT", 0.01)
    with pytest.raises(InputError, match="does not answer"):
        witness_file.in_time(never.wait)
    never.set()


def test_an_older_copy_is_noticed_at_the_next_signing_and_by_the_audit(
    shop: Shop, database: Path, stick: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sign(shop)
    copy = tmp_path / "copy.db"
    shop.store.backup(copy)
    for _ in range(5):
        sign(shop)
    shop.close()
    for ending in ("-wal", "-shm"):
        database.with_name(database.name + ending).unlink(missing_ok=True)
    shutil.copyfile(copy, database)
    with Shop.open(database, "K. Orlo", now=Clock()) as again:
        before = stick.read_bytes()
        sign(again)
        assert len(said(again)) == 1
        assert "which this journal does not hold: its end was cut off, or an older copy was put back" in said(again)[0]
        assert stick.read_bytes() == before, "what it knows better is not written over"
    done = Command(tmp_path, dict(os.environ) | {"TICKET_DB": str(database)})("audit")
    assert done.returncode == 1
    assert "The last kept head that fits is of row" in done.stdout


def test_a_restore_that_was_journaled_is_told_and_the_witness_goes_on(
    shop: Shop, database: Path, stick: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sign(shop)
    copy = tmp_path / "copy.db"
    shop.store.backup(copy)
    sign(shop)
    lost = rows(stick)[-1]
    shop.close()
    assert main(["restore", str(copy), "--aside", "--db", str(database)]) == 0
    assert "an older copy was put back" not in capsys.readouterr().err
    with Shop.open(database, "K. Orlo", now=Clock(datetime(2190, 1, 1, tzinfo=UTC))) as again:
        assert sign(again) == 3
        assert said(again) == ()
        newest = again.store.proofs.head()
        assert newest is not None
        assert rows(stick)[-1] == newest.seq
        assert again.store.audit(deep=True).ok
    (told,) = (one.says for one in kept_verdicts(database, [str(stick)]) if not one.ok)
    assert told.startswith(f"Row {lost} lies in what the restore of ")


def test_rows_that_forget_are_signed_where_there_is_a_key(shop: Shop, stick: Path) -> None:
    number = sign(shop)
    assert main(["forget", str(number), "--yes", "--why", "asked for it", "--db", str(shop.store.path)]) == 0
    db = shop.store._session.db
    verb, key = db.execute("SELECT verb, json_extract(body, '$.key') FROM journal ORDER BY seq DESC LIMIT 1").fetchone()
    assert verb == "forget"
    assert key in shop.store.proofs.public_keys()
    assert shop.store.audit(deep=True).ok
    assert len(rows(stick)) == 2
    db.execute("DROP TRIGGER signature_keep")
    db.execute("DELETE FROM signature WHERE seq = (SELECT max(seq) FROM signature)")
    assert any("its signature is missing" in one.says for one in shop.store.audit().differences)


def test_a_witness_is_named_by_its_whole_path(shop: Shop, stick: Path) -> None:
    with pytest.raises(InputError, match="by its whole path"):
        put(shop, "setting/witness", "heads.jsonl")
    put(shop, "setting/witness", f"{stick}, {stick.with_name('b.jsonl')}")
    sign(shop)
    assert rows(stick) == rows(stick.with_name("b.jsonl"))


def test_a_witness_of_another_shop_is_told_from_the_beginning(shop: Shop, stick: Path) -> None:
    stick.write_text(json.dumps({"head": "ticket-head-1", "shop": "x", "seq": 90, "hash": "0", "at": "", "number": 1}))
    sign(shop)
    assert len(rows(stick)) == 2
