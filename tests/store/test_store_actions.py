"""What each action does, refuses, and leaves behind."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from store_bench import FACTS, HEADER, KIM, MO, Counting, Ticking, fill, indexer, kept, living, open_store

from ticket.job.errors import ConflictError, InputError, NotFoundError, SealedError
from ticket.job.kinds import Cause, Code, Found, Later, Note, Says, Told
from ticket.job.ticket import Customer, Header, Person, Vehicle
from ticket.job.values import Ref
from ticket.store.store import NewEntry, Store


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "shop.db") as opened:
        yield opened


@pytest.fixture
def other(store: Store) -> Iterator[Store]:
    """A second terminal on the same file."""
    with open_store(store.path, seed=7) as opened:
        yield opened


def test_what_was_typed_is_what_is_read(store: Store) -> None:
    number = fill(store)
    ticket = store.ticket(number)
    assert ticket.header == HEADER
    assert tuple(entry.fact for entry in ticket.entries) == FACTS
    assert [entry.no for entry in ticket.entries] == list(range(1, 12))
    assert {entry.concern for entry in ticket.entries} == {"A"}
    assert ticket.entries[-1].shop_only
    row = store.rows()[0]
    assert (row.number, row.vehicle, row.customer, row.odometer, row.entries) == (
        number, "2019 Corvane Petrel", "Ada Fenn", "48,210 mi", 11,
    )  # fmt: skip


def test_numbers_and_letters_are_given_once(store: Store) -> None:
    number = store.open_ticket(Header(), KIM)
    store.add(number, [NewEntry(Says(text="one")), NewEntry(Note(text="x")), NewEntry(Says(text="two"))], KIM)
    store.strike(number, 3, KIM)
    added = store.add(number, [NewEntry(Says(text="three")), NewEntry(Note(text="y"), concern="C+A")], KIM)
    assert [(entry.no, entry.concern) for entry in added] == [(4, "C"), (5, "A+C")]
    assert store.open_ticket(Header(), KIM, number=40) == 40
    assert store.open_ticket(Header(), KIM) == 41
    with pytest.raises(ConflictError, match="there is a ticket 40 already"):
        store.open_ticket(Header(), KIM, number=40)


def test_ids_sort_by_the_day_in_the_shops_own_zone(store: Store) -> None:
    east = timezone(timedelta(hours=13))
    late = store.open_ticket(Header(), KIM, opened=datetime(2026, 3, 2, 0, 30, tzinfo=east))  # still the 1st in UTC
    early = store.open_ticket(Header(), KIM, opened=datetime(2026, 3, 1, 23, 0, tzinfo=east))
    assert [row.number for row in store.rows()] == [late, early]
    assert store.ticket(late).opened == datetime(2026, 3, 1, 11, 30, tzinfo=UTC)


def test_two_people_change_different_fields_and_both_land(store: Store, other: Store) -> None:
    number = fill(store)
    seen = store.ticket(number).entries[2].fact
    assert isinstance(seen, Found)
    store.edit(number, 3, replace(seen, seen="black"), KIM, expected=seen)
    after = other.edit(number, 3, replace(seen, what="fan level"), MO, expected=seen)
    assert (after.fact.what, after.fact.seen) == ("fan level", "black")  # type: ignore[attr-defined]
    before = kept(store)
    with pytest.raises(ConflictError, match=r"entry 3 \(what was seen\) was changed by Kim Arden at \d\d:\d\d: "):
        other.edit(number, 3, replace(seen, seen="clear"), MO, expected=seen)
    assert kept(store) == before
    other.edit(number, 3, replace(seen, seen="black"), MO, expected=seen)  # the same change again is no conflict
    assert kept(store) == before


def test_an_edit_journals_changed_fields_only(store: Store) -> None:
    number = fill(store)
    store.edit(number, 2, replace(FACTS[1], status="pending"), KIM)  # type: ignore[call-arg]
    assert store.history(number)[-1].summary == "changed 2 (status)"
    store.edit(number, 2, Note(text="it was a note"), KIM)
    assert store.ticket(number).entries[1].fact == Note(text="it was a note")
    store.undo(number, KIM)
    assert store.ticket(number).entries[1].fact == Code(code="P1A30", sub="7B", unit="fan control", status="pending")


def test_header_changes_name_their_fields_and_a_stale_one_is_refused(store: Store) -> None:
    number = fill(store)
    rev = store.ticket(number).rev
    new = replace(HEADER, customer=replace(HEADER.customer, phone="555-0199"), vehicle=Vehicle("Petrel", "", "GRN 04"))
    store.set_header(number, new, MO, expected_rev=rev)
    assert store.ticket(number).header == new
    assert store.history(number)[-1].summary == "changed vehicle label, changed vehicle vin, changed customer phone"
    with pytest.raises(ConflictError, match="changed while you read it"):
        store.set_header(number, HEADER, MO, expected_rev=rev)
    store.undo(number, MO)
    assert store.ticket(number).header == HEADER
    store.set_header(number, Header(), MO)
    assert store.ticket(number).header == Header()


def test_undo_takes_back_deed_by_deed_and_redo_does_them_again(store: Store) -> None:
    number = fill(store)
    states = [store.ticket(number)]
    deeds: list[Callable[[], object]] = [
        lambda: store.edit(number, 1, Says(text="fan howls"), KIM),
        lambda: store.move(number, 2, "B", KIM),
        lambda: store.mark_shop_only(number, 3, KIM),
        lambda: store.strike(number, 9, KIM),
        lambda: store.unstrike(number, 9, KIM),
        lambda: store.set_status(number, "ready", KIM),
        lambda: store.follow(number, 10, "call", KIM, note="no answer"),
    ]
    for deed in deeds:
        deed()
        states.append(store.ticket(number))
    said = [store.undo(number, KIM) for _ in deeds]
    assert said == [
        "followed up 10: call", "status ready", "put 9 back", "struck 9", "kept 3 in the shop", "moved 2 to B",
        "changed 1 (text)",
    ]  # fmt: skip
    assert replace(store.ticket(number), rev=0) == replace(states[0], rev=0)
    assert store.followed(number) == {}
    assert [store.redo(number, KIM) for _ in deeds] == said[::-1]
    assert replace(store.ticket(number), rev=0) == replace(states[-1], rev=0)
    with pytest.raises(ConflictError, match="nothing to redo"):
        store.redo(number, KIM)


def test_undo_strikes_what_was_added_and_redo_puts_it_back(store: Store) -> None:
    number = fill(store)
    before = store.ticket(number)
    assert store.undo(number, KIM).startswith("added 1 says, 2 code")
    assert living(store.ticket(number)) == []
    store.redo(number, KIM)
    assert store.ticket(number).entries == before.entries
    store.undo(number, KIM)
    store.add(number, [NewEntry(Note(text="new"))], KIM)
    with pytest.raises(ConflictError, match="nothing to redo"):
        store.redo(number, KIM)
    assert [entry.no for entry in living(store.ticket(number))] == [12]


def test_undo_is_refused_in_one_sentence(store: Store, other: Store) -> None:
    number = store.open_ticket(Header(), KIM)
    with pytest.raises(ConflictError, match="nothing to undo, nothing of this sitting"):
        store.undo(number, KIM)
    store.add(number, [NewEntry(Found(what="hose"))], KIM)
    other.edit(number, 1, Found(what="hose", seen="torn"), MO)
    with pytest.raises(ConflictError, match=r"entry 1 was changed by Mo Vale at \d\d:\d\d: "):
        store.undo(number, KIM)
    store.add(number, [NewEntry(Found(what="clamp"))], KIM)
    other.add(number, [NewEntry(Cause(text="clamp", refs=(Ref(2),)))], MO)
    with pytest.raises(ConflictError, match="entry 3 rests on 2: nothing was undone"):
        store.undo(number, KIM)
    second = store.open_ticket(Header(), KIM)
    other.strike(number, 3, MO)
    other.add(second, [NewEntry(Later(text="clamp", refs=(Ref(2, number),)))], MO)
    with pytest.raises(ConflictError, match=f"entry {second}/1 rests on 2"):
        store.undo(number, KIM)
    other.strike(second, 1, MO)
    assert store.undo(number, KIM) == "added 2 found"


def test_nothing_is_undone_across_a_signature(store: Store, other: Store) -> None:
    number = fill(store)
    other.sign(number, other.ticket(number).rev, MO)
    with pytest.raises(ConflictError, match="it was signed since"):
        store.undo(number, KIM)
    store.follow(number, 10, "declined", KIM)
    assert store.undo(number, KIM) == "followed up 10: declined"
    with pytest.raises(ConflictError, match="it was signed since"):
        store.undo(number, KIM)


def test_a_signed_ticket_takes_amendments_only(store: Store) -> None:
    number = fill(store)
    rev = store.ticket(number).rev
    store.set_status(number, "ready", KIM)
    with pytest.raises(ConflictError, match="changed while you read it"):
        store.sign(number, rev, MO)
    seal = store.sign(number, rev + 1, MO, {"code-not-read-again": "tool was away"})
    signed = store.ticket(number)
    assert (signed.status, signed.seal, signed.signed_by) == ("signed", seal, MO)
    assert signed.closed is not None
    before = kept(store)
    refused: list[Callable[[], object]] = [
        lambda: store.add(number, [NewEntry(Note(text="x"))], KIM),
        lambda: store.edit(number, 1, Says(text="y"), KIM),
        lambda: store.strike(number, 1, KIM),
        lambda: store.unstrike(number, 1, KIM),
        lambda: store.move(number, 1, "B", KIM),
        lambda: store.mark_shop_only(number, 1, KIM),
        lambda: store.set_header(number, Header(), KIM),
        lambda: store.set_status(number, "open", KIM),
        lambda: store.sign(number, signed.rev, KIM),
    ]
    for refusal in refused:
        with pytest.raises(SealedError, match="is signed"):
            refusal()
    assert kept(store) == before
    store.follow(number, 10, "new date", KIM, date="2026-09-01")
    assert store.ticket(number) == signed
    added = store.amend(number, [NewEntry(Found(what="level", seen="-1.4 mm"), replaces=3)], "typed wrong", KIM)
    amended = store.ticket(number)
    assert [(e.no, e.replaces, e.reason, e.amended) for e in added] == [(12, 3, "typed wrong", True)]
    assert amended.seal != seal
    assert amended.signed_by == MO
    assert 3 not in [entry.no for entry in amended.living]
    assert store.audit(deep=True).ok


def test_amendments_need_a_reason_a_signature_and_something_to_replace(store: Store) -> None:
    number = fill(store)
    birth = NewEntry(Note(text="x"))
    with pytest.raises(ConflictError, match="is not signed"):
        store.amend(number, [birth], "why", KIM)
    with pytest.raises(InputError, match="only an amendment replaces"):
        store.add(number, [replace(birth, replaces=3)], KIM)
    store.sign(number, store.ticket(number).rev, KIM)
    with pytest.raises(InputError, match="needs a reason"):
        store.amend(number, [birth], " ", KIM)
    with pytest.raises(ConflictError, match="has no entry 99 to replace"):
        store.amend(number, [replace(birth, replaces=99)], "why", KIM)


def test_follow_ups_keep_the_newest_word(store: Store) -> None:
    number = fill(store)
    store.follow(number, 10, "call", KIM, note="left word")
    store.follow(number, 10, "new date", MO, date="2026-08-01")
    word = store.followed(number)[Ref(10, number)]
    assert (word.no, word.what, word.person, word.date, word.note) == (10, "new date", MO, "2026-08-01", "")
    store.follow(number, 10, "done", KIM)
    assert store.followed(number)[Ref(10, number)].what == "done"
    for what, date, reason in (
        ("paid", "", "'paid' is no follow-up"),
        ("new date", "", "'' is no date"),
        ("new date", "2026-02-30", "is no date"),
    ):
        with pytest.raises(InputError, match=reason):
            store.follow(number, 10, what, KIM, date=date)
    with pytest.raises(ConflictError, match="no deferred work"):
        store.follow(number, 1, "done", KIM)


def test_people_and_settings(store: Store) -> None:
    fill(store)
    store.add_person(Person("Mo Vale", "writer"), KIM)
    store.add_person(Person("Kim Arden", "auditor"), "Mo Vale")
    assert store.people() == (Person(KIM, "auditor"), Person(MO, "writer"))
    store.set_shop("zone", "Europe/Riga", KIM)
    store.set_shop("zone", "UTC", KIM)
    store.set_shop("zone", "UTC", KIM)
    assert store.settings() == {"zone": "UTC"}
    assert [event.summary for event in store.history()][-2:] == ["set zone to Europe/Riga", "set zone to UTC"]
    with pytest.raises(InputError, match="is no setting"):
        store.set_shop("uid", "x", KIM)
    assert store.audit(deep=True).ok


@pytest.mark.parametrize(
    ("call", "error", "reason"),
    [
        (lambda s: s.ticket(99), NotFoundError, "there is no ticket 99"),
        (lambda s: s.ticket(10**30), NotFoundError, "there is no ticket"),
        (lambda s: s.edit(1, 99, Note(text="x"), KIM), NotFoundError, "ticket 1 has no entry 99"),
        (lambda s: s.add(1, [NewEntry(Note(text="x"))], "  "), InputError, "the name is empty"),
        (lambda s: s.add(1, [NewEntry(Note(text="x"), concern="I")], KIM), InputError, "is no concern"),
        (lambda s: s.add(1, [NewEntry(Note(text="x"), no=3)], KIM), ConflictError, "entry numbers rise"),
        (lambda s: s.add(1, [NewEntry(Note(text="x"), at=datetime(2026, 1, 1))], KIM), InputError, "needs a zone"),
        (lambda s: s.add(1, [NewEntry(Code(code="P1", status="odd"))], KIM), InputError, "status: must be one of"),
        (lambda s: s.set_status(1, "signed", KIM), InputError, "no status to set"),
        (lambda s: s.open_ticket(Header(), KIM, number=0), InputError, "cannot be a ticket's number"),
        (lambda s: s.strike(1, 11, KIM) or s.strike(1, 11, KIM), ConflictError, "entry 11 of ticket 1 is struck"),
        (lambda s: s.unstrike(1, 1, KIM), ConflictError, "is not struck"),
    ],
)  # fmt: skip
def test_wrong_calls_say_why(
    store: Store, call: Callable[[Store], object], error: type[Exception], reason: str
) -> None:  # fmt: skip
    fill(store)
    with pytest.raises(error, match=reason):
        call(store)
    assert store.audit(deep=True).ok


def test_customers_data_stand_in_one_place_only(store: Store) -> None:
    fill(store)
    number = store.open_ticket(Header(customer=Customer("Ivo Tammel")), KIM)
    store.add(number, [NewEntry(Told(who="Runa Vask", address="555-0777"))], KIM)
    store.edit(number, 1, Told(who="Runa Vaskova", address="555-0777"), KIM)
    tables = kept(store)
    held = {row[3] for row in tables.pop("identity")}
    assert held == {
        "Ada Fenn", "555-0134", "ada@example.org", "4 Mill Lane", "Ivo Tammel", "Runa Vask", "Runa Vaskova", "555-0777",
    }  # fmt: skip
    elsewhere = repr(tables)
    assert not [value for value in held if value in elsewhere]
    # Free text and the plate may be blanked one day, so the chained body does not hold them; the VIN stays.
    bodies = repr([row[7] for row in tables["journal"]])
    for text in ("roars", "line 3", "GRN 04", "Friday", "shaft seal", "drain washer", "Petrel"):
        assert text not in bodies
    assert "1CV PT1-8X9K2004417" in bodies


def test_hostile_text_is_kept_as_it_is(store: Store) -> None:
    evil = '\ud800\x00\'; DROP TABLE entry; --\u202e \x1b[31m\r\n\u2028{"identity":1}'
    number = store.open_ticket(Header(vehicle=Vehicle(evil, evil, evil), customer=Customer(evil)), evil)
    store.add(number, [NewEntry(Found(what=evil, seen=evil), raw=evil), NewEntry(Told(who=evil, words=evil))], evil)
    store.edit(number, 1, Found(what=evil + "!"), evil)
    shown = store.ticket(number).header.customer.name
    assert shown == evil.replace("\ud800", "\ufffd").replace("\x00", "\u2400").replace("\r\n", "\n")
    assert store.audit(deep=True).ok


def test_another_terminals_change_is_noticed(store: Store, other: Store) -> None:
    number = fill(store)
    seen = other.data_version()
    assert other.data_version() == seen
    store.set_status(number, "ready", KIM)
    assert other.data_version() != seen


def test_the_same_bytes_and_clock_give_the_same_journal(tmp_path: Path) -> None:
    heads = []
    for name in ("one.db", "two.db"):
        with Store.open(tmp_path / name, indexer=indexer, now=Ticking(), token_bytes=Counting(), version="1") as store:
            fill(store)
            heads.append(store.audit().head)
    assert heads[0] == heads[1]
