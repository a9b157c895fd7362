"""What is proposed to check next: what each line rests on, what this job has ruled out, and what is not claimed."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from support.tickets import ticket_of
from ticket.job.ticket import Ticket, Vehicle
from ticket.past.alike import Alike, likely_pairs
from ticket.past.chances import Level
from ticket.past.check_times import Look, looks, read_look
from ticket.past.next_check import explained, lines, next_checks
from ticket.shop.opening import Shop
from ticket.shop.past import before, call_one, next_for, pairs_to_ask, spread, tell_apart
from ticket.shop.settings import keep_pair

MORNING = datetime(2025, 3, 3, 8, tzinfo=UTC)
TEXTS = {"seal": "worn seal", "breather": "blocked breather", "sensor": "dead sensor"}
LEVEL = Level("P0562-16", {"seal": 9, "breather": 4, "sensor": 2})


def test_each_line_says_what_it_rests_on() -> None:
    found = next_checks([LEVEL], TEXTS, {"breather": Look(10, 7), "seal": Look(30, 3)})
    assert lines(found, "P0562-16") == [
        "P0562-16: 15 past jobs",
        "1. check blocked breather (10 min, median of 7 looks, as they were typed): found in 4 of 15 jobs, 27 %",
        "2. check worn seal (30 min, median of 3 looks, as they were typed): found in 9 of 15 jobs, 60 %",
        "3. check dead sensor (minutes not known): found in 2 of 15 jobs, 13 %",
    ]
    told = "\n".join(explained(found))
    assert "blocked breather: chance 0.26, 10 min, 0.0263 a minute" in told  # (4 + 1) / (15 + 4) by hand
    assert "something no job had yet: chance 0.05" in told


def test_from_few_jobs_no_order_is_claimed_and_from_none_nothing_is_proposed() -> None:
    few = lines(next_checks([Level("P0562", {"seal": 1, "sensor": 1})], TEXTS, {}), "P0562")
    assert few[0] == "P0562: 2 past jobs - too few to rank"
    assert all(line.startswith("- check") and "%" not in line for line in few[1:])
    assert lines(next_checks([Level("P0562", {})], {}, {}), "P0562") == ["no past jobs with P0562"]


def test_what_this_job_ruled_out_is_not_proposed_unless_a_look_can_miss() -> None:
    sure = next_checks([LEVEL], TEXTS, {}, ruled=["seal"])
    assert [one.text for one in sure.proposals] == ["blocked breather", "dead sensor"]
    assert lines(sure, "P0562-16")[-1] == "ruled out here: worn seal"
    assert sum(one.check.chance for one in sure.proposals) + sure.other == pytest.approx(1)
    missing = next_checks([LEVEL], TEXTS, {"seal": Look(10, 9, finds=0.6)}, ruled=["seal"])
    (again,) = (one for one in missing.proposals if one.again)
    assert again.text == "worn seal"
    assert any("ruled out once, a look can miss" in line for line in lines(missing, "P0562-16"))


def test_giving_up_is_told_where_the_next_look_costs_more() -> None:
    found = next_checks([LEVEL], TEXTS, {"sensor": Look(90, 5)}, giving_up=60)
    assert found.stop == "dead sensor"
    assert next_checks([LEVEL], TEXTS, {}, giving_up=600).stop is None


@pytest.mark.parametrize(
    ("typed", "look"),
    [
        ("10 min", Look(10)),
        ("7.5 min; finds 90 %", Look(7.5, finds=0.9)),
        ("10 min; behind wheels off 15 min", Look(10, opening="wheels off", opening_minutes=15)),
        ("0 min", None), ("10", None), ("10 min; finds 0 %", None), ("10 min; finds 101 %", None), ("", None),
    ],
)  # fmt: skip
def test_what_the_shop_says_of_a_check(typed: str, look: Look | None) -> None:
    assert read_look(typed) == look


def _job(number: int, *lines: str, status: str = "signed", days: int = 0) -> Ticket:
    opened = MORNING + timedelta(days=number)
    said = ("says: dim lamps", "code: P0562-16", *lines)
    vehicle = Vehicle("2019 Corvane Alder", "", f"KDE {number}")
    made = ticket_of(list(said), number=number, opened=opened, vehicle=vehicle)
    closed = opened if status == "signed" else None
    return Ticket(number, opened, status, made.header, made.entries, closed=closed, signed_by="K. Orlo")


def test_times_and_misses_are_read_from_past_jobs() -> None:
    jobs = [_job(1, "ruled: worn belt; tight", "cause: worn belt"), _job(2, "cause: worn belt")]
    (look,) = looks(jobs, Alike()).values()
    assert (look.missed, look.found) == (1, 2)
    assert look.chance_to_find == pytest.approx(2 / 3)


def test_minutes_are_told_from_three_times_on() -> None:
    def timed(number: int, minutes: int) -> Ticket:
        job = _job(number, "cause: worn belt")
        *first, last = job.entries
        return replace(job, entries=(*first, replace(last, at=last.at + timedelta(minutes=minutes))))

    two, three = ([timed(i, 10 * i) for i in range(1, many)] for many in (3, 4))
    step = looks(three, Alike())["belt worn"].minutes
    assert (looks(two, Alike())["belt worn"].minutes, looks(two, Alike())["belt worn"].looks) == (None, 0)
    assert step is not None
    assert 20 <= step < 30
    assert looks(three, Alike())["belt worn"].looks == 3


def test_the_shop_is_asked_and_the_job_in_hand_is_no_past_job(shop: Shop) -> None:
    jobs = [_job(i, f"cause: {'worn belt' if i % 3 else 'loose plug'}", "did: 0.4 h renew it") for i in range(1, 13)]
    shop.store.load([*jobs, _job(20, "ruled: worn belt; tight", status="open")], "K. Orlo", "jobs")
    found = next_for(shop, "P0562", "16", on=shop.store.ticket(20))
    assert found.level is not None
    assert (found.level.words, found.level.total) == ("P0562-16 on 2019 Corvane Alder", 12)
    assert [one.text for one in found.proposals] == ["loose plug"]
    keep_pair(shop, "checks", "loose plug = 25 min; behind dash 40 min")
    (one,) = next_for(shop, "P0562", "16", on=shop.store.ticket(20)).proposals
    assert (one.check.minutes, one.check.opening, one.check.opening_minutes) == (25, "dash", 40)


def test_causes_are_one_only_when_the_shop_says_so_and_apart_again_when_it_takes_it_back(shop: Shop) -> None:
    causes = ("worn belt", "worn belt", "belt wrn", "cracked belt")
    shop.store.load([_job(i, f"cause: {text}") for i, text in enumerate(causes, 1)], "K. Orlo", "jobs")
    counted = {one.text: len(one.jobs) for one in before(shop, "P0562", "16").causes}
    assert counted == {"worn belt": 2, "belt wrn": 1, "cracked belt": 1}
    assert ("worn belt", "belt wrn") in pairs_to_ask(shop, before(shop, "P0562", "16"))
    assert spread(shop, "P0562", "cause") == [("worn belt", 2), ("belt wrn", 1), ("cracked belt", 1)]
    call_one(shop, "belt wrn", "worn belt", "P0562")
    assert spread(shop, "P0562", "cause") == [("worn belt", 3), ("cracked belt", 1)], (
        "the search counts them as one too"
    )
    first = before(shop, "P0562", "16").causes[0]
    assert (first.text, len(first.jobs)) == ("worn belt", 3)
    assert shop.store.shop_changes()[-1][0] == "same causes"
    tell_apart(shop, "belt wrn", "worn belt")
    assert {one.text: len(one.jobs) for one in before(shop, "P0562", "16").causes} == counted
    keep_pair(shop, "synonyms", "cracked = worn")
    assert before(shop, "P0562", "16").causes[0].jobs == (4, 2, 1)
    assert dict(spread(shop, "P0562", "cause"))["worn belt"] == 3
    shop.store.load([_job(9, "cause: worn belt", "cause: cracked belt")], "K. Orlo", "one job, both words")
    assert dict(spread(shop, "P0562", "cause"))["worn belt"] == 4, "a job counts once"


def test_sides_are_never_likely_one() -> None:
    assert likely_pairs(["LF lamp cable worn", "RF lamp cable worn"], Alike()) == []
    assert likely_pairs(["corroded ground cable", "coroded ground cable"], Alike())
