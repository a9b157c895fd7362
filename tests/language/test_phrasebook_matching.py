"""Which wording fits a line, what stands in its places, and what a wording may never do."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.job.book_entry import SHIPPED, BookEntry, Phrasebook
from ticket.language.book import Book, book_of
from ticket.language.shipped import shipped
from ticket.language.slots import flaw, slots, tidied
from ticket.language.spans import spans


def entry(typed: str, told: str, *, where: str = "found", size: str = "clause", no: int = 1) -> BookEntry:
    made = tidied(BookEntry("en", size, where, typed, told, no=no))
    assert not flaw(made), flaw(made)
    return made


def told(book: Book, line: str, where: str = "found") -> str | None:
    found = book.match(spans(line, where), where, "en")
    return found.told if found else None


GROWLS = entry("{thing} growls", "{thing} growled")


@pytest.mark.parametrize(
    ("typed", "wording", "line", "says"),
    [
        ("{thing} growls", "{thing} growled", "wp brg growls", "the water pump bearing growled"),
        ("{thing} growls", "{thing} growled", "LF hub brg growls", "the left front hub bearing growled"),
        ("{thing} stuck at {n}", "{thing} was stuck at {n}", "pads stuck at 5 mm", "the pads were stuck at 5\u00a0mm"),
        ("no {thing}", "there was no {thing}", "no squeal", "there was no squeal"),
        ("lost {n1} in {n2}", "in {n2} it lost {n1}", "lost 3 psi in 10 min", "in 10\u00a0minutes it lost 3\u00a0psi"),
        ("{count} studs stripped", "{count} studs were stripped", "4 studs stripped", "4 studs were stripped"),
    ],
)  # fmt: skip
def test_a_phrase_fits_whatever_short_forms_a_line_is_typed_in(typed: str, wording: str, line: str, says: str) -> None:
    assert told(Book([entry(typed, wording)]), line) == says


def test_what_stands_in_the_places_is_told_with_the_entry() -> None:
    found = Book([entry("{thing} drops to {n}", "{thing} dropped to {n}", no=7)]).match(
        spans("fuel rail pressure drops to 2.1 bar"), "found", "en"
    )
    assert found is not None
    assert found.entry == "7"
    assert dict(found.slots) == {"thing": "fuel rail pressure", "n": "2.1 bar"}


def test_a_line_goes_before_a_clause_and_more_fixed_words_before_fewer() -> None:
    general = entry("{thing} growls", "{thing} growled")
    closer = entry("pump growls", "the pump made a growling noise", no=2)
    whole = entry("pump growls", "the pump was loud", size="line", no=3)
    assert told(Book([general, closer]), "pump growls") == "the pump made a growling noise"
    assert told(Book([whole, closer, general]), "pump growls") == "the pump was loud"


def test_the_shops_own_wording_goes_before_the_shipped_one() -> None:
    own, ships = entry("{thing} growls", "{thing} was loud"), entry("{thing} growls", "{thing} growled", no=SHIPPED)
    assert told(Book([ships, own]), "pump growls") == "the pump was loud"


def test_of_two_that_fit_as_well_and_say_different_things_neither_is_told_and_both_are_listed() -> None:
    one, other = GROWLS, entry("{thing}  growls", "{thing} was loud", no=2)
    book = Book([one, other])
    assert told(book, "pump growls") is None
    assert book.clashes("en") == ((one, other),)
    assert told(Book([GROWLS, GROWLS]), "pump growls") == "the pump growled"


@pytest.mark.parametrize("line", ["pump not growls", "no pump growls", "pump growls not", "pump never growls"])
def test_a_phrase_without_a_denial_never_fits_a_line_with_one(line: str) -> None:
    assert told(Book([GROWLS]), line) is None


def test_a_phrase_with_a_denial_never_fits_a_line_without_one() -> None:
    book = Book([entry("{thing} not seated", "{thing} was not seated")])
    assert told(book, "hose not seated") == "the hose was not seated"
    assert told(book, "hose seated") is None
    assert told(book, "no hose seated") is None


@pytest.mark.parametrize(
    ("kept", "asked", "fits"),
    [
        ("found", "proof", True), ("cause", "found", True), ("found", "maybe", False), ("found", "risk", False),
        ("maybe", "found", False), ("did", "what", False), ("risk", "cause", False),
    ],
)  # fmt: skip
def test_what_is_feared_or_supposed_is_never_told_as_a_fact(kept: str, asked: str, *, fits: bool) -> None:
    assert (
        told(Book([entry("{thing} growls", "{thing} growled", where=kept)]), "pump growls", asked) is not None
    ) == fits


def test_a_line_that_a_phrase_fits_in_two_ways_stays_a_note() -> None:
    book = Book([entry("{thing1} at {thing2} cracked", "{thing1} on {thing2} was cracked")])
    assert told(book, "hose at bracket cracked") == "the hose on the bracket was cracked"
    split = Book([entry("{thing1} {thing2} qxed", "{thing1} on {thing2} was qxed")])
    assert told(split, "pump hose bracket qxed") is None


def test_a_taught_word_is_known_to_reading_and_may_be_the_thing_of_a_phrase() -> None:
    swivel = tidied(BookEntry("en", "word", "thing", "snorfel", "snorfel", plural="snorfels", no=3))
    assert told(Book([GROWLS]), "snorfel growls") is None
    book = Book([GROWLS, swivel])
    assert told(book, "snorfel growls") == "the snorfel growled"
    taught = book.word("snorfels", "en")
    assert taught is not None
    assert (taught.kind, taught.told) == ("thing", "snorfels")


def test_what_waits_or_was_taken_back_is_never_told() -> None:
    from dataclasses import replace

    for state in ("waiting", "back"):
        book = book_of(Phrasebook((replace(entry("qwx {thing}", "the qwx of {thing}"), state=state),)))
        assert told(book, "qwx pump") is None


@pytest.mark.parametrize(
    ("typed", "wording", "why"),
    [
        ("{thing} leaks", "{thing} leaked at {n}", "does not"),
        ("{thing} leaks", "it leaked", "does not"),
        ("{thing} leaks", "{thing} leaked onto {thing}", "numbered"),
        ("{thing} leaks", "{thing} leaked 2 drops", "says 2"),
        ("{thing} leaks", "both sides of {thing} leaked", "says both"),
        ("{thing} leaks", "the left {thing} leaked", "a side"),
        ("{thing} leaks", "{thing} never leaked", "denies"),
        ("{thing} not leaking", "{thing} was leaking", "denies"),
        ("{thing} leaks", "{thing} [leaked|a|b] here", "two forms"),
        ("{thing} leaks", "{thing} leaked {x}", "is no place"),
        ("{thing} leaks", "{thing leaked", "bracket"),
        ("{thing} {n}", "{thing} was {n}", "a word of its own"),
        ("{thing} leaks, {n}", "{thing} leaked {n}", "between commas"),
        ("{thing} leaks", "{thing} leaked\u202e", "cannot be seen"),
        ("{thing} leaks", " ", "empty"),
    ],
)  # fmt: skip
def test_a_wording_that_says_more_or_less_than_its_phrase_is_refused(typed: str, wording: str, why: str) -> None:
    assert why in flaw(tidied(BookEntry("en", "clause", "found", typed, wording)))


def test_a_typed_lack_may_be_told_as_a_denial() -> None:
    assert flaw(BookEntry("en", "clause", "found", "{thing} inop", "{thing} did not work")) == ""
    for typed, wording in (("{thing} stuck", "{thing} was not stuck"), ("{thing} under bolt", "no {thing} was loose")):
        assert "denies" in flaw(BookEntry("en", "clause", "found", typed, wording))


LINES = st.lists(
    st.sampled_from(
        "LF RR pump hose pads not no never 5 12 mm psi in leaks growls , stuck worn 3.2 bar P0117 both at".split()
    ),
    min_size=1, max_size=8,
).map(" ".join)  # fmt: skip


@given(LINES, st.sampled_from(["found", "did", "proof", "cause", "risk", "maybe"]))
def test_no_shipped_wording_invents_a_figure_or_loses_a_denial(line: str, where: str) -> None:
    book = Book([*shipped(), GROWLS, entry("{thing} stuck at {n}", "{thing} was stuck at {n}")])
    says = told(book, line, where)
    if says is not None:
        assert set(re.findall(r"\d+", says)) <= set(re.findall(r"\d+", line))
        typed_no = bool({"no", "not", "never"} & set(line.split()))
        assert typed_no == bool(re.search(r"\b(no|not|never)\b", says))


@given(st.text(max_size=80), st.text(max_size=80))
def test_whatever_is_typed_as_an_entry_is_judged_and_what_passes_can_be_matched(typed: str, wording: str) -> None:
    made = tidied(BookEntry("en", "clause", "found", typed, wording))
    if not flaw(made):
        assert sorted(slots(made.typed)) == sorted(slots(made.told))
        told(Book([made]), typed)


@pytest.mark.parametrize("one", shipped(), ids=lambda one: f"{one.language}: {one.typed}")
def test_every_shipped_entry_stands_and_none_clashes(one: BookEntry) -> None:
    assert flaw(one) == ""
    assert one.state == "kept"
    assert tidied(one) == one
    assert Book(shipped()).clashes(one.language) == ()


def test_the_shipped_book_has_the_same_phrases_in_each_language() -> None:
    english, spanish = ({(o.where, o.typed) for o in shipped() if o.language == code} for code in ("en", "es"))
    assert english == spanish
