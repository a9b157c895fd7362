"""A ticket signed before papers were kept: its papers are made once, as the shop stood then, and stay those bytes."""

import gzip
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from ticket.papers.copy import copy
from ticket.papers.formats import written
from ticket.papers.sheet_record import without_note
from ticket.shop.opening import Shop, set_setting
from ticket.shop.papers import contents_of, paper, sheet
from ticket.shop.reading import kept_verdicts, ticket_of
from ticket.store.proof.ticket_fold import Folded

OLDER = Path(__file__).parent.parent / "store" / "older_shop.db.gz"
NUMBER = 1  # signed in it
READERS, FORMS = ("customer", "shop"), ("text", "markdown", "html")


@pytest.fixture
def older(tmp_path: Path) -> Iterator[Shop]:
    database = tmp_path / "shop.db"
    database.write_bytes(gzip.decompress(OLDER.read_bytes()))
    with Shop.open(database, "Mo Vale", now=lambda: datetime(2026, 3, 3, 9, 0, tzinfo=UTC)) as shop:
        yield shop


def printed(shop: Shop) -> dict[tuple[str, str], str | bytes]:
    return {(reader, form): paper(shop, NUMBER, reader, form) for reader in READERS for form in FORMS}


def rows(shop: Shop) -> int:
    return shop.store.audit().rows


def test_the_first_print_keeps_the_papers_in_one_row(older: Shop) -> None:
    before = rows(older)
    record = older.store.ticket(NUMBER).seal
    first = printed(older)
    assert rows(older) == before + 1
    assert printed(older) == first
    assert rows(older) == before + 1
    text = " ".join(str(first["customer", "text"]).split())
    assert record in text, "the record is that of the row that signed, in 32 digits"
    assert "Kept on March 3, 2026; a paper handed out before may be worded otherwise." in text
    assert ticket_of(older, NUMBER).seal == record
    assert older.store.audit(deep=True).ok


def test_it_says_what_was_printed_before_but_for_that_sentence(older: Shop) -> None:
    """Nothing was changed since in that shop, so the paper of before is the paper of then."""
    before = {reader: copy(contents_of(older, NUMBER, reader)) for reader in READERS}
    seal = older.store.ticket(NUMBER).seal
    for reader in READERS:
        kept = without_note(sheet(older, NUMBER, reader))
        full = older.store.proofs.kept_papers(NUMBER)[0].record
        assert str(written(kept, "text", 500)).replace(full, seal) == written(before[reader], "text", 500)


def test_what_the_shop_changes_later_changes_nothing(older: Shop) -> None:
    """Also what was changed between the signature and the first print: it is made from the shop of its row."""
    live = str(paper(older, NUMBER, "customer", "text", today=True))
    set_setting(older, "shop", "Another Garage")
    set_setting(older, "currency", "EUR ")
    first = printed(older)
    assert "Another Garage" not in str(first["customer", "text"])
    assert "EUR" not in str(first["customer", "text"])
    set_setting(older, "dates", "2026-03-02")
    set_setting(older, "language", "es")
    assert printed(older) == first
    assert "Another Garage" in str(paper(older, NUMBER, "customer", "text", today=True))
    assert "Another Garage" not in live


def test_a_paper_of_before_and_one_of_after_are_held_against_it(older: Shop, tmp_path: Path) -> None:
    before = str(written(copy(contents_of(older, NUMBER, "customer")), "markdown"))
    after = str(paper(older, NUMBER, "customer", "markdown"))
    for name, content, good in (
        ("after", after, True), ("before", before.replace(*_digits(older)), True),
        ("changed", after.replace("Signed by", "Signed for"), False),
    ):  # fmt: skip
        file = tmp_path / name
        file.write_text(content)
        assert all(one.ok for one in kept_verdicts(older.store.path, [str(file)])) == good, name


def _digits(shop: Shop) -> tuple[str, str]:
    return shop.store.ticket(NUMBER).seal, shop.store.proofs.kept_papers(NUMBER)[0].record


def test_a_changed_one_is_named_and_one_that_was_forgotten_is_made_anew(older: Shop) -> None:
    printed(older)
    db = older.store._session.db
    db.execute("DROP TRIGGER paper_same")
    db.execute("UPDATE paper SET data = x'00' WHERE id = 1")
    db.conn.commit()
    assert any("is not the paper that was signed" in one.says for one in older.store.audit().differences)


def test_only_what_was_signed_here_is_kept(older: Shop) -> None:
    before = rows(older)
    for number in older.store.numbers():
        if number != NUMBER:
            paper(older, number, "customer", "text")
    older.hidden = True
    paper(older, NUMBER, "customer", "text")
    assert rows(older) == before, "an auditor's look writes nothing of a ticket"


def test_the_small_audit_knows_the_row() -> None:
    folded = Folded(ticket={"rev": 1, "updated": "then"})
    body = b'{"v":2,"seal":16,"kept":{},"papers":{}}'
    folded.feed((17, b"now", 1, b"s", 1, b"keep", None, body, None, None, None, bytes(32)))
    assert folded.ticket == {"rev": 1, "updated": "then"}
