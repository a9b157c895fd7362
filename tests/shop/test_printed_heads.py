"""A head on paper: what stands on it is what the journal says, and held against the file it shows a change."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from support.made_shops import filled_shop
from ticket.cli.main import main
from ticket.papers.html import sheet_html
from ticket.scratch_shop import fill
from ticket.shop.changing import add_lines, sign_ticket
from ticket.shop.opening import Shop
from ticket.shop.papers import paper
from ticket.shop.reading import kept_verdicts, signed_head, unanswered
from ticket.store.driver import connect

FORMS = ("text", "markdown", "html", "pdf")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "shop.db"


@pytest.fixture
def shop(path: Path) -> Iterator[Shop]:
    """The newest row signs a ticket, whose papers are kept with it: a head is none of them."""
    with filled_shop(path, fill, "Ona Writer") as opened:
        sign_ticket(opened, 1022, overruled={gap.id: "waits" for gap in unanswered(opened, 1022)})
        yield opened


def printed(path: Path, folder: Path, *flags: str) -> list[Path]:
    """The page in every form."""
    made = []
    for form in FORMS:
        file = folder / f"{'-'.join(['head', *flags])}.{form}"
        assert main(["head", *flags, "--as", form, "--db", str(path), "-o", str(file)]) == 0
        made.append(file)
    return made


def test_every_form_of_a_head_fits_and_shows_a_cut_tail_and_a_rewritten_row(
    shop: Shop, path: Path, tmp_path: Path
) -> None:
    add_lines(shop, 1021, "note: one more")
    pages = printed(path, tmp_path)  # the command begins the day with a signed row
    head = signed_head(shop)
    assert head is not None
    text = pages[0].read_text()
    for part in (f"{head.seq}-{head.hash}", head.shop, head.at, "1023"):
        assert part in text, part
    assert f"{head.key[:4]}-{head.key[4:8]}" in text
    assert head.sig in re.sub(r"\s", "", text)
    for page in pages:
        found = kept_verdicts(path, [str(page)])
        assert all(one.ok for one in found), page
        assert f"is row {head.seq}" in found[0].says
    shop.close()
    connection = connect(path)
    connection.execute("DROP TRIGGER journal_keep")
    connection.execute("DELETE FROM journal WHERE seq = ?", [head.seq])
    connection.close()
    for page in pages:
        (one,) = kept_verdicts(path, [str(page)])
        assert not one.ok, page
        assert f"Row {head.seq}" in one.says
        assert "the journal ends at row" in one.says


def test_a_head_printed_behind_a_signature_is_not_taken_for_the_papers_kept_with_it(
    shop: Shop, path: Path, tmp_path: Path
) -> None:
    assert shop.store.proofs.kept_papers(1022)
    for page in printed(path, tmp_path):
        found = kept_verdicts(path, [str(page)])
        assert all(one.ok for one in found), page


def test_the_record_of_a_head_speaks_for_no_other_paper(shop: Shop, path: Path, tmp_path: Path) -> None:
    """Lengthened to all its digits, the record of a signed ticket makes no changed copy of it a good one."""
    head = signed_head(shop)
    assert head is not None
    for form in ("text", "html"):
        changed = str(paper(shop, 1022, "customer", form)).replace("944", "9944")
        changed = re.sub(rf"{head.seq}-[0-9a-f]{{32}}", f"{head.seq}-{head.hash}", changed)
        file = tmp_path / f"changed.{form}"
        file.write_text(changed)
        assert f"{head.seq}-{head.hash}" in changed
        assert not all(one.ok for one in kept_verdicts(path, [str(file)])), form
    page = printed(path, tmp_path)[0]
    page.write_text(page.read_text().replace("Highest ticket number  ", "Highest ticket number  9"))
    assert not all(one.ok for one in kept_verdicts(path, [str(page)]))


def test_the_public_keys_on_one_page(shop: Shop, path: Path, tmp_path: Path) -> None:
    ((_, told),) = shop.store.proofs.public_keys().items()
    text, _, page, pdf = printed(path, tmp_path, "--keys")
    assert str(told["public"]) in re.sub(r"\s", "", text.read_text())
    assert shop.store.proofs.uid() in text.read_text()
    assert str(told["public"]) in page.read_text().replace("<wbr>", "").replace("\u200b", "")
    pypdfium2 = pytest.importorskip("pypdfium2")
    assert len(pypdfium2.PdfDocument(pdf.read_bytes())) == 1


def test_a_head_in_spanish_says_the_same(shop: Shop) -> None:
    from ticket.papers.head_sheet import Letter, head_sheet

    head = signed_head(shop)
    assert head is not None
    page = sheet_html(head_sheet(Letter(head.shop, "A4", "es"), head))
    assert "Cabeza del diario" in page
    assert head.hash in page.replace("<wbr>", "").replace("\u200b", "")
