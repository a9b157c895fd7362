"""The judge on whole stories: the eight worked jobs pass, and none of their sentences survives being bent."""

import copy
import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from support.faithful import Flaw, check, check_removal, check_story
from support.faithful.told import read_story
from support.jobs import NAMES, load_job
from ticket.job.kinds import Ruled

STORIES = [(name, reader) for name in NAMES for reader in load_job(name).stories]


def _firm(flaws: tuple[Flaw, ...]) -> list[Flaw]:
    return [flaw for flaw in flaws if not flaw.finding.advice]


@pytest.mark.parametrize(("name", "reader"), STORIES, ids=[f"{name}-{reader}" for name, reader in STORIES])
def test_the_worked_stories_break_no_rule(name: str, reader: str) -> None:
    job = load_job(name)
    assert not _firm(check_story(job.stories[reader], job.case))


_SWAPS = {
    "side": (("left", "right"), ("front", "rear"), ("upper", "lower")),
    "verdict": (("too low", "too high"), ("too much", "too little"), ("too thin", "within limits")),
    "condition": (("new", "rebuilt"),),
    "count": (("one", "two"), ("two", "three"), ("three", "four")),
}
_ADDED = ("It is fixed now.", "It is safe to drive.", "You neglected it.", "It will not come back.")


def _bent(text: str) -> Iterator[tuple[str, str]]:
    """The sentence with one thing made wrong, and what."""
    for match in re.finditer(r"(?<![\w.,-])\d+(?:\.\d+)?(?![\w-])", text):
        digit = match[0][-1]
        yield "figure", f"{text[: match.end() - 1]}{(int(digit) + 1) % 10}{text[match.end() :]}"
    for what, pairs in _SWAPS.items():
        for said, instead in (*pairs, *(pair[::-1] for pair in pairs if what != "count")):
            for match in re.finditer(rf"\b{said}\b", text):
                yield what, f"{text[: match.start()]}{instead}{text[match.end() :]}"
    for match in re.finditer(r"\b(was|were) (?!not|no )", text):
        yield "negation added", f"{text[: match.end()]}not {text[match.end() :]}"
    for match in re.finditer(r"\b(not|no|never) ", text):
        yield "negation lost", f"{text[: match.start()]}{text[match.end() :]}"
    yield from (("promise or blame", f"{text} {addition}") for addition in _ADDED)


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_a_bent_sentence_is_caught(name: str) -> None:
    """Known survivors are few: one member of "no A and no B", one of two equal places."""
    job = load_job(name)
    caught: list[str] = []
    missed: list[str] = []
    for told in read_story(job.stories["customer"], job.case):
        if told.caution or told.text.startswith("“"):
            continue
        derived = [text for _, text in told.derived]
        for what, bent in _bent(told.text):
            found = check(bent, told.entries, ticket=job.case.ticket, earlier=told.earlier, derived=derived)
            (caught if any(not one.advice for one in found) else missed).append(f"{what}: {bent}")
    assert len(missed) <= 3, "\n".join(missed)
    assert len(caught) > 30 * len(missed)


@pytest.mark.slow
def test_what_must_be_told_is_missed_when_it_is_gone() -> None:
    job = load_job("truck_boost")
    story = job.stories["customer"]
    for section in story["sections"]:
        for place in range(len(section["sentences"])):
            less = copy.deepcopy(story)
            taken = next(one for one in less["sections"] if one["title"] == section["title"])["sentences"].pop(place)
            cited_once = [
                source for source in taken["sources"] if isinstance(source, int)
                and sum(source in one["sources"] for part in story["sections"] for one in part["sentences"]) == 1
            ]  # fmt: skip
            missing = {
                flaw.finding.reason.split()[1] for flaw in check_story(less, job.case) if flaw.finding.rule == "F23"
            }
            expected = {str(no) for no in cited_once} - {"8"}  # a contact without an offer need not be told
            assert expected <= missing


def test_deferred_work_is_told_with_reason_risk_and_due() -> None:
    job = load_job("truck_boost")
    for words, lost in (("15,000 miles or", "when to come back"), ("the cooler may move and tear", "its risk")):
        story = copy.deepcopy(job.stories["customer"])
        for section in story["sections"]:
            section["sentences"] = [one for one in section["sentences"] if words not in one["text"]]
        reasons = [flaw.finding.reason for flaw in check_story(story, job.case)]
        assert any(lost in reason for reason in reasons)


def test_sentences_that_quarrel_are_told_apart() -> None:
    job = load_job("not_reproduced")
    story = copy.deepcopy(job.stories["customer"])
    ticket = job.case.ticket
    ruled = replace(ticket.entries[6], fact=Ruled(text="crankshaft sensor", reason="signal stayed clean when hot"))
    case = replace(job.case, ticket=replace(ticket, entries=(*ticket.entries[:6], ruled, *ticket.entries[7:])))
    text = "It was not the crankshaft sensor, because the signal stayed clean when hot."
    story["sections"][3]["sentences"].append({"text": text, "sources": [7]})
    assert "F19" in {flaw.finding.rule for flaw in check_story(story, case)}


def test_sources_that_are_not_there_are_named() -> None:
    job = load_job("charging")
    story = {"reader": "customer", "sections": [{"title": "x", "sentences": [{"text": "Fan.", "sources": [99]}]}]}
    assert "F1" in {flaw.finding.rule for flaw in check_story(story, job.case)}
    story["sections"][0]["sentences"] = [{"text": "Fan.", "sources": []}]  # type: ignore[index]
    assert "F1" in {flaw.finding.rule for flaw in check_story(story, job.case)}


def test_a_rewording_shows_who_wrote_it() -> None:
    job = load_job("charging")
    sentence = {"text": "The battery terminal eyelet was green.", "sources": [8], "reworded": {"by": "", "at": ""}}
    story = {"reader": "customer", "sections": [{"title": "x", "sentences": [sentence]}]}
    assert "F27" in {flaw.finding.rule for flaw in check_story(story, job.case)}


def test_a_removed_entry_takes_its_sentences_along() -> None:
    job = load_job("charging")
    story = job.stories["customer"]
    still = check_removal(story, story, 8)
    assert {flaw.finding.rule for flaw in still} == {"F24"}
    less = copy.deepcopy(story)
    for section in less["sections"]:
        section["sentences"] = [one for one in section["sentences"] if 8 not in one["sources"]]
    assert not check_removal(story, less, 8)
    less["sections"][1]["sentences"] = []
    assert [flaw.finding.rule for flaw in check_removal(story, less, 8)] == ["F24"]
