"""How wide a wording is kept: every width tells the very line it was made from, and says nothing of its own."""

import re
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.language.book import Book
from ticket.language.phrasebook import NO_BOOK
from ticket.language.slots import fixed, flaw, pieces, slots
from ticket.language.spans import spans
from ticket.language.widths import widths


def shown(line: str, where: str, wording: str) -> list[tuple[str, str, str]]:
    return [(one.size, one.typed, one.told) for one in widths(line, where, wording, "en", NO_BOOK)]


def test_a_line_of_one_phrase_is_kept_as_that_phrase_widest_first() -> None:
    assert shown("gov cuts out 118 psi", "found", "The governor cut out at 118 psi.") == [
        ("clause", "{thing} cuts out {n}", "{thing} cut out at {n}"),
        ("clause", "governor cuts out {n}", "the governor cut out at {n}"),
        ("clause", "governor cuts out 118 psi", "the governor cut out at 118 psi"),
    ]


def test_a_line_of_several_is_kept_whole_or_by_its_phrases() -> None:
    found = shown("LF brg growls, hub hot", "found", "The left front bearing growled, the hub was hot.")
    assert found[0] == ("line", "{thing1} growls, {thing2} hot", "{thing1} growled, {thing2} [was|were] hot")
    assert ("clause", "{thing} growls", "{thing} growled") in found
    assert ("clause", "{thing} hot", "{thing} [was|were] hot") in found


def test_units_may_be_written_out_in_the_wording() -> None:
    (widest, *_) = shown("lost 3 psi in 10 min applied", "found", "It lost 3 psi in 10 minutes with the brakes on.")
    assert widest == ("clause", "lost {n1} in {n2} applied", "it lost {n1} in {n2} with the brakes on")


@pytest.mark.parametrize(
    ("line", "wording"),
    [
        ("gov cuts out 118 psi", "The governor cut out at 119 psi."),
        ("gov cuts out 118 psi", "The left governor cut out at 118 psi."),
        ("gov cuts out 118 psi", "The governor never cut out at 118 psi."),
        ("gov not cutting out 118 psi", "The governor cut out at 118 psi."),
        ("gov cuts out", "Both governors cut out."),
        ("gov cuts out", ""),
    ],
)
def test_a_wording_with_a_figure_a_side_or_a_denial_of_its_own_has_no_width(line: str, wording: str) -> None:
    assert shown(line, "found", wording) == []


WORDS = st.sampled_from(
    "LF RR pump hose pads not no 5 12 mm psi in leaks growls , stuck worn 3.2 bar both zorbel at gov cuts out".split()
)
TEXTS = st.lists(WORDS, min_size=1, max_size=7).map(" ".join)
TOLD = st.lists(
    st.sampled_from("the left front pump hose pads was not no 5 mm 12 psi leaked growled stuck worn at ,".split()),
    min_size=1, max_size=9,
).map(" ".join)  # fmt: skip


@given(TEXTS, TOLD, st.sampled_from(["found", "did", "risk"]))
def test_every_width_tells_its_line_and_each_place_stands_once_on_both_sides(
    line: str, wording: str, where: str
) -> None:  # fmt: skip
    for one in widths(line, where, wording, "en", NO_BOOK):
        assert flaw(one) == ""
        assert Counter(slots(one.typed)) == Counter(slots(one.told))
        assert all(count == 1 for count in Counter(slots(one.typed)).values())
        assert set(re.findall(r"\d+", fixed(one.told))) <= set(re.findall(r"\d+", fixed(one.typed)))
        if one.size == "line" or "," not in line:
            fits = Book([one]).fits(spans(line, where), where, "en")
            assert len(fits) == 1
            assert set(re.findall(r"\d+", fits[0].told)) <= set(re.findall(r"\d+", line))


@given(st.text(max_size=60), st.text(max_size=60))
def test_any_text_is_answered(line: str, wording: str) -> None:
    for one in widths(line, "found", wording, "en", NO_BOOK):
        assert flaw(one) == ""


@given(st.lists(st.one_of(st.sampled_from(["{thing}", "{n1}", "{n2}", "[was|were]", "[o|a|os|as]"]),
                          st.text("abc {", max_size=5)), max_size=8).map("".join))  # fmt: skip
def test_the_pieces_of_a_phrase_put_together_are_the_phrase(text: str) -> None:
    put = "".join(
        f"{{{one.slot}}}" if one.slot else f"[{'|'.join(one.forms)}]" if one.forms else one.text for one in pieces(text)
    )
    assert put == text
