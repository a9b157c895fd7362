"""Heads, records and papers kept in other hands: every forgery of a journal is found by one of them."""

import base64
import contextlib
import json
import shutil
import sys
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from support.clock import Clock
from support.made_shops import filled_shop
from ticket.cli.main import main
from ticket.job.errors import InputError, TicketError
from ticket.machine.signing_key import keys_folder, signer
from ticket.papers.formats import written
from ticket.papers.sheet_record import from_record, without_sources
from ticket.scratch_shop import fill
from ticket.shop import held_papers
from ticket.shop.changing import add_lines, amend_ticket, new_ticket, sign_ticket
from ticket.shop.opening import Shop, set_setting
from ticket.shop.papers import paper
from ticket.shop.reading import audit_shop, kept_verdicts, signed_head, unanswered
from ticket.store import driver
from ticket.store.canonical import packed


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "shop.db"


@pytest.fixture
def shop(path: Path) -> Iterator[Shop]:
    with filled_shop(path, fill, "Ona Writer") as opened:
        for number in (1020, 1022):  # signed here: the key is kept beside the shop, not in it
            sign_ticket(opened, number, overruled={gap.id: "waits" for gap in unanswered(opened, number)})
        yield opened


def says(path: Path, kept: object) -> str:
    found = kept_verdicts(path, [str(kept)])
    return ("good: " if all(one.ok for one in found) else "bad: ") + " ".join(one.says for one in found)


def exported(shop: Shop, tmp_path: Path) -> Path:
    head = signed_head(shop)
    assert head is not None
    file = tmp_path / f"head-{head.seq}.json"
    file.write_text(json.dumps(head.document()) + "\n")
    return file


def test_a_signature_is_ed25519_over_what_the_design_says(shop: Shop, tmp_path: Path) -> None:
    """Recomputed from the description alone; RFC 8032 signatures, checked by the library's own verifier."""
    data = json.loads(exported(shop, tmp_path).read_text())
    parts = ("ticket-head-1", data["shop"], str(data["seq"]), data["hash"], data["at"], str(data["number"]))
    signed = b"".join(len(part.encode()).to_bytes(8, "big") + part.encode() for part in parts)
    ((key, told),) = shop.store.proofs.public_keys().items()
    public = base64.b64decode(told["public"])
    Ed25519PublicKey.from_public_bytes(public).verify(base64.b64decode(data["sig"]), signed)
    assert key == base64.b32encode(sha256(public).digest()).decode().lower()[:16]
    assert data["number"] == 1023


def test_the_key_lies_outside_the_database_and_only_its_owner_may_read_it(shop: Shop, path: Path) -> None:
    (file,) = keys_folder().glob("*.key")
    assert file.stat().st_mode & 0o777 == 0o600
    assert file.parent.stat().st_mode & 0o777 == 0o700
    private = file.read_bytes().split(b"\n")[1]
    assert private not in path.read_bytes()
    file.chmod(0o640)
    with pytest.raises(InputError, match="may be read by others: chmod 600"):
        signer(shop.store.proofs.uid(), make=True)
    file.chmod(0o600)
    file.parent.chmod(0o770)
    with pytest.raises(InputError, match="may be written to by others, who could exchange the key in it: chmod 700"):
        signer(shop.store.proofs.uid(), make=True)
    file.parent.chmod(0o700)
    file.write_text("no key")
    with pytest.raises(InputError, match="cannot be used"):
        sign_ticket(shop, 1021, overruled={gap.id: "waits" for gap in unanswered(shop, 1021)})
    assert shop.store.ticket(1021).status != "signed"


def test_a_lost_key_costs_a_new_one_and_old_signatures_stay_proved(shop: Shop) -> None:
    (file,) = keys_folder().glob("*.key")
    file.unlink()
    sign_ticket(shop, 1021, overruled={gap.id: "waits" for gap in unanswered(shop, 1021)})
    assert len(shop.store.proofs.public_keys()) == 2
    assert shop.store.audit(deep=True).ok


@pytest.mark.slow
@pytest.mark.parametrize(
    ("attack", "words"),
    [
        ("DELETE FROM signature", "its signature is missing"),
        ("UPDATE signature SET sig = zeroblob(64)", "its signature does not fit"),
        ("UPDATE signature SET key = 'aaaaaaaaaaaaaaaa'", "names no such key"),
    ],
)
def test_a_missing_or_wrong_signature_is_named(shop: Shop, attack: str, words: str) -> None:
    db = shop.store._session.db
    for guard in ("same", "keep"):
        db.execute(f"DROP TRIGGER signature_{guard}")
    db.execute(attack)
    db.conn.commit()
    assert any(words in one.says for one in shop.store.audit().differences)


