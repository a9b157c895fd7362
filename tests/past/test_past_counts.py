"""Counts over past jobs, against counting by hand and with another library's arithmetic."""

from collections import Counter
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given
from hypothesis import strategies as st

from support.tickets import ticket_of
from ticket.job.likeness import likeness
from ticket.job.ticket import Ticket, Vehicle
from ticket.past.alike import Alike
from ticket.past.counts import count
from ticket.past.turned_out import TurnedOut, in_words
from ticket.shop.opening import Shop, set_setting
from ticket.shop.past import before
from ticket.store.briefs import Brief

MORNING = datetime(2026, 3, 2, 8, tzinfo=UTC)
NOW = MORNING + timedelta(days=400)


def job(number: int, day: int, *lines: str, plate: str = "", status: str = "signed") -> Ticket:
    opened = MORNING + timedelta(days=day)
    ticket = ticket_of(list(lines), number=number, opened=opened, vehicle=Vehicle("2019 Corvane Alder", "", plate))
    return Ticket(number, opened, status, ticket.header, ticket.entries, closed=opened)


def told(jobs: list[Ticket], code: str = "P0562", sub: str = "16", *, days: int) -> TurnedOut:
    """What a shop of these jobs alone says."""
    with TemporaryDirectory() as folder, Shop.open(Path(folder) / "shop.db", "K. Orlo", now=lambda: NOW) as shop:
        set_setting(shop, "comeback_days", days)
        shop.store.load(jobs, "K. Orlo", "jobs")
        return before(shop, code, sub)


def test_causes_that_name_the_same_thing_are_one_and_sides_stay_apart() -> None:
    jobs = [
        job(1, 0, "says: dim lamps", "code: P0562-16", "cause: corroded ground cables"),
        job(2, 1, "says: dim lamps", "code: P0562-16", "cause: Corroded ground cable", plate="KDE 4102"),
        job(3, 2, "says: dim lamps", "code: P0562-16", "cause: worn belt"),
        job(4, 3, "says: dim lamps", "code: P0562-16"),
        job(5, 4, "says: dim lamps", "code: P0562-16", status="open"),
        job(6, 20, "says: dim lamps again; back from 2", "code: P0562-16", "cause: LF lamp cable", plate="kde4102"),
        job(7, 21, "says: dim lamps", "code: P0562-16", "cause: RF lamp cable"),
    ]
    found = told(jobs, days=10)
    assert [(outcome.text, outcome.jobs) for outcome in found.causes] == [
        ("Corroded ground cable", (2, 1)), ("RF lamp cable", (7,)), ("LF lamp cable", (6,)), ("worn belt", (3,)),
    ]  # fmt: skip
    assert (found.jobs, found.unknown, found.still_open) == ((7, 6, 4, 3, 2, 1), (4,), (5,))
    assert [(item.job, item.by, item.days) for item in found.came_back] == [(2, 6, 19)], "words say so, however late"
    assert found.causes[0].came_back == (2,)
    assert in_words(found).startswith("P0562-16 before: 6 finished jobs; Corroded ground cable 2, RF lamp cable 1")
    assert in_words(found).endswith("; no cause stated 1; 1 came back; apart: 1 not finished")


def test_only_causes_of_the_concern_with_the_code_count() -> None:
    lines = ("says: dim lamps", "code: P0562-16", "cause: worn belt", "says: brake squeal", "cause: worn pads")
    ticket = job(1, 0, *lines)
    assert [outcome.text for outcome in told([ticket], days=90).causes] == ["worn belt"]


def test_the_same_code_within_the_days_is_a_come_back_only_after_work() -> None:
    first = job(1, 0, "says: dim", "code: P0562", "did: 0.4 h replace ground cable", plate="KDE 4102")
    for day, days, back in ((30, 90, True), (30, 29, False), (30, 30, True)):
        second = job(2, day, "says: dim", "code: P0562-1C", plate="KDE 4102")
        found = told([first, second], sub="", days=days)
        assert bool(found.came_back) is back
    untouched = job(1, 0, "says: dim", "code: P0562", plate="KDE 4102")
    second = job(2, 30, "says: dim", "code: P0562", plate="KDE 4102")
    assert not told([untouched, second], sub="", days=90).came_back
    stranger = job(3, 30, "says: dim", "code: P0562", plate="KDE 4103")
    assert not told([first, stranger], sub="", days=90).came_back


