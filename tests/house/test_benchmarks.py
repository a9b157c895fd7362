"""Every script of benchmarks still finds what it measures, and the one command that runs them knows each it names."""

import importlib.util
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SCRIPTS = sorted((ROOT / "benchmarks").glob("*.py"))
ELSEWHERE = ("cosmic_ray", "duckdb")  # libraries of one benchmark alone


@pytest.fixture(autouse=True)
def paths(monkeypatch: pytest.MonkeyPatch) -> None:
    for folder in ("benchmarks", "tests/papers", "tests/story"):
        monkeypatch.syspath_prepend(ROOT / folder)


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.stem)
def test_a_script_can_be_loaded(script: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    spec = importlib.util.spec_from_file_location(f"loaded_{script.stem}", script)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    monkeypatch.setitem(sys.modules, spec.name, module)
    try:
        spec.loader.exec_module(module)
    except ModuleNotFoundError as error:
        if error.name not in ELSEWHERE:
            raise
        pytest.skip(f"{error.name} is not here")


def test_the_one_command_names_scripts_that_are_there() -> None:
    import all_figures

    named = {script.name for script in all_figures.SCRIPTS}
    assert named <= {path.stem for path in SCRIPTS}
    told = "\n".join(all_figures._machine())
    for words in ("Day: 20", "commit ", "cores", "Python 3.", "Load of the machine"):
        assert words in told
