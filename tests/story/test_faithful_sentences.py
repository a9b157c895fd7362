"""The judge of sentences: bad ones are caught by the rule they break, good ones pass.

The twenty-five bad stories are the project's own list of what a story must never say. Everything is invented.
"""

import re
from pathlib import Path

import pytest

from support.faithful import Finding, check
from support.tickets import ticket_of
from ticket.job.ticket import Ticket

_HERE = Path(__file__).parent
_CITED = re.compile(r"(.*) \[([^\[\]]*)\]\Z")


def _rows(name: str) -> list[list[str]]:
    lines = (_HERE / name).read_text(encoding="utf-8").split("\n")
    return [line.split("\t") for line in lines if line and not line.startswith("#")][1:]


BAD = [(facts, told, rule.split()[0]) for facts, told, _, rule in _rows("bad_stories.tsv")]
MORE = [(facts, told, rule) for facts, told, rule in _rows("more_stories.tsv")]


def _checked(facts: str, told: str, *, alone: bool = False) -> tuple[Finding, ...]:
    """The findings on a sentence; ``alone`` judges it by the cited entries, without the ticket around them."""
    ticket: Ticket = ticket_of(facts.split(" ¦ "))
    match = _CITED.match(told)
    assert match is not None
    caution = "caution:" in match[2]
    numbers = [int(one) for one in match[2].split(", ") if one.isdigit()]
    sources = [entry for entry in ticket.entries if entry.no in numbers or caution]
    return check(match[1], sources, ticket=None if alone else ticket, caution=caution)


@pytest.mark.parametrize("alone", [False, True], ids=["on the ticket", "alone"])
@pytest.mark.parametrize(("facts", "told", "rule"), BAD, ids=[f"{i}-{row[2]}" for i, row in enumerate(BAD, 1)])
def test_each_of_the_bad_stories_breaks_the_rule_named_for_it(facts: str, told: str, rule: str, *, alone: bool) -> None:
    found = _checked(facts, told, alone=alone)
    assert rule in {one.rule for one in found if not one.advice}
    assert all(one.reason.endswith(".") and 0 <= one.start <= one.end <= len(told) for one in found)


def test_the_list_of_bad_stories_is_whole() -> None:
    assert len(BAD) == 25
    assert sum(rule == "-" for _, _, rule in MORE) >= 10
    assert sum(rule != "-" for _, _, rule in MORE) >= 10


@pytest.mark.parametrize(("facts", "told", "rule"), MORE, ids=[f"{i}-{row[2]}" for i, row in enumerate(MORE, 1)])
def test_more_sentences_good_and_bad(facts: str, told: str, rule: str) -> None:
    found = [one for one in _checked(facts, told) if not one.advice]
    if rule == "-":
        assert not found
    else:
        assert rule in {one.rule for one in found}


def test_a_sentence_without_a_source_is_none() -> None:
    assert [one.rule for one in check("The fan was quiet.", [])] == ["F1"]


def test_an_absence_is_one_of_the_list_and_true() -> None:
    ticket = ticket_of(["says: noise", "used: 1 x RL-0101 fan relay, new @ 9.00"])
    bare = ticket_of(["says: noise"])
    assert not check("We did not fit any parts.", [], ticket=bare)
    assert {one.rule for one in check("We did not fit any parts.", [], ticket=ticket)} == {"F1"}
    assert {one.rule for one in check("Everything else was in order.", [], ticket=bare)} == {"F1"}


def test_what_is_for_the_shop_alone_or_taken_back_is_no_source() -> None:
    ticket = ticket_of(["# found: fan motor noisy", "note: order two"])
    for entry in ticket.entries:
        assert "F1" in {one.rule for one in check("The fan motor was noisy.", [entry], ticket=ticket)}
        assert "F1" not in {one.rule for one in check("Fan motor noisy.", [entry], ticket=ticket, reader="shop")}


def test_declared_figures_and_earlier_tickets_carry_what_is_not_typed() -> None:
    ticket = ticket_of(["later: replace pads; may wait; in 8000 km"])
    said = "Please have them looked at again after 8,000 km; the way you drive, that is about five months."
    assert {one.rule for one in check(said, ticket.entries, ticket=ticket)} == {"F2"}
    assert not check(said, ticket.entries, ticket=ticket, derived=["five months"])
    earlier = ticket_of(["did: 0.4 h replace fan relay"], number=9)
    visit = "You were here for this on March 2, 2026. That day we replaced the fan relay."
    assert not check(visit, earlier.entries, ticket=ticket, earlier=[earlier])
    assert "F5" in {one.rule for one in check(visit, earlier.entries, ticket=earlier)}


def test_typed_words_in_quote_marks_are_never_wrong() -> None:
    ticket = ticket_of(["says: shop never fixed it, all unsafe, old junk"])
    assert not check("“Shop never fixed it, all unsafe, old junk.”", ticket.entries, ticket=ticket)
    assert check("Shop never fixed it, “all safe”.", ticket.entries, ticket=ticket)
