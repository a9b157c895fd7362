"""``ticket shop limits``, and what ``ticket add`` says of limits the book knows."""

import json
from pathlib import Path

import jsonschema
import pytest

from support.schemas import validate
from ticket.assist.limits_shelf import base_book, book_document, book_schema
from ticket.cli.main import main
from ticket.data import data_folder

BOOK = {
    "format": "limits-book-1",
    "limits": [
        {"thing": "rotor", "position": ["front"], "vehicle": "Alder", "unit": "mm", "low": "26", "source": "maker"}
    ],
}


@pytest.fixture(autouse=True)
def a_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    for name, value in {
        "TICKET_DB": str(tmp_path / "shop.db"), "TICKET_PERSON": "K. Orlo", "TZ": "UTC",
        "TICKET_NOW": "2026-03-02T14:10:00+00:00",
    }.items():  # fmt: skip
        monkeypatch.setenv(name, value)
    monkeypatch.chdir(tmp_path)
    Path("ours.json").write_text(json.dumps(BOOK), "utf-8")
    assert main(["new", "--vehicle", "Corvane Alder 2.0"]) == 0
    capsys.readouterr()


def test_the_schema_on_disk_is_the_generated_one_and_describes_both_books() -> None:
    schema = json.loads((data_folder("schemas") / "limits-book.json").read_text("utf-8"))
    assert schema == book_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    validate(BOOK, schema)
    validate(book_document(base_book()), schema)
    with pytest.raises(jsonschema.ValidationError):
        validate({**BOOK, "limits": [{"thing": "rotor", "low": "x"}]}, schema)


def test_a_book_is_taken_in_listed_and_offered(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shop", "limits"]) == 0
    out, _ = capsys.readouterr()
    assert "no limits of its own yet" in out
    assert "49 CFR 570.62(a)" in out
    assert main(["shop", "limits", "ours.json"]) == 0
    assert "1 row" in capsys.readouterr().out
    assert main(["shop", "limits", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["limits"]
    assert rows[0] == {"book": "shop"} | BOOK["limits"][0]  # type: ignore[operator]
    assert {row["book"] for row in rows[1:]} == {"base"}
    assert all(row["citation"] and row["standing"] for row in rows[1:])

    assert main(["add", "1", "rotor LF 25.8 mm"]) == 0
    out, err = capsys.readouterr()
    assert out == "   1  found: rotor LF 25.8 mm\n", "no verdict from the book"
    assert "min 26 mm per maker (the shop's book, for front, Alder)" in " ".join(err.split())
    assert "ticket edit 1 1 'LINE'" in " ".join(err.split())
    assert main(["add", "1", "rotor LF 25.8 mm", "--json", "--accept"]) == 0
    (made,) = json.loads(capsys.readouterr().out)
    assert made["line"] == "found: rotor LF 25.8 mm", "--accept takes no limits"
    assert made["verdicts"] == ["none"]
    (remark,) = made["remarks"]
    assert (remark["start"], remark["end"], remark["state"]) == (16, 16, "remark")
    assert remark["answers"] == [" (min 26 mm per maker)"]
    assert made["read"]["questions"] == made["read"]["unread"] == []
    assert main(["edit", "1", "1", "rotor LF 25.8 mm" + remark["answers"][0]]) == 0
    assert "[left front low]" in capsys.readouterr().out


def test_a_refusal_names_file_row_and_field(capsys: pytest.CaptureFixture[str]) -> None:
    Path("bad.json").write_text(json.dumps(BOOK).replace('"26"', '"about 26"'), "utf-8")
    assert main(["shop", "limits", "bad.json"]) == 2
    assert "bad.json: row 1, low: " in capsys.readouterr().err
    Path("bad.json").write_text("{", "utf-8")
    assert main(["shop", "limits", "bad.json"]) == 2
    assert "bad.json: no JSON" in capsys.readouterr().err
    assert main(["shop", "limits", "missing.json"]) == 2
    assert "missing.json" in capsys.readouterr().err
    assert main(["shop", "limits", "--json"]) == 0
    assert all(row["book"] == "base" for row in json.loads(capsys.readouterr().out)["limits"])


def test_proposals_are_listed_and_kept_by_number(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shop", "limits", "--proposed"]) == 0
    assert "No limits were typed twice" in capsys.readouterr().out
    assert main(["add", "1", "idle oil pressure 22 psi (min 15)", "idle oil pressure 24 psi (min 15)"]) == 0
    capsys.readouterr()
    assert main(["shop", "limits", "--proposed", "--json"]) == 0
    (one,) = json.loads(capsys.readouterr().out)["proposed"]
    assert (one["number"], one["stands"]) == (1, ["1/1", "1/2"])
    assert (one["row"]["low"], one["row"]["unit"], one["row"]["source"]) == ("15", "psi", "shop")
    assert main(["shop", "limits", "--keep", "1"]) == 0
    assert "min 15 psi per shop" in capsys.readouterr().out
    assert main(["shop", "limits", "--keep", "1"]) == 2
    assert "There is no proposal 1" in capsys.readouterr().err
    assert main(["audit", "--deep"]) == 0


@pytest.mark.parametrize("words", [["--proposed"], ["prices", "--keep", "1"], ["limits", "ours.json", "--proposed"]])
def test_flags_of_the_book_are_refused_elsewhere(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shop", *words]) == 2
    assert "--proposed" in capsys.readouterr().err
