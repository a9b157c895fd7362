"""A written fact reads back as itself, whatever it holds and whoever works in the shop."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.facts import concerns, facts, same_saying, texts
from ticket.job.entry import Draft
from ticket.job.kinds import KINDS, Fact
from ticket.notes.read import read
from ticket.notes.write import write


def _read_back(fact: Fact, line: str, people: tuple[str, ...] = (), rates: tuple[str, ...] = ()) -> list[Draft]:
    own_person, own_rate = getattr(fact, "by", ""), getattr(fact, "rate", "")
    return list(read(line, people=(own_person, *people), rates=(own_rate, *rates)))


@pytest.mark.parametrize("kind", KINDS)
@given(data=st.data(), concern=concerns, shop_only=st.booleans())
def test_what_was_written_reads_as_the_same_fact(kind: str, data: st.DataObject, concern: str, shop_only: bool) -> None:
    fact = data.draw(facts(kind))
    line = write(fact, concern=concern, shop_only=shop_only)
    assert "\n" not in line
    drafts = _read_back(fact, line)
    assert [(draft.concern, draft.shop_only) for draft in drafts] == [(concern, shop_only)], line
    assert same_saying(drafts[0].fact, fact), line


@given(fact=facts(), strangers=st.lists(texts, max_size=3))
def test_reading_back_does_not_depend_on_who_works_in_the_shop(fact: Fact, strangers: list[str]) -> None:
    names = ("Kay", "the book", *strangers)
    line = write(fact)
    (draft,) = _read_back(fact, line, names, names)
    assert same_saying(draft.fact, fact), line


@given(texts | st.text())
def test_any_line_reads_as_facts_that_write_and_read_the_same(text: str) -> None:
    for draft in read(text, people=("Kay",), rates=("engine",)):
        line = write(draft.fact, concern=draft.concern, shop_only=draft.shop_only)
        again = _read_back(draft.fact, line)
        assert [(one.fact, one.concern, one.shop_only) for one in again] == [
            (draft.fact, draft.concern, draft.shop_only)
        ], line
        assert write(again[0].fact, concern=draft.concern, shop_only=draft.shop_only) == line
