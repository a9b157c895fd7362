"""Ways people write a line that mean one thing only; common practice of the trade, no source."""

import pytest

from support.facts import run_of, said
from ticket.job.kinds import Cause, Code, Did, Found, Later, Told, Used
from ticket.job.values import Answer, Limits, Ref
from ticket.notes.read import read
from ticket.notes.write import write


def fact_of(line: str) -> object:
    (draft,) = read(line)
    return draft.fact


@pytest.mark.parametrize(
    ("typed", "numbers"),
    [("3-6", (3, 4, 5, 6)), ("3 - 5, 8", (3, 4, 5, 8)), ("2 and 4–5", (2, 4, 5)), ("7-7", (7,))],
)
def test_a_span_of_entries_names_each(typed: str, numbers: tuple[int, ...]) -> None:
    assert fact_of(f"cause: worn pads; from {typed}") == Cause(text="worn pads", refs=tuple(map(Ref, numbers)))


def test_a_span_on_an_earlier_ticket_and_one_that_is_none() -> None:
    fact = fact_of("cause: worn pads; from 2107/3-4")
    assert isinstance(fact, Cause)
    assert fact.refs == (Ref(3, 2107), Ref(4, 2107))
    for typed in ("6-3", "1-999"):
        fact = fact_of(f"cause: worn pads; from {typed}")
        assert isinstance(fact, Cause)
        assert fact.refs == ()


@pytest.mark.parametrize(
    "bracket", ["min 1.6 legal", "legal min 1.6", "min 1.6, legal limit", "min 1.6 per law", "min 1.6 by law"]
)
def test_a_legal_limit_is_read(bracket: str) -> None:
    fact = fact_of(f"found: LF tread 1.9 mm ({bracket})")
    assert isinstance(fact, Found)
    run = run_of(fact)
    assert run is not None
    assert run.limits == Limits(low="1.6", source="law")


@pytest.mark.parametrize(
    ("typed", "limits"),
    [
        ("drop 300 mV (max 0.5 V)", Limits(high="0.5", unit="V")),
        ("play 3 mm (max 0.1 in)", Limits(high="0.1", unit="in")),
        ("wheel sensor 2.4 Mohm (1.0-1.6 kohm)", Limits(low="1.0", high="1.6", unit="kohm")),
        ("length 10 in (max 1 m)", Limits(high="1", unit="m")),
        ("play 3 mm (max 5 mm)", Limits(high="5")),
    ],
)
def test_limits_in_another_unit_stay_as_they_were_typed(typed: str, limits: Limits) -> None:
    fact = fact_of(f"found: {typed}")
    assert isinstance(fact, Found)
    run = run_of(fact)
    assert run is not None
    assert run.limits == limits


def test_limits_that_do_not_convert_stay_words_with_a_question() -> None:
    for typed in ("found: drop 300 mV (max 5 mm)", "found: length 10 in (min 1 m, max 50 in)"):
        (draft,) = read(typed)
        assert isinstance(draft.fact, Found)
        assert (run := run_of(draft.fact)) is None or run.limits is None
        assert draft.remarks


def test_a_numbered_thing_keeps_its_number() -> None:
    fact = fact_of("found: pin 2 8.3 V")
    assert isinstance(fact, Found)
    assert said(fact) == ["pin 2: 8.3 V"]
    (draft,) = read("found: pads 2 8.3 mm")
    assert draft.remarks


def test_answers_read_with_the_small_words_people_use() -> None:
    fact = fact_of("told: Ada Fenn by phone, yes to 8, thinks about 9, no to 10 and 11")
    assert isinstance(fact, Told)
    assert fact.answers == (
        Answer("yes", (Ref(8),)), Answer("thinks", (Ref(9),)), Answer("no", (Ref(10), Ref(11))),
    )  # fmt: skip
    assert fact.words == ""


