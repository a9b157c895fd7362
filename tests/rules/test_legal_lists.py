"""The lists of what a paper must carry, held row by row against the reference they were read from (legal_lists.tsv)."""

from pathlib import Path

import pytest

from ticket.rules.pack import field_words, load, packaged

_TABLE = Path(__file__).with_name("legal_lists.tsv").read_text(encoding="utf-8")
ROWS = [line.split("\t") for line in _TABLE.splitlines() if not line.startswith("#")]


@pytest.mark.parametrize(("pack", "paper", "fields"), ROWS, ids=[f"{row[0]} {row[1]}" for row in ROWS])
def test_a_pack_asks_for_what_the_reference_lists_and_nothing_else(pack: str, paper: str, fields: str) -> None:
    wanted = set(fields.split(", "))
    assert wanted <= field_words().keys()
    asked = {field for row in load(pack).papers if row.paper == paper and row.when == "always" for field in row.fields}
    assert asked == wanted


def test_every_list_of_a_pack_is_in_the_table() -> None:
    told = {(pack, paper) for pack, paper, _ in ROWS}
    asked = {
        (name, row.paper)
        for name in packaged()
        for row in load(name).papers
        if row.when == "always" and row.paper in ("estimate", "order", "invoice", "receipt") and name != "neutral"
    }
    assert asked == told