def test_come_backs_within_so_many_days_are_counted_by_the_days_whoever_says_that_they_are_some() -> None:
    """The words of the second job name the first; 34 days are not within 1, 10 or 30 all the same."""
    first = job(1, 0, "says: dim", "code: P0562", "did: 0.4 h replace ground cable", plate="KDE 4102")
    second = job(2, 34, "says: dim again; back from 1", "code: P0562", plate="KDE 4102")
    for days, back in ((1, 0), (10, 0), (33, 0), (34, 1), (90, 1)):
        found = told([first, second], sub="", days=days)
        assert found.held is not None
        assert (found.held.back, found.held.watched) == (back, 2), days
        assert (found.held.step is not None) == bool(back), days
        assert [(one.job, one.days) for one in found.came_back] == [(1, 34)], "it is named however late"


def test_declined_and_unfinished_jobs_stand_apart_from_what_jobs_turned_out_to_be() -> None:
    said, code, cause = "says: dim lamps", "code: P0562-16", "cause: worn belt"
    offer, no, yes = "offer: replace belt; est 80", "told: Ada Fenn, no 4", "told: Ada Fenn, yes 4"
    work = "did: 0.6 h replace belt"
    jobs = [
        job(1, 0, said, code, cause, offer, yes, work),
        job(2, 1, said, code, cause, offer, no),
        job(3, 2, said, code, cause, offer, no, yes, work),
        job(4, 3, said, code, cause, offer, no, work),
        job(5, 4, said, code, cause, offer, yes, work, status="ready"),
        job(6, 5, said, code, cause, offer),
    ]
    found = told(jobs, days=10)
    assert found.jobs == (6, 4, 3, 1), "a no that was taken back, work all the same, and no answer are no declined job"
    assert (found.declined, found.still_open, found.unknown) == ((2,), (5,), ())
    assert [(outcome.text, outcome.jobs) for outcome in found.causes] == [("worn belt", (6, 4, 3, 1))]
    assert [outcome.jobs for outcome in found.fixes] == [(4, 3, 1)]
    assert in_words(found) == "P0562-16 before: 4 finished jobs; worn belt 4; apart: 1 declined, 1 not finished"
    only = told(jobs[1:2], days=10)
    assert in_words(only) == "P0562-16 before: no finished job; apart: 1 declined"


NAMES = st.sampled_from(("alder", "petrel", ""))
CODES = st.lists(st.tuples(st.sampled_from(("P0562", "P0455", "U0121")), st.sampled_from(("", "16", "1C"))), max_size=3)


CAUSES = st.lists(st.sampled_from(("worn belt", "loose plug")), max_size=2)


@given(st.lists(st.tuples(NAMES, CODES, CAUSES), max_size=9))
def test_every_job_counts_once_for_whatever_it_holds(jobs: list[tuple[str, list[tuple[str, str]], list[str]]]) -> None:
    briefs = [
        Brief(i, "signed", MORNING, name, name, "", tuple(dict.fromkeys(codes)), tuple(causes))
        for i, (name, codes, causes) in enumerate(jobs)
    ]
    found = count(briefs, [date(2026 - i % 2, 3, 2) for i in range(len(jobs))])
    assert dict(found.codes) == dict(Counter(code for _, codes, _ in jobs for code in {code for code, _ in codes}))
    assert dict(found.causes) == dict(Counter(text for _, _, causes in jobs for text in set(causes)))
    one = count(briefs, [], Alike.of([], [(likeness("worn belt"), likeness("loose plug"))]))
    assert sum(number for _, number in one.causes) == sum(bool(causes) for _, _, causes in jobs), (
        "the shop calls them one"
    )
    assert found.without_cause + len([1 for _, _, causes in jobs if causes]) == found.jobs == len(jobs)
    assert sum(number for _, number in found.years) == len(jobs)
    assert dict(found.vehicles) == dict(Counter(name for name, _, _ in jobs if name))
