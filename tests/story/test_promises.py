"""What every story promises, held over random tickets and the demo jobs for every reader.

The figures are found by a scanner of its own that knows nothing of how sentences are made.
"""

import json
import re
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.tickets import tickets
from ticket.data import data_folder
from ticket.job.case import Case, Settings
from ticket.job.codec import encode_fact
from ticket.job.document import from_document
from ticket.job.entry import Entry
from ticket.job.kinds import Note
from ticket.job.ticket import Ticket
from ticket.papers.markdown import as_markdown
from ticket.papers.text import as_text
from ticket.readings.pairing import judge_entry, pair
from ticket.story.build import build
from ticket.story.document import to_document

READERS = ("customer", "payer", "shop")
_FIGURE = re.compile(r"[0-9]+(?:,[0-9]{3})*(?:\.[0-9]+)?(?:/[0-9]+)?")
_CODE = re.compile(r"\b[PCBU][0-9A-F]{4}\b|\b[PCBU][0-3][0-9A-F]{3}-[0-9A-F]{2}\b")


def demo() -> list[Ticket]:
    files = sorted(data_folder("demo_jobs").glob("1*.json"))
    return [from_document(json.loads(file.read_text("utf-8"))) for file in files]


DEMO = demo()


def case_of(ticket: Ticket, *earlier: Ticket) -> Case:
    return Case(ticket, Settings(), date(2026, 11, 25), earlier)


def demo_case(ticket: Ticket) -> Case:
    plate = ticket.header.vehicle.plate
    before = [other for other in DEMO if other.header.vehicle.plate == plate and other.opened < ticket.opened]
    return case_of(ticket, *sorted(before, key=lambda other: other.opened, reverse=True))


def figures(text: str) -> set[str]:
    return {found.replace(",", "").lstrip("0") or "0" for found in _FIGURE.findall(text)}


def typed(entry: Entry, case: Case) -> str:
    """Everything an entry says, with what it takes over from the reading it repeats."""
    again = pair(case.ticket, entry, case.earlier)
    run = again or getattr(entry.fact, "run", None)
    # The place of a value in a list without labels counts as typed: cylinder 3 is the third figure.
    bare = run is not None and len(run.values) > 2 and not any(value.label for value in run.values)
    places = " ".join(str(i + 1) for i in range(len(run.values))) if run is not None and bare else ""
    day = f" {entry.at.day} {entry.at.year} {places}"
    return json.dumps(encode_fact(entry.fact), ensure_ascii=False) + (repr(again) if again else "") + day


def sentences(case: Case, reader: str) -> list[dict[str, Any]]:
    document = to_document(build(case, reader))
    return [sentence for section in document["sections"] for sentence in section["sentences"]]


def check_figures(case: Case, reader: str) -> None:
    entries = {entry.no: entry for entry in case.ticket.entries}
    earlier = {f"{ticket.number}/{entry.no}": (ticket, entry) for ticket in case.earlier for entry in ticket.entries}
    for sentence in sentences(case, reader):
        assert sentence["sources"]
        known = " ".join(derived["text"] for derived in sentence.get("derived", ()))
        for source in sentence["sources"]:
            if isinstance(source, int):
                known += " " + typed(entries[source], case)
            elif source in earlier:
                ticket, entry = earlier[source]
                known += " " + typed(entry, replace(case, ticket=ticket)) + f" {ticket.opened.day} {ticket.opened.year}"
                known += f" {ticket.closed.day} {ticket.closed.year}" if ticket.closed else ""
            else:
                assert source == "ticket" or source.startswith("caution:"), source
        assert figures(sentence["text"]) <= figures(known), (sentence, known)
        assert set(_CODE.findall(sentence["text"])) <= set(_CODE.findall(known)) | {
            f"{fact['code']}-{fact['sub']}"
            for fact in map(encode_fact, (e.fact for e in entries.values()))
            if "sub" in fact
        }


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("number", [ticket.number for ticket in DEMO])
def test_every_figure_of_the_demo_stories_stands_in_their_sources(number: int, reader: str) -> None:
    (ticket,) = (ticket for ticket in DEMO if ticket.number == number)
    check_figures(demo_case(ticket), reader)


@given(tickets(), st.sampled_from(READERS))
def test_every_figure_of_any_story_stands_in_its_sources(ticket: Ticket, reader: str) -> None:
    check_figures(case_of(ticket), reader)


MUST = ("says", "code", "cause", "ruled", "did", "used", "proof", "later")


@given(tickets())
def test_what_must_be_told_is_told_and_what_is_the_shops_is_not(ticket: Ticket) -> None:
    case = case_of(ticket)
    cited = {source for sentence in sentences(case, "customer") for source in sentence["sources"]}
    for entry in ticket.living:
        if entry.shop_only or isinstance(entry.fact, Note):
            assert entry.no not in cited
        elif entry.kind in MUST or any(verdict.word in ("low", "high") for verdict in judge_entry(ticket, entry)):
            assert entry.no in cited, entry
    struck = {entry.no for entry in ticket.entries if entry.struck}
    assert not struck & cited


@given(tickets(), st.data())
def test_no_sentence_outlives_its_entry(ticket: Ticket, data: st.DataObject) -> None:
    gone = data.draw(st.sampled_from(ticket.entries)) if ticket.entries else None
    if gone is None:
        return
    rest = replace(ticket, entries=tuple(entry for entry in ticket.entries if entry.no != gone.no))
    for reader in READERS:
        assert all(gone.no not in sentence["sources"] for sentence in sentences(case_of(rest), reader))


@given(tickets(), st.sampled_from(READERS))
def test_a_story_is_the_same_every_time_and_prints_whatever_it_holds(ticket: Ticket, reader: str) -> None:
    story = build(case_of(ticket), reader)
    assert story == build(case_of(ticket), reader)
    assert "\x1b" not in as_text(story, width=30, sources=True) + as_markdown(story)


def test_the_customer_reads_at_grade_eight_or_below() -> None:
    """Flesch-Kincaid (Kincaid and others 1975) as textstat computes it, codes and part numbers taken out."""
    textstat = pytest.importorskip("textstat")
    grades = []
    for ticket in DEMO:
        text = " ".join(sentence["text"] for sentence in sentences(demo_case(ticket), "customer"))
        grades.append(textstat.flesch_kincaid_grade(re.sub(r"\b\w*\d\w*-?\w*\b", "", text)))
    assert sum(grades) / len(grades) <= 8
