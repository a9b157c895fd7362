"""Manners of a command: the width of the terminal, plain terminals, where a remark belongs, how a usage is refused."""

import json
import sys
from pathlib import Path

import pytest

from support.screens_desk import DAY, copy_demo
from ticket.cli.main import main
from ticket.cli.output import fitted
from ticket.cli.progress_line import progress_line
from ticket.job.width import cells
from ticket.shop.opening import Shop

COMMANDS = (
    "shop", "shop keys", "shop limits", "list --all", "show 1020", "phrases", "past P0562-16", "before P0562-16", "due",
    "bill 1020", "estimate 1020", "gaps 1020", "audit", "health", "story 1020", "paper 1020", "promised", "totals",
    "past --like 1020", "past P0562 --count cause", "sample since:2026 --n 5", "before P0562 --next",
    "due --within 30d", "forget 1020", "phrases 1020", "invoice 1020 --draft", "hours", "cheat", "head --keys",
    "code P0562-16",
    "allowed 400 --compare US-FL US-CO", "read 'found: LF pad 1.9 mm (min 3.0)'", "--help", "paper --help",
)  # fmt: skip


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "s.db"
    copy_demo(path)
    return path


@pytest.mark.parametrize("width", [40, 60, 250])
@pytest.mark.parametrize("command", COMMANDS)
def test_no_line_is_wider_than_the_terminal(
    command: str, width: int, filled: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    import shlex

    monkeypatch.setenv("TICKET_NOW", DAY.isoformat())
    monkeypatch.setenv("TICKET_DB", str(filled))
    monkeypatch.setenv("COLUMNS", str(width))
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    assert main(shlex.split(command)) in (0, 1)
    lines = capsys.readouterr().out.splitlines()
    assert lines
    assert not [line for line in lines if cells(line) > width and " " in line.strip()[: width // 2]]


def test_a_pipe_gets_lines_as_they_are(
    filled: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TICKET_NOW", DAY.isoformat())
    monkeypatch.setenv("COLUMNS", "40")
    assert main(["list", "--db", str(filled)]) == 0
    assert max(map(len, capsys.readouterr().out.splitlines())) > 60


@pytest.mark.parametrize("width", [20, 41, 79])
def test_a_line_that_is_cut_loses_no_word(width: int) -> None:
    line = "   12  found: voltage drop between the alternator stud and the positive post 2.1 V (max 0.2) 日本 語"
    assert " ".join(" ".join(fitted(line, width)).split()) == " ".join(line.split())
    assert all(cells(one) <= width for one in fitted(line, width))
    assert fitted("x" * 90, width) == ["x" * 90]
    assert fitted("", width) == [""]


def test_remarks_of_many_lines_say_which_line_they_are_about(
    database: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", "--db", str(database)]) == 0
    capsys.readouterr()
    lines = ["found: pad 1.9 mm (min 3.0)", "told: Bo by phone, yes ok 14 whatever 99", "cause: worn pad"]
    assert main(["add", "--db", str(database), "1", *lines]) == 0
    told = capsys.readouterr().err.splitlines()
    assert any(line.startswith("1/2 ") for line in told)
    assert not any(line.startswith(" ") and "What is" in line for line in told)


def test_usage_is_refused_in_one_line_or_one_object(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["show"]) == 2
    assert capsys.readouterr().err.startswith("ticket show: ")
    assert main(["show", "--json"]) == 2
    said = json.loads(capsys.readouterr().err)
    assert said["exit"] == 2
    assert said["error"].startswith("ticket show: ")


@pytest.mark.parametrize("order", [["--json", "shop", "keys"], ["shop", "--json", "keys"], ["shop", "keys", "--json"]])
def test_what_every_command_takes_may_stand_anywhere(order: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(order) == 0
    assert json.loads(capsys.readouterr().out)["actions"]


def test_behind_two_dashes_a_line_may_say_anything(database: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["new", "--db", str(database)])
    assert main(["add", "--db", str(database), "1", "--", "--json"]) == 0
    assert "--json" in capsys.readouterr().out


def test_the_demo_refuses_a_database_and_names_the_way_without_a_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demo", "--db", "x.db"]) == 2
    assert "leave --db out" in capsys.readouterr().err
    assert main(["demo"]) == 2
    assert "ticket demo --no-screen" in capsys.readouterr().err


@pytest.mark.slow
def test_the_demos_shop_can_be_kept_and_gone_on_in(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    kept = tmp_path / "practice.db"
    assert main(["demo", "--no-screen", "--keep", str(kept)]) == 0
    assert f"This practice shop is kept in {kept}." in capsys.readouterr().out
    assert main(["add", "1020", "note: practised here", "--db", str(kept)]) == 0
    assert main(["demo", "--no-screen", "--keep", str(kept)]) == 0
    assert "the practice shop that was kept there before" in capsys.readouterr().err
    assert main(["show", "1020", "--db", str(kept)]) == 0
    assert "practised here" in capsys.readouterr().out
    assert main(["paper", "1020", "--db", str(kept)]) == 0
    assert "cratch shop" in capsys.readouterr().out
    real = tmp_path / "real.db"
    Shop.open(real, "K. Orlo").close()
    before = real.read_bytes()
    for path, words in ((str(real), "is a real shop"), ("-", "name a file")):
        assert main(["demo", "--no-screen", "--keep", path]) == 2
        assert words in capsys.readouterr().err
    assert real.read_bytes() == before


def test_a_terminal_that_cannot_draw_gets_no_escape(
    database: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TERM", "dumb")
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        monkeypatch.setattr(stream, "isatty", lambda: True, raising=False)
    assert main(["--db", str(database)]) == 2
    assert "ticket talk" in capsys.readouterr().err
    with progress_line():
        assert main(["audit", "--db", str(database)]) == 0
    seen = capsys.readouterr()
    assert "\x1b" not in seen.out + seen.err
