"""The records of a line are compared without a told word, as plain values; fields at their default are left out."""

from dataclasses import fields, is_dataclass

import pytest

from ticket.language.certain import read
from ticket.language.records import Meaning, Span


def _shape(record: object) -> object:
    """The records alone: spans by their typed text, no positions."""
    if isinstance(record, tuple):
        return [_shape(item) for item in record]
    if isinstance(record, Span):
        return record.text
    if not is_dataclass(record):
        return record
    told: dict[str, object] = {"is": type(record).__name__}
    for field in fields(record):
        value = getattr(record, field.name)
        if value not in (None, "", (), False) and not (field.name == "link" and value == "and"):
            told[field.name] = _shape(value)
    return told


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
    assert _shape(found.clauses) == clauses
