"""The shop's own words: kept in the journal, checked when typed, explained once to the customer."""

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from support.faithful import check_story
from support.tickets import ticket_of
from ticket.job.case import Case, Settings
from ticket.job.errors import InputError
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.glossary import explain_term
from ticket.shop.opening import Shop
from ticket.shop.reading import open_gaps, story_of
from ticket.story.build import build
from ticket.story.document import to_document

NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
TERMS = (("VGT", "turbo with moving vanes"), ("tonneau", "cover of the bed"))


def told(*lines: str, terms: tuple[tuple[str, str], ...] = TERMS) -> list[str]:
    """The customer's sentences, judged from outside as well."""
    case = replace(Case(ticket_of(lines), Settings(), date(2026, 3, 2)), terms=terms)
    document = to_document(build(case))
    assert [flaw for flaw in check_story(document, case) if not flaw.finding.advice] == []
    return [sentence["text"] for section in document["sections"] for sentence in section["sentences"]]


def test_a_term_is_explained_once_with_its_source() -> None:
    sentences = told("says: weak on hills", "found: VGT leaking", "proof: road test 4 mi, VGT quiet")
    assert sum("turbo with moving vanes" in text for text in sentences) == 1
    assert any("VGT" in text and "turbo with moving vanes)" in text for text in sentences)


def test_behind_quoted_words_the_term_stands_in_brackets_of_its_own() -> None:
    sentences = told("says: weak on hills", "found: zorbled VGT, vanes at grimp")
    assert any(text.endswith("” (VGT: turbo with moving vanes)") or "(VGT: turbo with" in text for text in sentences)


def test_words_of_the_customer_and_unknown_terms_stay_as_they_are() -> None:
    assert not any("moving vanes" in text for text in told("says: the VGT whistles", "found: VGT leaking"))
    plain = told("says: weak on hills", "found: hose wet", terms=())
    assert told("says: weak on hills", "found: hose wet") == plain


def test_own_words_are_kept_listed_and_forgotten(tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.db", "Bo Karst", now=lambda: NOW) as shop:
        explain_term(shop, "VGT = turbo with moving vanes")
        explain_term(shop, "vgt = turbo with vanes that move")
        assert list(shop.kept.terms) == [("vgt", "turbo with vanes that move")]
        number = new_ticket(shop)
        add_lines(shop, number, "found: VGT leaking")
        assert "turbo with vanes that move" in str(to_document(story_of(shop, number)))
        assert "short-form-unexplained" not in {gap.id for gap in open_gaps(shop, number)}
        explain_term(shop, "VGT =")
        assert not shop.kept.terms
        assert "short-form-unexplained" in {gap.id for gap in open_gaps(shop, number)}
        assert any("glossary" in event.summary for event in shop.store.history())
        assert shop.store.audit(deep=True).ok


@pytest.mark.parametrize(
    "typed",
    [
        "VGT", "= turbo", "P0299 = low boost", "VGT = turbo of 2019", "VGT = see P0299", "VGT = a\x1bb",
        "V\x07T = turbo", "VGT = vgt", "VGT = turbo (moving)", "VGT = " + "a " * 60, "x" * 40 + " = turbo",
        "VGT = “turbo”", "ABC =",
    ],
)  # fmt: skip
def test_what_may_not_stand_there_is_refused_and_nothing_is_kept(typed: str, tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.db", "Bo Karst", now=lambda: NOW) as shop:
        with pytest.raises(InputError):
            explain_term(shop, typed)
        assert not shop.kept.terms
