"""What every copy promises over random tickets, whoever reads it: nothing invented, nothing hidden told, sums exact."""

import calendar
import json
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from papers_cases import COVERED, PRICES, SHOP, contents_for, demo, full_of, long_job, sheet_of, texts_of

from support.tickets import tickets
from ticket.grid.worded import money
from ticket.job.entry import Entry
from ticket.job.kinds import Fact, Found, Later, Note, Offer, Used
from ticket.job.ticket import Ticket
from ticket.job.ticket_document import to_document
from ticket.language.terse import past, terse
from ticket.notes.write import write_plainly
from ticket.papers.copy import copy
from ticket.papers.labels import labels
from ticket.papers.sheet import Block, Heading, Items, Lead, Paragraph, Sheet, Table
from ticket.papers.story_blocks import story_blocks
from ticket.story.sentence import READERS

_WORD = re.compile(r"[^\W_]+")
_FIGURE = re.compile(r"[0-9][0-9.,:]*[0-9]|[0-9]")


def bare(blocks: tuple[Block, ...]) -> list[str]:
    """The texts of a copy but for its story, which has judges of its own."""
    return [text for block in blocks if not isinstance(block, Heading | Paragraph | Items) for text in texts_of(block)]


def typed(ticket: Ticket) -> str:
    return json.dumps(to_document(ticket), ensure_ascii=False)


def amounts(ticket: Ticket) -> set[str]:
    """Every amount the bill and the agreement work out, as figures."""
    matter = contents_for(ticket, terms=COVERED)
    bill = matter.bill
    assert bill is not None
    cents = [getattr(bill, name) for name in ("labour", "parts", "sublet", "cores", "fees", "discount", "tax", "total",
                                              "deposit", "due")]  # fmt: skip
    for one in bill.payers:
        cents += [one.lines, one.discount, one.tax, one.deductible, one.total]
    for line in bill.lines:
        cents += [line.amount, *(value for share in line.shares for value in (share.amount, share.net))]
    cents += [tax.amount for tax in bill.taxes]
    for contact in matter.agreements[0].contacts:
        cents += [value for value in (contact.total, contact.ceiling, contact.approved) if value is not None]
    texts = {f"{abs(value) // 100}.{abs(value) % 100:02}" for value in cents}
    return texts | {text for line in bill.lines for text in (line.quantity, line.price, line.clock, line.cut)}


def plain(figure: str) -> str:
    return figure.replace(",", "")


_OF_THE_GRID = frozenset(
    "low high in limits not judged unread proved failed sure tested is back likely by from for of and more others"
    " yes no thinks left message asked replaced freeze frame because risk watch or since on clock was again picture to"
    " paid up typed h per spread min max places".split()
)
"""The words that the columns of the entries add to what was typed."""


