"""Papers, documents, keys and copies from other hands: what looks like the signed one and is not is told as that."""

import importlib.util
import json
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from support.made_shops import filled_shop
from ticket.cli.main import main
from ticket.papers.formats import written
from ticket.scratch_shop import fill
from ticket.shop.changing import amend_ticket, sign_ticket
from ticket.shop.desk_papers import invoice_sheet
from ticket.shop.opening import Shop
from ticket.shop.papers import paper
from ticket.shop.reading import kept_verdicts, unanswered
from ticket.store.driver import sqlite3

SUM = "$417.78"


def signed(shop: Shop) -> None:
    fill(shop)
    sign_ticket(shop, 1020, overruled={gap.id: "waits" for gap in unanswered(shop, 1020)})


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "shop.db"


@pytest.fixture
def shop(path: Path) -> Iterator[Shop]:
    with filled_shop(path, signed, "Ona Writer") as opened:
        yield opened


def says(path: Path, kept: object) -> str:
    found = kept_verdicts(path, [str(kept)])
    return ("good: " if all(one.ok for one in found) else "bad: ") + " ".join(one.says for one in found)


FORGED: dict[str, Callable[[str], str]] = {
    "a sum nobody sees": lambda page: page.replace(
        SUM, f'<span style="display:none">{SUM}</span><input value="$987.78">', 1
    ),
    "a picture of a sum": lambda page: page.replace(SUM, f'<span hidden>{SUM}</span><img alt="$987.78">', 1),
    "a sum that is drawn": lambda page: page.replace(
        "</head>", '<style>td{font-size:0} td::after{content:"$1.00"}</style></head>'
    ),
    "a script": lambda page: page.replace("</body>", "<script>document.title = 'x'</script></body>"),
    "a remark in the page": lambda page: page.replace("</body>", "<!-- $1.00 --></body>"),
    "an attribute": lambda page: page.replace("<main>", '<main style="direction:rtl">'),
    "its own style sheet": lambda page: page.replace("font-size", "font-style", 1),
    "another title": lambda page: page.replace("<title>", "<title>Paid. "),
}


@pytest.mark.parametrize("form", ["text", "html", "pdf"])
def test_an_invoice_is_told_to_be_one_and_what_it_says_otherwise_is_named(
    shop: Shop, path: Path, tmp_path: Path, form: str
) -> None:
    """It is written after signing, so there is no signed file of it: neither a yes nor a word against it."""
    file, made = tmp_path / f"invoice.{form}", written(invoice_sheet(shop, 1020), form)
    file.write_bytes(made if isinstance(made, bytes) else made.encode())
    told = says(path, file)
    assert told.startswith("bad:")
    assert "is not what was signed" not in told
    if form == "pdf" and importlib.util.find_spec("pypdfium2") is None:
        assert "An invoice (0001) was made of this record too, and is no signed file." in told
        return
    assert "It bears the number of invoice 0001, which this shop gave to that record" in told
    assert SUM not in told
    if form != "pdf":
        assert isinstance(made, str)
        file.write_text(made.replace(SUM, "$987.78"))
        forged = says(path, file)
        assert "$987.78" in forged.partition("Only on the invoice")[2].partition("Only in the signed copy")[0]
        assert SUM in forged.partition("Only in the signed copy")[2]


@pytest.mark.parametrize("how", FORGED)
def test_a_page_that_shows_something_else_than_its_words_is_no_signed_paper(
    shop: Shop, path: Path, tmp_path: Path, how: str
) -> None:
    page = str(paper(shop, 1020, "customer", "html"))
    file = tmp_path / "page.html"
    file.write_bytes(page.replace("\n", "\r\n").encode())
    assert says(path, file).endswith("The paper says what was signed."), "the ends of its lines are nobody's business"
    forged = FORGED[how](page)
    assert forged != page
    file.write_text(forged)
    told = says(path, file)
    assert told.startswith("bad:")
    assert "the page is not the one that was written" in told
    assert "Only on the page: " in told


@pytest.mark.parametrize("sign", ["\u202e", "-", "\u2212", "\b\b\b"])
def test_signs_without_letters_count_on_a_paper_of_text(shop: Shop, path: Path, tmp_path: Path, sign: str) -> None:
    """A mark that turns the figures round, or a minus in front of them, is no drawing."""
    text = str(paper(shop, 1020, "customer", "text", width=100))
    file = tmp_path / "paper.txt"
    file.write_text(text)
    assert says(path, file).startswith("good:")
    file.write_text(text.replace("417.78", f"{sign} 417.78"))
    assert "The paper is not what was signed. Only on the paper:" in says(path, file)


