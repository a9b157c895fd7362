"""A finding on a form: one text, out of which its measurements are read; two people's changes never mix within it."""

from dataclasses import replace

from hypothesis import given

from support.facts import facts, in_parts, measured_facts
from support.several import FINDING
from ticket.assist.merging import merge_facts
from ticket.job.kinds import Fact, Found, Proof
from ticket.job.values import Run, Value
from ticket.notes.filled import filled, on_form
from ticket.notes.read import read
from ticket.notes.shapes import Context

OLDER = Found(what="pads", run=Run((Value("7", "LF"), Value("2", "RF")), "mm"), seen="cracked")


def form(fact: Fact) -> dict[str, str]:
    return {spec.name: text for spec, text in on_form(fact)}


def test_the_form_of_an_older_finding_shows_its_line_and_reads_it_anew_once_changed() -> None:
    assert form(OLDER) == {"what": "pads LF 7 RF 2 mm, cracked"}
    assert filled(OLDER, form(OLDER), Context()) == OLDER
    changed = filled(OLDER, {"what": "pads LF 7 RF 3 mm, cracked"}, Context())
    (draft,) = read("found: pads LF 7 RF 3 mm, cracked")
    assert changed == draft.fact


@given(facts("found") | facts("proof") | measured_facts())
def test_a_form_left_as_it_is_changes_nothing(fact: Fact) -> None:
    assert in_parts(filled(fact, form(fact), Context())) == in_parts(fact)


def test_a_text_is_never_kept_with_the_readings_of_another() -> None:
    (before,) = (draft.fact for draft in read("found: pads LF 7 RF 2 mm, cracked"))
    (mine,) = (draft.fact for draft in read("found: pads LF 7 RF 2 mm, glazed"))
    (theirs,) = (draft.fact for draft in read("found: front pads LF 7 RF 3 mm, cracked"))
    merged, clashes = merge_facts(before, mine, theirs)
    assert merged == mine
    assert [clash.theirs for clash in clashes] == ["front pads LF 7 RF 3 mm, cracked"]


def test_the_result_of_a_test_and_its_text_are_changed_apart() -> None:
    before = replace(Proof(), what=FINDING.what, measurements=FINDING.measurements)
    mine, theirs = replace(before, result="passed"), replace(before, what="again", measurements=())
    assert merge_facts(before, mine, theirs) == (replace(theirs, result="passed"), ())
