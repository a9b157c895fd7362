"""The reader of findings against generated lines: nothing wrong, nothing lost, most of it read.

The lines and their meaning come from ``generated_lines``, written without looking at the reader. ``TICKET_FULL=1``
reads a hundred thousand of them.
"""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import permutations
from random import Random
from types import FrameType
from typing import Any

import pytest
from finding_records import Answer, Record, answer_of
from generated_lines import generated
from generated_meaning import Line
from generated_words import SIZES
from hypothesis import example, given
from hypothesis import strategies as st
from judged_lines import Judgement, judged, lost_numbers

from ticket.readings.units import convert

COUNT = 100_000 if os.environ.get("TICKET_FULL") else 900
SEED = 20_260
WANTED = 0.97
LONG = 65_536


@dataclass(frozen=True, slots=True)
class Told:
    """A line, its answer, and what the judge thinks of it."""

    line: Line
    answer: Answer
    judgement: Judgement


@pytest.fixture(scope="module")
def told() -> list[Told]:
    lines = []
    for line in generated(SEED, COUNT):
        answer = answer_of(line.text)
        lines.append(Told(line, answer, judged(line, answer)))
    return lines


def _shown(bad: list[Told]) -> str:
    """The shortest of them, to be read by a person."""
    shortest = sorted(bad, key=lambda one: len(one.line.text))[:8]
    return f"{len(bad)} of {COUNT}:\n" + "\n".join(f"{one.line.text!r} {one.judgement.reasons}" for one in shortest)


@pytest.mark.slow
def test_no_verdict_is_wrong_and_no_condition_is_judged(told: list[Told]) -> None:
    bad = [one for one in told if one.judgement.outcome == "wrong verdict"]
    assert not bad, _shown(bad)


@pytest.mark.slow
def test_no_two_values_are_swapped_and_nothing_is_made_up(told: list[Told]) -> None:
    bad = [one for one in told if one.judgement.outcome == "wrong"]
    assert len(bad) * 10_000 <= COUNT, _shown(bad)  # none in the suite


def test_each_number_is_taken_or_asked_about(told: list[Told]) -> None:
    bad = [one for one in told if lost_numbers(one.line.text, one.answer)]
    assert not bad, _shown(bad)


def test_most_lines_are_read_whole(told: list[Told]) -> None:
    read = sum(one.judgement.outcome == "read" for one in told)
    assert read >= WANTED * len(told), _shown([one for one in told if one.judgement.outcome != "read"])


def test_what_nobody_could_know_is_asked(told: list[Told]) -> None:
    kinds = {one.line.ask for one in told if one.line.ask}
    assert kinds == {"mohm", "two subjects", "places without values", "slip", "slip letter"}
    bad = [one for one in told if one.line.ask and one.judgement.outcome != "read"]
    assert not bad, _shown(bad)


# Units: SI Brochure, 9th edition, and the international yard and pound agreement of 1959, which make these sizes exact.
def test_limits_in_another_unit_are_compared_exactly(told: list[Told]) -> None:
    other = [one for one in told if "limits in another unit" in one.line.classes]
    verdicts = [record.verdict for one in other for record in one.answer.records if record.verdict not in {"", "none"}]
    assert len(verdicts) > len(told) // 60
    assert {"in", "low", "high"} <= set(verdicts)
    assert not [one for one in other if one.judgement.outcome == "wrong verdict"]


@pytest.mark.parametrize("one", [name for name in SIZES if name not in {"lb-ft", "Nm", "inHg"}])
@pytest.mark.parametrize("other", ["mm", "kPa", "V", "A", "ohm", "s", "L"])
def test_units_have_their_exact_size(one: str, other: str) -> None:
    (dimension, size, _zero), (wanted, unit, _other) = SIZES[one], SIZES[other]
    if dimension == wanted:
        assert convert(Fraction(7, 3), one, other) == Fraction(7, 3) * size / unit


def _plain(record: Record) -> tuple[Any, ...]:
    """What a record says, without where it stands."""
    of = frozenset(record.of.casefold().split())
    return (
        of,
        record.at,
        record.value,
        record.to,
        record.than,
        record.unit,
        record.when.casefold(),
        record.low,
        record.high,
        record.verdict,
    )


