"""The price list as a document, and the terms of a bill: what is written reads back, and all refuse the same."""

import copy
import json
from typing import Any

import jsonschema
import pytest

from support.schemas import validate
from ticket.data import data_folder
from ticket.job.codec import decode, encode
from ticket.job.errors import DataError
from ticket.money.json_shapes import verify
from ticket.money.prices import (
    Band,
    Details,
    Fee,
    Part,
    Place,
    PriceList,
    PriceTable,
    Rate,
    TaxRate,
    prices_document,
    prices_schema,
    read_prices,
)
from ticket.money.terms import (
    CoreReturn,
    Cover,
    Overlap,
    Share,
    Split,
    Terms,
)

PRICES = PriceList(
    currency="USD",
    rates=(Rate(name="general", price="129.50"), Rate(name="machine shop", price="93.65", kind="fabrication")),
    tables=(
        PriceTable(name="parts", basis="margin", bands=(Band(start="0", value="60"), Band(start="5.01", value="40"))),
    ),
    part_table="parts",
    parts=(Part(number="4410-77", text="drain washer", price="1.85", core="0.50"),),
    fees=(Fee(name="supplies", charge="supplies", percent="8", of=("part",), cap="30"),),
    places=(Place(name="here", taxes=(TaxRate(name="sales", percent="7.25", on=("part", "core")),), per="line"),),
    place="here",
    quotes="before tax",
    details=Details(registration="R 100"),
)
TERMS = Terms(
    place="here", discount_percent="10", deposit="50", overlaps=(Overlap(no=1, cut="0.3", reason="same cover off"),),
    cores=(CoreReturn(no=2, quantity="1", date="2026-03-02"),), covers=(Cover(payer="contract", deductible="100"),),
    splits=(Split(no=3, shares=(Share(payer="customer", percent="40"), Share(payer="shop", percent="60"))),),
)  # fmt: skip


def test_documents_read_back() -> None:
    assert read_prices(json.dumps(prices_document(PRICES))) == PRICES
    verify(TERMS)
    assert read_prices('{"format": "price-list-1"}') == PriceList()


@pytest.mark.parametrize(
    ("name", "schema", "document"),
    [
        ("price-list", prices_schema(), prices_document(PRICES)),
    ],
)
def test_the_schema_on_disk_is_the_generated_one(name: str, schema: Any, document: Any) -> None:
    assert json.loads((data_folder("schemas") / f"{name}.json").read_text("utf-8")) == schema
    jsonschema.Draft202012Validator.check_schema(schema)
    validate(document, schema)


def changed(document: Any, **changes: Any) -> Any:
    document = copy.deepcopy(document)
    for path, value in changes.items():
        spot: Any = document
        *way, last = [int(step) if step.isdigit() else step for step in path.split("__")]
        for step in way:
            spot = spot[step]
        spot[last] = value
    return document


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({"format": "price-list-2"}, "format"),
        ({"colour": "red"}, "colour"),
        ({"rates__0__price": "129,50"}, "rates/0/price"),
        ({"rates__0__price": 129}, "rates/0/price"),
        ({"rates__0__price": "-1"}, "rates/0/price"),
        ({"rates__0__name": " "}, "rates/0/name"),
        ({"rates__0__kind": "wish"}, "rates/0/kind"),
        ({"tables__0__bands__1__value": ""}, "tables/0/bands/1/value"),
        ({"fees__0__of__0": "gifts"}, "fees/0/of/0"),
        ({"places__0__taxes__0__percent": "7.25 %"}, "places/0/taxes/0/percent"),
        ({"places__0__exempt": ["king"]}, "places/0/exempt/0"),
        ({"places__0__rounding": "half even"}, "places/0/rounding"),
        ({"quotes": ""}, "quotes"),
    ],
)
def test_program_and_schema_refuse_the_same(changes: dict[str, Any], place: str) -> None:
    broken = changed(prices_document(PRICES), **changes)
    with pytest.raises(DataError) as refused:
        read_prices(json.dumps(broken), "shop.json")
    assert refused.value.path in (f"shop.json: {place}",)
    assert not jsonschema.Draft202012Validator(prices_schema()).is_valid(broken)


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({"rates__1__name": "general"}, "rates/1/name"),
        ({"tables__0__bands__0__start": "1"}, "tables/0/bands/0/start"),
        ({"tables__0__bands__1__start": "0"}, "tables/0/bands/1/start"),
        ({"tables__0__bands__1__value": "100"}, "tables/0/bands/1/value"),
        ({"fees__0__amount": "5"}, "fees/0/amount"),
        ({"fees__0__of": []}, "fees/0/of"),
        ({"part_table": "gold"}, "part_table"),
        ({"place": "there"}, "place"),
    ],
)
def test_a_price_list_that_contradicts_itself_is_refused(changes: dict[str, Any], place: str) -> None:
    with pytest.raises(DataError) as refused:
        read_prices(json.dumps(changed(prices_document(PRICES), **changes)), "shop.json")
    assert refused.value.path == f"shop.json: {place}"


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({"discount": "5"}, "discount"),
        ({"discount_percent": "101"}, "discount_percent"),
        ({"splits__0__shares__0__percent": "41"}, "splits/0/shares"),
        ({"splits__0__shares__1__payer": "customer"}, "splits/0/shares/1/payer"),
        ({"cores__0__date": "2026-02-30"}, "cores/0/date"),
        ({"covers__0__payer": "shop"}, "covers/0/payer"),
    ],
)
def test_terms_that_cannot_be_are_refused(changes: dict[str, Any], place: str) -> None:
    with pytest.raises(DataError) as refused:
        verify(decode(Terms, changed(encode(TERMS), **changes)))
    assert refused.value.path == place


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("{", "no JSON"),
        ("[]", "expected an object"),
        ('{"format": "price-list-1", "rates": 1.5}', 'must be written as text: "1.5"'),
        ('{"format": "price-list-1", "rates": NaN}', "must be written as text"),
        ('{"format": "price-list-1", "place": "", "place": ""}', "says again"),
        ("[" * 100_000, "nested too deeply"),
        ('{"format": "price-list-1", "rates": ' + "9" * 5000 + "}", "whole number of 5,000 digits"),
        ('{"format": "price-list-1", "currency": "\\ud800', "no JSON"),
    ],
)
def test_hostile_text_is_refused_in_one_sentence(text: str, reason: str) -> None:
    with pytest.raises(DataError, match="shop") as refused:
        read_prices(text, "shop.json")
    assert reason in str(refused.value)
    assert "\n" not in str(refused.value)
