"""What was signed wrong above the entries is put right openly: kept beside what stands now, sealed, audited."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from store_bench import HEADER, KIM, MO, fill, open_store, plain

from ticket.cli.main import main
from ticket.job.codec import encode
from ticket.job.errors import ConflictError, InputError, SealedError
from ticket.job.header_fields import CORRECTABLE
from ticket.job.header_texts import corrected, whose_texts
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.job.ticket_document import from_document, to_document
from ticket.job.values import Quantity
from ticket.store import stored_values
from ticket.store.store import Store

RIGHT = replace(
    HEADER,
    vehicle=replace(HEADER.vehicle, plate="GRN 40"),
    customer=replace(HEADER.customer, phone="555-0143", email=""),
    odometer_in=Quantity("84,210", "mi"),
)
TOLD = [
    ("plate", "GRN 04", "GRN 40"), ("odometer", "48,210 mi", "84,210 mi"),
    ("phone", "555-0134", "555-0143"), ("email", "ada@example.org", ""),
]  # fmt: skip


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "shop.db") as opened:
        fill(opened)
        opened.sign(1, opened.ticket(1).rev, MO)
        yield opened


def test_old_and_new_are_kept_and_the_seal_moves_on(store: Store) -> None:
    before = store.ticket(1)
    made = store.correct_header(1, RIGHT, "misread", KIM)
    after = store.ticket(1)
    assert after.header == RIGHT
    assert after.corrections == (made,)
    assert list(corrected(made)) == TOLD
    assert (made.person, made.reason) == (KIM, "misread")
    assert (after.signed_by, after.closed, after.rev) == (MO, before.closed, before.rev + 1)
    assert after.seal != before.seal
    assert after.entries == before.entries
    summary = store.history(1)[-1].summary
    assert summary == "amended: corrected vehicle plate, customer phone, customer email, odometer in"
    assert store.audit(deep=True).ok
    again = store.correct_header(1, replace(RIGHT, odometer_in=None), "no reading was taken", MO)
    assert list(corrected(again)) == [("odometer", "84,210 mi", "")]
    assert store.ticket(1).corrections == (made, again)
    assert store.audit(deep=True).ok
    assert store.check_index() == []


def test_the_vehicle_it_was_taken_for_loses_the_visit_and_the_right_one_gets_it(store: Store) -> None:
    wrong, right = Header(vehicle=Vehicle(plate="RUS 1")), Header(vehicle=Vehicle(plate="RUS 7"))
    number = store.open_ticket(wrong, KIM)
    store.sign(number, store.ticket(number).rev, KIM)
    assert (store.visits(plate="RUS 1"), store.visits(plate="RUS 7")) == ((number,), ())
    store.correct_header(number, right, "misread", KIM)
    assert (store.visits(plate="RUS 1"), store.visits(plate="RUS 7")) == ((), (number,))
    assert store.check_index() == []


def test_it_is_refused_where_it_would_not_be_open_or_not_be_one(store: Store) -> None:
    rows = store.audit().rows
    with pytest.raises(InputError, match="needs a reason"):
        store.correct_header(1, RIGHT, " ", KIM)
    with pytest.raises(ConflictError, match="says that already"):
        store.correct_header(1, HEADER, "misread", KIM)
    for header in (
        replace(HEADER, ready_by="Monday"),
        replace(RIGHT, tax_place="Harbour"),
        replace(HEADER, pays="shop"),
    ):
        with pytest.raises(InputError, match="stays as it was signed"):
            store.correct_header(1, header, "misread", KIM)
    with pytest.raises(SealedError, match="is signed"):
        store.set_header(1, RIGHT, KIM)
    unsigned = store.open_ticket(HEADER, KIM)
    with pytest.raises(ConflictError, match="is not signed"):
        store.correct_header(unsigned, RIGHT, "misread", KIM)
    assert store.audit().rows == rows + 1
    assert store.ticket(1).corrections == ()


def test_forms_and_store_agree_on_what_may_be_corrected() -> None:
    full = Header(
        Vehicle("a", "b", "c"), Customer("d", "e", "f", "g"), Quantity("1", "mi"), Quantity("2", "mi"), "not actual"
    )
    assert all(whose_texts(full).values())
    named = {field for field in stored_values.CORRECTABLE if stored_values.get(encode(full), field)}
    assert named == set(stored_values.CORRECTABLE)
    assert len(CORRECTABLE) == len(stored_values.CORRECTABLE)


def test_it_goes_along_to_another_shop(store: Store, tmp_path: Path) -> None:
    store.correct_header(1, RIGHT, "misread", KIM)
    document = to_document(store.ticket(1))
    with open_store(tmp_path / "other.db", seed=1) as other:
        other.load([from_document(document)], MO, "mail")
        assert other.ticket(1).corrections == store.ticket(1).corrections
        assert other.ticket(1).header == RIGHT
        assert other.audit(deep=True).ok
        other.correct_header(1, replace(RIGHT, vehicle=Vehicle("2019 Corvane Petrel")), "no plate", MO)
        assert [one.person for one in other.ticket(1).corrections] == [KIM, MO]
        assert other.audit(deep=True).ok


def test_it_is_read_out_of_a_damaged_file(store: Store, tmp_path: Path) -> None:
    store.correct_header(1, RIGHT, "misread", KIM)
    whole = store.ticket(1)
    store.close()
    assert main(["rescue", str(store.path), str(tmp_path / "new.db"), "--by", KIM]) == 0
    with open_store(tmp_path / "new.db", seed=2) as new:
        assert (new.ticket(1).header, new.ticket(1).corrections) == (whole.header, whole.corrections)
    assert main(["audit", "--deep", "--db", str(tmp_path / "new.db")]) == 0


ATTACKS = (
    "DELETE FROM correction",
    "UPDATE correction SET data = json_set(data, '$.was.vehicle.plate', 'RUS 1')",
    "INSERT OR REPLACE INTO correction SELECT ticket_id, no, '{}' FROM correction",
    "UPDATE ticket SET header = json_set(header, '$.vehicle.plate', 'RUS 1') WHERE number = 1",
)


@pytest.mark.parametrize("attack", ATTACKS)
def test_guards_hold_and_the_audit_names_what_goes_past_them(store: Store, attack: str) -> None:
    store.correct_header(1, RIGHT, "misread", KIM)
    with plain(store.path) as connection:
        with pytest.raises(Exception, match="signed: amend instead"):
            connection.execute(attack)
        for (name,) in connection.execute(
            "SELECT name FROM sqlite_schema WHERE type = 'trigger' AND tbl_name IN ('correction', 'ticket')"
        ).fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute(attack)
    found = store.audit()
    assert [one for one in found.differences if str(one).startswith("ticket 1")], found
