"""The first words of a story claim a repair, and a passed test, only where the entries say so (common practice).

A customer who reads no further must not be told more than was done.
"""

import re
from datetime import date

import pytest

from support.faithful import check_story
from support.tickets import ticket_of
from ticket.gaps.find import find_gaps
from ticket.job.case import Case, Settings
from ticket.story.build import build
from ticket.story.document import to_document

FOUND = ["says: whine from the front at idle", "found: oil pressure 8 psi (min 10)", "cause: oil pump worn, from 2"]
ASKED = [*FOUND, "offer: replace oil pump; est 420"]
DONE = "did: 1.5 h replace oil pump"
PART = "used: 1 x OP-3310 oil pump, new @ 140.00"
PROOF = "proof: 2 now 24 psi"

REPAIR = {"en": r"did (?:the|a|part of the) repair\b|repaired", "es": r"hicimos (?:la|una) reparación"}
TESTED = {"en": r"tested it\.|, and tested", "es": r"la comprobamos"}


def opening(lines: list[str], language: str = "en") -> str:
    """What stands under "In short", judged for faithfulness on the way."""
    case = Case(ticket_of(lines, customer="Ada Fenn"), Settings(), date(2026, 3, 2))
    story = build(case, language=language)
    assert not [flaw for flaw in check_story(to_document(story), case) if flaw.finding.rule == "F16"]
    return " ".join(one.text for section in story.sections if section.id == "short" for one in section.sentences)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(
    "lines",
    [
        # the customer said no, and what was done was asked for all the same, or is told in other words
        [*ASKED, "told: Ada Fenn by phone, no 4", "did: 1.5 h replace oil pump; for 4", PROOF],
        [*ASKED, "told: Ada Fenn by phone, no", "did: 0.5 h customer declined, put back together", PROOF],
        [*ASKED, "told: Ada Fenn by phone, no", "did: 0.4 h teardown", PROOF],
        # nothing was replaced or repaired
        [*FOUND, "did: 0.3 h clear codes", PROOF],
        [*FOUND, "did: 0.5 h ordered pump", PROOF],
        [*FOUND, "did: 0.5 h unable to repair, bolt seized", PROOF],
        [*FOUND, "did: 0.5 h replace oil pump not done", PROOF],
        [*FOUND, "did: 0.5 h R&I oil pan for inspection", PROOF],
        # no offer that was agreed to and no part stands behind the words
        [*FOUND, DONE, PROOF],
        [*ASKED, DONE, PROOF],
        # only cleaned, filled, drained or made safe
        [*FOUND, "did: 0.5 h cleaned pickup screen", PART, PROOF],
        [*FOUND, "did: 0.5 h topped up engine oil", "used: 2 qt engine oil @ 9.00/qt", PROOF],
        [*FOUND, "did: 0.5 h drained engine oil", PROOF],
        [*FOUND, "did: 0.5 h disconnected pump, capped lines", PROOF],
        [*FOUND, "did: 0.5 h temporary repair, clamped line", PART, PROOF],
        # it was only diagnosed
        [*FOUND, "did: 1.0 h diagnosis", PROOF],
        [*FOUND, "did: 1.0 h road test with customer", PROOF],
        [*FOUND, "did: 1.0 h quote for pump", PROOF],
    ],
)
def test_the_opening_claims_no_repair_that_was_not_made(lines: list[str], language: str) -> None:
    told = opening(lines, language)
    assert told
    assert not re.search(REPAIR[language], told, re.I)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(
    "proof",
    [
        "road test 10 mi, still makes noise",
        "still does it",
        "road test 8 mi, same noise",
        "noise remains",
        "vibration persists at 60 mph",
        "codes read again, P0301 set again",
        "symptom unchanged",
        "did not help",
        "leaks again at the flange",
        "continues to whine",
    ],
)
def test_the_opening_claims_no_passed_test_where_the_words_say_that_it_still_does_it(proof: str, language: str) -> None:
    lines = [*FOUND, DONE, f"proof: {proof}"]
    assert not re.search(TESTED[language], opening(lines, language))
    gaps = {gap.id for gap in find_gaps(Case(ticket_of(lines), Settings(), date(2026, 3, 2)))}
    assert "proof-came-back" in gaps


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(
    "lines",
    [
        [*FOUND, DONE, PART, PROOF],
        [*ASKED, "told: Ada Fenn by phone, yes", "did: 1.5 h replace oil pump; for 4", PROOF],
        [*FOUND, "did: 1.5 h replaced oil pump in the second bay", PART, PROOF],
        [*FOUND, "did: 1.5 h R&R oil pump", "used: 1 x OP-3310 oil pump, new @ 140.00", PROOF],
        [*FOUND, DONE, PART, "proof: road test 9 mi, still quiet; codes read again, none stored"],
        [*FOUND, DONE, PART, "proof: oil level unchanged overnight"],
        [*FOUND, "did: 1.5 h replace failed oil pump", PART, PROOF],
        [*FOUND, "did: 1.5 h replace oil pump, no leaks at the flange", PART, PROOF],
        [
            *FOUND,
            DONE,
            PART,
            "proof: road test 9 mi, noise still there; passed",
        ],
        # one offer declined, another done
        [*ASKED, "offer: replace drive belt; est 90", "told: Ada Fenn, yes 4; no 5", f"{DONE}; for 4", PROOF],
    ],
)
def test_a_repair_that_was_made_and_passed_its_test_is_still_told_first(lines: list[str], language: str) -> None:
    told = opening(lines, language)
    assert re.search(REPAIR[language], told, re.I)
    assert re.search(TESTED[language], told, re.I)


