"""Forgetting: no byte of a name is left in any file of the shop, and the chain, the seals and all other words hold."""

import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

from support.clock import Clock
from ticket.cli.main import main
from ticket.job.errors import ConflictError, NotFoundError
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.machine.draft_lines import DraftLines
from ticket.shop.changing import (
    add_lines,
    amend_ticket,
    copy_of_day,
    correct_header,
    new_ticket,
    set_header,
    sign_ticket,
    strike_entry,
)
from ticket.shop.opening import Shop, set_setting
from ticket.shop.papers import paper
from ticket.shop.reading import audit_shop, ticket_of, unanswered

NAME, OLDER, PHONE, MAIL, ROAD, PLATE = (
    "Tamsin Quorlby", "Quorlby Wrenna", "555-019-4477", "quorl@example.org", "77 Vintner Row", "ZQX 4471",
)  # fmt: skip
TRACES = (
    "Tamsin",
    "Quorlby",
    "quorlby",
    "Wrenna",
    "0194477",
    "555-019-4477",
    "quorl@",
    "Vintner",
    "ZQX",
    "ZQX4471",
    "4488",
    "Vey",
)
LINES = f"""says: {NAME} says the fan roars
code: P1A30-7B fan control, stored
found: LF pad 4.1 mm (min 3.0)
found: loose heat shield
told: {NAME} by phone {PHONE}, yes; total 12.00
later: front pads; in 500 mi or 3 weeks
did: 1 h fixed the heat shield"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A shop with two tickets of the customer, and a stranger's that names her."""
    made = tmp_path / "shop" / "shop.db"
    with Shop.open(made, "K. Orlo", now=Clock()) as shop:
        header = Header(vehicle=Vehicle("Corvane Alder", plate=PLATE), customer=Customer(OLDER, PHONE, MAIL, ROAD))
        for _ in range(2):
            number = new_ticket(shop, header)
            add_lines(shop, number, LINES)
            set_header(shop, number, replace(header, customer=replace(header.customer, name=NAME)))
        strike_entry(shop, 1, 4)
        shop.store.follow(1, 6, "call", "K. Orlo", note=f"{NAME} rang back")
        for number in (1, 2):
            sign_ticket(shop, number, overruled={gap.id: f"{NAME} waits" for gap in unanswered(shop, number)})
        amend_ticket(shop, 1, "note: the old belt is in the boot", f"{NAME} asked")
        signed = ticket_of(shop, 1).header
        wrong = Customer(f"{NAME} Vey", "555-019-4488", MAIL, ROAD)
        correct_header(shop, 1, replace(signed, customer=wrong, vehicle=Vehicle(plate="ZQX 4472")), f"{NAME} rang")
        correct_header(shop, 1, signed, f"{NAME} rang again")
        other = new_ticket(
            shop, Header(vehicle=Vehicle("Tessaly Wick", plate="OTH 1"), customer=Customer("Ivo Lanner"))
        )
        add_lines(shop, other, f"says: horn is silent\nnote: neighbour of {NAME}")
        paper(shop, 1, "customer", "text")
    return made


def held(path: Path) -> bytes:
    """Everything in the shop's folder."""
    return b"".join(file.read_bytes() for file in sorted(path.parent.rglob("*")) if file.is_file())


def test_nothing_of_the_name_is_left_and_everything_else_is_proved(path: Path) -> None:
    before = held(path)
    assert all(trace.encode() in before for trace in ("Tamsin", "Wrenna", "555-019-4477", "Vintner", "ZQX"))
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        plan = shop.store.proofs.erasing.plan(customer=NAME)
        assert plan.tickets == (1, 2)
        assert [one.ticket for one in plan.others] == [3, 3], "the note, and its line as it was typed"
        shop.store.proofs.erasing.carry_out(plan, "asked for", "K. Orlo", {one.row for one in plan.others})
        audit = shop.store.audit(deep=True)
        assert audit.ok, audit.differences
        ticket = shop.store.ticket(1)
        assert ticket.header.customer.name == "▮▮▮"
        assert ticket.entries[1].fact.code == "P1A30"  # type: ignore[attr-defined]
        texts = [getattr(entry.fact, "what", "") for entry in ticket.entries]
        assert any("heat shield" in text for text in texts), "a text of the same row that names nobody stays"
        made = " ".join(str(paper(shop, 1, "customer", "text")).split())
        assert "Names were erased since; the signed copy is gone." in made
        assert shop.store.ticket(3).header.customer.name == "Ivo Lanner"
        shop.store.rebuild()
        assert shop.store.audit(deep=True).ok
    after = held(path)
    assert [trace for trace in TRACES if trace.encode() in after] == []


