"""What a line is proposed to rest on: the same thing in both, nothing in doubt, and never what can prove nothing.

That a finding must speak of the thing it is to prove is common practice, no source; each job here is invented.
"""

import dataclasses
import itertools
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.tickets import ticket_of
from ticket.assist.line_settling import propose
from ticket.gaps.named_in_work import place_clash
from ticket.gaps.ticket_lookup import bad_values
from ticket.job.entry import Draft
from ticket.job.kinds import Code, Found, Offer, Proof
from ticket.job.ticket import Ticket
from ticket.notes.read import read
from ticket.readings.measured_groups import words_of


def proposed(ticket: Ticket, line: str, concern: str = "") -> list[int]:
    """The numbers proposed for a line typed under a ticket."""
    (draft,) = read(line)
    draft = dataclasses.replace(draft, concern=draft.concern or concern)
    return [ref.no for ref in propose(draft, ticket, lambda entry: bool(bad_values(ticket, entry)))]


PUMP = (
    "says: steering groans when parking",
    "found: steering pump pulley loose",
    "found: steering hose wet at its clamp",
    "found: wheel bearing quiet",
)
DENIED = (
    "says: no start",
    "found: fuel pump not leaking",
    "found: coil plug not tight",
    "found: no spark at crank sensor",
    "found: starter relay has no cracks",
    "found: fuel gauge sender 40 to 60 ohm (min 50)",
)
CODED = ("says: x", "found: dash switch circuit open", "found: temp3 stuck", "found: temp2 steady")
HEAT = (
    "says: engine gets hot on hills",
    "found: radiator cap pressure 6 psi (min 13)",
    "found: radiator fan motor 9.8 A (max 12)",
    "found: water pump wet at its weep hole",
    "found: fan relay clicks",
)
CHARGE = (
    "says: battery light comes on at idle",
    "found: charging voltage 12.3 V at 2000 rpm (13.8 to 14.6)",
    "found: voltage drop alternator B+ to battery 0.05 V (max 0.2)",
)
BRAKES = (
    "says: brakes grind",
    "found: left front brake caliper seized",
    "found: right front brake caliper seized",
    "found: brake hose cracked",
    "found: brake fluid black",
)
ASKED = (
    "says: noise",
    "found: water pump bearing rough",
    "cause: worn water pump bearing; from 2",
    "offer: replace water pump; for 2",
    "offer: replace drive belt",
)


@pytest.mark.parametrize(
    ("typed", "line", "expected"),
    [
        (PUMP, "cause: loose pulley of the steering pump", [2]),
        (PUMP, "cause: steering hose leaks", [3]),
        (PUMP, "offer: replace steering hose", [3]),
        (PUMP, "cause: worn steering rack", []),  # no finding names a rack
        (PUMP, "cause: worn wheel bearing", []),  # it is quiet: that shows no cause
        (PUMP, "ruled: bad wheel bearing; it is quiet", [4]),
        (PUMP, "ruled: leaking steering hose", []),  # it is wet: that rules nothing out
        (DENIED, "cause: fuel pump leaks", []),
        (DENIED, "ruled: leaking fuel pump", [2]),
        (DENIED, "cause: loose coil plug", [3]),
        (DENIED, "ruled: loose coil plug", []),
        (DENIED, "cause: failed crank sensor", []),  # what is denied may be good or bad: no noise, no spark
        (DENIED, "ruled: failed crank sensor", []),
        (DENIED, "ruled: broken starter relay", [5]),
        (DENIED, "ruled: worn fuel gauge sender", []),  # a reading that nobody can judge
        (CODED, "cause: temp3 sensor bad", [3]),
        (CODED, "cause: temp1 sensor bad", []),
        (CODED, "cause: P0541 circuit open", []),  # no finding names that circuit
        (HEAT, "cause: radiator cap does not hold pressure", [2]),
        (HEAT, "cause: worn radiator fan motor", []),  # in limits
        (HEAT, "ruled: weak fan motor; its current is within limits", [3]),
        (HEAT, "cause: fuel pump leaks", []),  # another pump
        (CHARGE, "cause: alternator is dead, regulator brushes worn", []),  # in limits, while another is not
        (HEAT, "cause: water pump leaks", [4]),
        (HEAT, "later: replace water pump; because customer is short of time", [4]),
        (HEAT, "later: look at heater; because water pump is wet", []),  # why it waits is not what it is about
        (BRAKES, "cause: seized left front brake caliper", [2]),
        (BRAKES, "cause: seized rear brake caliper", []),
        (BRAKES, "cause: seized brake caliper", []),  # two fit alike
        (BRAKES, "cause: cracked brake hose", [4]),
        (("says: x", "code: P0302", "found: cyl 2 ignition coil cracked"), "cause: cyl 3 ignition coil cracked", []),
        (("says: x", "code: P0302", "found: cyl 2 ignition coil cracked"), "cause: cyl 2 ignition coil cracked", [3]),
        (("says: x", "found: LF pad 2 RF pad 7 mm (min 3)"), "cause: worn LF pad", [2]),
        (("says: x", "found: front pads LF 2 RF 7 mm (min 3)"), "cause: worn RF pads", []),  # that one is in limits
    ],
)
def test_only_a_finding_on_the_same_thing_is_proposed(typed: Sequence[str], line: str, expected: list[int]) -> None:
    assert proposed(ticket_of(typed), line) == expected


