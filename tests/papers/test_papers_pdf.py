"""PDFs read back with pypdfium2: their text is the story's, tables break with their heads, pages are numbered."""

import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from papers_cases import COVERED, contents_for, demo, full_of, long_job, sheet_of, texts_of

from support.tickets import ticket_of
from ticket.job.case import Settings
from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.papers.copy import copy, story_paper
from ticket.papers.formats import written
from ticket.papers.pdf import breakable, sheet_pdf
from ticket.papers.sheet import Block, Facts, Heading, Items, Paragraph, Said, Sheet, Signatures
from ticket.story.sentence import READERS


def squeezed(text: str) -> str:
    """A text without white space and without the marks that only allow a break."""
    return re.sub("[\\s\u200b\u2068\u2069\ufffe\x02]", "", text)


def pages(made: bytes) -> list[str]:
    with pypdfium2.PdfDocument(made) as document:
        return [document[i].get_textpage().get_text_range() for i in range(len(document))]


def body(sheet: Sheet, made: bytes) -> str:
    """The text of all pages, the foot of each, which must stand there, taken off."""
    out = []
    texts = pages(made)
    for number, text in enumerate(texts, 1):
        foot = squeezed(f"{sheet.foot}Page {number} of {len(texts)}")
        assert squeezed(text).endswith(foot)
        out.append(squeezed(text).removesuffix(foot))
    return "".join(out)


@pytest.mark.parametrize(("number", "reader"), [(1009, "customer"), (1016, "payer"), (1020, "shop")])
def test_the_text_of_a_pdf_is_the_story_in_reading_order(number: int, reader: str) -> None:
    sheet = story_paper(contents_for(demo(number), reader))
    told = squeezed(sheet.title + "".join(texts_of(sheet.blocks)))
    assert body(sheet, sheet_pdf(sheet)).replace("•", "") == told


def test_every_text_of_a_copy_is_in_its_pdf_in_order() -> None:
    sheet = copy(contents_for(demo(1020), "payer", terms=COVERED, sources=True))
    read, at = body(sheet, sheet_pdf(sheet)), 0
    for text in texts_of(sheet.blocks):
        at = read.index(squeezed(text), at) + len(squeezed(text))


@pytest.mark.parametrize("parts", [22, 23, 24])  # around a page that ends with the last row
def test_no_sum_stands_alone_on_a_new_page(parts: int) -> None:
    typed = ["says: x", *(f"used: 1 x PX-{2200 + i} pin set, new @ {12 + i}.50" for i in range(parts))]
    texts = pages(sheet_pdf(sheet_of(ticket_of("\n".join(typed), number=2207))))
    (page,) = (text for text in texts if "Parts and fluids" in text)
    assert len(texts) > 1 or parts == 22
    assert page.index("Shop supplies") < page.index("Parts and fluids")  # the last row of the table


@pytest.mark.parametrize("kind", ["copy", "estimate", "long statement"])
def test_lines_to_sign_on_never_stand_alone_on_a_page(kind: str) -> None:
    """Whatever stands above them: two lines of what is signed are on the same page, in each place where one ends."""
    told = "We keep what was replaced for two weeks, as the law of the place wants it. " * (
        14 if kind == "long statement" else 1
    )
    sheets = []
    for lines in {"copy": (41, 44), "estimate": (41, 44), "long statement": (32, 35)}[kind]:  # each parted them before
        above: tuple[Block, ...] = (Items(tuple((Said(f"line {i}"),) for i in range(lines))), Heading("Record"))
        signed: Block = (
            Facts((("Total", "$12.00"), ("Paid", "$2.00"))) if kind == "estimate" else Paragraph((Said(told),))
        )
        lines_to_sign = Signatures(("For the shop, date", "Customer, date"))
        sheets.append(replace(sheet_of(demo(1001)), blocks=(*above, signed, lines_to_sign)))
    for sheet in sheets:
        texts = pages(sheet_pdf(sheet))
        last = [line for line in texts[-1].splitlines() if line.strip()]
        assert len(texts) == 2
        assert next(i for i, line in enumerate(last) if "For the shop" in line) >= 2, last


def test_a_long_table_breaks_over_pages_and_repeats_its_head() -> None:
    texts = pages(sheet_pdf(sheet_of(long_job(90), "payer", terms=COVERED)))
    with_rows = [text for text in texts if re.search(r"PX-22[0-9]{2}\s+1\s", text)]
    assert len(with_rows) >= 2
    assert all("Part number" in text for text in with_rows)
    numbers = re.findall(r"PX-(22[0-9]{2})\s+1\s", "".join(texts))
    assert numbers == [str(2200 + i) for i in range(30)]
    assert "".join(texts).count("Discount, regular customer") == 1


