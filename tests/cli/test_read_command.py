"""The command that says what lines mean: one object a line in its order, held against its schema; 1 where it asks."""

import io
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from support.schemas import validate
from ticket.cli.main import main
from ticket.data import data_folder
from ticket.job.ticket_document import from_document

SCHEMA = json.loads((data_folder("schemas") / "read.json").read_text("utf-8"))
LINES = [
    "did: replaced hose, 1 hr 20 min", "used: 2 gal fluid @ 4.50/gal",
    "told: Bo by phone 555-0134 2:40p, ok all, nte 500",
    "later: belt in 3 mos or 3k mi", "code: P0562-16 pending x3; U0100 history", "", "found: LF pad 1.9 mm (min 3.0)",
    "says: pulls left", "used: 1 pump, 1 gasket", "offer: brakes; est 400; hours 2.5", "\u2028", "code: EE 10 04 00",
]  # fmt: skip


def run(lines: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> tuple[int, list[Any]]:
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    code = main(["read", "--json", "-"])
    return code, [json.loads(line) for line in capsys.readouterr().out.split("\n") if line]


def test_each_line_gives_one_object_of_the_schema_in_order(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    code, objects = run(LINES, capsys, monkeypatch)
    assert code == 1
    assert [one["line"] for one in objects] == LINES
    for one in objects:
        validate(one, SCHEMA)
        for piece in one["unread"]:
            assert one["line"][piece["start"] : piece["end"]] == piece["text"]


def test_the_exit_code_says_whether_something_is_open(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run(["did: 1.5 h replaced hose", "says: pulls left"], capsys, monkeypatch)[0] == 0
    assert run(["did: replaced hose 2"], capsys, monkeypatch)[0] == 1


def test_a_line_is_told_in_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read", "did: replaced hose, 45 min"]) == 0
    assert "billed hours: 0.75" in capsys.readouterr().out
    assert main(["read", "later: service at 9k"]) == 1
    assert "9k" in capsys.readouterr().out.partition("?")[2]


def test_the_longest_lines_are_read_all_the_same(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = [f"{kind}: " + "x 1 1, " * 9000 for kind in ("did", "used", "told", "later", "code")]
    _, objects = run(lines, capsys, monkeypatch)
    assert [one["kind"] for one in objects] == ["did", "used", "told", "later", "code"]


@pytest.mark.slow
def test_what_show_prints_of_every_demo_job_fits_its_schema_and_loads_again(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """JSON Schema 2020-12: a reference without a scheme is looked up beside the file it stands in."""
    ticket = json.loads((data_folder("schemas") / "ticket.json").read_text("utf-8"))
    beside = Registry().with_resource("read.json", DRAFT202012.create_resource(SCHEMA))
    validator = jsonschema.Draft202012Validator(ticket, registry=beside)
    for demo in sorted(data_folder("demo_jobs").glob("[0-9]*.json")):
        number, db = demo.name.split("-")[0], ["--db", str(tmp_path / f"{demo.stem}.db")]
        assert main(["load", str(demo), *db]) == 0
        capsys.readouterr()
        assert main(["show", number, "--json", *db]) == 0
        shown = json.loads(capsys.readouterr().out)
        validator.validate(shown)
        assert all(entry["read"]["kind"] == entry["kind"] for entry in shown["entries"])
        bare = {**shown, "entries": [{k: v for k, v in entry.items() if k != "read"} for entry in shown["entries"]]}
        assert from_document(shown) == from_document(bare)
    shown["entries"][0]["read"]["hours"] = 3
    assert not validator.is_valid(shown)
