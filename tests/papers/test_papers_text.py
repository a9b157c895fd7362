"""Plain text of a copy: laid out within its width, nothing added, nothing lost."""

import re
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from papers_cases import COVERED, demo, full_of, long_job, sheet_of, texts_of
from rich.cells import cell_len  # an independent count of terminal cells

from support.tickets import tickets
from ticket.job.text import one_line
from ticket.job.ticket import Correction, Customer, Header, Ticket, Vehicle
from ticket.job.values import Quantity
from ticket.job.width import cells, wrapped
from ticket.papers.labels import labels
from ticket.papers.plain_text import sheet_text
from ticket.papers.sheet import Measures, Table
from ticket.story.sentence import READERS

_RULES = re.compile(r"[\s\u00a0=_!-]")  # what the layout adds: spaces, rules, lines to sign on, marks of a notice


def letters(text: str) -> Counter[str]:
    return Counter(_RULES.sub("", text))


@settings(max_examples=10)
@given(tickets(), st.sampled_from(READERS), st.sampled_from((20, 34, 80, 132)))
def test_a_copy_fits_its_width_and_holds_every_letter_of_its_texts(ticket: Ticket, reader: str, width: int) -> None:
    sheet = sheet_of(ticket, reader, terms=COVERED)
    text = sheet_text(sheet, width)
    assert max(map(cell_len, text.split("\n"))) <= width
    top = (sheet.title, "·", sheet.kind, *sheet.sender)
    shown = letters(text)
    if width >= 80:
        held = letters("".join(map(one_line, (*top, *texts_of(sheet.blocks)))))
        rows = sum(len(block.rows) for block in sheet.blocks if isinstance(block, Measures))
        assert held <= shown  # what was measured and is too long for columns is a sentence, with its own marks
        assert shown - held <= Counter({":": rows, ".": rows})
    # A table too wide for its lines is written as a list of its cells, each with its head; empty ones are left out.
    headless = tuple(replace(block, columns=()) if isinstance(block, Table) else block for block in sheet.blocks)
    assert letters("".join(map(one_line, (*top, *texts_of(headless))))) <= shown


@pytest.mark.parametrize("text", ["漢字かな交じり" * 30, "a\u0301" * 90, "ab漢" * 40, "x" * 10_000, "\x1b[2J\u202e"])
def test_wide_and_endless_words_stay_within_the_width(text: str) -> None:
    for width in (20, 80):
        made = sheet_text(sheet_of(full_of(text)), width)
        assert max(map(cell_len, made.split("\n"))) <= width
        assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e]", made)


def test_amounts_stand_under_each_other_at_the_right_edge() -> None:
    lines = sheet_text(sheet_of(long_job(), terms=COVERED), 80).split("\n")
    rows = [
        line for line in lines if (re.search(r"\$[0-9,.]+ +-?\$[0-9,.]+$", line) and "PX-" in line) or "Total" in line
    ]
    assert len(rows) > 20
    assert len({len(line) for line in rows}) == 1


def test_a_narrow_screen_gets_rows_as_lists() -> None:
    text = sheet_text(sheet_of(demo(1020)), 28)
    assert re.search(r"Work or part +Oil filter", text)
    assert re.search(r"Amount +\$38\.20", text)


@given(st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp")), max_size=60))
def test_wrapping_loses_no_letter(text: str) -> None:
    lines = wrapped(text, 24, "- ", "  ")
    assert "".join(lines)[2:].replace(" ", "") == re.sub("[ \u00a0]", "", text)
    assert all(cells(line) <= 24 for line in lines)


def test_every_language_of_the_papers_has_the_same_ids_and_slots() -> None:
    from importlib.resources import files

    english = labels("en")
    for file in files("ticket.papers").iterdir():
        if re.fullmatch(r"labels_[a-z]+\.tsv", file.name):
            other = labels(file.name[7:-4])
            assert other.ids == english.ids, file.name
            for name in english.ids:
                slots = [sorted(re.findall(r"\{(\w+)\}", one.raw(name))) for one in (english, other)]
                assert slots[0] == slots[1], (file.name, name)


def test_no_figure_stands_in_the_words_of_the_papers() -> None:
    words = labels("en")
    assert not [name for name in words.ids if re.search(r"[0-9]|\b(one|two|three)\b(?!\})", words.raw(name))]


@pytest.mark.parametrize(
    ("reader", "language", "was", "now"),
    [
        (
            "customer",
            "en",
            ("Plate: RKM 381", "10214 mi at arrival", "Phone: 555-0101"),
            ("RKM 318", "Phone: not given"),
        ),
        ("shop", "es", ("Placas: RKM 381", "10214 mi al llegar", "555-0101"), ("100214 mi", "Teléfono: sin dato")),
        ("payer", "en", ("Plate: RKM 381",), ("Plate: RKM 318", "Odometer: rolled over")),
    ],
)
def test_a_copy_tells_what_was_corrected_after_signing(
    reader: str, language: str, was: tuple[str, ...], now: tuple[str, ...]
) -> None:
    """Old and new value, who, when and why; how to reach a customer is nothing for other payers."""
    ticket = demo(1001)
    old = Header(Vehicle(plate="RKM 381"), Customer(phone="555-0101"), Quantity("10214", "mi"))
    new = Header(Vehicle(plate="RKM 318"), odometer_in=Quantity("100214", "mi"), odometer_reason="rolled over")
    one = Correction(old, new, "K. Orlo", ticket.opened, "misread")
    sheet = sheet_of(replace(ticket, corrections=(one,)), reader, language=language)
    (table,) = (block for block in sheet.blocks if isinstance(block, Table) and "misread" in str(block.rows))
    ((when, why, before, after),) = table.rows
    assert when.endswith("K. Orlo")
    assert why == "misread"
    assert [text for text in was if text not in before.replace("\u00a0", " ")] == []
    assert [text for text in now if text not in after.replace("\u00a0", " ")] == []
    assert ("555-0101" in before) == (reader != "payer")