# -- records and heads --------------------------------------------------------------------------------------------


def test_records_and_heads_that_fit_say_what_they_are_of(shop: Shop, path: Path, tmp_path: Path) -> None:
    record = shop.store.proofs.kept_papers(1020)[0].record
    assert f"is row {record.partition('-')[0]}: ticket 1020, signed by Ona Writer on" in says(path, record)
    assert "short record" in says(path, shop.store.ticket(1020).seal)
    head = exported(shop, tmp_path)
    assert says(path, head).startswith("good: 1 head fits")
    amend_ticket(shop, 1020, "note: the old part is in the boot", "left out")
    told = says(path, record)
    assert told.startswith("good:")
    assert "It was amended since, in row" in told
    assert says(path, head).startswith("good:")
    with pytest.raises(InputError, match="is no record"):
        kept_verdicts(path, ["no such file"])


def rehash(connection: driver.Connection) -> None:
    """Write the whole chain anew as the program itself would."""
    previous = bytes(32)
    fields = "seq,at,person_id,sitting,ticket_id,verb,of,body,promise"
    for row in connection.execute(f"SELECT {fields} FROM journal ORDER BY seq").fetchall():
        previous = sha256(packed("ticket-journal-1", previous, *row)).digest()
        connection.execute("UPDATE journal SET hash = ? WHERE seq = ?", [previous, row[0]])
    connection.execute(
        "UPDATE ticket SET seal = (SELECT seq || '-' || lower(substr(hex(hash), 1, 16)) FROM journal WHERE ticket_id ="
        " ticket.id AND verb IN ('sign', 'amend', 'shop.load') ORDER BY seq DESC LIMIT 1) WHERE status = 'signed'"
    )


def forged(path: Path, tmp_path: Path, *changes: str, anew: bool = False) -> Path:
    """A copy changed by somebody who knows SQL, its guards put back afterwards."""
    copy = tmp_path / "forged.db"
    shutil.copy(path, copy)
    connection = driver.sqlite3.connect(str(copy), isolation_level=None)
    guards = connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        connection.execute(f"DROP TRIGGER {name}")
    for sql in changes:
        connection.execute(sql)
    if anew:
        rehash(connection)
    for _, sql in guards:
        connection.execute(sql)
    connection.close()
    return copy


def test_every_forgery_is_found_by_a_kept_head(shop: Shop, path: Path, tmp_path: Path) -> None:
    early = exported(shop, tmp_path)
    older = tmp_path / "older.db"
    shop.store.backup(older)
    add_lines(shop, new_ticket(shop), "says: horn is silent")
    late = exported(shop, tmp_path)
    shop.close()
    last = "(SELECT max(seq) FROM journal)"
    cut = forged(path, tmp_path, f"DELETE FROM journal WHERE seq = {last}")
    assert "is missing: the journal ends at row" in says(cut, late)
    assert "is missing: the journal ends at row" in says(older, late)
    assert says(older, early).startswith("good:")
    for sql in (
        "UPDATE journal SET at = replace(at, '2026', '2025') WHERE seq > 30",
        "UPDATE journal SET body = json_set(body, '$.by', 'Dov Ashgrav') WHERE verb = 'sign'",
        "UPDATE journal SET at = '2026-01-01T00:00:00.000Z' WHERE seq = 12",
    ):
        anew = forged(path, tmp_path, sql, anew=True)
        for head in (early, late):
            assert "is another than the one signed then" in says(anew, head), sql
    swapped = forged(
        path, tmp_path,
        "UPDATE journal SET seq = -1 WHERE seq = 12", "UPDATE journal SET seq = 12 WHERE seq = 13",
        "UPDATE journal SET seq = 13 WHERE seq = -1", anew=True,
    )  # fmt: skip
    assert says(swapped, late).startswith("bad:")
    assert audit_shop(swapped).rows == audit_shop(path).rows


_FIELDS = "at,person_id,sitting,ticket_id,verb,of,body,words,salt,promise,hash"
_SHIFTED = ("UPDATE journal SET seq = -seq - 1 WHERE seq >= 30", "UPDATE journal SET seq = -seq WHERE seq < 0")


