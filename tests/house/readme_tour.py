"""The tours of README and docs/tutorial, replayed: each ``$`` line is run in a scratch shop, its output must follow.

``python tests/house/readme_tour.py`` writes the present output into them.
"""

import os
import shlex
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

README = Path(__file__).parents[2] / "README.md"
BEGIN, END = "## One minute\n", "## The words of a line\n"
FIXED = {"TICKET_NOW": "2026-03-02T14:10:00+00:00", "TICKET_PERSON": "K. Orlo", "TZ": "UTC", "COLUMNS": "80"}

HOME = "/home/mira"  # stands for the scratch folder in what is shown


Run = Callable[[list[str], dict[str, str], Path], subprocess.CompletedProcess[str]]


def start(words: list[str], environment: dict[str, str], folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a command in an interpreter of its own."""
    command = [sys.executable, "-m", *words]
    return subprocess.run(command, env=environment, capture_output=True, text=True, check=False, cwd=folder)


def replay(text: str, folder: Path, run: Run = start) -> str:
    """The tour with fresh output behind each command."""
    out: list[str] = []
    environment = {name: value for name, value in os.environ.items() if not name.startswith(("XDG_", "TICKET_"))}
    environment |= {**FIXED, "HOME": str(folder)}
    inside = False
    for line in text.split("\n"):
        if line.startswith("    $ "):
            inside = True
            out.append(line)
            done = run(shlex.split(line.removeprefix("    $ ")), environment, folder)
            shown = (done.stdout + done.stderr).replace(str(folder), HOME).rstrip("\n").split("\n")
            out += [f"    {row}".rstrip() for row in shown]
        elif not (inside and (line.startswith("    ") or not line)):
            if inside:
                out.append("")
            inside = False
            out.append(line)
    return "\n".join([*out, *(["", ""] if inside else [])])


TUTORIALS = sorted((README.parent / "docs" / "tutorial").glob("*.md"))


def tour() -> tuple[str, str, str]:
    """The README before the tour, the tour, and the rest."""
    text = README.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    told, after = rest.split(END)
    return before + BEGIN, told, END + after


if __name__ == "__main__":
    head, told, tail = tour()
    with tempfile.TemporaryDirectory() as scratch:
        README.write_text(head + replay(told, Path(scratch)) + tail, encoding="utf-8")
    for page in TUTORIALS:
        with tempfile.TemporaryDirectory() as scratch:
            page.write_text(replay(page.read_text(encoding="utf-8"), Path(scratch)), encoding="utf-8")
