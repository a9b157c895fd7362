"""Pack files: each valid, dated, cited and no legal advice; a pack that breaks or contradicts itself is refused."""

import copy
import json
import re
from typing import Any

import jsonschema
import pytest

from support.schemas import validate
from ticket.data import data_folder
from ticket.job.errors import DataError, NotFoundError
from ticket.rules.overrun import allowed
from ticket.rules.pack import (
    NEUTRAL,
    NOTICE,
    Pack,
    chain,
    field_words,
    load,
    pack_document,
    pack_schema,
    packaged,
    read_pack,
    source,
)
from ticket.rules.pack_rows import STATUSES

# Every jurisdiction whose repair, tax or privacy rules were read, and the neutral default.
PLACES = """neutral EU GB AU CA CA-ON CA-QC US US-AK US-CA US-CO US-DE US-FL US-HI US-IL US-KS US-MA US-MD US-MI US-MN
US-NC US-ND US-NJ US-NV US-NY US-OH US-OR US-PA US-RI US-VA US-WA US-WI""".split()


def test_every_jurisdiction_has_its_pack() -> None:
    assert sorted(packaged()) == sorted(PLACES)


@pytest.mark.parametrize("place", PLACES)
def test_a_packaged_pack_is_whole(place: str) -> None:
    pack = load(place)
    document = pack_document(pack)
    validate(document, pack_schema())
    assert read_pack(json.dumps(document)) == pack
    assert (pack.id, pack.notice) == (place, NOTICE)
    assert [one.id for one in chain(pack)][-1] == NEUTRAL
    for _, rows in pack.sections():
        for row in rows:
            assert row.as_of <= pack.recheck
            words = source(pack, row).words
            assert ("unverified" in words) == (row.status != "C")
            assert STATUSES[row.status] in words or row.status == "C"


def test_rows_from_memory_carry_no_claim_to_be_verified() -> None:
    """Quebec's overrun is from memory: whoever shows it sees that."""
    answer = allowed(40000, load("CA-QC"))
    assert answer.status == "M"
    assert answer.source.endswith("(unverified: from memory, as of 2026-11-25)")


def test_the_neutral_pack_answers_every_case() -> None:
    cases = {row.case for row in load(NEUTRAL).overrun}
    assert cases == set(pack_schema()["$defs"]["OverrunRow"]["properties"]["case"]["enum"])
    assert all(row.combine == "none" for row in load(NEUTRAL).overrun)


def test_every_field_is_asked_for_somewhere_or_dropped() -> None:
    asked = {field for place in PLACES for row in load(place).papers for field in row.fields}
    assert asked == set(field_words())
    assert not [key for key, words in field_words().items() if not words.strip()]


def test_the_schema_on_disk_is_the_generated_one() -> None:
    assert json.loads((data_folder("schemas") / "rule-pack.json").read_text("utf-8")) == pack_schema()
    jsonschema.Draft202012Validator.check_schema(pack_schema())


def changed(**changes: Any) -> Any:
    document = copy.deepcopy(pack_document(load("US-FL")))
    for path, value in changes.items():
        spot: Any = document
        *way, last = [int(step) if step.isdigit() else step for step in path.split("__")]
        for step in way:
            spot = spot[step]
        if value is None:
            del spot[last]
        elif isinstance(spot, list) and last == len(spot):
            spot.append(value)
        else:
            spot[last] = value
    return document


ROW = {"id": "more", "combine": "none", "citation": "x", "status": "C", "as_of": "2026-01-01"}


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({"format": "rule-pack-2"}, "format"),
        ({"notice": ""}, "notice"),
        ({"recheck": "soon"}, "recheck"),
        ({"overrun__0__citation": None}, "overrun/0/citation"),
        ({"overrun__0__citation": " "}, "overrun/0/citation"),
        ({"overrun__0__status": "D"}, "overrun/0/status"),
        ({"overrun__0__as_of": "2026-13-01"}, "overrun/0/as_of"),
        ({"overrun__0__percent": "ten"}, "overrun/0/percent"),
        ({"overrun__0__percent": 10}, "overrun/0/percent"),
        ({"overrun__0__combine": "both"}, "overrun/0/combine"),
        ({"overrun__0__surprise": "x"}, "overrun/0/surprise"),
        ({"charges__0__needs": ["luck"]}, "charges/0/needs/0"),
        ({"overrun__0__id": "Overrun!"}, "overrun/0/id"),
    ],
)
def test_a_pack_that_breaks_its_schema_is_refused_by_both(changes: dict[str, Any], place: str) -> None:
    broken = changed(**changes)
    with pytest.raises(DataError) as refused:
        read_pack(json.dumps(broken), "ours.json")
    assert refused.value.path == f"ours.json: {place}"
    assert refused.value.reason
    assert not jsonschema.Draft202012Validator(pack_schema()).is_valid(broken)


@pytest.mark.parametrize(
    ("changes", "place", "reason"),
    [
        ({"overrun__1": ROW}, "overrun/1", "says again what overrun/0 says"),
        ({"overrun__1": ROW | {"start": "80"}}, "overrun/1", "same sums as row 'overrun'"),
        ({"overrun__1": ROW | {"id": "overrun", "case": "no estimate"}}, "overrun/1/id", "says again"),
        ({"overrun__0__amount": None}, "overrun/0/amount", "missing, since combine is 'greater'"),
        ({"overrun__0__combine": "percent"}, "overrun/0/amount", "unused"),
        ({"overrun__0__combine": "none"}, "overrun/0/percent", "unused"),
        ({"overrun__0__case": "no estimate"}, "overrun/0/percent", "no estimate to take it of"),
        ({"overrun__0__start": "5", "overrun__0__below": "5"}, "overrun/0/below", "more than start"),
        ({"overrun__0__start": "6", "overrun__0__below": "5"}, "overrun/0/below", "more than start"),
        ({"estimate__0__amount": None}, "estimate/0/amount", "missing"),
        ({"papers__0__fields__0": "horoscope"}, "papers/0/fields/0", "no field"),
        ({"papers__0__fields__1": "shop name"}, "papers/0/fields/1", "says again"),
        ({"charges__0__words": None}, "charges/0/words", "missing"),
        ({"charges__0__rule": "forbidden"}, "charges/0/rule", "conditions"),
        ({"retention__0__none": True}, "retention/0/years", "period"),
        ({"inherits": "US-XX"}, "inherits", "no packaged rules"),
        ({"overrun__0__as_of": "2026-02-30"}, "overrun/0/as_of", "no such day"),
    ],
)
def test_a_pack_that_contradicts_itself_is_refused(changes: dict[str, Any], place: str, reason: str) -> None:
    with pytest.raises(DataError, match=re.escape(f"ours.json: {place}")) as refused:
        read_pack(json.dumps(changed(**changes)), "ours.json")
    assert reason in refused.value.reason


def test_bands_that_touch_do_not_contradict() -> None:
    pack = load("US-HI")
    assert [row.below or row.start for row in pack.overrun] == ["100", "100"]


def test_unknown_packs_are_named() -> None:
    with pytest.raises(NotFoundError, match="US-XX"):
        load("US-XX")


def test_a_shop_pack_may_carry_the_name_of_the_one_it_changes() -> None:
    document = {"id": "US-CA", "name": "Ours", "notice": NOTICE, "recheck": "2027-01-01", "inherits": "US-CA"}
    pack = read_pack(json.dumps({"format": "rule-pack-1"} | document))
    assert [one.name for one in chain(pack)][:2] == ["Ours", "California"]
    assert isinstance(pack, Pack)
