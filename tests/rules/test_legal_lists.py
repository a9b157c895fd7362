"""The lists of what a paper must carry, held row by row against the reference they were read from (legal_lists.tsv)."""

from pathlib import Path

import pytest

from ticket.rules.pack import field_words, load, packaged

_TABLE = Path(__file__).with_name("legal_lists.tsv").read_text(encoding="utf-8")
ROWS = [line.split("\t") for line in _TABLE.splitlines() if not line.startswith("#")]


@pytest.mark.parametrize(("pack", "paper", "when", "fields"), ROWS, ids=[" ".join(row[:3]) for row in ROWS])
def test_a_pack_asks_for_what_the_reference_lists_and_nothing_else(
    pack: str, paper: str, when: str, fields: str
) -> None:  # fmt: skip
    wanted = set(fields.split(", "))
    assert wanted <= field_words().keys()
    asked = {field for row in load(pack).papers if (row.paper, row.when) == (paper, when) for field in row.fields}
    assert asked == wanted


def test_every_list_of_a_pack_is_in_the_table() -> None:
    """Receipts of dealers for work under warranty are of another chapter (their sources stand in the packs)."""
    told = {(pack, paper, when) for pack, paper, when, _ in ROWS}
    asked = {
        (name, row.paper, row.when)
        for name in packaged()
        for row in load(name).papers
        if row.paper in ("estimate", "order", "invoice", "receipt") and name != "neutral"
        and row.when != "dealer warranty"
    }  # fmt: skip
    assert asked == told
