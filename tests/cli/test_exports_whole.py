"""What leaves for a spreadsheet or another program holds every job that fits, or it is said that it does not."""

import csv
import io
import json
from pathlib import Path

import pytest

from ticket.cli import past_exports
from ticket.cli.main import main
from ticket.scratch_shop import fill
from ticket.shop.opening import Shop


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop; nothing here changes it."""
    path = tmp_path_factory.mktemp("demo") / "shop.db"
    with Shop.open(path, "K. Orlo") as shop:
        fill(shop)
    return path


@pytest.fixture
def few(demo: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A screenful is three jobs."""
    monkeypatch.setenv("TICKET_DB", str(demo))
    monkeypatch.setattr(past_exports, "PAGE", 3)


def rows(form: str, shown: str) -> int:
    if form == "csv":
        return len(list(csv.DictReader(io.StringIO(shown))))
    return len(json.loads(shown)["jobs"]) if form == "json" else len(shown.splitlines())


@pytest.mark.usefixtures("few")
@pytest.mark.parametrize("form", ["csv", "jsonl", "json"])
def test_an_export_holds_all_or_says_that_it_does_not(capsys: pytest.CaptureFixture[str], form: str) -> None:
    assert main(["past", "since:2020"]) == 0
    assert "3 of 23 jobs fit" in capsys.readouterr().out
    assert main(["past", "since:2020", "--as", form]) == 0
    shown = capsys.readouterr()
    assert (rows(form, shown.out), shown.err) == (23, "")
    for flag, many in (("--limit", 5), ("--page", 3)):
        assert main(["past", "since:2020", "--as", form, flag, "5"]) == 0
        shown = capsys.readouterr()
        assert rows(form, shown.out) == many
        assert f"{many} of 23 jobs that fit are in it" in shown.err


@pytest.mark.usefixtures("few")
def test_a_file_is_whole_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "jobs.csv"
    assert main(["past", "since:2020", "--as", "csv", "-o", str(file)]) == 0
    assert rows("csv", file.read_text()) == 23
    assert capsys.readouterr().err == ""
