"""``ticket shop check``: examples are whole, complete and taken in; mistakes are named with line and field."""

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from ticket.cli.check_file_command import EXAMPLES
from ticket.cli.main import main
from ticket.data import data_folder
from ticket.job.json_places import line_of, uncommented
from ticket.screens.action_table import ACTIONS

FOLDER = data_folder("examples")
TAKEN = {
    "prices": ["shop", "prices"], "pack": ["shop", "pack"], "limits": ["shop", "limits"], "codes": ["code", "--import"],
    "glossary": ["shop", "glossary"], "phrasebook": ["phrases", "import"],
}  # fmt: skip
SCHEMAS = {"prices": "price-list", "pack": "rule-pack", "limits": "limits-book"}


@pytest.mark.parametrize("kind", EXAMPLES)
def test_each_example_is_whole_and_is_what_the_program_prints(kind: str, capsys: pytest.CaptureFixture[str]) -> None:
    file = FOLDER / EXAMPLES[kind]
    assert main(["shop", "check", str(file)]) == 0
    assert "without a fault" in capsys.readouterr().out
    assert main(["shop", "example", kind]) == 0
    assert capsys.readouterr().out == file.read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", TAKEN)
def test_each_example_is_taken_in(kind: str, database: Path, capsys: pytest.CaptureFixture[str]) -> None:
    command, *rest = TAKEN[kind]
    assert main([command, "--db", str(database), *rest, str(FOLDER / EXAMPLES[kind])]) == 0
    kept = {"prices": "drain washer", "pack": "MY-PLACE", "limits": "brake lining", "glossary": "VGT"}.get(kind)
    if kept:
        capsys.readouterr()
        assert main([command, "--db", str(database), *rest]) == 0
        assert kept in capsys.readouterr().out


def names_of(schema: dict[str, Any]) -> set[str]:
    """Every field a schema knows."""
    shapes = [schema, *schema.get("$defs", {}).values()]
    return {name for shape in shapes for name in shape.get("properties", {})}


def fields_in(value: Any) -> set[str]:
    if isinstance(value, dict):
        return set(value) | {name for one in value.values() for name in fields_in(one)}
    return {name for one in value for name in fields_in(one)} if isinstance(value, list) else set()


@pytest.mark.parametrize("kind", SCHEMAS)
def test_an_example_shows_every_field_there_is_below_a_comment(kind: str) -> None:
    text = (FOLDER / EXAMPLES[kind]).read_text(encoding="utf-8")
    schema = json.loads((data_folder("schemas") / f"{SCHEMAS[kind]}.json").read_text(encoding="utf-8"))
    document = json.loads(uncommented(text))
    assert fields_in(document) == names_of(schema)
    lines = text.splitlines()
    for name, value in document.items():
        if isinstance(value, list) or name == "details":
            at = next(i for i, line in enumerate(lines) if line.lstrip().startswith(f'"{name}":'))
            assert any(line.lstrip().startswith("//") for line in lines[max(0, at - 2) : at + 2]), name


def test_the_other_examples_show_every_column_and_real_actions() -> None:
    codes = (FOLDER / "codes.csv").read_text(encoding="utf-8").splitlines()
    schema = json.loads((data_folder("schemas") / "code-table.json").read_text(encoding="utf-8"))
    head = next(line for line in codes if not line.startswith("#"))
    assert set(head.split(",")) == set(schema["items"]["properties"])
    assert tomllib.loads((FOLDER / "keys.toml").read_text(encoding="utf-8")).keys() <= {one.id for one in ACTIONS}


WRONG = [
    ("price-list.json", '"percent": "5"', '"percent": "five"', r"line \d+, fees/0/percent: expected a percentage"),
    ("price-list.json", '"hold": true', '"hold": tru', r"line \d+: no JSON"),
    (
        "price-list.json",
        '"field": "storage rate"',
        '"field": "parking"',
        r"line \d+, details/statements/2/field: no field",
    ),
    ("price-list.json", '"price-list-1"', '"price-list-9"', r"line \d+, format: it names none"),
    ("rule-pack.json", '"id": "large"', '"id": "small"', r"line \d+, overrun/1/id: says again"),
    ("rule-pack.json", '"years": "3"', '"years": "three"', r"line \d+, retention/0/years: "),
    ("limits-book.json", '"unit": "V"', '"unit": "volt-ish"', r"line \d+, limits/1/unit: "),
    ("codes.csv", "P1A30-7B,", "P1A3,", r"line \d+, code: not a code"),
    ("glossary.txt", "VGT =", "VGT2 =", r"line \d+, term: 'VGT2' is no term"),
    ("phrasebook.po", "found|clause", "fond|clause", r"line \d+, entry: its msgctxt is no kind"),
    ("keys.toml", '"shift+f7"', '"ctrl+c"', r"line \d+, call: the terminal keeps Ctrl\+C"),
    ("keys.toml", '"shift+f7"', '"shift+f7', r"line \d+: is no TOML"),
]


@pytest.mark.parametrize(("file", "right", "wrong", "told"), WRONG)
def test_line_and_field_of_a_mistake_are_named(
    file: str, right: str, wrong: str, told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    text = (FOLDER / file).read_text(encoding="utf-8")
    assert right in text
    before, after = text.rsplit(right, 1)  # behind the comments
    (tmp_path / file).write_text(before + wrong + after, encoding="utf-8")
    assert main(["shop", "check", str(tmp_path / file)]) == 1
    said = capsys.readouterr().out
    assert re.search(told, said), said
    line = int(re.search(r"line (\d+)", said)[1])  # type: ignore[index]
    near = text.splitlines()[max(0, line - 3) : line + 2]
    assert any(right in one for one in near), (line, said)
    assert main(["shop", "check", "--json", str(tmp_path / file)]) == 1
    (fault,) = json.loads(capsys.readouterr().out)["faults"]
    assert fault["line"] == line


def test_a_glossary_with_one_wrong_line_is_refused_whole(
    tmp_path: Path, database: Path, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    (tmp_path / "g.txt").write_text("VGT = turbo with moving vanes\nK9 = dog\n", encoding="utf-8")
    assert main(["shop", "--db", str(database), "glossary", str(tmp_path / "g.txt")]) == 2
    assert "line 2" in capsys.readouterr().err
    assert main(["shop", "--db", str(database), "glossary", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"glossary": []}


def test_a_name_that_says_nothing_is_answered_with_the_endings(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    (tmp_path / "thing").write_text("x", encoding="utf-8")
    for words in (["check", str(tmp_path / "thing")], ["check"], ["example", "thing"], ["example"]):
        assert main(["shop", *words]) == 2
        assert capsys.readouterr().err.count("\n") == 1


def test_places_of_values_are_found_whatever_stands_between() -> None:
    text = '{\n "a": [1,\n {"b": "x, ]",\n\n "c": {"d":\n  null}}], "e": []\n}'
    assert [line_of(text, spot) for spot in ("", "a", "a/0", "a/1/b", "a/1/c", "a/1/c/d", "e", "a/9")] == [
        1, 2, 2, 3, 5, 5, 6, 2,
    ]  # fmt: skip