WORKED = ["did: 1.5 h replace oil pump", "used: 1 x OP-3310 oil pump, new @ 140.00"]


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        # labour that has nothing to do with the cause is no repair of it
        ([*FOUND, "did: 0.2 h replace wiper blade", "used: 1 x wiper blade, new @ 9.00"], "did the work listed below"),
        # what was refused is another thing than the repair
        ([*ASKED, "offer: replace drive belt; est 90", "told: Ada Fenn, no 5"], "waits for your answer"),
        # somebody else said no
        ([*ASKED, "told: Bo Lund by phone, no 4"], "the repair has not been done"),
        # the part that is on order is of something else
        ([*FOUND, "later: replace mirror glass; because on order; may wait"], "the repair has not been done"),
        # a test that says neither yes nor no
        ([*FOUND, *WORKED, "proof: ran 10 min at 1200 rpm"], "What the test after it showed is told below"),
        # a test before the work, and none behind it
        ([*FOUND, *WORKED, "proof: to be road tested tomorrow"], "did the repair"),
        # labour that tests: nobody can say that it was not tested
        ([*FOUND, *WORKED, "did: 0.2 h road test"], "We found the cause and did the repair."),
        # a code none read behind the repair
        ([*FOUND, *WORKED, "code: none"], "We found the cause and did the repair."),
        # only some of the work asked for was done
        (["says: service, oil change and rotate tires", "did: 0.5 h oil change"], "We did the work listed below."),
        # nobody asked for a cause
        (["says: inspection before trip", "found: pads LF 6 mm (min 3)"], "below"),
        # a part was used though no labour was typed
        ([*FOUND, "used: 1 x OP-3310 oil pump, new @ 140.00"], "We found the cause."),
    ],
)  # fmt: skip
def test_in_doubt_the_opening_says_less(lines: list[str], told: str) -> None:
    lines = [line.replace(", from 2", "; sure; from 2") for line in lines]
    assert told in opening(lines)
    assert "tested it." not in opening(lines) or "proof" in " ".join(lines)


def test_a_fault_that_a_later_test_passes_over_leaves_the_end_open() -> None:
    lines = [line.replace(", from 2", "; sure; from 2") for line in FOUND]
    told = opening([*lines, "proof: still whines", *WORKED, "proof: 2 now 24 psi"])
    assert "What the test after it showed is told below" in told
    assert "still there" in opening([*lines, *WORKED, "proof: still whines"])