@settings(max_examples=10)
@given(tickets(hostile=False), st.sampled_from(READERS))
def test_no_figure_code_or_name_stands_on_a_copy_that_the_ticket_lacks(ticket: Ticket, reader: str) -> None:
    sheet = copy(contents_for(ticket, reader, terms=COVERED))
    source = typed(ticket) + json.dumps([str(PRICES), str(COVERED), str(SHOP)])
    moments = [at for at in (ticket.opened, ticket.closed, *(entry.at for entry in ticket.entries)) if at]
    contacts = [contact.at for contact in contents_for(ticket).agreements[0].contacts]
    dates = " ".join(f"{at:%B} {at.day} {at.year} {at:%H:%M}" for at in (*moments, *contacts))
    known = {plain(figure) for figure in _FIGURE.findall(f"{source} {dates}")} | amounts(ticket)
    known |= {str(ticket.number), str(ticket.rev), *(str(entry.no) for entry in ticket.entries)}
    known |= {plain(money(figure)) for figure in known}  # a typed sum is written with two places
    sums = {plain(cell).strip("$-") for block in sheet.blocks if isinstance(block, Table) for total in block.totals
            for cell in total.cells}  # fmt: skip
    # Sums of classes and taxes are held against their rows in a test of their own.
    for text in bare(sheet.blocks):
        strange = {plain(figure) for figure in _FIGURE.findall(text)} - known - sums
        halves = {figure for figure in strange if not set(re.split("[.:,]", figure)) <= known}
        assert not halves, (text, halves)
    told = {word.casefold() for word in _WORD.findall(source + dates)}
    words = labels("en")
    told |= {word.casefold() for name in words.ids for word in _WORD.findall(words.raw(name))}
    leads = {block.text for block in sheet.blocks if isinstance(block, Lead)}
    assert leads <= {"Measured:", "In the technician’s words:"}  # the story's own sub-headings, nothing typed
    told |= {word.casefold() for text in leads for word in _WORD.findall(text)}
    told |= _OF_THE_GRID
    bill = contents_for(ticket).bill
    assert bill is not None
    cleaned = [clean(line.text) for line in bill.lines for clean in (past, terse)]
    cleaned += [past(line.text, "did undecided") for line in bill.lines]  # R&R, where no part of it was used
    cleaned += calendar.month_name[1:]
    cleaned += [terse(e.fact.text) for e in ticket.entries if isinstance(e.fact, Later | Offer)]
    cleaned += [
        write_plainly(e.fact) for e in ticket.entries
    ]  # the changes stand in the notation, "est" for an estimate
    told |= {word.casefold() for text in cleaned for word in _WORD.findall(text)}
    matter = contents_for(ticket, reader, terms=COVERED)
    story = story_blocks(
        matter.story, matter.language
    )  # its tables speak the story's words: "13.8 to 14.8 volts is normal"
    for text in bare(tuple(block for block in sheet.blocks if block not in story)):
        assert {word.casefold() for word in _WORD.findall(text) if not word.isdigit()} <= told, text


def cents(cell: str) -> int:
    return int(Fraction(re.sub(r"[$,]", "", cell)) * 100)


@settings(max_examples=10)
@given(tickets(), st.sampled_from(READERS))
def test_the_sums_of_a_copy_are_the_sums_of_its_rows(ticket: Ticket, reader: str) -> None:
    for sheet in (copy(contents_for(ticket, reader)), copy(contents_for(ticket, reader, terms=COVERED))):
        check_sums(sheet)


def check_sums(sheet: Sheet) -> None:
    """Read back from the cells alone: classes add up to the rows, everything above the total to the total."""
    tables = [block for block in sheet.blocks if isinstance(block, Table) and block.totals]
    if not tables:
        return
    table = tables[0]
    for name in ("Amount", "You pay"):
        titles = [column.title for column in table.columns]
        if name not in titles:
            continue
        at = titles.index(name)
        rows = [row[at] for row in table.rows if row[at] not in ("", "no price")]
        totals = [(total.name, total.cells[at - len(titles)]) for total in table.totals]
        values = {key: cents(cell) for key, cell in totals if cell not in ("", "no price")}
        classes = ("Labor", "Parts and fluids", "Work bought outside", "Charges for old parts", "Fees and supplies")
        assert sum(map(cents, rows)) == sum(value for key, value in values.items() if key in classes)
        grand = totals[-1][0]
        assert values[grand] == sum(value for key, value in values.items() if key != grand)


def test_what_the_payers_pay_is_the_whole() -> None:
    sheet = sheet_of(long_job(), terms=COVERED)
    lines, payers = (b for b in sheet.blocks if isinstance(b, Table) and b.totals)
    whole = cents(lines.totals[-1].cells[0])
    assert whole == sum(cents(row[-1]) for row in payers.rows)
    assert cents(payers.totals[-1].cells[0]) == cents(payers.rows[0][-1]) - 20000  # the deposit of the terms
    assert payers.rows[1][0] == "Warranty (Harrow Cover)"


@settings(max_examples=10)
@given(tickets())
def test_what_the_shop_keeps_to_itself_is_on_no_other_copy(ticket: Ticket) -> None:
    hidden: tuple[Fact, ...] = (
        Note(text="zzq remark"), Found(what="zzq hose"), Offer(text="zzq offer", estimate="7731"),
        Later(text="zzq later", estimate="7732"),
        Used(text="zzq part", part="ZZQ-1", amount="1", price="77.33", pays="shop"),
    )  # fmt: skip
    more = tuple(Entry(900 + i, fact, "Zzq", ticket.opened, shop_only=True) for i, fact in enumerate(hidden))
    secret = replace(ticket, entries=(*ticket.entries, *more))
    for reader in ("customer", "payer"):
        told = " ".join(texts_of(copy(contents_for(secret, reader, sources=True)).blocks)).lower()
        assert "zzq" not in told
        assert not re.search(r"77\.?3[1-3]", told)
    assert "zzq remark" in " ".join(texts_of(sheet_of(secret, "shop").blocks)).lower()


