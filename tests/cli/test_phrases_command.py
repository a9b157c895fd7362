"""``ticket phrases``: every form of it, for people and as JSON against its schema; refusals in one sentence."""

import io
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from support.schemas import validate
from ticket.cli.main import main
from ticket.data import data_folder

SCHEMA = json.loads((data_folder("schemas") / "phrases.json").read_text("utf-8"))
LINES = ("says: brakes growl", "found: gov cuts out 118 psi", "found: hub zorbel worn", "did: 1 h adj slack")


@pytest.fixture(autouse=True)
def a_ticket(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    for name, value in {
        "TICKET_DB": str(tmp_path / "shop.db"), "TICKET_PERSON": "K. Orlo", "TZ": "UTC",
        "TICKET_NOW": "2026-03-02T14:10:00+00:00",
    }.items():  # fmt: skip
        monkeypatch.setenv(name, value)
    monkeypatch.chdir(tmp_path)
    assert main(["new"]) == 0
    assert main(["add", "1", *LINES]) == 0
    capsys.readouterr()


def flat(text: str) -> str:
    return " ".join(text.split())


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(["phrases", *arguments]) == 0
    return capsys.readouterr().out


def as_json(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    found = json.loads(said(capsys, *arguments, "--json"))
    validate(found, SCHEMA)
    return found


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(["phrases", *arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("ticket: ")
    assert err.count("\n") == 1
    return err


def test_the_schemas_are_schemas() -> None:
    for name in ("phrases", "suggestion"):
        jsonschema.Draft202012Validator.check_schema(json.loads((data_folder("schemas") / f"{name}.json").read_text()))


def test_what_waits_is_listed_with_ticket_and_entry(capsys: pytest.CaptureFixture[str]) -> None:
    out = said(capsys)
    assert "1/2       found    gov cuts out 118 psi" in out
    assert "not listed: zorbel" in out
    rows = as_json(capsys)["waiting"]
    assert {(row["ticket"], row["entry"], row["line"]) for row in rows} >= {(1, 2, "gov cuts out 118 psi")}
    one = as_json(capsys, "1")["waiting"]
    assert [row["entry"] for row in one] == [row["entry"] for row in rows]
    offered = next(row for row in one if row["entry"] == 3)["offers"]
    assert offered[0]["source"] == "reading"
    assert offered[0]["doubt"] == [4, 10]


def test_a_wording_is_taken_kept_found_and_taken_back(capsys: pytest.CaptureFixture[str]) -> None:
    out = said(capsys, "take", "1/2", "The governor cut out at 118 psi.", "--clause", "--keep")
    assert "Ticket 1 says so now: The governor cut out at 118 psi." in out
    assert "“{thing} cuts out {n}” as “{thing} cut out at {n}” (by K. Orlo, 2026-03-02, ticket 1)" in flat(out)
    assert "1/2" not in said(capsys)
    (entry, *_) = as_json(capsys, "find", "cuts out {n}")["entries"]
    assert (entry["no"], entry["state"], entry["by"], entry["shipped"]) == (1, "kept", "K. Orlo", False)
    assert as_json(capsys, "back", "1")["entry"]["back_by"] == "K. Orlo"
    assert "taken back by K. Orlo" in flat(said(capsys, "find", "cuts out {n}"))
    assert "was taken back by K. Orlo already" in refused(capsys, "back", "1")
    assert main(["reword", "1", "--list"]) == 0
    assert "The governor cut out at 118 psi." in capsys.readouterr().out, "the ticket keeps its own words"


def test_taking_tells_as_json_what_is_told_and_what_was_kept(capsys: pytest.CaptureFixture[str]) -> None:
    found = as_json(capsys, "take", "1/2", "The governor cut out at 118 psi.", "--keep")
    assert found["kept"] is None
    assert found["taken"]["text"] == "The governor cut out at 118 psi."


def test_a_word_is_taught(capsys: pytest.CaptureFixture[str]) -> None:
    entry = as_json(capsys, "word", "zorbel", "thing", "--plural", "zorbeln")["entry"]
    assert (entry["size"], entry["where"], entry["plural"]) == ("word", "thing", "zorbeln")
    assert "shipped" in entry
    es = ["--told", "anillo", "--told-plural", "anillos", "--gender", "m", "--language", "es"]
    assert as_json(capsys, "word", "zorbel", "thing", *es)["entry"]["language"] == "es"
    assert [one["language"] for one in as_json(capsys, "find", "zorbel", "--language", "es")["entries"]] == ["es"]


def test_books_go_out_and_come_in_as_po(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    said(capsys, "word", "zorbel", "thing")
    assert main(["phrases", "export", "book.po"]) == 0
    capsys.readouterr()
    text = Path("book.po").read_text("utf-8")
    assert 'msgid "zorbel"' in text
    assert "#. taken by K. Orlo, 2 March 2026" in text
    assert "is there already" in refused(capsys, "export", "book.po")
    assert main(["phrases", "export", "book.po", "--force"]) == 0
    capsys.readouterr()
    assert said(capsys, "export", "-") == Path("book.po").read_text("utf-8").rstrip("\n") + "\n"
    Path("theirs.po").write_text(text.replace("zorbel", "wemble"), "utf-8")
    found = as_json(capsys, "import", "theirs.po")
    assert [(one["no"], one["state"]) for one in found["entries"]] == [(2, "waiting")]
    assert "not looked at, not told" in flat(said(capsys, "find", "wemble"))
    assert as_json(capsys, "take", "2")["entry"]["state"] == "kept"
    assert "from another book" in flat(said(capsys, "find", "wemble"))
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
    assert as_json(capsys, "import", "-") == {"in_file": 1, "entries": []}


def test_a_file_with_a_wrong_entry_is_refused_with_its_line(capsys: pytest.CaptureFixture[str]) -> None:
    said(capsys, "take", "1/2", "The governor cut out at 118 psi.", "--clause", "--keep")
    assert main(["phrases", "export", "book.po"]) == 0
    capsys.readouterr()
    text = Path("book.po").read_text("utf-8")
    Path("bad.po").write_text(text.replace("cut out at {n}", "cut out"), "utf-8")
    line = 1 + text[: text.index('msgid "{thing}')].count("\n")
    assert f"bad.po, line {line}: each place stands once" in refused(capsys, "import", "bad.po")
    assert [one["no"] for one in as_json(capsys, "find", "cuts out {n}")["entries"]] == [1]


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["frobnicate"], "nothing to do with phrases"),
        (["take", "1/2"], "Name the note and its wording"),
        (["take", "x/2", "Words."], "names no note"),
        (["take", "1/9", "Words here."], "ticket phrases 1 lists its notes"),
        (["take", "9/1", "Words here."], "there is no ticket 9"),
        (["take", "1/2", "The governor cut out at 119 psi."], "119"),
        (["word", "zorbel"], "Name the word and what it is"),
        (["word", "zorbel", "verb"], "nothing a word may be"),
        (["word", "{n}", "thing"], "is no word"),
        (["back", "x"], "Name one entry"),
        (["back", "7"], "no entry 7"),
        (["export"], "Name the file"),
        (["import", "nowhere.po"], "nowhere.po"),
        (["--clause"], "does not belong there"),
        (["find", "x", "--told", "y"], "does not belong there"),
        (["export", "book.po", "--language", "tlh"], "tlh"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(
    arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    assert says in refused(capsys, *arguments)