def test_rows_of_others_stay_unless_they_are_named(path: Path) -> None:
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        erasing = shop.store.proofs.erasing
        erasing.carry_out(erasing.plan(plate=PLATE), "asked for", "K. Orlo")
        assert shop.store.audit(deep=True).ok
        assert f"neighbour of {NAME}" in str(shop.store.ticket(3).entries)
        with pytest.raises(NotFoundError):
            erasing.plan(customer=NAME)


def test_what_is_left_of_a_forgotten_row_still_proves_itself(path: Path) -> None:
    from ticket.store import driver

    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        erasing = shop.store.proofs.erasing
        erasing.carry_out(erasing.plan(customer=NAME), "asked for", "K. Orlo")
    connection = driver.sqlite3.connect(str(path), isolation_level=None)
    connection.execute("DROP TRIGGER journal_fix")
    changed = connection.execute(
        "UPDATE journal SET words = replace(words, 'loose heat shield', 'tight heat shield')"
        " WHERE words LIKE '%loose heat shield%'"
    ).rowcount
    connection.close()
    assert changed > 0
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        said = [str(one) for one in shop.store.audit().differences]
    assert any("its words are not those that were promised" in one for one in said)


def test_open_tickets_are_refused(path: Path) -> None:
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        erasing = shop.store.proofs.erasing
        plan = erasing.plan(number=3)
        with pytest.raises(ConflictError, match="is still open"):
            erasing.carry_out(plan, "asked for", "K. Orlo")
        erasing.carry_out(plan, "asked for", "K. Orlo", open_too=True)
        assert shop.store.ticket(3).header.customer.name == "▮▮▮"
        assert shop.store.audit(deep=True).ok
        add_lines(shop, 3, "note: goes on")
        assert shop.store.audit(deep=True).ok


