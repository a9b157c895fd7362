"""Every figure by one command, in a file that says on which machine and day they were measured.

    python benchmarks/all_figures.py [-o benchmarks/results.md] [--only talk story] [--long]
    python benchmarks/all_figures.py --past FOLDER

Runs the scripts of this folder one after the other, each in a process of its own, and keeps what they print as it is.
Without ``--long`` those alone that take a minute or two on an idle machine. With ``--past`` those of past jobs over
files that were made before: ``jobs.jsonl`` and ``big.db`` (``invented_jobs.py``), ``million.db`` (``grown_shop.py``),
``archive`` (``grown_archive.py``); kept in ``past_results.md``. The load stands beside the figures: on a
busy machine read the processor times and the ratios, and measure again.
"""

import argparse
import os
import platform
import resource
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from ticket import __version__
from ticket.store.driver import sqlite3

_HERE = Path(__file__).parent
_MOST = 3600  # seconds after which a script is stopped


@dataclass(frozen=True, slots=True)
class Script:
    """One script of this folder.

    Attributes:
        words: its arguments.
        asks: what is asked of its figures, in a few words.
        long: it takes many minutes.
    """

    name: str
    words: tuple[str, ...] = ()
    asks: str = ""
    long: bool = field(default=False, kw_only=True)


SCRIPTS = (
    Script("talk", (), "5 ms a line"),
    Script("report", (), "50 ms for a thousand lines of a scan report"),
    Script("speed", ("--rounds", "5"), "first paint 1.25, a key 1.4 times something bare"),
    Script("story", ("--rounds", "5"), "5 ms a story"),
    Script("papers", (), ""),
    Script("keystrokes", (), "each demo job under its goal"),
    Script("proposals", (), ""),
    Script("odometer", ("--entries", "2000"), "false questions under 0.5 %"),
    Script("checks", ("--shops", "200"), ""),
    Script("lists", (), "no wait that can be felt", long=True),
    Script("due", (), "50 ms after a change", long=True),
    Script("forecast", (), "88 to 92 of 100 within the interval", long=True),
)


def past_scripts(folder: Path) -> list[Script]:
    """What is measured over many past jobs."""
    big, million = str(folder / "big.db"), str(folder / "million.db")
    five = "p99 under 10 ms, 1.5 times the SQL, growing under 1.5 times; what the commonest code was in 50 ms"
    beside = (big, str(folder / "jobs.jsonl"), "-o", str(folder / "beside_others.md"))
    return [
        Script("past_jobs", (big, "--each", "200"), five),
        Script("past_jobs", (million, "--each", "200"), five),
        Script("random_queries", (big, "--queries", "20000", "--seed", "17"), "none above 100 ms"),
        Script("beside_others", (*beside, "--each", "40"), ""),
        Script("loading", ("--jobs", "4000"), "a third of executemany"),
        Script("archive_questions", (str(folder / "archive"), "--each", "60"), "p99 under 50 ms; the last 100 ms"),
    ]  # fmt: skip


def main() -> int:
    """Run what is asked for; 1 where a script failed."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("-o", "--output", type=Path)
    options.add_argument("--only", nargs="+", choices=[one.name for one in SCRIPTS], default=[])
    options.add_argument("--long", action="store_true")
    options.add_argument("--past", type=Path, metavar="FOLDER")
    given = options.parse_args()
    output = given.output or _HERE / ("past_results.md" if given.past else "results.md")
    wanted = [one for one in SCRIPTS if one.name in given.only or (not given.only and (given.long or not one.long))]
    wanted = past_scripts(given.past.resolve()) if given.past else wanted
    lines, failed = [*_machine()], False
    for script in wanted:
        print(script.name, flush=True)
        told, code = _run(script)
        failed |= bool(code)
        lines += told
        output.write_text("\n".join(lines) + "\n", encoding="utf-8")
    lines += ["", f"Load of the machine at the end: {_load()}."]
    output.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"Kept in {output}.")
    return int(failed)


def _machine() -> Iterator[str]:
    """What the figures were measured on, and when."""
    yield "# Figures"
    yield ""
    yield "Written by `python benchmarks/all_figures.py`; each block is what the script of that name printed."
    yield ""
    yield f"- Day: {datetime.now(UTC):%Y-%m-%d %H:%M} UTC"
    yield f"- Program: {__version__}, commit {_commit()}"
    system = f"{platform.system()} {platform.machine()}"
    yield f"- Machine: {_processor()}, {os.cpu_count()} cores, {_memory()} of memory, {system}"
    yield f"- Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}"
    yield f"- Load of the machine at the start: {_load()}"


def _run(script: Script) -> tuple[list[str], int]:
    command = [sys.executable, str(_HERE / f"{script.name}.py"), *script.words]
    roots = (".", "tests", "tests/papers", "tests/story")
    path = os.pathsep.join(str(_HERE.parent / one) for one in roots)
    began, before = time.monotonic(), resource.getrusage(resource.RUSAGE_CHILDREN)
    try:
        done = subprocess.run(
            command, env=os.environ | {"PYTHONPATH": path}, capture_output=True, text=True, check=False, timeout=_MOST,
            cwd=_HERE.parent,
        )  # fmt: skip
        said, code = done.stdout.rstrip(), done.returncode
        if code and done.stderr.strip():
            said += f"\n{done.stderr.strip().splitlines()[-1]}"
    except subprocess.TimeoutExpired:
        said, code = f"stopped after {_MOST} s", 1
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    processor = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    files = " ".join(Path(word).name for word in script.words if os.sep in word)
    head = ["", f"## {script.name} {files}".rstrip(), ""]
    head += [f"Asked: {script.asks}.", ""] if script.asks else []
    foot = f"{time.monotonic() - began:.0f} s, {processor:.0f} s of the processor"
    foot += f"; it left with {code}" if code else ""
    return [*head, "```", said, "```", "", f"{foot}."], code


def _commit() -> str:
    """The commit that is checked out, and whether files differ from it."""

    def git(*words: str) -> str:
        found = shutil.which("git")
        if found is None:
            return ""
        return subprocess.run([found, *words], cwd=_HERE, capture_output=True, text=True, check=False).stdout.strip()

    changed = " with changes" if git("status", "--porcelain", "--untracked-files=no") else ""
    return f"{git('rev-parse', '--short=12', 'HEAD') or 'unknown'}{changed}"


def _processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        return platform.processor() or "unknown processor"
    named = (line.partition(":")[2].strip() for line in lines if line.startswith(("model name", "Model")))
    return next(named, platform.processor() or "unknown processor")


def _memory() -> str:
    try:
        return f"{os.sysconf('SC_PAGE_SIZE') * os.sysconf('SC_PHYS_PAGES') / 2**30:.0f} GiB"
    except (ValueError, OSError):
        return "unknown size"


def _load() -> str:
    return ", ".join(f"{one:.1f}" for one in os.getloadavg())


if __name__ == "__main__":
    sys.exit(main())