def test_a_pdf_is_tagged_names_its_standards_and_its_language() -> None:
    made = sheet_pdf(sheet_of(demo(1020)))
    raw = made.decode("latin-1")
    # ISO 14289-1 clause 5 and ISO 19005-2 clause 6.6.4: how a file says which standard it keeps.
    assert re.search(r"pdfuaid:part>1<", raw)
    assert re.search(r"pdfaid:part>2<", raw)
    assert re.search(r"pdfaid:conformance>A<", raw)
    with pypdfium2.PdfDocument(made) as document:
        assert document.is_tagged()
        assert document.get_metadata_value("Title") == "Ticket 1020 · Copy for the customer"
        assert document.get_metadata_value("Author") == "Wrenfold Vehicle Repair"


@pytest.mark.parametrize(("size", "points"), [("Letter", (612, 792)), ("A4", (595.28, 841.89))])
def test_the_shop_chooses_the_size_of_its_paper(size: str, points: tuple[float, float]) -> None:
    # ANSI/ASME Y14.1 size A; ISO 216 A4, at 72 points an inch.
    made = sheet_pdf(sheet_of(demo(1020), settings=Settings(paper=size)))
    with pypdfium2.PdfDocument(made) as document:
        assert document[0].get_size() == pytest.approx(points, abs=0.01)


@pytest.mark.slow
def test_the_same_ticket_gives_the_same_bytes_in_another_process(tmp_path: Path) -> None:
    script = (
        "import sys; sys.path[:0] = sys.argv[1:3]\n"
        "from papers_cases import demo, sheet_of\n"
        "from ticket.papers.pdf import sheet_pdf\n"
        "sys.stdout.buffer.write(sheet_pdf(sheet_of(demo(1020), 'payer', sources=True)))\n"
    )
    here = Path(__file__).parent
    command = [sys.executable, "-c", script, str(here), str(here.parent)]
    runs = [
        subprocess.run(command, capture_output=True, check=True, env=os.environ | {"PYTHONHASHSEED": seed}).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1] == sheet_pdf(sheet_of(demo(1020), "payer", sources=True))


@pytest.mark.parametrize("reader", READERS)
def test_markup_and_control_characters_are_literal_in_a_pdf(reader: str) -> None:
    text = '#let x = 1; *bold* _it_ $x^2$ @ref <label> \\ ] ) " // /* `raw` = h \x1b[31m \u202e\n\x07'
    sheet = sheet_of(full_of(text), reader)
    read, at = body(sheet, sheet_pdf(sheet)), 0
    for part in texts_of(sheet.blocks):
        told = re.sub("[\u2400-\u243f]", lambda mark: f"[U+{ord(mark.group()):04X}]", one_line(part))
        found = max(read.find(squeezed(told), at), read.find(squeezed(one_line(part)), at))
        assert found >= 0, part
        at = found


def test_a_word_without_end_stays_on_its_page() -> None:
    from dataclasses import replace

    from ticket.job.kinds import Found

    ticket = demo(1020)
    entries = [replace(e, fact=Found(what="x" * 10_000)) if e.no == 5 else e for e in ticket.entries]
    made = sheet_pdf(sheet_of(replace(ticket, entries=tuple(entries)), "payer"))
    with pypdfium2.PdfDocument(made) as document:
        count = 0
        for i in range(len(document)):
            page = document[i]
            text = page.get_textpage()
            for k in range(text.count_chars()):
                if text.get_text_range(k, 1) == "x":
                    left, bottom, right, top = text.get_charbox(k)
                    assert left >= 40
                    assert right <= page.get_width() - 40
                    assert bottom >= 30
                    assert top <= page.get_height() - 30
                    count += 1
    assert count >= 10_000


def test_a_character_no_font_has_is_shown_by_its_number() -> None:
    made = sheet_pdf(sheet_of(full_of("odd \ue123 and \U000e0041 \u0378 \U0001f527 \u4e2d \u05d0")))
    read = squeezed("".join(pages(made)))
    assert "[U+E123]" in read
    assert "[U+0378]" in read
    assert "odd" in read


@pytest.mark.parametrize("text", ["a" * 24, "fan-drive " * 30, "counterclockwise", "x\u0301" * 12])
def test_words_that_fit_a_line_are_left_alone(text: str) -> None:
    assert breakable(text) == text


def test_a_break_never_parts_a_mark_from_its_letter() -> None:
    assert not re.search("\u200b\u0301", breakable("e\u0301" * 40))


def test_where_typst_is_missing_one_sentence_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(InputError, match=r"typst is not installed.*--as html"):
        written(sheet_of(demo(1020)), "pdf")
