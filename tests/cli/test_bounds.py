"""What is too large, too deep, too long or not to be seen: refused in one sentence, or shown."""

import io
import json
import os
import sys
import tracemalloc
from pathlib import Path

import pytest

from support.clock import Clock
from ticket.cli.main import main
from ticket.job.errors import DataError
from ticket.job.read_json import DEEPEST, read_json
from ticket.job.text import escaped, visible
from ticket.job.ticket_document import to_document
from ticket.machine.json_file import JsonFile
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop with one ticket, and its document beside it."""
    monkeypatch.setenv("TICKET_DB", str(tmp_path / "shop.db"))
    monkeypatch.setenv("TICKET_NOW", "2026-03-02T14:10:00+00:00")
    monkeypatch.chdir(tmp_path)
    with Shop.open(tmp_path / "shop.db", "K. Orlo", now=Clock()) as shop:
        add_lines(shop, new_ticket(shop), "says: fan roars\nfound: LF pad 4.1 mm (min 3.0)")
        Path("one.json").write_text(json.dumps(to_document(ticket_of(shop, 1))))
    return tmp_path


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(list(arguments)) == 2
    told = capsys.readouterr().err.strip()
    assert told.count("\n") == 0
    assert len(told) < 300
    return told


def test_a_line_longer_than_anybody_types_is_refused(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    long = "found: " + "x" * 65_536
    assert "line 1 has 65,543 characters" in refused(capsys, "add", "1", long)
    assert main(["add", "1", long[:65_536]]) == 0
    Path("long.txt").write_text(f"says: roars\n{long}\n")
    assert "long.txt: line 2 has" in refused(capsys, "load", "long.txt")


def test_a_file_of_more_lines_or_bytes_than_a_ticket_has_is_refused(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("many.txt").write_text("says: roars\n" + "note: x\n" * 20_000)
    assert "20,002 lines; 20,000 are the most" in refused(capsys, "load", "many.txt")
    Path("big.txt").write_text("note: x\n" * 700_000)
    assert "holds more than 5 MB" in refused(capsys, "load", "big.txt")
    Path("prices.json").write_text(" " * 1_048_577)
    assert "holds more than 1 MB" in refused(capsys, "shop", "prices", "prices.json")


def test_standard_input_without_end_is_left_alone(
    here: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for arguments in (["load", "-"], ["add", "1", "-"], ["read", "-"]):
        with Path("/dev/zero").open("rb") as zeros:
            monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(zeros))
            refused(capsys, *arguments)


def test_json_nests_as_deep_as_a_document_needs_and_no_deeper() -> None:
    fits = "[" * DEEPEST + "]" * DEEPEST
    assert read_json(fits) is not None
    for deep in (DEEPEST + 1, 100_000):
        with pytest.raises(DataError, match="nested too deeply"):
            read_json("[" * deep + "]" * deep)


@pytest.mark.slow
def test_a_list_of_documents_is_gone_through_one_by_one(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """64 MB of them in a tenth of that: only one document is held at a time."""
    one = json.loads(Path("one.json").read_text())
    padded = one | {"header": one["header"] | {"ready_by": "é" * 6_000}}
    with Path("all.json").open("w") as file:
        file.write("[")
        for number in range(2, 2002):
            file.write(("" if number == 2 else ",\n ") + json.dumps(padded | {"number": number}, ensure_ascii=False))
        file.write("]\n")
    tracemalloc.start()
    count = sum(document["number"] > 1 for _, document in JsonFile(Path("all.json"), "all.json"))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert count == 2000
    assert Path("all.json").stat().st_size > 24_000_000
    assert peak < 12_000_000


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "no ticket file"), ("[", "no JSON"), ("{", "no JSON"), ("[{}]", "(document 1): at format"),
        ("[{},]", "(document"), ("[1]", "a ticket document is an object"), ("[[[[]]]]", "a ticket document"),
        ("{" * 200_000, "no JSON"), ('{"a": [' + "[" * 100_000, "nested too deeply"), ("\ufeff[", "no JSON"),
        ('[{"format": "ticket-1", "number": ' + "9" * 5000 + "}]", "whole number of 5,000 digits"),
    ],
)  # fmt: skip
def test_a_broken_document_is_one_sentence_and_loads_nothing(
    here: Path, text: str, why: str, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("bad.json").write_text(text)
    assert why in refused(capsys, "load", "bad.json")
    Path("bad.json").write_text(Path("one.json").read_text().replace('"number": 1', '"number": 5') + f" {text or 'x'}")
    further = text.startswith("{")  # documents may stand one behind the other
    assert (why if further else "Extra data in line 1") in refused(capsys, "load", "bad.json")
    with Shop.open(here / "shop.db", "K. Orlo", now=Clock()) as shop:
        assert shop.store.numbers() == [1]


def test_all_or_none_of_a_list_is_loaded(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one = json.loads(Path("one.json").read_text())
    Path("mixed.json").write_text(json.dumps([one | {"number": 7}, one | {"number": 8, "rev": "x"}]))
    assert "mixed.json (document 2)" in refused(capsys, "load", "mixed.json")
    Path("good.json").write_text(json.dumps([one | {"number": 7}, one | {"number": 8}]))
    assert main(["load", "good.json"]) == 0
    with Shop.open(here / "shop.db", "K. Orlo", now=Clock()) as shop:
        assert shop.store.numbers() == [1, 7, 8]


@pytest.mark.parametrize("kind", ["pipe", "folder", "device"])
def test_what_is_no_plain_file_is_refused_at_once(here: Path, kind: str, capsys: pytest.CaptureFixture[str]) -> None:
    os.mkfifo("pipe")
    Path("folder").mkdir()
    path = "/dev/zero" if kind == "device" else kind
    for arguments in (["load", path], ["shop", "pack", path], ["code", "--import", path], ["shop", "limits", path]):
        assert f"it is a {kind}" in refused(capsys, *arguments)


def test_what_nobody_would_see_is_shown() -> None:
    """Tags spell out a text on their own plane; fillers are blank by name (Unicode 15, categories Cf and Lo)."""
    for code in (
        *range(0xE0000, 0xE0080),
        0x115F,
        0x1160,
        0x3164,
        0xFFA0,
        *range(0x200B, 0x2010),
        *range(0x2060, 0x2065),
    ):
        assert visible(f"a{chr(code)}b") == "a\ufffdb", hex(code)
        told = escaped(json.dumps(f"a{chr(code)}b", ensure_ascii=False))
        assert told.isascii()
        assert json.loads(told) == f"a{chr(code)}b"
    assert visible("Zoë Ågren — ½ in × 40 °C, 日本, 한국") == "Zoë Ågren — ½ in × 40 °C, 日本, 한국"


def test_a_moment_that_cannot_be_read_is_refused_before_anything_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TICKET_NOW", "yesterday")
    assert "a time with its zone" in refused(
        capsys, "new", "--vehicle", "Corvane Alder", "--db", str(tmp_path / "s.db")
    )
    assert list(tmp_path.iterdir()) == []