@pytest.mark.slow
@pytest.mark.parametrize(
    "changes",
    [
        (
            f"CREATE TABLE held AS SELECT {_FIELDS} FROM journal WHERE seq = 12",
            f"UPDATE journal SET ({_FIELDS}) = (SELECT * FROM held) WHERE seq = 13", "DROP TABLE held",
        ),
        (*_SHIFTED, f"INSERT INTO journal(seq,{_FIELDS}) SELECT 30,{_FIELDS} FROM journal WHERE seq = 29"),
        (
            "DELETE FROM journal WHERE ticket_id = (SELECT id FROM ticket WHERE number = 1023)",
            "CREATE TABLE left_over AS SELECT seq, row_number() OVER (ORDER BY seq) AS now FROM journal",
            "UPDATE journal SET seq = -(SELECT now FROM left_over WHERE left_over.seq = journal.seq)",
            "UPDATE journal SET seq = -seq", "DROP TABLE left_over",
        ),
        ("UPDATE journal SET body = json_set(body, '$.closed', '2026-01-01T00:00:00.000Z') WHERE verb = 'sign'",),
        ("UPDATE journal SET person_id = 2 WHERE verb = 'sign'",),
        ("UPDATE journal SET body = json_set(body, '$.who', 'pin') WHERE verb = 'sign'",),
        ("UPDATE journal SET body = replace(body, '417.78', '471.78')",),
    ],
    ids=["copied", "inserted", "a ticket lost", "back-dated", "another's name", "a PIN that was not asked", "a sum"],
)  # fmt: skip
def test_a_chain_redone_with_the_programs_own_code_is_found(
    shop: Shop, path: Path, tmp_path: Path, changes: tuple[str, ...]
) -> None:
    """Rehashed from the first row to the last and everything derived made anew: only what was kept elsewhere knows."""
    head = exported(shop, tmp_path)
    record = shop.store.proofs.kept_papers(1022)[0].record
    shop.close()
    anew = forged(path, tmp_path, *changes, anew=True)
    with contextlib.suppress(TicketError), Shop.open(anew, "Ona Writer", now=Clock()) as forger:
        forger.store.rebuild()
    assert says(anew, head).startswith("bad:")
    assert says(anew, record).startswith("bad:")


def test_heads_before_the_forged_row_still_fit_and_the_last_of_them_is_named(
    shop: Shop, path: Path, tmp_path: Path
) -> None:
    heads = [exported(shop, tmp_path)]
    add_lines(shop, new_ticket(shop), "says: horn is silent")
    heads.append(exported(shop, tmp_path))
    shop.close()
    kept = tmp_path / "heads.jsonl"
    kept.write_text("".join(one.read_text() for one in heads))
    last = f"{(first := json.loads(heads[0].read_text()))['seq']}"
    anew = forged(path, tmp_path, f"UPDATE journal SET sitting = 'x' WHERE seq = {first['seq'] + 1}", anew=True)
    assert says(anew, kept).startswith("bad:")
    assert f"The last kept head that fits is of row {last}." in says(anew, kept)


def test_heads_of_others_and_forged_heads_are_refused(shop: Shop, path: Path, tmp_path: Path) -> None:
    head = json.loads(exported(shop, tmp_path).read_text())
    file = tmp_path / "changed.json"
    for change, words in (
        ({"shop": "0" * 32}, "is of shop 00000000…, not of this one"),
        ({"at": "2026-01-01T00:00:00.000Z"}, "was not signed by a key of this shop"),
        ({"number": 9}, "was not signed by a key of this shop"),
        ({"key": "a" * 16}, "was not signed by a key of this shop"),
        ({"hash": "0" * 64}, "is another than the one signed then"),
        ({"seq": 900}, "its number was mistyped"),
        ({"seq": 900, "hash": "0" * 64}, "is missing"),
    ):
        file.write_text(json.dumps(head | change))
        told = says(path, file)
        assert told.startswith("bad:"), change
        assert words in told, change


