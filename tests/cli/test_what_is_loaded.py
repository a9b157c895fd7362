"""What a running command loads: a plain command answers fast because it imports little."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from ticket.cli.main import main

_REPORT = """
import json, sys
from ticket.cli import main
try:
    code = main({arguments!r})
except SystemExit as left:
    code = left.code
print("\\n" + json.dumps([code, sorted(sys.modules)]))
"""


def loaded(arguments: list[str], folder: Path) -> set[str]:
    script = _REPORT.format(arguments=["--db", str(folder / "shop.db"), *arguments])
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, env=os.environ)
    code, modules = json.loads(run.stdout.rsplit("\n", 2)[-2])
    assert code == 0, run.stderr
    return set(modules)


@pytest.mark.slow
@pytest.mark.parametrize(
    "arguments",
    [
        ["--help"],
        ["list"],
        ["new"],
        ["add", "1", "says: horn is silent"],
        ["story", "1"],
        ["gaps", "--help"],
        ["audit"],
    ],
    ids=lambda arguments: arguments[0],
)
def test_no_command_loads_the_screens(arguments: list[str], tmp_path: Path) -> None:
    main(["new", "--db", str(tmp_path / "shop.db")])
    assert not {"textual", "rich", "typst"} & loaded(arguments, tmp_path)


@pytest.mark.parametrize("arguments", [["--help"], ["list"]], ids=lambda arguments: arguments[0])
def test_the_quick_commands_load_neither_sqlite_utils_nor_the_kinds(arguments: list[str], tmp_path: Path) -> None:
    main(["new", "--db", str(tmp_path / "shop.db")])
    assert not {"sqlite_utils", "ticket.job.kinds", "dateutil", "platformdirs"} & loaded(arguments, tmp_path)


def test_the_first_list_is_painted_before_anything_heavy_is_loaded() -> None:
    report = "import sys, ticket.screens.app, ticket.screens.jobs_screen; print(*sorted(sys.modules))"
    run = subprocess.run([sys.executable, "-c", report], capture_output=True, text=True, check=True, env=os.environ)
    rooms = {"sqlite_utils", "numpy", "dateutil", "argparse", "zoneinfo", "hashlib"}
    rooms |= {"ticket.notes", "ticket.job.kinds", "ticket.gaps", "ticket.shop.opening"}
    assert not {name for name in run.stdout.split() for room in rooms if name == room or name.startswith(f"{room}.")}


def test_reading_a_line_opens_no_shop(tmp_path: Path) -> None:
    modules = loaded(["read", "did: 1.5 h replaced hose"], tmp_path)
    rooms = {
        "ticket.store",
        "ticket.story",
        "ticket.shop.opening",
        "ticket.gaps",
        "ticket.papers",
        "textual",
        "sqlite_utils",
    }
    assert not {name for name in modules for room in rooms if name == room or name.startswith(f"{room}.")}
    assert list(tmp_path.iterdir()) == []
