"""A finding with several measurements: each is told, judged, asked about and shown; older tickets tell as before."""

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings

from support.facts import measured_facts
from support.faithful.check import check
from support.faithful.whole import check_story
from support.schemas import validate
from support.several import AT, FINDING, several
from ticket.cli.ticket_commands import verdict_words
from ticket.data import data_folder
from ticket.gaps.find import find_gaps
from ticket.grid.entries import cells_of
from ticket.grid.sight import Sight
from ticket.grid.signs import HIGH, LOW
from ticket.job.case import Case, Settings
from ticket.job.codec import decode_fact, encode_fact
from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.job.ticket import Ticket
from ticket.job.ticket_document import from_document, to_document
from ticket.notes.read import read
from ticket.notes.write import write
from ticket.shop.changing import load_documents
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of
from ticket.store.driver import sqlite3
from ticket.story.build import build
from ticket.story.document import to_document as told

READERS, LANGUAGES = ("customer", "payer", "shop"), ("en", "es")
DEMO = sorted(Path(__file__).parents[2].glob("demo_jobs/1*.json"))


def case(ticket: Ticket, units: str = "as typed") -> Case:
    return Case(ticket, replace(Settings(), units=units), date(2026, 3, 23))


def sentences(case: Case, reader: str, language: str) -> list[str]:
    document = told(build(case, reader, language))
    return [f"{one['sources']} {one['text']}" for part in document["sections"] for one in part["sentences"]]


def test_every_measurement_is_told_to_the_customer_in_order() -> None:
    story = "\n".join(sentences(case(several(), "metric"), "customer", "en"))
    wanted = (
        "At idle, the engine oil pressure was 12 psi (83 kPa), which is too low; at least 15 psi (100 kPa) is needed.",
        "The coolant temperature was 225 to 230 °F (107 to 110 °C), which is too high; no more than 220 °F (104 °C) is",
        "We measured the tread of the tires: left front 4/32 inches (3.2 mm); right front 1/32 inches (0.79 mm) (too"
        " little); at least 2/32 inches (1.59 mm) is needed.",
        "There was a leak at the oil cooler.",
        "We know this because the engine oil pressure was too low, the coolant temperature was too high, and the right"
        " front tire had too little tread.",
        "17 psi (120 kPa), up from 12 psi (83 kPa); at least 15 psi (100 kPa) is needed",
        "left front 8/32 inches (6.4 mm); right front 8/32 inches (6.4 mm), within limits; at least 2/32 inches (1.59"
        " mm) is needed",
    )
    places = [story.replace("\u00a0", " ").find(text) for text in wanted]
    assert -1 not in places, story
    assert places == sorted(places)


@pytest.mark.parametrize("units", ["as typed", "US", "metric"])
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("reader", READERS)
def test_the_judge_has_nothing_against_it(reader: str, language: str, units: str) -> None:
    whole = case(several(), units)
    flaws = check_story(told(build(whole, reader, language)), whole)
    assert [flaw for flaw in flaws if not flaw.finding.advice] == []


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("The coolant temperature was 12 psi.", "F2"),
        ("The engine oil pressure was 225 to 230 °F.", "F2"),
        ("The coolant temperature was 225 to 230 °F, which is within limits.", "F21"),
        ("The left front tire had 1/32 inches of tread.", "F6"),
        ("The engine oil pressure was too high.", "F21"),
        ("The engine oil pressure was 12 psi at idle.", ""),
        ("The coolant temperature was 225 to 230 °F, and the engine oil pressure was 12 psi.", ""),
    ],
)
def test_a_figure_of_one_measurement_is_not_told_of_another(text: str, rule: str) -> None:
    ticket = several()
    found = check(text, (ticket.entries[1],), reader="customer", ticket=ticket)
    assert {one.rule for one in found if not one.advice} == ({rule} if rule else set())


def test_gaps_look_at_every_measurement() -> None:
    ticket = several()
    lonely = case(replace(ticket, entries=ticket.entries[:2]))
    asked = {gap.id: gap.question for gap in find_gaps(lonely) if gap.entry == 2}
    assert "low and high" in asked["finding-unanswered"]
    one_other = replace(FINDING, measurements=(replace(FINDING.measurements[1], to="", value="201"),), seen="")
    twice = Entry(6, one_other, "Kim Arden", AT, "A")
    gaps = find_gaps(case(replace(ticket, entries=(*ticket.entries, twice))))
    assert [gap.entry for gap in gaps if gap.id == "reading-twice"] == [6]


