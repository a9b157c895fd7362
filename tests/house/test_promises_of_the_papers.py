"""What README and DEVELOPERS say is true of the tree."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from support.installed import installed
from support.sources import tree_of

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_ci_runs_the_test_command_of_the_readme() -> None:
    (command,) = (line.strip() for line in README.splitlines() if "pytest" in line and line.startswith("    "))
    assert command in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_the_readme_is_one_screen_to_the_first_success_then_pictures() -> None:
    """Forty rows of a terminal: what it is, one command, what to press; behind them what it shows."""
    lines = README.splitlines()
    first = next(i for i, line in enumerate(lines) if line.startswith("    ") and "ticket demo" in line)
    pictures, tour = (lines.index(title) for title in ("## What it looks like", "## One minute"))
    assert first < pictures < tour
    assert pictures < 40
    assert max(len(line) for line in lines[:pictures]) <= 140


@pytest.mark.slow
def test_every_command_is_in_the_readme_and_has_help_with_an_example(tmp_path: Path) -> None:
    ticket = installed(tmp_path)
    overview = ticket.anew("--help")
    commands = re.findall(r"^    ([a-z]+) ", overview.stdout, re.M)
    assert len(commands) > 15
    for command in commands:
        assert re.search(rf"`ticket {command}\b", README), f"README does not tell {command}"
        told = ticket(command, "--help")
        assert told.returncode == 0
        assert f"ticket {command}" in told.stdout.split("examples:")[1]
        assert "--json" in told.stdout


def test_the_layers_hold() -> None:
    lint = Path(sys.executable).with_name("lint-imports")
    if not lint.exists():
        pytest.skip("import-linter is in the extra dev")
    run = subprocess.run([lint], cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout


def test_no_file_is_too_long_and_every_public_thing_is_told() -> None:
    import ast

    lengths, public, told = {}, 0, 0
    for file in (ROOT / "ticket").rglob("*.py"):
        text = file.read_text(encoding="utf-8")
        lengths[file] = text.count("\n")
        for node in ast.walk(tree_of(file)):
            if isinstance(node, ast.FunctionDef | ast.ClassDef | ast.AsyncFunctionDef) and not node.name.startswith(
                "_"
            ):
                public += 1
                told += ast.get_docstring(node) is not None
    assert max(lengths.values()) <= 600, max(lengths, key=lambda file: lengths[file])
    assert sorted(lengths.values())[len(lengths) // 2] <= 160
    assert told / public > 0.85
