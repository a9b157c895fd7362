"""The ticket document: what is written reads back, what breaks the schema is refused by decoder and schema alike."""

import copy
import json
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import jsonschema
import pytest

from support.schemas import validate
from ticket.data import data_folder
from ticket.job.entry import Entry
from ticket.job.errors import DataError
from ticket.job.kinds import Cause, Found, Told
from ticket.job.ticket import Customer, Header, Ticket, Vehicle
from ticket.job.ticket_document import digest_of, from_document, to_document
from ticket.job.ticket_schema import ticket_schema
from ticket.job.values import Answer, Limits, Quantity, Ref, Run, Value

AT = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)
TICKET = Ticket(
    number=12,
    opened=AT,
    status="ready",
    header=Header(Vehicle("Corvane Alder"), Customer("Ada Fenn"), Quantity("100,214", "mi")),
    entries=(
        Entry(1, Found(what="pads", run=Run((Value("1.9", "LF"),), "mm", Limits(low="3.0", source="maker"))), "K.", AT),
        Entry(3, Cause(text="worn pads", refs=(Ref(1), Ref(9, 7))), "K.", AT, concern="A+C"),
        Entry(4, Told(who="Ada Fenn", answers=(Answer("yes", (Ref(3),)),)), "W.", AT, shop_only=True),
    ),
)


def test_a_ticket_survives_its_document() -> None:
    assert from_document(json.loads(json.dumps(to_document(TICKET)))) == TICKET


def test_the_schema_on_disk_is_the_generated_one() -> None:
    assert json.loads((data_folder("schemas") / "ticket.json").read_text("utf-8")) == ticket_schema()
    jsonschema.Draft202012Validator.check_schema(ticket_schema())


def _changed(**changes: Any) -> dict[str, Any]:
    document = copy.deepcopy(to_document(TICKET))
    for path, value in changes.items():
        spot: Any = document
        *way, last = [int(step) if step.isdigit() else step for step in path.split("__")]
        for step in way:
            spot = spot[step]
        spot[last] = value
    return document


@pytest.mark.parametrize(
    ("broken", "place"),
    [
        (_changed(format="other"), "format"),
        (_changed(status="finished"), "status"),
        (_changed(status=""), "status"),
        (_changed(number="12"), "number"),
        (_changed(number=0), "number"),
        (_changed(surprise=1), "surprise"),
        (_changed(opened="2026-03-02T14:10:00"), "opened"),
        (_changed(opened="soon"), "opened"),
        (_changed(entries__0__kind="wish"), "entries/0/fact"),
        (_changed(entries__0__no=True), "entries/0/no"),
        (_changed(entries__0__fact__run__unit=5), "entries/0/fact/run/unit"),
        (_changed(entries__0__fact__run__values=None), "entries/0/fact/run/values"),
        (_changed(entries__0__fact__colour="red"), "entries/0/fact/colour"),
        (_changed(entries__1__concern="A+I"), "entries/1/concern"),
        (_changed(entries__1__fact__sure="perhaps"), "entries/1/fact/sure"),
        (_changed(header__odometer_in__unit=None), "header/odometer_in/unit"),
    ],
)
def test_decoder_and_schema_refuse_the_same(broken: dict[str, Any], place: str) -> None:
    with pytest.raises(DataError) as refused:
        from_document(broken)
    assert refused.value.path == place
    assert not jsonschema.Draft202012Validator(ticket_schema()).is_valid(broken)


def test_the_order_of_numbers_is_checked_beyond_the_schema() -> None:
    with pytest.raises(DataError):
        from_document(_changed(entries__1__no=1))


def test_a_reference_to_nothing_is_a_gap_not_a_broken_document() -> None:
    loose = _changed(entries__1__fact__refs=[{"no": 99}])
    assert to_document(from_document(loose)) == loose


def test_the_good_ticket_fits_the_schema() -> None:
    validate(to_document(TICKET), ticket_schema())


def test_what_a_line_means_stands_beside_a_fact_and_no_digest_covers_it() -> None:
    signed = replace(TICKET, status="signed", seal="a" * 64, signed_by="K. Orlo", closed=TICKET.opened)
    document = to_document(signed)
    beside = {**document, "entries": [{**entry, "read": {"kind": entry["kind"]}} for entry in document["entries"]]}
    assert digest_of(beside) == digest_of(document)
    loaded = from_document(beside)
    assert loaded == from_document(document)
    assert loaded.elsewhere is not None
    assert loaded.elsewhere.fits == "yes"
