"""Measurements side by side, and what a verification takes over from each of them."""

from dataclasses import replace

import pytest
from hypothesis import given

from support.facts import measured_facts
from support.several import AGAIN, FINDING, TEXT, several
from ticket.job.entry import Entry
from ticket.job.kinds import Did, Found, Proof
from ticket.job.ticket import Header, Ticket
from ticket.job.values import Limits, Measurement, Quantity, Ref, Run, Span, Value
from ticket.readings.measured_groups import groups, names, prose, seen, subject, text_in, values
from ticket.readings.pairing import judge_entry, measured
from ticket.readings.positions import place_key, places
from ticket.readings.trend import trends


def test_neighbours_that_differ_in_position_alone_stand_together() -> None:
    held = groups(FINDING)
    assert [(group.what, group.when, group.first) for group in held] == [
        ("engine oil pressure", "at idle", 0), ("coolant temperature", "", 1), ("tread", "", 2),
    ]  # fmt: skip
    assert held[1].run == Run((Value("225-230"),), "degF", Limits(high="220"))
    assert held[2].run.values == (Value("4/32", "left front"), Value("1/32", "right front"))
    assert (subject(FINDING), seen(FINDING)) == ("engine oil pressure, at idle", "leak at the oil cooler")
    assert len(values(FINDING)) == 4


def _tread(number: str, place: str, **more: object) -> Measurement:
    return replace(Measurement(number, "mm", at=(place,) if place else (), of=(Span(0, 5),)), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("pair", "apart"),
    [
        ((_tread("4", "left front"), _tread("3", "right front")), False),
        ((_tread("4", "left front"), _tread("3", "left front")), True),  # one place twice: two occasions
        ((_tread("4", "left front"), _tread("3", "right front", unit="in")), True),
        ((_tread("4", "left front"), _tread("3", "right front", limits=Limits(low="2"))), True),
        ((_tread("4", "left front"), _tread("3", "right front", when=(Span(5, 11),))), True),
        ((_tread("4", ""), _tread("3", "")), False),  # a bare list behind one name
        ((_tread("4", ""), _tread("3", "", of=(Span(0, 4),))), True),
        ((_tread("4", "left front"), _tread("3", "")), True),
    ],
)
def test_what_parts_two_measurements(pair: tuple[Measurement, ...], apart: bool) -> None:
    assert len(groups(Found(what="tread, cold", measurements=pair))) == 1 + apart


def test_an_older_run_is_one_group_as_it_stands() -> None:
    fact = Found(what="pads", run=Run((Value("4", "LF"), Value("3", "LF")), "mm"), seen="cracked")
    assert [group.run for group in groups(fact)] == [fact.run]
    assert (subject(fact), seen(fact), prose(fact)) == ("pads", "cracked", "pads cracked")


def test_words_of_a_finding_are_those_outside_its_readings() -> None:
    assert names(FINDING) == ("engine oil pressure, at idle", "coolant temperature", "tread")
    assert "psi" not in prose(FINDING)
    assert text_in(FINDING, "what") == "engine oil pressure, at idle; coolant temperature; tread"
    nothing = Proof(of=Ref(2), what="no leak")
    assert (subject(nothing), seen(nothing)) == ("", "no leak")


def test_words_that_were_erased_leave_the_figures() -> None:
    erased = replace(FINDING, what="", seen="")
    assert [value.number for value in values(erased)] == ["12", "225-230", "4/32", "1/32"]
    assert {group.what for group in groups(erased)} == {""}


@pytest.mark.parametrize(
    ("typed", "words"),
    [("LF", ("left front",)), ("LF inner", ("left front", "inner")), ("cyl 3", ("cylinder 3",)), ("L", ("left",)),
     ("left front", ("left front",)), ("upper", ("upper",)), ("cylinder 12", ("cylinder 12",)), ("", ())],
)  # fmt: skip
def test_positions_in_words(typed: str, words: tuple[str, ...]) -> None:
    """Common practice, no source: L left, R right, F front, R rear where it stands second."""
    assert places(typed) == words
    assert place_key(typed) == place_key(" ".join(words))


def test_each_reading_taken_again_is_judged_by_the_one_it_repeats() -> None:
    ticket = several()
    first, again = ticket.entries[1], ticket.entries[4]
    assert [verdict.word for verdict in judge_entry(ticket, first)] == ["low", "high", "in", "low"]
    assert [verdict.word for verdict in judge_entry(ticket, again)] == ["in", "in", "in"]
    held = measured(ticket, again).groups
    assert [(one.what, one.run.unit, one.run.limits and one.run.limits.low) for one in held] == [
        ("engine oil pressure, at idle", "psi", "15"), ("tread", "in", "2/32"),
    ]  # fmt: skip


