"""One deferred item through all visits of its vehicle: what state it is in, and when it is next due.

What a second look decides is common practice, no source; the figures are invented.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from support.tickets import ticket_of
from ticket.followups.driving import driving, visits_of
from ticket.followups.forecast import project
from ticket.followups.thread import (
    BOOKED,
    DECLINED,
    DONE,
    ELSEWHERE,
    GONE,
    LOOKED,
    OPEN,
    OVERTAKEN,
    STATES,
    TOLD,
    Thread,
)  # fmt: skip
from ticket.followups.threads import threads
from ticket.job.follow import FollowUp
from ticket.job.ticket import Header, Ticket
from ticket.job.values import Quantity, Ref

FIRST = datetime(2026, 1, 5, 12, tzinfo=UTC)
PUT_OFF = """says: fan drive whines
found: fan-drive reservoir level -14 mm (-3 to 0)
did: 0.4 h top up fan-drive reservoir; for 2
proof: 2 now -1 mm
later: read the level again; may wait; for 2; in 500 mi or 3 weeks"""


def visit(lines: str, number: int, days: int, miles: int, status: str = "signed") -> Ticket:
    made = ticket_of(lines.split("\n"), number=number, opened=FIRST + timedelta(days=days), status=status)
    return replace(made, header=Header(odometer_in=Quantity(f"{miles}", "mi")))


ONE = visit(PUT_OFF, 1801, 0, 90_000)


def thread(*others: Ticket, follows: dict[Ref, FollowUp] | None = None) -> Thread:
    return threads((ONE, *others), follows)[0]


def word(what: str, days: int, date: str = "") -> dict[Ref, FollowUp]:
    return {Ref(5, 1801): FollowUp(5, what, "K. Orlo", FIRST + timedelta(days=days), date)}


@pytest.mark.parametrize(
    ("line", "state"),
    [
        ("later: for 1801/5; looked at, still waits", LOOKED),
        ("later: for 1801/5; done here", DONE),
        ("did: 0.2 h read level; for 1801/5", DONE),
        ("later: for 1801/5; done elsewhere", ELSEWHERE),
        ("later: for 1801/5; gone", GONE),
        ("later: replace shaft seal; for 1801/5", OVERTAKEN),
        ("later: read the level again; in 1000 mi", OVERTAKEN),
        ("proof: 1801/2 now -9 mm", LOOKED),
        ("told: Ada Fenn by phone, thinks 1801/5", TOLD),
        ("told: Ada Fenn by phone, no 1801/5", TOLD),
        ("says: something else", OPEN),
    ],
)
def test_state_after_a_second_visit(line: str, state: str) -> None:
    assert thread(visit(f"says: back\n{line}", 1802, 20, 90_600)).state == state


@pytest.mark.parametrize(("status", "state"), [("open", BOOKED), ("signed", OPEN)])
def test_an_open_ticket_for_it_books_it(status: str, state: str) -> None:
    assert thread(visit("offer: read the level again; for 1801/5", 1802, 20, 90_600, status)).state == state


def test_work_that_carries_out_an_offer_of_it_does_it() -> None:
    lines = "offer: read the level again; for 1801/5\ndid: 0.2 h read the level again; for 1"
    assert thread(visit(lines, 1802, 20, 90_600)).state == DONE


@pytest.mark.parametrize(
    ("what", "date", "state"),
    [("call", "", TOLD), ("call", "2026-02-20", BOOKED), ("new date", "2026-02-20", BOOKED), ("done", "", ELSEWHERE),
     ("declined", "", DECLINED)],
)  # fmt: skip
def test_words_recorded_beside_the_tickets(what: str, date: str, state: str) -> None:
    found = thread(follows=word(what, 5, date))
    assert (found.state, found.decided.who, found.decided.how) == (state, "K. Orlo", what)
    assert state in STATES


def test_a_new_date_keeps_the_distance() -> None:
    agreed = thread(follows=word("new date", 5, "2026-02-20"))
    assert str(agreed.terms.by_date) == "2026-02-20"
    assert agreed.terms.distance == thread().terms.distance
    assert agreed.terms.due_odometer == Quantity("90,500", "mi")


def test_a_look_counts_the_same_limits_anew() -> None:
    seen = visit("says: back\nlater: for 1801/5; looked at, still waits", 1802, 20, 90_600)
    found = thread(seen)
    assert found.terms.due_odometer == Quantity("91,100", "mi")
    assert str(found.terms.by_date) == "2026-02-15"  # three weeks from January 25
    wider = thread(visit("says: back\nlater: for 1801/5; looked at, still waits; in 1000 mi", 1802, 20, 90_600))
    assert (wider.terms.due_odometer, wider.terms.by_date) == (Quantity("91,600", "mi"), found.terms.by_date)
    dated = thread(visit("says: back\nlater: for 1801/5; looked at, still waits; by 2026-05-01", 1802, 20, 90_600))
    assert (dated.terms.due_odometer, str(dated.terms.by_date)) == (Quantity("91,100", "mi"), "2026-05-01")


def test_a_look_after_a_call_counts_more_and_a_call_after_a_look_does_not_hide_it() -> None:
    seen = visit("says: back\nlater: for 1801/5; looked at, still waits", 1802, 20, 90_600)
    assert thread(seen, follows=word("new date", 5, "2026-02-20")).terms.by_date != thread(
        follows=word("new date", 5, "2026-02-20")
    ).terms.by_date  # fmt: skip
    called = thread(seen, follows=word("call", 25))
    assert (called.state, called.decided.how) == (LOOKED, "call")


def test_each_visit_keeps_what_was_read_as_it_came_and_as_it_left() -> None:
    lines = "says: back\nproof: 1801/2 now -9 mm\nproof: 1801/2 now -1 mm\nlater: for 1801/5; looked at, still waits"
    third = "says: back again\nproof: 1801/2 now -6 mm"
    found = thread(visit(lines, 1802, 20, 90_600), visit(third, 1803, 40, 91_200))
    came = [[seen.typed.number for seen in look.came] for look in found.looks]
    left = [[seen.typed.number for seen in look.left] for look in found.looks]
    assert came == [["-14"], ["-9"], ["-6"]]
    assert left == [["-1"], ["-1"], ["-6"]]
    assert [str(look.odometer) for look in found.looks] == ["90000 mi", "90600 mi", "91200 mi"]
    assert [look.ref for look in found.looks] == [Ref(5, 1801), Ref(4, 1802), Ref(2, 1803)]


def test_an_answer_to_an_answer_reaches_the_thread() -> None:
    second = visit("says: back\nlater: for 1801/5; looked at, still waits", 1802, 20, 90_600)
    third = visit("says: back\nlater: for 1802/2; done here", 1803, 40, 91_200)
    found = thread(second, third)
    assert (found.state, len(threads((ONE, second, third)))) == (DONE, 1)


def test_what_overtakes_it_keeps_its_visits() -> None:
    second = visit("says: back\nlater: replace shaft seal; for 1801/5; in 2 months", 1802, 20, 90_600)
    old, new = threads((ONE, second))
    assert (old.state, old.by, new.state) == (OVERTAKEN, Ref(2, 1802), OPEN)
    assert [look.ref.ticket for look in new.looks] == [1801, 1802]


def test_other_words_are_another_thread() -> None:
    second = visit("says: back\nlater: read the codes again", 1802, 20, 90_600)
    assert [one.state for one in threads((ONE, second))] == [OPEN, OPEN]


def test_fewer_of_the_same_words_are_another_thread_too() -> None:
    less = visit("says: service\nlater: replace fan belt; in 500 mi", 1802, 30, 90_600)
    more = visit("says: service\nlater: replace fan belt and tensioner; in 500 mi", 1803, 60, 91_200)
    assert [one.state for one in threads((ONE, less, more))] == [OPEN, OPEN, OPEN]


def test_struck_and_replaced_items_have_no_thread() -> None:
    struck = replace(ONE, entries=tuple(replace(e, struck=e.no == 5) for e in ONE.entries))
    assert threads((struck,)) == ()


def test_the_forecast_counts_from_the_look() -> None:
    second = visit("says: back\nlater: for 1801/5; looked at, still waits; in 500 mi", 1802, 20, 90_600)
    found = project(thread(second).terms, driving(visits_of((ONE, second))))
    assert found.start == second.opened.date()
    assert found.binding == "distance"


def test_order_of_the_tickets_changes_nothing() -> None:
    second = visit("says: back\nlater: for 1801/5; looked at, still waits", 1802, 20, 90_600)
    third = visit("says: back\nlater: for 1802/2; gone", 1803, 40, 91_200)
    assert threads((third, ONE, second)) == threads((ONE, second, third))
