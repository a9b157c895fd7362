"""Pictures on the papers: pairs, captions as alternative text, who sees which, and a line where no picture can stand.

Alternative text: WCAG 2.2, success criterion 1.1.1; PDF tagging by ISO 14289-1, 7.3 (a figure has an Alt entry).
Common practice, no source: before stands at the left of after.
"""

import json
import re
from base64 import b64decode
from hashlib import sha256
from pathlib import Path

import html5lib
import pypdfium2
import pytest

from support.clock import Clock
from support.pictures import as_bytes, scene, write_photo
from ticket.job.kinds import Photo
from ticket.papers.copy import copy
from ticket.papers.paper_document import to_document
from ticket.papers.sheet import Heading, Pictures
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.papers import contents_of, paper, story
from ticket.shop.reading import story_of, ticket_of


@pytest.fixture
def shop(database: Path, tmp_path: Path) -> Shop:
    """A ticket with a pair, a single picture and one for the shop alone."""
    opened = Shop.open(database, "K. Orlo", now=Clock())
    new_ticket(opened)
    lines = ["A says: fan roars", "A found: fan housing wet below the seal"]
    for name, colour, rest in (
        ("one.jpg", "teal", "wet below the seal; for 2; before"),
        ("two.jpg", "olive", "plate of the housing"),
        ("three.jpg", "navy", "dry <after> the work & clean; for 2; after"),
    ):
        lines.append(f"A photo: {write_photo(tmp_path, name, as_bytes(scene(colour=colour)))}; {rest}")
    lines.append(
        f"# A photo: {write_photo(tmp_path, 'four.jpg', as_bytes(scene(colour='maroon')))}; shelf of the seal kit"
    )
    add_lines(opened, 1, "\n".join(lines))
    return opened


def digests(shop: Shop) -> dict[int, str]:
    return {e.no: e.fact.picture for e in ticket_of(shop, 1).entries if isinstance(e.fact, Photo)}


@pytest.mark.parametrize("reader", ["customer", "payer", "shop"])
def test_html_holds_each_picture_whole_with_its_caption_as_alternative_text(shop: Shop, reader: str) -> None:
    page = str(paper(shop, 1, reader, "html"))
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    tree = parser.parse(page)
    images = list(tree.iter("img"))
    seen = [(one.get("alt"), sha256(b64decode(one.get("src").partition(",")[2])).hexdigest()) for one in images]
    held = digests(shop)
    wanted = [
        ("Before: wet below the seal", held[3]), ("After: dry <after> the work & clean", held[5]),
        ("plate of the housing", held[4]),
    ]  # fmt: skip
    if reader == "shop":
        wanted.append(("shelf of the seal kit", held[6]))
    assert seen == wanted, "the pair stands together, before first"
    assert all(image.get("src").startswith("data:image/jpeg;base64,") for image in tree.iter("img"))
    (policy,) = [meta.get("content") for meta in tree.iter("meta") if meta.get("http-equiv")]
    assert "img-src data:" in policy
    rows = [len(list(row)) for found in tree.iter("div") if found.get("class") == "pictures" for row in found]
    assert rows == [2, *[1] * (len(wanted) - 2)]


def test_a_paper_without_pictures_lets_none_in(shop: Shop) -> None:
    number = new_ticket(shop)
    add_lines(shop, number, "says: fan roars")
    assert "img-src" not in str(paper(shop, number, "customer", "html"))


def test_the_pdf_shows_them_tagged_with_their_words_and_the_same_bytes_each_time(shop: Shop) -> None:
    made = paper(shop, 1, "customer", "pdf")
    assert isinstance(made, bytes)
    assert made == paper(shop, 1, "customer", "pdf")
    document = pypdfium2.PdfDocument(made)
    images = [found for page in document for found in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_IMAGE])]
    assert len(images) == 3
    assert len(re.findall(rb"/S\s*/Figure", made)) in (0, 3), "either in plain objects or in packed ones"
    text = " ".join(page.get_textpage().get_text_bounded() for page in document)
    assert "Before: wet below the seal" in " ".join(text.split())
    assert all(data not in made for data in (b"one.jpg", b"three.jpg"))


@pytest.mark.parametrize(("form", "bold"), [("text", ""), ("markdown", "**")])
def test_text_and_markdown_say_a_line_each(shop: Shop, form: str, bold: str) -> None:
    plain = " ".join(str(paper(shop, 1, "payer", form)).split())
    assert f"- {bold}Before:{bold} wet below the seal (picture {digests(shop)[3][:12]})" in plain
    assert "data:" not in plain
    assert plain.count("plate of the housing") == 1, "told once"
    assert "shelf of the seal kit" not in plain


def test_the_story_alone_shows_them_too_and_another_language_has_its_own_words(shop: Shop) -> None:
    assert "data:image/jpeg" in str(story(shop, 1, "customer", "html"))
    page = str(paper(shop, 1, "customer", "html", language="es"))
    assert "Antes:" in page
    assert "Imágenes" in page
    assert "wet below the seal" in page, "a caption is never put into words nobody typed"


def test_the_story_tells_of_each_picture_with_its_entry(shop: Shop) -> None:
    told = {
        str(one.sources[0]): one.text
        for section in story_of(shop, 1).sections
        if section.id == "photo"
        for one in section.sentences
    }
    assert list(told) == ["3", "4", "5"]
    assert told["4"] == f"Plate of the housing; picture {digests(shop)[4][:12]}."


def test_a_paper_for_programs_names_pictures_by_their_digest(shop: Shop) -> None:
    sheet = copy(contents_of(shop, 1, "customer"))
    text = json.dumps(to_document(sheet))
    assert digests(shop)[3] in text
    (block,) = [block for block in sheet.blocks if isinstance(block, Pictures)]
    assert sheet.blocks[sheet.blocks.index(block) - 1] == Heading("Pictures")


def test_a_picture_that_is_gone_is_told_in_a_line_and_the_paper_goes_out(shop: Shop) -> None:
    db = shop.store._session.db
    db.execute("DROP TRIGGER picture_keep")
    db.execute("DELETE FROM picture WHERE digest = ?", [digests(shop)[4]])
    db.conn.commit()
    page = str(paper(shop, 1, "customer", "html"))
    assert page.count("<img") == 2
    assert "plate of the housing" in page


def test_an_after_without_the_place_of_a_before_stands_alone(shop: Shop, tmp_path: Path) -> None:
    number = new_ticket(shop)
    file = write_photo(tmp_path)
    seen = (f"photo: {file}; one; for 2; before", f"photo: {file}; two; for 3; after")
    add_lines(shop, number, "\n".join(("says: fan roars", "found: wet", "found: dry", *seen)))
    (block,) = [block for block in copy(contents_of(shop, number, "customer")).blocks if isinstance(block, Pictures)]
    assert [len(row) for row in block.rows] == [1, 1]
