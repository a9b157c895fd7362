"""Finding: the indexes agree with the entries, and no text can break a query."""

import tempfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from store_bench import KIM, MORNING, fill, open_store, plain

from support.tickets import tickets
from ticket.job.errors import InputError, NotFoundError
from ticket.job.kinds import Code, Fact, Found, Note, Says, Used
from ticket.job.ticket import Header, Ticket, Vehicle
from ticket.job.wall import local_day
from ticket.store.asked import Query, Term
from ticket.store.index import code_token
from ticket.store.search import CAP, quoted, statement
from ticket.store.store import NewEntry, Store

DAY = timedelta(days=1)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Six tickets, a day apart, told apart by what the tests look for."""
    path = tmp_path_factory.mktemp("search") / "shop.db"
    jobs: list[tuple[Vehicle, list[Fact]]] = [
        (Vehicle("grey van", "1CV PT1-8X9K2004417", "GRN-04"), [Code(code="P15C0", sub="2C"), Says(text="fan roars")]),
        (Vehicle("grey van", "", "grn 04"), [Code(code="P15C0", sub="2D"), Found(what="fan", seen="quiet")]),
        (Vehicle("Petrel", "1CVPT18X9K2004417", "NEW 1"), [Code(code="P1A30"), Used(part="4410-77", text="washer")]),
        (Vehicle("Petrel", "9ZZZZ18X9K2999999", "GRN 04"), [Code(code="SPN 102", sub="FMI 18"), Says(text="fan off")]),
        (Vehicle("Dray"), [Says(text="Lüfter café 90 km/h"), Used(part="pt-9", text="4410-77 carrier")]),
        (Vehicle("Dray"), [Note(text="fan")]),
    ]
    with open_store(path) as store:
        for i, (vehicle, facts) in enumerate(jobs):
            number = store.open_ticket(Header(vehicle=vehicle), KIM, opened=MORNING + i * DAY)
            store.add(number, [NewEntry(fact) for fact in facts], KIM)
        store.sign(1, 2, KIM)
    return path


@pytest.mark.parametrize(
    ("query", "numbers"),
    [
        (Query.of(), (6, 5, 4, 3, 2, 1)),
        (Query.of(limit=2), (6, 5)),
        (Query.of(limit=-3), ()),
        (Query.of(number=3), (3,)),
        (Query.of(number=10**40), ()),
        (Query.of(signed=True), (1,)),
        (Query.of(signed=False, codes=(("P15C0", ""),)), (2,)),
        (Query.of(codes=(("P15C0", "2C"),)), (1,)),
        (Query.of(codes=(("p15c0", "2c"),)), (1,)),
        (Query.of(codes=(("P15C0", ""),)), (2, 1)),
        (Query.of(codes=(("P1*", ""),)), (3, 2, 1)),
        (Query.of(codes=(("SPN 102", "FMI 18"),)), (4,)),
        (Query.of(codes=(("SPN102", "FMI18"),)), ()),  # the same token, another code
        (Query.of(codes=(("---", ""),)), ()),
        (Query.of(words=("fan",)), (4, 2, 1)),  # a note of the shop is in no column here
        (Query.of(words=("FAN", "roars")), (1,)),
        (Query.of(words=("roa*",)), (1,)),
        (Query.of(words=("roa",)), ()),
        (Query.of(words=("lufter", "CAFÉ")), (5,)),
        (Query.of(words=("P15C0",)), (2, 1)),
        (Query.of(words=("fan", "--", '"')), (4, 2, 1)),  # marks alone are no words
        (Query.of(words=('"', "*")), ()),
        (Query.of(words=("fan",), codes=(("P15C0", "2D"),)), (2,)),
        (Query.of(words=("fan",), since=date(2026, 3, 3), until=date(2026, 3, 4)), (2,)),
        (Query.of(since=date(2026, 3, 5), until=date(2026, 3, 6)), (5, 4)),
        (Query.of(since=date.min, until=date.max), (6, 5, 4, 3, 2, 1)),
        (Query.of(parts=("4410-77",)), (3,)),
        (Query.of(parts=("PT-9",)), (5,)),
        (Query.of(parts=("4410-77",), words=("washer",)), (3,)),
        (Query.of(parts=("4410-77", "PT-9")), ()),
        (Query.of(words=("4410-77",)), (5,)),
        (Query.of(plate="Grn04"), (4, 2, 1)),
        (Query.of(vin="1cvpt18x9k2004417"), (3, 1)),
        (Query.of(vin="K2004417"), (3, 1)),
        (Query.of(vin="004417"), (3, 1)),
        (Query.of(vin="4417"), (3, 1)),
        (Query.of(vin="2999999", plate="GRN 04"), (4,)),
        (Query.of(vehicle="petrel"), (4, 3)),
        (Query.of(vehicle="grey van", words=("quiet",)), (2,)),
        (Query.of(vehicle="fan"), ()),
    ],
)
def test_what_is_found(shop: Path, query: Query, numbers: tuple[int, ...]) -> None:
    with open_store(shop) as store:
        found = store.find(query)
    assert found.numbers == numbers
    assert found.total >= len(numbers)


def test_a_ticket_nobody_touched_is_not_read_again(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with open_store(path) as store, open_store(path, 1) as other:
        for text in ("fan roars", "fan off"):
            store.add(store.open_ticket(Header(), KIM), [NewEntry(Says(text=text))], KIM)
        first = store.tickets([2, 1])
        assert [ticket.number for ticket in first] == [2, 1]
        other.add(2, [NewEntry(Note(text="called"))], KIM)
        again = store.tickets([2, 1])
        assert again[0] == store.ticket(2) != first[0]
        assert again[1] is first[1]
        with pytest.raises(NotFoundError):
            store.tickets([1, 3])


def test_the_same_vehicle_by_its_number_else_by_its_plate(shop: Path) -> None:
    with open_store(shop) as store:
        assert store.of_vehicle(1) == (3, 2)  # 3 has the number and a new plate, 2 the plate and no number
        assert store.of_vehicle(2) == (4, 1)  # without a number both that had this plate may be it
        assert store.of_vehicle(4) == (2,)  # another number with the same plate is another vehicle
        assert store.of_vehicle(5) == ()


@pytest.mark.parametrize(
    "query",
    [
        Query.of(words=("fan", "noise")),
        Query.of(codes=(("P15C0", "2C"),)),
        Query.of(parts=("4410-77",)),
        Query.of(vin="K2004417"),
    ],
)
def test_no_query_sorts_or_scans(shop: Path, query: Query) -> None:
    asked = statement(query)
    with plain(shop) as connection:
        rows = connection.execute(f"EXPLAIN QUERY PLAN {asked.newest_first}", asked.values).fetchall()
        plan = " ".join(row[3] for row in rows)
    assert "SCAN t" not in plan.replace("SCAN f VIRTUAL TABLE", "")
    if query.terms("word", "code"):
        assert "TEMP B-TREE" not in plan


def test_customers_asked_for_twice_are_looked_through_twice_not_each_for_each(shop: Path) -> None:
    asked = statement(Query(((Term("customer", "a"),), (Term("customer", "b"),))))
    with plain(shop) as connection:
        rows = connection.execute(f"EXPLAIN QUERY PLAN {asked.sql}", asked.values).fetchall()
    plan = [row[3] for row in rows]
    assert sum("SCAN i" in step for step in plan) == 2, plan
    assert not any("AND id=?" in step for step in plan), "each of the one would be looked up for each of the other"


@pytest.fixture(scope="module")
def one_job(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """One open store for every example."""
    with open_store(tmp_path_factory.mktemp("hostile") / "shop.db") as store:
        fill(store)
        yield store


@given(
    text=st.text(max_size=30)
    | st.sampled_from(('"', "a AND", "NEAR(", "codes:", "^x", "*", "a*b*", "\x00", "(", "-a", "\ud83d", "fan OR x"))
)
def test_no_text_breaks_a_query(one_job: Store, text: str) -> None:
    words = Query.of(words=tuple(text.split()) or (text,))
    everything = Query.of(words=(text,), codes=((text, text),), parts=(text,), vehicle=text, plate=text, vin=text)
    assert one_job.find(words).total <= 1
    assert one_job.find(everything).total <= 1


def test_terms_are_quoted() -> None:
    assert quoted('5" rotor') == '"5"" rotor"'
    assert quoted("P0A1B-1C") == '"P0A1B-1C"'
    assert quoted("nois*") == '"nois" *'
    assert quoted("(*)") == ""
    assert code_token("P15C0", "2C") == "P15C0x2C"
    assert code_token("SPN 102", "") == "SPN102"


@pytest.mark.slow
@settings(max_examples=15)
@given(st.lists(tickets(), min_size=1, max_size=3), st.data())
def test_words_and_codes_find_exactly_the_tickets_that_hold_them(drawn: list[Ticket], data: st.DataObject) -> None:
    """Against a search that reads every ticket: a code is found where a living entry has it, and nowhere else."""
    with tempfile.TemporaryDirectory() as folder, open_store(Path(folder, "shop.db")) as store:
        store.load([replace(ticket, number=i) for i, ticket in enumerate(drawn, 1)], KIM, "drawn")
        loaded = [store.ticket(number) for number in store.numbers()]
        codes = [entry.fact for ticket in loaded for entry in ticket.entries if isinstance(entry.fact, Code)]
        if codes:
            code = data.draw(st.sampled_from(codes))
            alike = [(t, e.fact) for t in loaded for e in t.living if isinstance(e.fact, Code)]
            wanted = {t.number for t, c in alike if c.code == code.code and code.sub in ("", c.sub)}
            assert set(store.find(Query.of(codes=((code.code, code.sub),))).numbers) == wanted
        part = "4410-77"
        wanted = {t.number for t in loaded for e in t.living if isinstance(e.fact, Used) and e.fact.part == part}
        assert set(store.find(Query.of(parts=(part,))).numbers) == wanted
        assert store.check_index() == []
        store.rebuild()
        assert store.check_index() == []


def test_the_index_follows_every_change(tmp_path: Path) -> None:
    with open_store(tmp_path / "shop.db") as store:
        number = fill(store)
        code = Query.of(codes=(("P1A30", ""),))
        assert store.find(code).numbers == (number,)
        store.strike(number, 2, KIM)
        assert store.find(code).numbers == ()
        store.undo(number, KIM)
        store.edit(number, 2, Code(code="P1A31"), KIM)
        assert store.find(code).numbers == ()
        assert store.find(Query.of(codes=(("P1A31", ""),))).numbers == (number,)
        store.sign(number, store.ticket(number).rev, KIM)
        store.amend(number, [NewEntry(Code(code="P1A30"), replaces=2)], "misread", KIM)
        assert store.find(code).numbers == (number,)
        assert store.find(Query.of(codes=(("P1A31", ""),))).numbers == ()
        assert store.check_index() == []
        for attack, said in (
            ("DELETE FROM entry_part", "entries: entry_part"),
            ("UPDATE entry_reading SET value = 9", "entries: entry_reading"),
            ("INSERT INTO entry_code VALUES(5, 1, 0, 'P0000', '')", "entry_code holds rows of no ticket"),
            ("DELETE FROM ticket_fts", "the word index differs"),
        ):
            with plain(store.path) as connection:
                connection.execute(attack)
            assert any(said in line for line in store.check_index()), attack
            assert not store.audit(deep=True).ok
            store.rebuild()
            assert store.check_index() == []


def test_a_common_word_is_counted_to_a_thousand(tmp_path: Path) -> None:
    with open_store(tmp_path / "shop.db") as store:
        for _ in range(3):
            fill(store)
        store.refresh_words()
        with plain(store.path) as connection:  # many tickets, quickly
            connection.execute(
                "WITH RECURSIVE n(i) AS (SELECT 100 UNION ALL SELECT i + 1 FROM n WHERE i < 1200) "
                "INSERT INTO ticket(id, number, status, opened, updated, header) "
                "SELECT i, i, 'open', 'x', 'x', '{}' FROM n"
            )
        found = store.find(Query.of(limit=5))
        assert (found.total, len(found.numbers)) == (CAP, 5)


def test_a_day_begins_and_ends_on_the_wall_of_the_shop(tmp_path: Path) -> None:
    with open_store(tmp_path / "shop.db") as store:
        first = datetime(2026, 3, 1, tzinfo=UTC)
        opened = [first + timedelta(hours=5 * i) for i in range(15)]
        numbers = [store.open_ticket(Header(), KIM, opened=at) for at in opened]
        wall = dict(zip(numbers, (local_day(at) for at in opened), strict=True))
        for day in (date(2026, 3, 1) + i * DAY for i in range(4)):
            since, until = store.find(Query.of(since=day)), store.find(Query.of(until=day))
            assert set(since.numbers) == {number for number in numbers if wall[number] >= day}
            assert set(until.numbers) == {number for number in numbers if wall[number] <= day}


def test_dates_are_days_of_the_opening(tmp_path: Path) -> None:
    with open_store(tmp_path / "shop.db") as store:
        old = store.open_ticket(Header(), KIM, opened=datetime(1970, 1, 2, tzinfo=UTC))
        new = store.open_ticket(Header(), KIM, opened=datetime(2199, 12, 30, tzinfo=UTC))
        for far in (datetime(1961, 5, 1, tzinfo=UTC), datetime(2399, 12, 31, tzinfo=UTC)):
            with pytest.raises(InputError, match="a day from 1970-01-02 to 2199-12-30"):
                store.open_ticket(Header(), KIM, opened=far)
        assert store.find(Query.of()).numbers == (new, old)
        assert store.find(Query.of(since=date(2199, 12, 30))).numbers == (new,)
        assert store.check_index() == []
