"""Measured again: what a proof takes over, and what it is judged against."""

from datetime import UTC, datetime

from ticket.job.entry import Entry
from ticket.job.kinds import Fact, Found, Note, Proof
from ticket.job.ticket import Ticket
from ticket.job.values import Limits, Measurement, Ref, Run, Span, Value
from ticket.readings.pairing import before, judge_entry, measured, taken_last
from ticket.readings.taken_over import matched

AT = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)


def job(*facts: Fact, number: int = 7) -> Ticket:
    entries = tuple(Entry(no=i, fact=fact, person="A", at=AT) for i, fact in enumerate(facts, 1))
    return Ticket(number=number, opened=AT, entries=entries)


def pair(ticket: Ticket, entry: Entry, earlier: tuple[Ticket, ...] = ()) -> Run | None:
    """The readings of an entry that measured one thing, completed."""
    held = measured(ticket, entry, earlier).groups
    assert len(held) < 2
    return held[0].run if held else None


def run(values: str, unit: str, **limits: str) -> Run:
    made = []
    for text in values.split(", "):
        label, _, number = text.rpartition(" ")
        made.append(Value(number, label))
    return Run(tuple(made), unit, Limits(**limits) if limits else None)


CYLINDERS = Found(
    what="compression", run=run("cyl 1 172, cyl 2 168, cyl 3 88", "psi", low="140", spread="25", spread_unit="%")
)
LEVEL = Found(what="fan-drive reservoir level", run=run("-14", "mm", low="-3", high="0", source="maker"))


def test_name_unit_and_limits_come_from_the_finding() -> None:
    ticket = job(LEVEL, Proof(of=Ref(1), run=run("-1", "")))
    again = pair(ticket, ticket.entries[1])
    assert again == Run((Value("-1"),), "mm", Limits(low="-3", high="0", source="maker"))
    assert measured(ticket, ticket.entries[1]).what == "fan-drive reservoir level"
    assert [verdict.word for verdict in judge_entry(ticket, ticket.entries[1])] == ["in"]
    assert [verdict.word for verdict in judge_entry(ticket, ticket.entries[0])] == ["low"]


def test_one_cylinder_of_three() -> None:
    """The least value judges it; the spread counts together with the cylinders that were not repeated."""
    for number, word in (("176", "in"), ("131", "low"), ("141", "in"), ("250", "high")):
        ticket = job(CYLINDERS, Proof(of=Ref(1), run=run(f"cyl 3 {number}", "psi")))
        again = pair(ticket, ticket.entries[1])
        assert again is not None
        assert again.limits == Limits(low="140")
        assert [verdict.word for verdict in judge_entry(ticket, ticket.entries[1])] == [word]
        assert matched(CYLINDERS.run or again, again) == (Value("88", "cyl 3"),)


def test_positions_are_taken_over_only_when_as_many_were_measured() -> None:
    first = Found(what="pads", run=run("LF 3, RF 4", "mm", low="5"))
    ticket = job(first, Proof(of=Ref(1), run=run("12, 11", "mm")), Proof(of=Ref(1), run=run("12", "mm")))
    both, one = pair(ticket, ticket.entries[1]), pair(ticket, ticket.entries[2])
    assert both is not None
    assert [value.label for value in both.values] == ["LF", "RF"]
    assert one is not None
    assert one.values == (Value("12"),)


def test_another_unit_is_converted_or_undecided() -> None:
    """35 psi are 241.3165 kPa (NIST SP 811)."""
    first = Found(what="pressure", run=run("20", "psi", low="35"))
    ticket = job(
        first,
        Proof(of=Ref(1), run=run("241.4", "kPa")),
        Proof(of=Ref(1), run=run("241.3", "kPa")),
        Proof(of=Ref(1), run=run("12", "V")),
    )
    assert [[v.word for v in judge_entry(ticket, entry)] for entry in ticket.entries] == [
        ["low"], ["in"], ["low"], ["undecided"],
    ]  # fmt: skip
    assert "psi" in judge_entry(ticket, ticket.entries[3])[0].reason
    lost = pair(ticket, ticket.entries[3])
    assert lost is not None
    assert lost.limits is None


def test_own_limits_win_and_a_chain_is_followed() -> None:
    ticket = job(LEVEL, Proof(of=Ref(1), run=run("-4", "mm")), Proof(of=Ref(2), run=run("-2", "")),
                 Proof(of=Ref(1), run=run("-4", "mm", low="-5")))  # fmt: skip
    assert [v.word for e in ticket.entries for v in judge_entry(ticket, e)] == ["low", "low", "in", "in"]
    assert measured(ticket, ticket.entries[2]).what == "fan-drive reservoir level"