def test_of_one_thing_looked_at_twice_the_later_finding_counts() -> None:
    again = [*PUMP, "found: steering hose wet at its clamp"]
    assert proposed(ticket_of(again), "cause: steering hose leaks") == [5]


def test_a_word_of_nearly_every_finding_proves_nothing() -> None:
    everywhere = [f"found: brake {part} looked at" for part in ("drum", "shoe", "spring", "adjuster", "light")]
    assert proposed(ticket_of(["says: x", *everywhere]), "cause: brake") == []


def test_work_rests_on_what_its_cause_rests_on() -> None:
    typed = ["says: x", "found: belt squeals", "found: idler rough", "cause: worn belt tensioner; from 2 3"]
    assert proposed(ticket_of(typed), "offer: replace belt tensioner") == [2, 3]
    two = [
        *typed,
        "found: tensioner arm bent",
        "cause: bent tensioner arm; from 5",
        "cause: belt tensioner weak; from 5",
    ]
    assert proposed(ticket_of(two), "offer: replace belt tensioner") == []  # which of the causes?


def test_what_is_mended_does_not_wait() -> None:
    typed = [*ASKED, "told: Ada Fenn in person, yes 4"]
    assert proposed(ticket_of(typed), "later: replace water pump") == [2]
    done = [*typed, "did: 2 h replace water pump; for 4"]
    assert proposed(ticket_of(done), "later: check water pump again") == []


@pytest.mark.parametrize(
    ("answer", "line", "expected"),
    [
        ("yes 4 5", "did: 2.1 h replaced water pump", [4]),
        ("yes 4 5", "did: 0.4 h replace drive belt", [5]),
        ("yes 4 5", "did: 1.1 h replace thermostat", []),
        ("yes 4 5", "did: 0.2 h checked drive belt", []),  # looking at it is not the work that was agreed to
        ("yes 5", "did: 2.1 h replaced water pump", []),
        ("no 4", "did: 2.1 h replaced water pump", []),
    ],
)
def test_work_is_done_for_the_agreed_offer_on_the_same_thing(answer: str, line: str, expected: list[int]) -> None:
    assert proposed(ticket_of([*ASKED, f"told: Ada Fenn in person, {answer}"]), line) == expected


def test_two_agreed_offers_that_fit_alike_are_left_open() -> None:
    typed = ["says: x", "offer: replace front wheel bearing", "offer: replace front wheel bearing"]
    ticket = ticket_of([*typed, "told: Ada Fenn in person, yes 2 3"])
    assert proposed(ticket, "did: replace front wheel bearing") == []


