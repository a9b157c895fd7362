"""The shop's own table of codes: its CSV against its schema, and imports that overwrite nothing."""

import csv
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from ticket.data import data_folder
from ticket.faults.table import CodeRow, CodeTable, builtin, load_csv, merge
from ticket.job.errors import DataError

SCHEMA = Draft202012Validator(json.loads((data_folder("schemas") / "code-table.json").read_text(encoding="utf-8")))
GOOD = (
    "code,plain,trade,area,source\nP1A30-7B,low fan-drive fluid,fluid low,cooling,own list\nSPN 102,boost pressure,,,\n"
)


def test_a_list_of_the_shops_own() -> None:
    rows = load_csv(GOOD)
    assert rows == (
        CodeRow("P1A30-7B", "low fan-drive fluid", "fluid low", "cooling", "own list"),
        CodeRow("SPN 102", "boost pressure"),
    )  # fmt: skip
    assert load_csv("\ufeff" + GOOD.replace(",", ";").replace("\n", "\r\n")) == rows
    assert load_csv(GOOD + '\n\nU1158,"one, with a comma"\n'.replace('"\n', '",,,\n'))[-1].plain == "one, with a comma"


# Each text is checked by the program and, row by row, by the published schema: both must refuse it.
@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("code,plain\np0420,x\n", "line 2/code: not a code: 'p0420'; write P0420"),
        ("code,plain\nP042O,x\n", "not a code"),
        ("code,plain\nP4000,x\n", "not a code"),
        ("code,plain\nSPN 524288,x\n", "at most 524287"),
        ("code,plain\nSPN 100 FMI 32,x\n", "at most 31"),
        ("code,plain\nP0420-7,x\n", "not a code"),
        ("code,plain\n,x\n", "not a code"),
        ("code,plain\nP0420,\n", "line 2/plain: missing"),
        ("code,plain\nP0420," + "x" * 201 + "\n", "longer than 200"),
        ("code,plain\nP0420,a\x1b[31mb\n", "control character"),
        ("code,plain,colour\nP0420,x,red\n", "unknown column 'colour'"),
        ("code,trade\nP0420,x\n", "the column 'plain' is missing"),
    ],
)
def test_the_program_and_the_schema_refuse_the_same(text: str, reason: str) -> None:
    with pytest.raises(DataError) as error:
        load_csv(text)
    assert reason in str(error.value)
    assert not SCHEMA.is_valid(list(csv.DictReader(text.splitlines())))


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "line 1"),
        ("code,plain,code\n", "twice"),
        ("code,plain\nP0420\n", "expected 2 fields, found 1"),
        ('code,plain\nP0420,"open\n', "not readable as CSV"),
        ('code,plain\nP0420,"two\nlines"\n', "line 3/plain: holds a control character"),
        ("code,plain\nP0420,one\nP0420,two\n", "P0420: two rows of the file"),
    ],
)
def test_what_only_the_file_as_a_whole_can_get_wrong(text: str, reason: str) -> None:
    with pytest.raises(DataError, match=reason):
        load_csv(text)


def test_the_built_in_table_keeps_the_schema() -> None:
    SCHEMA.validate([
        {"code": r.code, "plain": r.plain, "trade": r.trade, "area": r.area, "source": r.source}
        for r in builtin().by_code.values()
    ])  # fmt: skip


@given(st.from_regex(r"(SPN [1-9][0-9]{4,6}( FMI [0-9]{1,2})?|[PX][0-4][0-9A-G]{3}(-[0-9A-G]{2})?)", fullmatch=True))
def test_schema_and_program_agree_on_codes(code: str) -> None:
    try:
        load_csv(f"code,plain\n{code},x\n")
        accepted = True
    except DataError:
        accepted = False
    assert accepted == SCHEMA.is_valid([{"code": code, "plain": "x"}])


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused_with_a_sentence(text: str) -> None:
    for whole in (text, "code,plain\n" + text):
        try:
            load_csv(whole)
            sentence = ""
        except DataError as error:
            sentence = str(error)
        assert sentence.isprintable()


def test_nothing_is_overwritten_silently() -> None:
    base = CodeTable(
        {"P0562": CodeRow("P0562", "low system voltage"), "P0563": CodeRow("P0563", "high system voltage")}
    )
    new = (CodeRow("P0562", "weak battery"), CodeRow("P0563", "high system voltage"), CodeRow("P1A30", "fan drive"))
    result = merge(base, new)
    assert result.added == (CodeRow("P1A30", "fan drive"),)
    assert [(c.there.plain, c.new.plain) for c in result.conflicts] == [("low system voltage", "weak battery")]
    assert result.table.by_code["P0562"].plain == "low system voltage"
    assert "P1A30" not in base.by_code
    accepted = merge(base, new, accept={"P0562"})
    assert accepted.conflicts == ()
    assert accepted.table.by_code["P0562"].plain == "weak battery"