def test_the_living_amendment_counts() -> None:
    corrected = Found(what="fan-drive reservoir level", run=run("-14", "mm", low="-20", high="0"))
    ticket = job(LEVEL, Proof(of=Ref(1), run=run("-10", "mm")))
    amendment = Entry(no=3, fact=corrected, person="A", at=AT, replaces=1, amended=True, reason="wrong table")
    amended = Ticket(number=7, opened=AT, entries=(*ticket.entries, amendment))
    assert [v.word for v in judge_entry(ticket, ticket.entries[1])] == ["low"]
    assert [v.word for v in judge_entry(amended, amended.entries[1])] == ["in"]
    (found,) = before(amended, amended.entries[1])
    assert found is not None
    assert found.ref == Ref(3)


def test_an_earlier_ticket_may_be_measured_again() -> None:
    old = job(LEVEL, number=3)
    now = job(Proof(of=Ref(1, 3), run=run("-1", "")))
    assert pair(now, now.entries[0]) == run("-1", "")
    again = pair(now, now.entries[0], (old,))
    assert again is not None
    assert again.unit == "mm"


def test_nonsense_references_end() -> None:
    circle = job(Proof(of=Ref(2), run=run("1", "mm")), Proof(of=Ref(1), run=run("2", "mm")))
    own = job(Proof(of=Ref(1), run=run("1", "mm")))
    note = job(Note(text="x"), Proof(of=Ref(1), run=run("1", "mm")), Proof(of=Ref(99), what="road test"))
    for ticket in (circle, own, note):
        for entry in ticket.entries:
            judge_entry(ticket, entry)
    assert pair(note, note.entries[0]) is None
    assert pair(note, note.entries[2]) is None
    assert measured(note, note.entries[2]).what == "road test"


def test_cylinders_read_again_one_by_one_are_held_against_the_newest_of_the_others() -> None:
    """The spread of 25 % counts between what stands now: 172, 168 and 176, not the 88 that was put right."""
    ticket = job(
        CYLINDERS,
        Proof(of=Ref(1), run=run("cyl 3 176", "psi")),
        Proof(of=Ref(1), run=run("cyl 1 171", "psi")),
        Proof(of=Ref(1), run=run("cyl 3 141", "psi")),
    )
    assert [v.word for v in judge_entry(ticket, ticket.entries[2])] == ["in"]
    (found,) = before(ticket, ticket.entries[3])
    assert found is not None
    assert found.ref == Ref(2)
    assert found.value == Value("176", "cyl 3")
    (first,) = before(ticket, ticket.entries[2])
    assert first is not None
    assert first.ref == Ref(1), "the entry that was read in between holds another cylinder"


def _of(text: str, *held: tuple[str, str, str]) -> tuple[Measurement, ...]:
    """Measurements of things named in a text: name, position, value."""
    return tuple(
        Measurement(value, "mm", at=(place,), of=(Span(text.index(name), text.index(name) + len(name)),))
        for name, place, value in held
    )


def test_each_reading_is_compared_with_the_newest_of_its_own_thing_and_position() -> None:
    """What a reading changed from is the newest one before it: common practice, no source."""
    text = "pads and disc"
    every = _of(text, ("pads", "LF", "3"), ("pads", "RF", "4"), ("disc", "LF", "21"), ("disc", "RF", "22"))
    ticket = job(
        Found(what=text, measurements=every),
        Proof(of=Ref(1), what=text, measurements=_of(text, ("pads", "LF", "12"), ("disc", "RF", "25"))),
        Proof(of=Ref(1), what=text, measurements=_of(text, ("pads", "RF", "11"), ("disc", "RF", "24"))),
        Proof(of=Ref(2), what=text, measurements=every),
    )
    found = before(ticket, ticket.entries[3])
    assert [one and (one.ref.no, one.value.number, one.at) for one in found] == [
        (2, "12", 0), (3, "11", 0), (1, "21", 2), (3, "24", 1),
    ]  # fmt: skip
    last = taken_last(ticket, ticket.entries[0])
    assert [one and (one.ref.no, one.value.number) for one in last] == [(4, "3"), (4, "4"), (4, "21"), (4, "22")]


def test_behind_a_reading_that_may_be_of_any_position_nothing_older_is_told_as_the_newest() -> None:
    first = Found(what="pads", run=run("LF 3, RF 4", "mm", low="5"))
    ticket = job(first, Proof(of=Ref(1), run=run("12", "mm")), Proof(of=Ref(1), run=run("LF 11", "mm")))
    assert before(ticket, ticket.entries[2]) == (None,)