@pytest.mark.parametrize("reader", ["with the reader of PDFs", "without it"])
def test_a_pdf_of_other_bytes_is_never_told_as_the_signed_one(
    shop: Shop, path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, reader: str
) -> None:
    """Bytes behind its end change no word, as a box painted over a figure changes none."""
    pytest.importorskip("typst")
    made = paper(shop, 1020, "customer", "pdf")
    assert isinstance(made, bytes)
    file = tmp_path / "paper.pdf"
    file.write_bytes(made + b"\n% more\n")
    if reader == "without it":
        monkeypatch.setitem(sys.modules, "pypdfium2", None)
    told = says(path, file)
    assert told.startswith("bad:")
    assert "The file is not the one that was signed, byte for byte" in told
    assert "says what was signed" not in told
    assert ("the extra proof" in told) == (reader == "without it")
    assert "is row" in told, "its record is named all the same"


def test_a_paper_of_a_ticket_without_kept_papers_is_not_compared_and_no_yes(
    shop: Shop, path: Path, tmp_path: Path
) -> None:
    record = shop.store.ticket(1006).seal
    file = tmp_path / "paper.txt"
    file.write_text(f"Total $1.00\nRecord {record}\n")
    told = says(path, file)
    assert told.startswith("bad:")
    assert "was not compared" in told


def test_a_text_of_another_shop_is_first_of_all_a_text_of_another_shop(shop: Shop, path: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    with Shop.open(other, "Dov Ashgrav"):
        pass
    file = tmp_path / "paper.txt"
    file.write_text(str(paper(shop, 1020, "customer", "text")))
    told = says(other, file)
    assert "this record is of another shop, its number was mistyped, or the end was cut off" in told
    row, _, digits = shop.store.ticket(1020).seal.partition("-")
    assert f"are those of row {row}, not of row {row}0" in says(path, f"{row}0-{digits}")


# -- documents ----------------------------------------------------------------------------------------------------


@pytest.fixture
def document(shop: Shop, path: Path, tmp_path: Path) -> Path:
    file = tmp_path / "1020.json"
    assert main(["dump", "1020", "--db", str(path), "-o", str(file)]) == 0
    return file


def test_a_document_is_held_value_by_value_against_what_was_signed(shop: Shop, path: Path, document: Path) -> None:
    told = says(path, document)
    assert told.startswith("good:")
    assert "short record" not in told, "its proof leads to all the digits"
    assert told.endswith("The document says what was signed.")
    amend_ticket(shop, 1020, "note: the old part is in the boot", "left out")
    assert says(path, document).endswith("The document says what was signed."), "as it stood then"


@pytest.mark.parametrize("proof", ["kept", "thrown away"])
def test_a_changed_document_is_named_with_what_was_changed(path: Path, document: Path, proof: str) -> None:
    """Whoever throws proof and digest away is found all the same: the journal holds what was signed."""
    data = json.loads(document.read_text())
    if proof == "thrown away":
        del data["proof"], data["digest"]
    data["entries"][1]["fact"] = data["entries"][0]["fact"] | {}
    data["entries"][1]["kind"] = data["entries"][0]["kind"]
    data["header"]["customer"]["name"] = "Somebody Else"
    document.write_text(json.dumps(data))
    told = says(path, document)
    assert told.startswith("bad:")
    assert "The document is not what was signed. header/customer/name: another, signed: another; entries/" in told
    assert "Somebody Else" not in told


# -- keys and copies ----------------------------------------------------------------------------------------------


def test_kept_keys_are_held_against_the_keys_of_the_journal(shop: Shop, path: Path, tmp_path: Path) -> None:
    file = tmp_path / "keys.txt"
    assert main(["head", "--keys", "--db", str(path), "-o", str(file)]) == 0
    assert says(path, file) == "good: 1 kept key is in this journal as kept."
    data = json.loads(file.read_text())
    data["keys"][0]["public"] = "A" * 43 + "="
    file.write_text(json.dumps(data))
    assert "is not the one of this journal" in says(path, file)
    file.write_text(json.dumps(data | {"keys": []}))
    assert "came since, in row" in says(path, file)
    file.write_text(json.dumps(data | {"shop": "0" * 32}))
    assert "This list of keys is of shop 00000000…" in says(path, file)


def test_a_copy_is_proved_not_only_compared_at_its_end(shop: Shop, path: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    shop.store.backup(copy)
    assert says(path, copy).endswith("The copy audits whole.")
    connection = sqlite3.connect(str(copy))
    connection.execute("UPDATE person SET role = 'owner' WHERE role = 'technician'")
    connection.commit()
    connection.close()
    told = says(path, copy)
    assert told.startswith("bad:")
    assert "The copy itself is not whole: " in told
    assert f"ticket audit --db {copy}" in told
