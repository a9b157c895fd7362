"""Completion is judged by what a line becomes: pure, from a few phrases written down by hand."""

from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.tickets import ticket_of, tickets
from ticket.assist.completing import complete, next_word
from ticket.assist.phrasing import phrases_of
from ticket.assist.typing_context import TypingContext, gather
from ticket.job.case import Case, Settings
from ticket.job.kinds import KINDS
from ticket.job.text import fold
from ticket.job.ticket import Customer, Person, Ticket
from ticket.notes.read import read
from ticket.notes.write import write
from ticket.shop.changing import add_lines, new_ticket
from ticket.store.index_rows import Phrase

TODAY = ticket_of("says: x").opened.date()
PAST = (
    Phrase("did", "replace drive belt", "0.9 h", behind="; rate general", uses=7),
    Phrase("used", "drive belt", "1 x", "DB-1790", ", new @ 37.40", uses=5),
    Phrase("used", "DB-1790", "1 x", "", " drive belt, new @ 37.40", uses=5),
    Phrase("found", "belt tension", behind=" Hz (95 to 105 per maker)", open=True, uses=4),
    Phrase("cause", "drive belt worn", uses=3),
    Phrase("later.because", "it still holds its tension", uses=2),
)


def history(kind: str, beginning: str) -> Sequence[Phrase]:
    return [item for item in PAST if item.kind == kind and fold(item.text).startswith(fold(beginning))]


def around(ticket: Ticket, *beside: Phrase) -> TypingContext:
    case = Case(ticket, Settings(rates=("general", "truck")), TODAY, people=(Person("Dov Ashgrave"),))
    return gather(case, [("P1A30", beside)])


EMPTY = around(ticket_of("says: squeal from the front"))


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("di", "did: "),
        ("did: rep", "did: 0.9 h replace drive belt; rate general"),
        ("did: 1.5 h rep", "did: 1.5 h replace drive belt; rate general"),
        ("u: drive", "u: 1 x DB-1790 drive belt, new @ 37.40"),
        ("used: 2 x DB", "used: 2 x DB-1790 drive belt, new @ 37.40"),
        ("belt t", "belt tension "),
        ("belt tension 88", "belt tension 88 Hz (95 to 105 per maker)"),
        ("found: belt tension 120.5", "found: belt tension 120.5 Hz (95 to 105 per maker)"),
        ("B cause: drive b", "B cause: drive belt worn"),
        ("later: belt; b", "later: belt; because "),
        ("later: belt; because it s", "later: belt; because it still holds its tension"),
        ("later: belt; may w", "later: belt; may wait"),
        ("did: clean; by d", "did: clean; by Dov Ashgrave"),
        ("did: clean; rate tr", "did: clean; rate truck"),
        ("code: P1A30-7B fan control, sto", "code: P1A30-7B fan control, stored"),
        ("used: 1 x hose, rec", "used: 1 x hose, reconditioned"),
        ("proof: squeal fr", "proof: squeal from the front"),
    ],
)
def test_a_line_goes_on_as_the_past_or_the_notation_says(typed: str, wanted: str) -> None:
    assert wanted in [candidate.line for candidate in complete(typed, EMPTY, history)]


def test_the_tickets_own_numbers_come_first() -> None:
    ticket = ticket_of(
        "says: squeal\nfound: belt tension 60 Hz (95 to 105)\noffer: replace drive belt; for 2; est 80.50\n"
        "offer: clean pulleys; est 20\nmaybe: glazed belt",
        customer=Customer("Ada Fenn", "555-0134"),
    )  # fmt: skip
    known = around(ticket)
    first = [complete(line, known, history)[0].line for line in ("told: ", "proof: ", "proof: 2 now 99", "ruled: ")]
    assert first == [
        "told: Ada Fenn by phone 555-0134, yes 3 4; total 100.50", "proof: 2 now ", "proof: 2 now 99 Hz",
        "ruled: glazed belt",
    ]  # fmt: skip
    assert complete("told: ada fenn in p", known, history)[0].line == "told: Ada Fenn in person, yes 3 4; total 100.50"
    agreed = around(ticket_of(ticket_text(ticket) + "\ntold: Ada Fenn by phone, yes 3; no 4; total 80.50"))
    assert complete("did: ", agreed, history)[0].line == "did: replace drive belt"
    assert complete("later: ", agreed, history)[0].line == "later: clean pulleys"


def ticket_text(ticket: Ticket) -> str:
    return "\n".join(write(entry.fact) for entry in ticket.entries)


def test_what_stood_beside_the_code_is_offered_before_anything_is_typed() -> None:
    known = around(ticket_of("code: P1A30-7B, stored"), Phrase("cause", "fan-drive hose leaks", uses=4))
    (candidate,) = complete("cause: ", known, history)
    assert (candidate.line, candidate.why) == ("cause: fan-drive hose leaks", "with P1A30, 4 times")


def test_contacts_and_remarks_are_never_completed_from_the_past() -> None:
    """A customer's name typed on one ticket must not come up on another's."""
    ticket = ticket_of("told: Ada Fenn by phone 555-0134, agreed to wait\n# owner is Ada Fenn")
    assert [item for entry in ticket.entries for item in phrases_of(entry.fact)] == []


def test_one_word_is_taken_at_a_time() -> None:
    assert next_word("did: rep", "did: replace drive belt") == "did: replace "
    assert next_word("did: replace ", "did: replace drive belt") == "did: replace drive "
    assert next_word("did: rep", "did: 0.9 h replace drive belt") == "did: 0.9 h replace drive belt"


@given(tickets(), st.data())
def test_any_beginning_of_any_line_is_completed_to_longer_lines_of_the_same_kind(
    ticket: Ticket, data: st.DataObject
) -> None:  # fmt: skip
    line = write(data.draw(st.sampled_from(ticket.entries)).fact)
    typed = line[: data.draw(st.integers(0, len(line)))]
    for candidate in complete(typed, around(ticket), history):
        assert len(candidate.line.rstrip()) > len(typed.rstrip())
        assert "\n" not in candidate.line
        if ": " in typed and typed.split(":")[0] in KINDS:
            drafts = read(candidate.line, live=True)
            assert drafts[0].fact.kind == read(typed, live=True)[0].fact.kind


@given(st.text(max_size=60))
def test_any_text_is_taken(text: str) -> None:
    assert len(complete(text, EMPTY, history)) <= 3


@pytest.mark.slow
def test_a_dozen_phrases_among_many_are_found_at_once(tmp_path: Path) -> None:
    """Among two thousand phrases; the plan of each query names an index, since a clock would measure the machine."""
    from ticket.shop.opening import Shop

    with Shop.open(tmp_path / "shop.db", "K. Orlo") as shop:
        number = new_ticket(shop)
        add_lines(shop, number, "\n".join(f"did: replace part {i} of row {i % 7}" for i in range(2000)))
        assert len(shop.store.phrases("did", "replace part 19")) == 12
        for sql in (
            "SELECT * FROM phrase WHERE kind = 'did' AND substr(folded, 1, 2) = 're' ORDER BY uses DESC",
            "SELECT * FROM phrase WHERE kind = 'did' AND folded >= 'repl' AND folded < 'repm' LIMIT 2000",
        ):
            plan = " ".join(row[3] for row in shop.store._session.db.execute(f"EXPLAIN QUERY PLAN {sql}").fetchall())
            assert "SEARCH" in plan
            assert "TEMP B-TREE" not in plan
