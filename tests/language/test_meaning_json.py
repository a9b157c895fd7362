"""A meaning is written as JSON and read back the same; the records of a line are compared without a told word."""

import json

import pytest

from ticket.language.certain import read
from ticket.language.records import Meaning, from_json, to_json


def _shape(value: object) -> object:
    """The records alone: spans by their typed text, no positions."""
    if isinstance(value, list):
        return [_shape(item) for item in value]
    if isinstance(value, dict):
        if value["is"] == "Span":
            return value["text"]
        return {name: _shape(item) for name, item in value.items()}
    return value


MEANINGS = [
    (
        "found", "rr cal frozen, wont retract",
        [
            {"is": "State",
             "things": {"is": "Things", "groups": [{"is": "Group", "spans": ["cal"], "side": "right rear"}]},
             "states": [{"is": "How", "state": "frozen"}]},
            {"is": "Event", "doing": "retract", "modal": "will not"},
        ],
    ),
    (
        "found", "coolant 2qt low",
        [{"is": "Measure", "things": {"is": "Things", "groups": [{"is": "Group", "spans": ["coolant"]}]},
          "figure": "2qt", "word": "low"}],
    ),
    (
        "found", "no squeal or drag",
        [{"is": "Absent", "things": {"is": "Things", "link": "or", "groups": [
            {"is": "Group", "spans": ["squeal"]}, {"is": "Group", "spans": ["drag"]}]}}],
    ),
    (
        "did", "r&i lh taillight, new gasket",
        [{"is": "Act", "work": "r&i",
          "things": {"is": "Things", "groups": [{"is": "Group", "spans": ["taillight"], "side": "left"}]},
          "new": {"is": "Things", "groups": [{"is": "Group", "spans": ["new", "gasket"]}]}}],
    ),
    ("proof", "rt 6mi", [{"is": "Trial", "kind": "drive", "figure": "6mi"}]),
]  # fmt: skip


@pytest.mark.parametrize(("where", "typed", "clauses"), MEANINGS, ids=[row[1] for row in MEANINGS])
def test_a_line_means_these_records(where: str, typed: str, clauses: list[object]) -> None:
    found = read(typed, where)
    assert isinstance(found, Meaning), found
    assert _shape(to_json(found.clauses)) == clauses


@pytest.mark.parametrize(("where", "typed"), [(row[0], row[1]) for row in MEANINGS], ids=[row[1] for row in MEANINGS])
def test_records_come_back_from_their_json(where: str, typed: str) -> None:
    found = read(typed, where)
    assert from_json(json.loads(json.dumps(to_json(found)))) == found
    unsure = read("frobnicated", where)
    assert from_json(json.loads(json.dumps(to_json(unsure)))) == unsure


def test_a_record_nobody_knows_is_refused() -> None:
    with pytest.raises(ValueError, match="no record"):
        from_json({"is": "Wish"})