def _on(*facts: Found | Proof) -> Ticket:
    base = several()
    return replace(base, entries=tuple(Entry(no, fact, "Kim Arden", base.opened) for no, fact in enumerate(facts, 1)))


def test_positions_with_other_limits_part_what_was_typed_together() -> None:
    """`2 now LF 12 RR 12`: the front is judged by the limits of the front, the rear by those of the rear."""
    front, rear = (Limits(low=low) for low in ("13", "10"))
    first = Found(what="pads", measurements=(
        Measurement("7", "mm", at=("left front",), of=(Span(0, 4),), limits=front),
        Measurement("6", "mm", at=("right rear",), of=(Span(0, 4),), limits=rear),
    ))  # fmt: skip
    placed = tuple(Measurement("12", at=(place,)) for place in ("left front", "right rear"))
    bare = (Measurement("12"), Measurement("12"))
    for held in (placed, bare):
        ticket = _on(first, Proof(of=Ref(1), what="12 12", measurements=held))
        assert [verdict.word for verdict in judge_entry(ticket, ticket.entries[1])] == ["low", "in"]
        assert {one.run.unit for one in measured(ticket, ticket.entries[1]).groups} == {"mm"}


def test_a_figure_that_may_repeat_either_of_two_readings_takes_nothing_over() -> None:
    limits = Limits(low="5")
    twin = tuple(Measurement(value, "mm", of=(Span(at, at + 1),), limits=limits) for at, value in enumerate("34"))
    again = Proof(of=Ref(1), what="6 mm", measurements=(Measurement("6", "mm"),))
    ticket = _on(Found(what="ab", measurements=twin), again)
    (alone,) = measured(ticket, ticket.entries[1]).groups
    assert alone.old is None
    assert alone.run.limits is None
    named = Proof(of=Ref(1), what="b 6 mm", measurements=(Measurement("6", "mm", of=(Span(0, 1),)),))
    ticket = _on(ticket.entries[0].fact, named)  # type: ignore[arg-type]
    assert [one.run.limits for one in measured(ticket, ticket.entries[1]).groups] == [Limits(low="5")]


def test_an_older_run_and_new_measurements_of_one_place_meet() -> None:
    older = Found(what="tread", run=Run((Value("8", "LF"), Value("8", "RF")), "mm", Limits(low="3")))
    newer = Proof(of=Ref(1), what="LF 2", measurements=(Measurement("2", at=("left front",)),))
    ticket = _on(older, newer)
    assert [verdict.word for verdict in judge_entry(ticket, ticket.entries[1])] == ["low"]
    visit = _on(Found(what="tread LF 6 mm", measurements=(_tread("6", "left front"),)))
    visit = replace(visit, number=8, header=Header(odometer_in=Quantity("58,210", "mi")))
    (trend,) = trends(visit, (replace(ticket, entries=ticket.entries[:1]),))
    assert (trend.start.number, trend.end.number) == ("8", "6")


@given(measured_facts())
def test_any_measurements_are_grouped_whole_and_judged_one_by_one(fact: Found | Proof) -> None:
    assert len(values(fact)) == len(fact.measurements)
    assert [group.first for group in groups(fact)] == sorted(group.first for group in groups(fact))
    ticket = _on(FINDING, fact)
    assert len(judge_entry(ticket, ticket.entries[1])) == len(fact.measurements)
    again = _on(fact, replace(AGAIN, of=Ref(1)))
    assert len(judge_entry(again, again.entries[1])) == len(AGAIN.measurements)
    assert FINDING.what == TEXT


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (("front", "near side", "middle"), "near side front middle"),
        (("near side", "front", "inner"), "near side front inner"),
        (("inner", "left rear", "axle 2"), "axle 2 left rear inner"),
        (("bank 1", "sensor 2"), "bank 1 sensor 2"),
        (("top", "left"), "left top"),
    ],
)
def test_positions_of_one_reading_are_told_in_one_order(typed: tuple[str, ...], told: str) -> None:
    assert (
        groups(Found(what="tread 3", measurements=(Measurement(value="3", unit="mm", at=typed),)))[0]
        .run.values[0]
        .label
        == told
    )


def test_only_prose_is_the_text_of_a_field() -> None:
    did = Did(text="replace belt", refs=(Ref(1),))
    assert [text_in(did, name) for name in ("text", "refs", "clock", "nobody")] == ["replace belt", "", "", ""]