def test_the_command_lists_first_and_changes_nothing(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = path.read_bytes()
    assert main(["forget", "--customer", NAME, "--db", str(path)]) == 0
    told = capsys.readouterr().out
    assert "Would be forgotten: tickets 1, 2." in told
    assert "Other tickets hold the name" in told
    assert "Nothing was changed" in told
    assert path.read_bytes() == before
    assert main(["forget", "--db", str(path)]) == 2
    assert main(["forget", "--customer", NAME, "--yes", "--db", str(path)]) == 2
    assert main(["forget", "--customer", NAME, "--yes", "--why", "asked for", "--db", str(path)]) == 0
    assert main(["audit", "--deep", "--db", str(path)]) == 0
    assert main(["forget", "--customer", NAME, "--db", str(path)]) == 2


def test_lines_that_were_left_half_typed_go_too(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A killed program leaves them under a process that is gone, each person of the login under a name of their own."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    others = DraftLines(tmp_path / "another.db", "K. Orlo")
    with monkeypatch.context() as gone:
        gone.setattr(os, "getpid", lambda: 2**22 + 1)
        for person in ("K. Orlo", "Mira Sund"):
            DraftLines(path, person).keep(1, "found: the fan")
        DraftLines(path, "K. Orlo").keep("entry 2/3", '{"what": "the fan"}')
        DraftLines(path, "K. Orlo").keep("new ticket", json.dumps({"customer": NAME}))
        others.keep(7, f"told: {NAME} by phone")
        DraftLines(path, "K. Orlo").keep(3, "found: stays")
        DraftLines(path, "K. Orlo").keep("entry 3/1", '{"what": "stays"}')
        DraftLines(path, "K. Orlo").keep("new ticket 2", "{}")
        others.keep(1, "found: stays")
    with Shop.open(path, "Mira Sund", now=Clock()) as shop:
        add_lines(shop, 3, "note: here too")
    wanted = ["forget", "--customer", NAME, "--db", str(path), "--by", "K. Orlo"]
    assert main(wanted) == 0
    assert "5 half-typed lines or forms" in capsys.readouterr().out
    assert main([*wanted, "--yes", "--why", "asked for"]) == 0
    left = [json.loads(file.read_text())["text"] for file in (tmp_path / "state").rglob("lines/*.json")]
    assert sorted(left) == ["found: stays", "found: stays", '{"what": "stays"}', "{}"]


def test_a_shop_of_the_older_form_forgets_whole_rows(tmp_path: Path) -> None:
    import gzip

    made = tmp_path / "older.db"
    made.write_bytes(gzip.decompress((Path(__file__).parent / "older_shop.db.gz").read_bytes()))
    with Shop.open(made, "K. Orlo", now=Clock()) as shop:
        numbers = [number for number in shop.store.numbers() if shop.store.ticket(number).header.customer.name]
        name = shop.store.ticket(numbers[0]).header.customer.name
        erasing = shop.store.proofs.erasing
        plan = erasing.plan(customer=name)
        assert plan.whole
        erasing.carry_out(plan, "asked for", "K. Orlo", open_too=True)
        assert shop.store.audit(deep=True).ok
        assert shop.store.ticket(numbers[0]).header.customer.name == "▮▮▮"
    for file in tmp_path.glob("older.db.before-*"):
        file.unlink()  # the copy from before the update, which the command tells of
    assert name.encode() not in made.read_bytes()


def test_a_customer_is_given_all_that_is_kept_and_the_look_is_journaled(path: Path, tmp_path: Path) -> None:
    import json

    out = tmp_path / "all.json"
    assert main(["dump", "--customer", NAME, "-o", str(out), "--db", str(path)]) == 0
    told = json.loads(out.read_text())
    assert [one["number"] for one in told["tickets"]] == [1, 2]
    assert {one["value"] for one in told["values"]} >= {NAME, OLDER, PHONE, MAIL, ROAD}
    assert told["named_in_other_tickets"][0]["text"].endswith(NAME)
    assert NAME in told["papers"]["1"]["customer"]
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        assert shop.store.history()[-1].summary == "looked at customer data"
        assert shop.store.audit(deep=True).ok


def test_records_that_no_rule_asks_to_keep_longer_are_listed_and_stay(
    path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The periods are those of the rule pack, each with its source; Fla. Stat. 559.915 asks for 12 months."""
    from datetime import date

    from ticket.rules.kept_for import kept_for, may_go_before
    from ticket.rules.pack import load

    (repair, tax) = kept_for(load("US-FL"))
    assert repair.words.startswith("repair records: 12 months (Fla. Stat. 559.915")
    assert tax.months == 36  # of the pack US, from memory
    assert may_go_before(load("US-FL"), date(2032, 3, 1)) == date(2029, 3, 1)
    before = path.read_bytes()
    assert main(["forget", "--due", "--db", str(path)]) == 0
    assert "Nobody: no customer's last job ended before" in capsys.readouterr().out
    monkeypatch.setenv("TICKET_NOW", "2033-01-01T00:00:00+00:00")
    assert main(["forget", "--due", "--db", str(path)]) == 0
    told = capsys.readouterr()
    assert f"{NAME}: last on" in told.out
    assert "Not legal advice" in told.err
    assert "Ivo Lanner" not in told.out, "an open ticket is nothing to forget"
    assert path.read_bytes() == before


def test_copies_that_hold_the_name_are_listed_and_go_where_that_is_asked(
    path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "copies"
    folder.mkdir()
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        set_setting(shop, "copies", f"{folder}, 3")
        assert copy_of_day(shop) == ""
        shop.store.backup(tmp_path / "copy.db")
    (tmp_path / "copy.db").rename(path.with_name("shop.db.before-9.1"))  # as an update leaves it
    (folder / "shop-notes.txt").write_text(NAME)
    command = ["forget", "--customer", NAME, "--by", "K. Orlo", "--db", str(path)]
    assert main(command) == 0
    told = capsys.readouterr().out
    assert "shop.db.before-9.1" in told
    assert len(list(folder.glob("*.db"))) == 1
    assert main([*command, "--yes", "--why", "asked for", "--copies"]) == 0
    assert "A new copy was made" in capsys.readouterr().out
    assert not path.with_name("shop.db.before-9.1").exists()
    (left,) = folder.glob("*.db")
    assert audit_shop(left).ok
    assert b"Vintner" not in left.read_bytes()  # the name itself stands in a note of another customer
    assert (folder / "shop-notes.txt").exists(), "no copy of the shop"
