"""A written fact reads back as itself, whatever its words are and whoever works in the shop.

The measurements of a finding follow from its text, so no line can give a document of another program others than its
text states: findings are made here by reading random texts. Older tickets hold a run of readings between two
texts; what
people left there is read as what it says, and what nobody types is at least printed whole.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.facts import concerns, facts, in_parts, older_findings, same_saying, texts
from ticket.job.entry import Draft
from ticket.job.kinds import KINDS, Fact, Found
from ticket.notes.read import read
from ticket.notes.write import write


def _read_back(fact: Fact, line: str, people: tuple[str, ...] = (), rates: tuple[str, ...] = ()) -> list[Draft]:
    own_person, own_rate = getattr(fact, "by", ""), getattr(fact, "rate", "")
    return list(read(line, people=(own_person, *people), rates=(own_rate, *rates)))


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
@given(data=st.data(), concern=concerns, shop_only=st.booleans())
def test_what_was_written_reads_as_the_same_fact(kind: str, data: st.DataObject, concern: str, shop_only: bool) -> None:
    fact = data.draw(facts(kind, older=False))
    line = write(fact, concern=concern, shop_only=shop_only)
    assert "\n" not in line
    drafts = _read_back(fact, line)
    assert [(draft.concern, draft.shop_only) for draft in drafts] == [(concern, shop_only)], line
    assert same_saying(drafts[0].fact, fact), line


@given(fact=facts(older=False), strangers=st.lists(texts, max_size=3))
def test_reading_back_does_not_depend_on_who_works_in_the_shop(fact: Fact, strangers: list[str]) -> None:
    names = ("Kay", "the book", *strangers)
    line = write(fact)
    (draft,) = _read_back(fact, line, names, names)
    assert same_saying(draft.fact, fact), line


@given(older_findings)
def test_a_finding_of_an_older_ticket_reads_as_what_it_said(fact: Found) -> None:
    line = write(fact)
    (draft,) = read(line)
    assert in_parts(draft.fact) == in_parts(fact), line
    assert draft.remarks == ()


@given(facts("found"))
def test_whatever_run_an_older_ticket_holds_is_printed_whole(fact: Fact) -> None:
    assert isinstance(fact, Found)
    line = write(fact)
    assert line.startswith("found:")
    for value in fact.run.values if fact.run else ():
        assert value.number in line


@given(texts | st.text())
def test_any_line_reads_as_facts_that_write_and_read_the_same(text: str) -> None:
    for draft in read(text, people=("Kay",), rates=("engine",)):
        line = write(draft.fact, concern=draft.concern, shop_only=draft.shop_only)
        again = _read_back(draft.fact, line)
        assert [(one.fact, one.concern, one.shop_only) for one in again] == [
            (draft.fact, draft.concern, draft.shop_only)
        ], line
        assert write(again[0].fact, concern=draft.concern, shop_only=draft.shop_only) == line


@pytest.mark.parametrize(
    "line",
    [
        "did: 1 h 10 replaced belt", "did: 2h10 rebuilt caliper", "did: strip dash, 1 h 55", "did: 1 h 1 min reset",
        "later: do w/ next frt tyre or within 3000 mi", "later: chain, do w/ next frt tyre",
        "later: valve lash at 350 on the hr meter", "later: oil, at 120 on the hobbs or in 6 months",
    ],
)  # fmt: skip
def test_hours_that_never_end_and_dues_in_words_are_written_as_they_read(line: str) -> None:
    (typed,) = read(line)
    written = write(typed.fact)
    (again,) = read(written)
    assert again.fact == typed.fact, written
    assert write(again.fact) == written