def test_a_status_and_its_count_may_stand_in_one_piece() -> None:
    assert fact_of("code: P0562-16 engine computer, stored 3 times") == Code(
        code="P0562", sub="16", unit="engine computer", status="stored", times="3 times"
    )
    fact = fact_of("code: P0562 seat module 2 times")
    assert isinstance(fact, Code)
    assert (fact.unit, fact.times) == ("seat module", "2 times")


def test_no_charge_behind_labour_means_that_the_shop_pays() -> None:
    assert fact_of("did: 0.5 h clear the drain, no charge") == Did(hours="0.5", text="clear the drain", pays="shop")
    assert fact_of("did: clear the drain, free of charge; pay warranty") == Did(text="clear the drain", pays="warranty")
    assert fact_of("did: explain that no charge is due") == Did(text="explain that no charge is due")


@pytest.mark.parametrize(
    ("typed", "fact"),
    [
        ("sublet alignment, Pane & Sons @ 90", Used(text="alignment, Pane & Sons", condition="sublet", price="90")),
        ("new 1 tire", Used(amount="1", unit="x", text="tire", condition="new")),
        ("rebuilt 2 x caliper", Used(amount="2", unit="x", text="caliper", condition="rebuilt")),
        ("1 x new tire @ 80", Used(amount="1", unit="x", text="tire", condition="new", price="80")),
        ("1 x new style bracket", Used(amount="1", unit="x", text="new style bracket")),
        ("used oil disposal @ 5", Used(text="used oil disposal", price="5")),
    ],
)
def test_a_condition_in_front_is_read(typed: str, fact: Used) -> None:
    assert fact_of(f"used: {typed}") == fact


@pytest.mark.parametrize(
    ("typed", "total", "ceiling", "deposit"),
    [
        ("yes; total up to 560.00; deposit 150", "", "560.00", "150"),
        ("yes, up to $560.00, deposit 150", "", "560.00", "150"),
        ("yes, total 560", "560", "", ""),
        ("yes; total: 560", "560", "", ""),
    ],
)
def test_a_sum_that_was_agreed_is_never_kept_as_mere_words(typed: str, total: str, ceiling: str, deposit: str) -> None:
    fact = fact_of(f"told: Ada Fenn by phone 555-0134, {typed}")
    assert isinstance(fact, Told)
    assert (fact.total, fact.ceiling, fact.deposit, fact.words) == (total, ceiling, deposit, "")


def test_a_sum_that_is_given_twice_is_asked_about() -> None:
    (draft,) = read("told: Ada Fenn by phone, yes, total 500; total 560")
    assert isinstance(draft.fact, Told)
    assert (draft.fact.total, bool(draft.remarks)) == ("560", True)


def test_a_colon_parts_what_was_said_from_the_number() -> None:
    fact = fact_of("told: Ada Fenn by text 555-0134: it is ready, come at five")
    assert isinstance(fact, Told)
    assert (fact.address, fact.words) == ("555-0134", "it is ready, come at five")
    fact = fact_of("told: Ada Fenn by phone: yes to 8")
    assert isinstance(fact, Told)
    assert (fact.address, fact.answers) == ("", (Answer("yes", (Ref(8),)),))


def test_work_that_can_wait_may_wait() -> None:
    fact = fact_of("later: replace seal; can wait; because: it only sweats")
    assert isinstance(fact, Later)
    assert (fact.judgement, fact.because) == ("may wait", "it only sweats")


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31", "2026-02-30"])
def test_a_date_that_is_none_is_kept_as_words_and_asked_about(day: str) -> None:
    for line in (
        f"later: read again; by {day}",
        f"told: Ann by phone, yes; at {day} 10:00",
        f"told: Ann, {day} 10:00, yes",
    ):
        (draft,) = read(line)
        (remark,) = draft.remarks
        assert line[remark.start : remark.end] == day
        assert "is no day" in remark.text
        assert not getattr(draft.fact, "date", "")
        assert not getattr(draft.fact, "at", "")
        assert day in write(draft.fact)
    assert not read("used: 1 x 1234-56-78 filter")[0].remarks
    assert not read("later: read again; by 2026-02-28")[0].remarks