def test_what_is_of_another_shop_is_said_to_be_of_another_shop(
    shop: Shop, path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two shops whose rows are numbered alike: none of their papers says that the other's journal was rewritten."""
    other = tmp_path / "other.db"
    with Shop.open(other, "Dov Ashgrav", now=Clock()) as second:
        fill(second)
        sign_ticket(second, 1020, overruled={gap.id: "waits" for gap in unanswered(second, 1020)})
        page = tmp_path / "page.html"
        page.write_text(str(paper(second, 1020, "customer", "html")))
        record = second.store.proofs.kept_papers(1020)[0].record
    assert main(["dump", "1020", "--db", str(other), "-o", str(tmp_path / "1020.json")]) == 0
    own = shop.store.proofs.uid()[:8]
    assert "This paper is of shop" in says(path, page)
    assert f"not of this one ({own}…)" in says(path, tmp_path / "1020.json")
    alone = says(path, record)
    assert alone.startswith("bad:")
    assert "it is of another shop, or this journal was written anew" in alone


def test_a_mistyped_record_is_told_as_mistyped(shop: Shop, path: Path) -> None:
    record = shop.store.proofs.kept_papers(1020)[0].record
    row, _, digits = record.partition("-")
    other = "1" if digits[5] != "1" else "2"
    assert "one digit of the record was mistyped" in says(path, f"{row}-{digits[:5]}{other}{digits[6:]}")
    assert f"are those of row {row}, not of row 3: its number was mistyped" in says(path, f"3-{digits}")
    for garbage in (record[:-1], f"{row}-{digits}g", f"{row}{digits}"):
        with pytest.raises(InputError, match="is no record"):
            kept_verdicts(path, [garbage])


@pytest.mark.parametrize("form", ["html", "pdf"])
def test_a_page_names_its_record_and_shop_for_programs(shop: Shop, form: str) -> None:
    if form == "pdf":
        pytest.importorskip("typst")
    made = paper(shop, 1020, "customer", form)
    content = made if isinstance(made, bytes) else made.encode()
    record, uid = shop.store.proofs.kept_papers(1020)[0].record.encode(), shop.store.proofs.uid().encode()
    wanted = {
        "html": (b'<meta name="ticket-record" content="' + record, b'<meta name="ticket-shop" content="' + uid),
        "pdf": (b"ticket-record-1 " + record, b"ticket-shop-1 " + uid),
    }[form]
    assert all(one in content for one in wanted)


# -- papers -------------------------------------------------------------------------------------------------------


def test_an_untouched_pdf_needs_no_reader_of_pdfs(
    shop: Shop, path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also one of a time when no shop stood on it and its record might break."""
    pytest.importorskip("typst")
    monkeypatch.setitem(sys.modules, "pypdfium2", None)
    (kept,) = (one for one in shop.store.proofs.kept_papers(1020) if one.reader == "customer")
    file = tmp_path / "paper.pdf"
    for older in (False, True):
        data = {**kept.data, "shop": ""} if older else kept.data
        made = written(without_sources(from_record(data, kept.record, {})), "pdf")
        assert isinstance(made, bytes)
        file.write_bytes(made)
        if older:
            unnamed = lambda data, *rest: from_record({**data, "shop": ""}, *rest)  # noqa: E731
            monkeypatch.setattr(held_papers, "from_record", unnamed)
        assert "byte for byte" in says(path, file)


@pytest.mark.slow
@pytest.mark.parametrize("form", ["text", "markdown", "html", "pdf"])
def test_a_paper_is_held_against_what_was_signed(shop: Shop, path: Path, tmp_path: Path, form: str) -> None:
    if form == "pdf":
        pytest.importorskip("typst")
    made = paper(shop, 1020, "customer", form, width=72) if form == "text" else paper(shop, 1020, "customer", form)
    file = tmp_path / "paper"
    content = made if isinstance(made, bytes) else made.encode()
    file.write_bytes(content)
    set_setting(shop, "shop", "Another Garage")
    assert "The paper says what was signed" in says(path, file)
    if form != "pdf":
        assert b"417.78" in content
        file.write_bytes(content.replace(b"417.78", b"17.78"))
        told = says(path, file)
        assert told.startswith("bad:")
        assert "The paper is not what was signed. Only on the paper:" in told
        assert "17.78" in told
        words = content.decode().replace("20.4", "MARK").replace("18.9", "20.4").replace("MARK", "18.9")
        file.write_text(words)
        assert says(path, file).startswith("bad:"), "two figures that changed places"


def test_the_command_prints_and_leaves_with_an_honest_code(
    shop: Shop, path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = shop.store.proofs.kept_papers(1020)[0].record
    shop.close()
    assert main(["head", "--db", str(path), "-o", str(tmp_path / "head.json")]) == 0
    assert main(["head", "--db", str(path)]) == 0
    assert "signed with key" in capsys.readouterr().out
    assert main(["head", "--keys", "--db", str(path)]) == 0
    assert "Public keys that sign for it (Ed25519)" in capsys.readouterr().out
    before = path.read_bytes()
    kept = ["--against", record, "--against", str(tmp_path / "head.json"), "--db", str(path)]
    assert main(["audit", *kept]) == 0
    wrong = record[:-4] + "0000"
    assert main(["audit", "--against", wrong, "--db", str(path), "--json"]) == 1
    shown = capsys.readouterr().out
    assert json.loads(shown[shown.index("{") :])["against"][0]["ok"] is False
    assert path.read_bytes() == before
