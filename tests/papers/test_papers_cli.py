"""``ticket paper`` and ``ticket story --as``: to a file, through a pipe, and never bytes to a terminal."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from ticket.cli.main import main
from ticket.data import data_folder
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of


@pytest.fixture
def loaded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Path:
    monkeypatch.setenv("TICKET_DB", str(tmp_path / "shop.db"))
    monkeypatch.setenv("TICKET_PERSON", "Nell Ivarsen")
    (job,) = data_folder("demo_jobs").glob("1020-*.json")
    assert main(["load", str(job)]) == 0
    capsys.readouterr()
    return tmp_path


@pytest.mark.parametrize(("form", "begins"), [("pdf", b"%PDF-1.7"), ("html", b"<!DOCTYPE html>")])
def test_a_paper_goes_to_a_file(loaded: Path, form: str, begins: bytes) -> None:
    for command in (["paper", "1020", "--for", "payer"], ["story", "1020"]):
        target = loaded / f"{command[0]}.{form}"
        assert main([*command, "--as", form, "-o", str(target)]) == 0
        assert target.read_bytes().startswith(begins)


def test_text_and_markdown_are_printed(loaded: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["paper", "1020"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("Vehicle repair\n\nTicket 1020 · Copy for the customer\n")
    assert "Replace shaft seal" in text
    assert main(["paper", "1020", "--as", "markdown", "--for", "shop", "--sources"]) == 0
    assert "# Ticket 1020 · Copy for the shop" in capsys.readouterr().out


@pytest.mark.slow
def test_a_pdf_through_a_pipe_is_whole(loaded: Path) -> None:
    command = [sys.executable, "-m", "ticket", "paper", "1020", "--as", "pdf"]
    run = subprocess.run(command, capture_output=True, check=True, env=os.environ)
    assert run.stdout.startswith(b"%PDF-")
    assert run.stdout.rstrip().endswith(b"%%EOF")
    assert run.stderr == b""


@pytest.mark.parametrize("command", ["paper", "story"])
def test_a_pdf_is_not_thrown_at_a_terminal(
    loaded: Path, command: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    assert main([command, "1020", "--as", "pdf"]) == 2
    seen = capsys.readouterr()
    assert seen.out == ""
    assert "-o FILE" in seen.err


def test_what_cannot_be_written_or_found_is_one_sentence(loaded: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["paper", "1020", "--as", "pdf", "-o", str(loaded / "no" / "x.pdf")]) == 2
    assert "x.pdf cannot be written: no such" in capsys.readouterr().err
    assert main(["paper", "77", "--as", "html"]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_paper_as_json_holds_its_blocks(loaded: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["paper", "1020", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["title"] == "Ticket 1020"
    table = next(block for block in document["blocks"] if block["block"] == "table")
    assert all(len(row) == len(table["columns"]) for row in table["rows"])
    assert any(block["block"] == "paragraph" and block["sentences"][0]["sources"] for block in document["blocks"])


@pytest.mark.parametrize("changed", [False, True])
def test_a_copy_of_a_ticket_that_was_signed_elsewhere_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], changed: bool
) -> None:
    monkeypatch.setenv("TICKET_DB", str(tmp_path / "there.db"))
    assert main(["new", "--vehicle", "Corvane Alder"]) == 0
    assert main(["add", "1", "found: door seal torn"]) == 0
    capsys.readouterr()
    with Shop.open(tmp_path / "there.db", "Nell Ivarsen") as there:
        seal = there.store.sign(1, ticket_of(there, 1).rev, "Nell Ivarsen")
    assert main(["dump"]) == 0
    text = capsys.readouterr().out
    (tmp_path / "out.json").write_text(text.replace("seal torn", "seal cut") if changed else text, "utf-8")
    monkeypatch.setenv("TICKET_DB", str(tmp_path / "here.db"))
    assert main(["load", str(tmp_path / "out.json")]) == 0
    capsys.readouterr()
    for language, words in (
        ("en", f"UNVERIFIED COPY. Its document says it was signed by “Nell Ivarsen” under {seal}"),
        ("es", f"COPIA SIN VERIFICAR. Su documento dice que la firmó «Nell Ivarsen» con {seal}"),
    ):
        assert main(["paper", "1", "--language", language]) == 0
        shown = " ".join(capsys.readouterr().out.split())
        assert words in shown
        assert "Signed by" not in shown