def test_the_payers_copy_has_what_an_auditor_looks_for() -> None:
    """Number and kind of parts and hours by the clock (16 CCR 3356, ATCP 132.08); approval, deductible (practice)."""
    from support.tickets import ticket_of

    lines = """says: squeals every morning
found: pads LF 1.9 mm (min 3.0 per maker)
did: 1.5 h replace front pads; clock 9:05-10:25; pay warranty
used: 1 x PD-2140 front pads, rebuilt @ 64.00; pay warranty"""
    told = " | ".join(texts_of(sheet_of(ticket_of(lines, number=9), "payer", terms=COVERED).blocks))
    for part in ("HC-77812", "$100", "PD-2140", "rebuilt", "9:05–10:25", "1.3\u00a0h", "Harrow Cover"):
        assert part in told, part


@pytest.mark.parametrize("reader", ["customer", "payer"])
def test_a_signed_copy_carries_its_seal_and_an_open_one_says_so(reader: str) -> None:
    open_ticket = demo(1020)
    assert "Not signed yet" in " ".join(texts_of(sheet_of(open_ticket, reader).blocks))
    signed = replace(open_ticket, status="signed", closed=open_ticket.entries[-1].at, signed_by="Nell Ivarsen",
                     seal="36-d2ad6359404a246b")  # fmt: skip
    told = " ".join(texts_of(sheet_of(signed, reader).blocks))
    assert "36-d2ad6359404a246b" in told
    assert "Not signed" not in told


def test_a_change_after_signing_shows_what_stood_before_who_and_why() -> None:
    ticket = demo(1020)
    late = Entry(99, Found(what="fan-drive level read again"), "Nell Ivarsen", ticket.entries[-1].at, concern="A",
                 replaces=5, reason="read the wrong gauge", amended=True)  # fmt: skip
    told = " | ".join(texts_of(sheet_of(replace(ticket, entries=(*ticket.entries, late)), "payer").blocks))
    for part in (
        "housing and hoses dry after 20 min",
        "fan-drive level read again",
        "read the wrong gauge",
        "Nell Ivarsen",
    ):
        assert part in told


def test_an_empty_ticket_makes_every_copy() -> None:
    from support.tickets import MORNING

    for reader in READERS:
        sheet = sheet_of(Ticket(1, MORNING), reader)
        assert sheet.at == MORNING
        assert "Ticket 1" in sheet.title


def test_a_copy_in_another_language_says_its_own_words_and_the_same_figures() -> None:
    english, spanish = (sheet_of(demo(1020), terms=COVERED, language=language) for language in ("en", "es"))
    assert spanish.language == "es"
    told = " | ".join(texts_of(spanish.blocks))
    for part in (
        "Trabajos y piezas",
        "Filtro de aceite (OF-560, pieza nueva)",
        "12 de noviembre de 2026",
        "2\u00a0meses",
    ):
        assert part in told
    tables = [[b for b in sheet.blocks if isinstance(b, Table)] for sheet in (english, spanish)]
    for one, other in zip(*tables, strict=True):
        for row, same in zip(one.rows, other.rows, strict=True):
            assert sorted(_FIGURE.findall(" ".join(row))) == sorted(_FIGURE.findall(" ".join(same)))
        assert [total.cells for total in one.totals] == [total.cells for total in other.totals]


@pytest.mark.parametrize("text", ["", "<b>x</b>", "x" * 10_000, "replace hose, ", "\u202e\x00"])
def test_a_copy_in_another_language_takes_any_text(text: str) -> None:
    for reader in READERS:
        assert texts_of(sheet_of(full_of(text), reader, language="es", sources=True).blocks)
