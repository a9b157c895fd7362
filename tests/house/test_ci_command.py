"""What CI runs holds the set-up command of the README word for word, and the long runs beside it."""

from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_ci_runs_the_tests_by_the_command_of_the_readme_and_the_slow_ones_too() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    told = (ROOT / "README.md").read_text(encoding="utf-8").splitlines()
    (command,) = [line.strip() for line in told if line.startswith("    ") and "pytest" in line]
    assert command in script
    assert any("pytest" in line and "-m slow" in line for line in script)