def test_screens_and_shell_name_the_measurements_that_are_not_in_limits() -> None:
    ticket = several()
    rows = cells_of(Sight(case(ticket)), ticket.entries[1])
    shown = ["".join(span.text for span in (*row.what, *row.result)) for row in rows if row.sign in (LOW, HIGH)]
    assert len(shown) == 3
    for words, result in (("engine oil pressure", "low"), ("coolant temperature", "high"), ("right front", "low")):
        assert any(words in text and result in text for text in shown)
    assert (
        verdict_words(ticket, ticket.entries[1])
        == "engine oil pressure low, coolant temperature high, tread right front low"
    )


def test_it_travels_as_a_document_through_a_store_and_back(tmp_path: Path) -> None:
    ticket = several()
    document = to_document(ticket)
    validate(document, json.loads((data_folder("schemas") / "ticket.json").read_text("utf-8")))
    assert from_document(json.loads(json.dumps(document))) == ticket
    with Shop.open(tmp_path / "shop.db", "Kim Arden") as shop:
        load_documents(shop, [("a.json", json.dumps(document))])
        again = ticket_of(shop, 7)
        assert again.entries == ticket.entries
        assert to_document(again)["entries"] == document["entries"]
        assert shop.store.audit(deep=True).ok
    with sqlite3.connect(tmp_path / "shop.db") as db:
        rows = db.execute("SELECT what, label, number, unit, limits FROM v_reading WHERE no = 2").fetchall()
        whole = db.execute("SELECT number, unit, limits FROM v_found").fetchall()
        index = db.execute("SELECT what, label, dim FROM entry_reading WHERE no = 2 ORDER BY i").fetchall()
    db.close()
    assert rows == [
        ("engine oil pressure", None, "12", "psi", "min 15 per maker"),
        ("coolant temperature", None, "225-230", "degF", "max 220"),
        ("tread", "left front", "4/32", "in", "min 2/32 per law"),
        ("tread", "right front", "1/32", "in", "min 2/32 per law"),
    ]
    assert whole == [("12, 225-230, left front 4/32, right front 1/32", "psi, degF, in",
                      "min 15 per maker, max 220, min 2/32 per law")]  # fmt: skip
    assert [row[1] for row in index] == ["", "", "left front", "right front"]


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(measured_facts())
def test_any_measurements_are_kept_told_and_judged(fact: Found | Proof) -> None:
    assert decode_fact(fact.kind, encode_fact(fact)) == fact
    base = several()
    ticket = replace(base, entries=(*base.entries, Entry(6, fact, "Kim Arden", AT, "A")))
    find_gaps(case(ticket))
    write(fact)
    for reader in READERS:
        for language in LANGUAGES:
            build(case(ticket, "metric"), reader, language)


def retyped(ticket: Ticket) -> Ticket:
    """A ticket whose findings were typed today: each line read anew."""
    entries = []
    for entry in ticket.entries:
        fact = entry.fact
        if isinstance(fact, Found | Proof):
            (draft,) = read(write(fact))
            assert write(draft.fact) == write(fact)
            fact = draft.fact
        entries.append(replace(entry, fact=fact))
    return replace(ticket, entries=tuple(entries), seal="", elsewhere=None)


@pytest.mark.slow
@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_an_older_ticket_tells_and_asks_what_its_lines_do_today(path: Path) -> None:
    older = replace(from_document(json.loads(path.read_text("utf-8"))), seal="", elsewhere=None)
    newer = retyped(older)
    assert any(entry.fact.measurements for entry in newer.entries if isinstance(entry.fact, Found | Proof)) or not any(
        entry.fact.run for entry in older.entries if isinstance(entry.fact, Found | Proof)
    )
    for reader in READERS:
        for language in LANGUAGES:
            assert sentences(case(older, "metric"), reader, language) == sentences(
                case(newer, "metric"), reader, language
            )
    assert find_gaps(case(older)) == find_gaps(case(newer))