@pytest.mark.slow
def test_independent_clauses_mean_the_same_in_any_order() -> None:
    seen = asked = 0
    for line in generated(SEED + 1, COUNT // 2):
        if len(line.clauses) < 2 or line.ask:
            continue
        orders = [answer_of("; ".join(order)) for order in permutations(line.clauses)]
        seen += 1
        if any(answer.doubts for answer in orders):
            asked += (
                1  # a bare range behind readings of its dimension may be what they should be: that depends on the order
            )
            continue
        said = {frozenset(_plain(record) for record in answer.records) for answer in orders}
        assert len(said) == 1, line.clauses
    assert seen > COUNT // 20
    assert asked < seen // 10


@given(
    st.permutations(["LF 4 mm", "RF 5 mm", "LR 6.5 mm", "RR 7 mm"]), st.sampled_from([", ", "; ", " "]), st.booleans()
)
def test_places_with_their_values_mean_the_same_in_any_order(order: list[str], between: str, limited: bool) -> None:
    answer = answer_of(f"pads {between.join(order)}{' (min 5 mm)' if limited and between != '; ' else ''}")
    values = {record.at: (record.value, record.unit) for record in answer.records}
    assert values == {
        frozenset({"left", "front"}): (Fraction(4), "mm"),
        frozenset({"right", "front"}): (Fraction(5), "mm"),
        frozenset({"left", "rear"}): (Fraction(13, 2), "mm"),
        frozenset({"right", "rear"}): (Fraction(7), "mm"),
    }
    if limited and between != "; ":
        verdicts = {record.at: record.verdict for record in answer.records}
        assert verdicts[frozenset({"left", "front"})] == "low"
        assert [verdict for verdict in verdicts.values() if verdict == "in"] == ["in"] * 3


# ---------------------------------------------------------------------- any text at all
def _sound(text: str) -> Answer:
    answer = answer_of(text)
    for start, end in answer.doubts:
        assert 0 <= start < end <= len(text)
    for record in answer.records:
        assert 0 <= record.start < record.end <= len(text)
    return answer


@given(st.text())
@example("\x00\x1b[31m\u202e7 mm\u0000")
@example("9" * 5000)
@example("1" * 400 + "." + "2" * 400 + " mm (min " + "3" * 400 + ")")
@example("LF 1e400 V, RF ١٢ mm, ²/₃ in, ½ in, 1/0 in, 0/32, 1/00 mm, ∞ ohm")
@example("((((((7 mm))))))]]]]" * 20)
def test_any_text_is_read(text: str) -> None:
    _sound(text)


@given(
    st.integers(0, 10_000), st.integers(0, 200), st.text("0123456789.,/-+@()<>~;: \t\x00\x7f\u00a0LRmVin", max_size=6)
)
def test_a_line_with_anything_put_into_it_is_read(seed: int, at: int, junk: str) -> None:
    line = next(iter(generated(seed, 1))).text
    _sound(line[:at] + junk + line[at:])


WORDS = (
    "4 3.5 7/32 1-7/8 12.6 mm psi V @ at min max ( ) , ; / LF RR inner cyl axle spec to - +/- hot idle rpm pad and < > "
    "was with no load before after in out B1 B2 between"
).split()


def test_any_row_of_the_words_of_findings_is_read() -> None:
    source = Random(SEED)
    for _ in range(COUNT):
        _sound(" ".join(source.choices(WORDS, k=source.randint(1, 12))))


# ---------------------------------------------------------------------- long lines
def _steps(text: str) -> int:
    """How many calls, of Python and of built-in functions, it takes to read a text."""
    count = 0

    def seen(_frame: FrameType, event: str, _argument: object) -> None:
        nonlocal count
        count += event in {"call", "c_call"}

    before = sys.getprofile()
    sys.setprofile(seen)
    try:
        answer_of(text)
    finally:
        sys.setprofile(before)
    return count


@pytest.mark.slow
@pytest.mark.parametrize(
    "piece",
    [
        "LF pad 4 mm (min 3), ",
        "4 ",
        "(",
        "cyl 1 120 2 125 ",
        "1/",
        "a",
        "a-",
        "7 mm @ ",
        "L/R 5/4 ",
        "min ",
        "B1 B2 ",
        "12,",
        "in. ",
    ],
)
def test_a_line_of_64_kib_takes_no_more_than_linear_steps(piece: str) -> None:
    long = (piece * LONG)[:LONG]
    _steps(long[:1024])  # tables are read once
    half, whole = _steps(long[: LONG // 2]), _steps(long)
    assert whole <= 2.2 * half + 500
    answer = _sound(long)
    assert not any(char.isdigit() for char in piece.replace("B1 B2", "")) or answer.doubts or answer.records


# ---------------------------------------------------------------------- the judge itself
def _first_read(told: list[Told], class_: str) -> Told:
    return next(
        one
        for one in told
        if class_ in one.line.classes
        and one.judgement.outcome == "read"
        and len(one.answer.records) > 1
        and not one.line.ask
    )


def test_the_judge_sees_two_values_that_are_swapped(told: list[Told]) -> None:
    one = next(
        t
        for t in told
        if "list" in t.line.classes
        and t.judgement.outcome == "read"
        and len({r.value for r in t.answer.records}) > 1
        and len(t.line.clauses) == 1
    )
    first, *rest = one.answer.records
    other = next(record for record in rest if record.value != first.value)
    swapped = (
        replace(first, value=other.value),
        replace(other, value=first.value),
        *(r for r in rest if r is not other),
    )
    assert judged(one.line, replace(one.answer, records=swapped)).outcome.startswith("wrong")


def test_the_judge_sees_a_verdict_that_is_turned_round(told: list[Told]) -> None:
    one = _first_read(told, "limits shared")
    turned = tuple(
        replace(r, verdict={"in": "low", "low": "in", "high": "in"}.get(r.verdict, r.verdict))
        for r in one.answer.records
    )
    assert judged(one.line, replace(one.answer, records=turned)).outcome == "wrong verdict"


def test_the_judge_sees_a_reading_that_is_dropped_or_made_up(told: list[Told]) -> None:
    one = _first_read(told, "list")
    fewer = replace(one.answer, records=one.answer.records[1:], doubts=())
    assert judged(one.line, fewer).outcome == "lost"
    assert lost_numbers(one.line.text, replace(one.answer, records=(), doubts=()))
    more = replace(one.answer, records=(*one.answer.records, replace(one.answer.records[0], start=9999, end=9999)))
    assert judged(one.line, more).outcome.startswith("wrong")


def test_the_generator_makes_the_same_lines_for_the_same_seed() -> None:
    assert [line.text for line in generated(5, 40)] == [line.text for line in generated(5, 40)]
    assert Random(5).random() == Random(5).random()
