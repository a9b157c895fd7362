"""The wheel alone is enough: built, installed into a clean environment, run from another folder."""

import json
import os
import subprocess
import sys
import venv
from importlib.util import find_spec
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.slow
def test_the_installed_wheel_runs_the_demo_from_another_folder(tmp_path: Path) -> None:
    build = [sys.executable, "-m", "build", "--wheel", "--outdir", str(tmp_path / "dist"), str(ROOT)]
    if find_spec("hatchling"):
        build.append("--no-isolation")  # else an environment is made for the build alone, which takes longer than it
    subprocess.run(build, check=True, capture_output=True, env=os.environ | {"HOME": str(Path.home())})
    (wheel,) = (tmp_path / "dist").glob("*.whl")
    venv.create(tmp_path / "clean")
    python = tmp_path / "clean" / "bin" / "python"
    install = [sys.executable, "-m", "pip", "--python", str(python), "install", "-q", "--no-compile", str(wheel)]
    subprocess.run(install, check=True, capture_output=True)

    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    environment = {"HOME": str(elsewhere), "PATH": os.environ["PATH"], "TZ": "UTC"}
    ticket = python.with_name("ticket")
    told = subprocess.run(
        [ticket, "demo", "--no-screen"], cwd=elsewhere, env=environment, capture_output=True, text=True, check=True
    )
    assert "WHAT YOU TOLD US" in told.stdout.upper()
    assert told.stderr == ""
    opened = subprocess.run([ticket, "new", "--json"], cwd=elsewhere, env=environment, capture_output=True, check=True)
    assert json.loads(opened.stdout)["number"] == 1
    for form, begins in (("pdf", b"%PDF-"), ("html", b"<!DOCTYPE html>")):
        command = [str(ticket), "paper", "1", "--as", form]
        made = subprocess.run(command, cwd=elsewhere, env=environment, capture_output=True, check=True)
        assert made.stdout.startswith(begins)
    assert not list(elsewhere.rglob("*demo*")), "the demo leaves nothing in the user's home"