def test_earlier_work_answered_and_numbers_typed_are_left_alone() -> None:
    ticket = ticket_of(PUMP)
    assert proposed(ticket, "later: replace steering hose; done here; for 12/3") == []
    assert proposed(ticket, "cause: steering hose leaks; from 2") == []


def test_another_complaint_lends_no_proof() -> None:
    ticket = ticket_of(["A says: groan", "A found: steering hose wet", "B says: rattle", "B found: heat shield loose"])
    assert proposed(ticket, "cause: steering hose leaks", "B") == []
    assert proposed(ticket, "cause: steering hose leaks", "A") == [2]


SIDES = ("", "left front ", "right front ", "left rear ", "cyl 2 ", "cyl 3 ", "upper ", "lower ")
PARTS = ("caliper", "brake hose", "wheel bearing", "fuel pump", "water pump", "shaft seal", "ignition coil", "relay")
STATES = ("cracked", "dry", "loose", "clean", "leaks", "has no play", "2 mm (min 3)", "7 mm (min 3)")
LEADS = ("says", "found", "found", "found", "maybe", "proof", "note", "cause")
things = st.builds("".join, st.tuples(st.sampled_from(SIDES), st.sampled_from(PARTS)))
typed_lines = st.builds("{}: {} {}".format, st.sampled_from(LEADS), things, st.sampled_from(STATES))
resting = st.builds(
    "{}: {}".format, st.sampled_from(("cause", "ruled", "offer", "later")), st.builds("worn {}".format, things)
)


@given(st.lists(typed_lines, min_size=1, max_size=9), resting, st.data())
def test_never_what_can_prove_nothing_and_never_two_sides(lines: list[str], line: str, data: st.DataObject) -> None:
    whole = ticket_of(["A says: x", *(f"A {one}" for one in lines)])
    struck = data.draw(st.sets(st.sampled_from([entry.no for entry in whole.entries])))
    entries = [dataclasses.replace(entry, struck=entry.no in struck) for entry in whole.entries]
    ticket = dataclasses.replace(whole, entries=tuple(entries))
    numbers = proposed(ticket, line, "A")
    living = {entry.no: entry for entry in ticket.living}
    assert set(numbers) <= set(living)  # neither itself, nor a later one, nor one taken back
    facts = [living[no].fact for no in numbers]
    assert all(isinstance(fact, Found | Proof | Code) for fact in facts)
    texts = [line, *(words_of(fact) for fact in facts)]
    assert not any(place_clash(one, other) for one, other in itertools.combinations(texts, 2))


@given(st.lists(typed_lines, min_size=2, max_size=7, unique=True), resting, st.randoms(use_true_random=False))
def test_the_order_of_what_was_found_before_changes_nothing(lines: list[str], line: str, random: object) -> None:
    findings = [f"A found: {one.partition(': ')[2]}" for one in dict.fromkeys(lines)]
    findings = list(dict.fromkeys(findings))
    mixed = list(findings)
    random.shuffle(mixed)  # type: ignore[attr-defined]
    first = {findings[no - 2] for no in proposed(ticket_of(["A says: x", *findings]), line, "A")}
    assert {mixed[no - 2] for no in proposed(ticket_of(["A says: x", *mixed]), line, "A")} == first


@given(st.sampled_from(PARTS), st.sampled_from(PARTS))
def test_work_is_proposed_for_no_offer_on_another_thing(offered: str, done: str) -> None:
    ticket = ticket_of(["says: x", f"offer: replace {offered}", "told: Ada Fenn in person, yes 2"])
    assert proposed(ticket, f"did: replace {done}") == ([2] if offered == done else [])


def test_no_line_that_states_a_fact_of_its_own_rests_on_anything() -> None:
    ticket = ticket_of(PUMP)
    for line in (
        "found: steering hose wet",
        "used: 1 x 44-7 steering hose",
        "note: steering hose",
        "maybe: steering hose",
    ):
        assert proposed(ticket, line) == []
    assert propose(Draft(Offer(text="")), ticket, lambda _: False) == ()
