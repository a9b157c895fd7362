"""No field that stays inside is on any copy for a reader outside: a marker in each of them is looked for everywhere.

What stays inside a shop is common practice of the trade, no source; the list itself is ``ticket/story/inside.tsv``.
"""

import json
from dataclasses import fields, replace
from datetime import timedelta

import pytest
from papers_cases import contents_for

from support.tickets import MORNING
from ticket.job.entry import Entry
from ticket.job.kinds import (
    KINDS,
    Cause,
    Code,
    Did,
    Fact,
    Found,
    Later,
    Maybe,
    Note,
    Offer,
    Proof,
    Ruled,
    Says,
    Told,
    Used,
)
from ticket.job.ticket import Customer, Header, Ticket
from ticket.job.values import Answer, Clock, Ref
from ticket.notes.write import write_plainly
from ticket.papers.copy import copy, story_paper
from ticket.papers.html import sheet_html
from ticket.papers.markdown import as_markdown, sheet_markdown
from ticket.papers.paper_document import to_document as paper_document
from ticket.papers.plain_text import as_text, sheet_text
from ticket.papers.sheet import Sheet
from ticket.story.build import build
from ticket.story.document import to_document
from ticket.story.inside import inside_fields, outward

OUTSIDE = ("customer", "payer")
MARK = "zqinsidezq"
TYPED: tuple[Fact, ...] = (
    Says(text="fan roars", back_from="4"), Code(code="P0300", unit="engine", frame="idle"), Found(what="hose wet"),
    Maybe(text="pump"), Ruled(text="fan motor", reason="quiet"), Cause(text="hose leaks", refs=(Ref(3),)),
    Offer(text="replace hose", estimate="640", refs=(Ref(3),)), Did(text="replace hose", hours="1.5", refs=(Ref(7),)),
    Used(text="hose", amount="1", unit="x", part="HX-4410", price="64.00"),
    Later(text="replace belt", because="cracked", risk="may tear", judgement="do soon"),
    Told(who="Ada Fenn", way="phone", answers=(Answer("yes", (Ref(7),)),)), Proof(what="road test, quiet"),
    Note(text="belt on shelf"),
)  # fmt: skip


def marked(kind: str, name: str) -> tuple[dict[str, object], str]:
    """A value for a field that can be found again, and how it would be seen."""
    if (kind, name) == ("did", "clock"):
        return {name: (Clock("3:07", "4:19"),)}, "3:07"
    if (kind, name) == ("used", "cost"):
        return {name: "71.93"}, "71.93"
    return {name: f"{MARK}{kind}{name}"}, f"{MARK}{kind}{name}"


def ticket_with(values: dict[tuple[str, str], dict[str, object]], *, amended: bool = False) -> Ticket:
    entries = []
    for no, typed in enumerate(TYPED, 1):
        held = {key: one for (kind, _), value in values.items() if kind == typed.kind for key, one in value.items()}
        fact = replace(typed, **held)
        at = MORNING + timedelta(minutes=no)
        entries.append(Entry(no, fact, "Bo Karst", at, amended=amended, reason="typed late"))
    return Ticket(7, MORNING, header=Header(customer=Customer("Ada Fenn")), entries=tuple(entries))


def forms(ticket: Ticket, reader: str, language: str) -> list[str]:
    """Every form a reader is handed, in small letters: story and copy as text, Markdown, HTML, JSON, with sources."""
    matter = contents_for(ticket, reader, language=language, sources=True)
    story = build(matter.case, reader, language)
    out = [json.dumps(to_document(story)), as_text(story, sources=True), as_markdown(story, sources=True)]
    sheets: list[Sheet] = [copy(matter), story_paper(matter)]
    for sheet in sheets:
        out += [sheet_text(sheet), sheet_markdown(sheet), sheet_html(sheet), json.dumps(paper_document(sheet))]
    return [one.lower() for one in out]


@pytest.mark.parametrize("amended", [False, True])
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("reader", OUTSIDE)
def test_no_inside_field_is_on_any_form_for_a_reader_outside(reader: str, language: str, *, amended: bool) -> None:
    found = {field: marked(*field) for field in inside_fields(reader)}
    ticket = ticket_with({field: value for field, (value, _) in found.items()}, amended=amended)
    for told in forms(ticket, reader, language):
        assert [field for field, (_, seen) in found.items() if seen in told] == []
    assert any(found["note", "text"][1] in told for told in forms(ticket, "shop", language))


def test_a_field_that_is_not_inside_is_found_by_the_same_look() -> None:
    ticket = ticket_with({("later", "because"): {"because": f"{MARK}seen"}, ("did", "rate"): {"rate": f"{MARK}rate"}})
    assert any(f"{MARK}seen" in told for told in forms(ticket, "customer", "en"))
    assert any(f"{MARK}rate" in told for told in forms(ticket, "payer", "en"))
    assert any(f"{MARK}rate" in told for told in forms(ticket, "shop", "en"))


def test_an_entry_for_the_shop_only_is_on_no_form_whatever_its_kind() -> None:
    ticket = ticket_with({})
    for hidden in ticket.entries:
        texts = {f.name: f"{MARK}{f.name}" for f in fields(hidden.fact) if f.metadata.get("free")}
        fact = replace(hidden.fact, **texts)
        entries = tuple(replace(one, fact=fact, shop_only=True) if one is hidden else one for one in ticket.entries)
        for told in forms(replace(ticket, entries=entries), "customer", "en"):
            assert MARK not in told


def test_the_list_names_fields_that_are_there_and_empties_them_in_a_written_line() -> None:
    for reader in OUTSIDE:
        for kind, name in inside_fields(reader):
            assert name in {field.name for field in fields(KINDS[kind])}
            value, seen = marked(kind, name)
            fact = next(one for one in TYPED if one.kind == kind)
            full = replace(fact, **value)
            assert seen in write_plainly(full)
            assert seen not in write_plainly(outward(full, reader))
            assert outward(full, "shop") == full
