"""A path with no shop behind it: only what begins a shop makes one, and says where."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from support.installed import Command, installed

JOB = "vehicle: Corvane Alder\n\nfound: door seal torn\n"

ASKING = [
    ["list"], ["list", "--json"], ["audit"], ["audit", "--deep"], ["backup", "copy.db"], ["past", "P0562"], ["due"],
    ["due", "1/2", "--done"], ["before", "P0562"], ["show", "1"], ["dump"], ["dump", "-o", "all.json"], ["shop"],
    ["shop", "distance", "km"], ["shop", "person", "K. Orlo"], ["shop", "prices"], ["shop", "pack"],
    ["shop", "glossary"], ["shop", "group"], ["story", "1"], ["paper", "1"], ["gaps", "1"], ["bill", "1"],
    ["estimate", "1"], ["hours"], ["allowed", "400"], ["set", "1", "--plate", "FEN-204"], ["add", "1", "found: x"],
    ["edit", "1", "1", "found: x"], ["strike", "1", "1"], ["reword", "1", "--list"], ["sign", "1"],
    ["amend", "1", "--reason", "x", "found: x"], ["code", "--import", "codes.csv"],
]  # fmt: skip


@pytest.fixture
def ticket(tmp_path: Path) -> Command:
    (tmp_path / "codes.csv").write_text("code,plain\n", encoding="utf-8")
    return installed(tmp_path, TICKET_DB=str(tmp_path / "deep" / "shop.db"), TICKET_PERSON="K. Orlo")


@pytest.mark.parametrize("arguments", ASKING, ids=" ".join)
def test_a_mistyped_path_makes_no_empty_shop(
    arguments: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from ticket.cli.main import main

    monkeypatch.chdir(tmp_path)
    (tmp_path / "codes.csv").write_text("code,plain\n", encoding="utf-8")
    before = sorted(tmp_path.rglob("*"))
    assert main([*arguments, "--db", str(tmp_path / "deep" / "shop.db")]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert f"There is no shop at {tmp_path / 'deep' / 'shop.db'}. Make one: " in told.err
    assert told.err.count("\n") == 1
    assert told.err.count("\n") == 1
    assert sorted(tmp_path.rglob("*")) == before


def test_a_path_through_a_file_is_no_shop_either(ticket: Command, tmp_path: Path) -> None:
    run = ticket("list", "--db", "codes.csv/shop.db")
    assert (run.returncode, run.stdout) == (2, "")
    assert run.stderr == (
        "ticket: There is no shop at codes.csv/shop.db. Make one: ticket shop --start --db codes.csv/shop.db\n"
    )
    made = ticket("new", "--db", "codes.csv/shop.db")
    assert (made.returncode, made.stdout) == (2, "")
    assert "cannot be made: not a directory" in made.stderr


@pytest.mark.slow
@pytest.mark.parametrize("arguments", [["audit"], ["list"], ["dump"], ["backup", "copy.db"]], ids=" ".join)
def test_the_installed_command_calls_nothing_whole_that_is_not_there(ticket: Command, arguments: list[str]) -> None:
    run = ticket.anew(*arguments)
    assert (run.returncode, run.stdout) == (2, "")
    assert run.stderr.startswith("ticket: There is no shop at ")
    assert sorted(path.name for path in ticket.folder.iterdir()) == ["codes.csv"]


def test_an_empty_file_is_not_called_a_whole_shop(ticket: Command, tmp_path: Path) -> None:
    (tmp_path / "empty.db").touch()
    for command in ("audit", "list", "dump"):
        run = ticket(command, "--db", "empty.db")
        assert run.returncode == 2
        assert "There is no shop at empty.db. Make one: ticket shop --start --db empty.db" in run.stderr
    assert (tmp_path / "empty.db").stat().st_size == 0


def test_what_begins_a_shop_says_where_in_one_line(ticket: Command, tmp_path: Path) -> None:
    (tmp_path / "job.txt").write_text(JOB, encoding="utf-8")
    for number, arguments in enumerate((["new"], ["load", "job.txt"], ["shop", "--start", "Wrenfold Garage"])):
        path = tmp_path / f"{number}.db"
        first = ticket(*arguments, "--db", str(path))
        assert first.returncode == 0, first.stderr
        lines = (first.stdout + first.stderr).splitlines()
        assert [line for line in lines if str(path) in line] == [f"A new shop was made. It is kept in {path}."]
        assert ticket("audit", "--db", str(path)).returncode == 0
        if arguments[0] != "shop":
            again = ticket(*arguments, "--db", str(path))
            assert str(path) not in again.stdout + again.stderr, "it is told once"


def test_a_script_is_told_of_a_new_shop_in_its_json(ticket: Command, tmp_path: Path) -> None:
    made = ticket("new", "--json")
    assert made.stderr == ""
    assert json.loads(made.stdout)["made_shop"] == str(tmp_path / "deep" / "shop.db")
    assert "made_shop" not in json.loads(ticket("new", "--json").stdout)


def test_a_shop_is_started_once_under_its_name(ticket: Command) -> None:
    assert ticket("shop", "--start", "Wrenfold Garage").returncode == 0
    assert "Wrenfold Garage" in ticket("shop", "shop").stdout
    again = ticket("shop", "--start", "Another")
    assert (again.returncode, again.stdout) == (2, "")
    assert "There is a shop at" in again.stderr
    assert "Wrenfold Garage" in ticket("shop", "shop").stdout


@pytest.mark.parametrize(
    "arguments",
    [["new", "--odometer", "many"], ["load", "missing.txt"], ["load", "broken.json"], ["load", "no-entry.txt"]],
    ids=" ".join,
)
def test_what_is_refused_leaves_no_shop_behind(ticket: Command, arguments: list[str], tmp_path: Path) -> None:
    (tmp_path / "broken.json").write_text('{"number": ', encoding="utf-8")
    (tmp_path / "no-entry.txt").write_text("vehicle: Corvane Alder\n", encoding="utf-8")
    assert ticket(*arguments).returncode == 2
    assert not (tmp_path / "deep").exists()


def test_a_code_is_told_without_a_shop_and_that_is_said(ticket: Command, tmp_path: Path) -> None:
    # P0562 is "System Voltage Low" (SAE J2012).
    run = ticket("code", "P0562")
    assert run.returncode == 0
    assert "P0562" in run.stdout
    assert "There is no shop at" in run.stderr
    assert not (tmp_path / "deep").exists()


def test_the_screens_make_no_shop_before_their_first_answer(tmp_path: Path) -> None:
    """What opens the shop for the screens refuses a file that vanished; only the first screen's Enter makes one."""
    code = (
        "import sys; from pathlib import Path; from ticket.cli.screens_command import _open; "
        "from ticket.job.errors import NoShopError\n"
        "try: _open(Path(sys.argv[1]), 'K. Orlo', create=False)\n"
        "except NoShopError: sys.exit(7)"
    )
    path = tmp_path / "shop.db"
    assert subprocess.run([sys.executable, "-c", code, path], check=False, env=os.environ).returncode == 7
    assert list(tmp_path.iterdir()) == []
