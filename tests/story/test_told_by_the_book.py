"""The phrasebook in a story: told in its words, judged like any sentence, in each language; never over a verdict."""

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from support.clock import Clock
from ticket.job.book_entry import BookEntry, Phrasebook
from ticket.language.shipped import shipped
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of, story_of
from ticket.story.build import build
from ticket.story.judge import REFUSED, judge
from ticket.story.sentence import BOOK, NOTE, Sentence

FILLED = {
    "thing": "water pump", "thing1": "brake hose", "thing2": "axle", "n": "5 mm", "n1": "3 psi", "n2": "10 min",
    "count": "4", "side": "left", "state": "worn", "code": "P0117",
}  # fmt: skip
LEADS = {"found": "found: ", "proof": "proof: ", "did": "did: 1 h ", "risk": "later: replace belt; do soon; risk: "}
GOVERNOR = BookEntry("en", "clause", "found", "{thing} cuts out {n}", "{thing} cut out at {n}", no=1, since=1)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with Shop.open(tmp_path_factory.mktemp("book") / "shop.db", "Mo Vale", now=Clock()) as opened:
        yield opened


def told(shop: Shop, line: str, language: str = "en", own: tuple[BookEntry, ...] = ()) -> list[Sentence]:
    number = new_ticket(shop)
    add_lines(shop, number, f"says: noise\n{line}")
    case = replace(case_of(shop, number), book=Phrasebook(own))
    return [sentence for section in build(case, "customer", language).sections for sentence in section.sentences]


@pytest.mark.parametrize("entry", [one for one in shipped() if one.language == "en"], ids=lambda one: one.typed)
def test_every_shipped_phrase_is_told_in_each_language_and_the_judge_has_nothing_against_it(
    shop: Shop, entry: BookEntry
) -> None:  # fmt: skip
    typed = re.sub(r"\{(\w+)\}", lambda slot: FILLED[slot[1]], entry.typed)
    number = new_ticket(shop)
    add_lines(shop, number, f"says: noise\n{LEADS[entry.where]}{typed}")
    case = case_of(shop, number)
    for language in ("en", "es"):
        parts = [part for part in build(case, "customer", language).sections if part.id != "told"]
        sentences = [one for part in parts for one in part.sentences]
        assert NOTE not in {one.form for one in sentences}, typed
        booked = [one for one in sentences if one.form == BOOK]
        assert booked or "{n}" in entry.typed, "a measurement may be told as one"
        for one in booked:
            assert judge(case, "customer", one, one.text, language).word != REFUSED


def test_a_kept_wording_is_told_on_a_later_ticket_in_place_of_the_note(shop: Shop) -> None:
    (note,) = [one for one in told(shop, "found: gov cuts out 118 psi") if one.form == NOTE]
    assert note.text == "Governor cuts out 118 psi."
    (kept,) = [one for one in told(shop, "found: compressor cuts out 120 psi", own=(GOVERNOR,)) if one.form == BOOK]
    assert kept.text == "The compressor cut out at 120\u00a0psi."
    assert [str(source) for source in kept.sources] == ["2"]


def test_limits_are_judged_whatever_the_book_says(shop: Shop) -> None:
    found = told(shop, "found: gov cuts out 118 psi (min 120)", own=(GOVERNOR,))
    assert BOOK not in {one.form for one in found}
    assert any("too low" in one.text for one in found)


def test_a_clause_of_the_book_stands_beside_certain_ones_and_an_uncertain_one_keeps_the_line_a_note(
    shop: Shop,
) -> None:  # fmt: skip
    (both,) = [
        one for one in told(shop, "found: gov cuts out 118 psi, hose cracked", own=(GOVERNOR,)) if one.form == BOOK
    ]
    assert both.text == "The governor cut out at 118\u00a0psi, and the hose was cracked."
    forms = {one.form for one in told(shop, "found: gov cuts out 118 psi, plugs up", own=(GOVERNOR,))}
    assert NOTE in forms
    assert BOOK not in forms


def test_in_another_language_the_same_book_translates_and_what_it_does_not_hold_stays_english_under_its_heading(
    shop: Shop,
) -> None:  # fmt: skip
    line = "found: gov cuts out 118 psi"
    english = next(one for one in told(shop, line, "es", (GOVERNOR,)) if one.form == NOTE and "“" not in one.text)
    assert (english.form, english.text) == (NOTE, "Governor cuts out 118 psi.")
    assert "inglés" in english.under
    spanish = replace(GOVERNOR, language="es", told="{thing} se cortaba a {n}", no=2)
    line = "found: water pump cuts out 118 psi"
    (said,) = [one for one in told(shop, line, "es", (GOVERNOR, spanish)) if one.form == BOOK]
    assert said.text == "La bomba de agua se cortaba a 118\u00a0psi."


def test_what_was_taken_back_or_not_looked_at_leaves_the_note(shop: Shop) -> None:
    for state in ("waiting", "back"):
        assert NOTE in {
            one.form for one in told(shop, "found: gov cuts out 118 psi", own=(replace(GOVERNOR, state=state),))
        }


def test_a_story_without_an_own_book_is_the_same_from_one_telling_to_the_next(shop: Shop, tmp_path: Path) -> None:
    number = new_ticket(shop)
    add_lines(shop, number, "says: noise\nfound: rotor down to metal\nfound: gov cuts out 118 psi")
    assert story_of(shop, number).sections == story_of(shop, number).sections
