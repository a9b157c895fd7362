"""How fast the program answers, always as a ratio to something bare measured in the same run.

``python benchmarks/speed.py [--rounds N] [--jobs N]`` prints one line a figure: median of N rounds, interleaved, by the
clock and by the processor time that the program took, which other work on the machine disturbs less.
Nothing is asserted: a loaded machine must not fail a test.
"""

import argparse
import fcntl
import os
import pty
import resource
import select
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
import time
from collections.abc import Callable
from pathlib import Path

from many import many

BARE = "import argparse, sqlite3"
EMPTY_APP = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self):
        yield Static("MARKER")
Empty().run()
"""
BARE_INPUT = """
from textual.app import App
from textual.widgets import Input
class Bare(App):
    def compose(self):
        yield Input(placeholder="MARKER")
Bare().run()
"""
TICKET = [str(Path(sys.executable).with_name("ticket"))]


class Terminal:
    """A program in a pseudo-terminal of 120x40."""

    def __init__(self, command: list[str], environment: dict[str, str]) -> None:
        self.start = time.perf_counter()
        self.pid, self.file = pty.fork()
        if self.pid == 0:
            os.execvpe(command[0], command, environment)
        self.said = False
        fcntl.ioctl(self.file, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))

    def read_until(self, marker: bytes, limit: float = 10.0) -> float:
        """Seconds from the start to the first output that holds the marker."""
        seen = b""
        end = time.perf_counter() + limit
        while time.perf_counter() < end:
            if select.select([self.file], [], [], 0.05)[0]:
                try:
                    seen += os.read(self.file, 65536)
                except OSError:
                    break
                if b"\x1b[c" in seen and not self.said:
                    self.said = True
                    os.write(self.file, b"\x1b[?62c")  # as every terminal answers who it is
                if marker in seen:
                    return time.perf_counter() - self.start
        raise SystemExit(f"no {marker!r} within {limit} s; last output: {seen[-300:]!r}")

    def settle(self, quiet: float = 0.4) -> None:
        """Read until nothing has come for a while."""
        while select.select([self.file], [], [], quiet)[0]:
            os.read(self.file, 65536)

    def key(self, text: bytes) -> float:
        """Seconds from writing a key to the end of the burst of output it causes."""
        begin = time.perf_counter()
        os.write(self.file, text)
        last = begin
        while select.select([self.file], [], [], 0.08)[0]:
            os.read(self.file, 65536)
            last = time.perf_counter()
        return last - begin

    def used(self) -> float:
        """Seconds of processor time that all its threads took; 0 where the machine does not tell."""
        told = [path.read_text().split()[0] for path in Path(f"/proc/{self.pid}/task").glob("*/schedstat")]
        return sum(map(int, told)) / 1e9

    def stop(self) -> None:
        """End it."""
        os.kill(self.pid, 9)
        os.waitpid(self.pid, 0)
        os.close(self.file)


Taken = tuple[float, float]
"""Seconds by the clock, and of processor time."""


def timed(command: list[str], environment: dict[str, str]) -> Taken:
    """What a command takes."""
    begin, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, env=environment, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.perf_counter() - begin, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def first_paint(command: list[str], marker: bytes, environment: dict[str, str]) -> Taken:
    """What it takes from start to the marker on the screen."""
    terminal = Terminal(command, environment)
    try:
        return terminal.read_until(marker), terminal.used()
    finally:
        terminal.stop()


def keys(
    command: list[str], ready: bytes, opened: bytes, text: str, environment: dict[str, str], times: int = 1,
    each: list[Taken] | None = None,
) -> Taken:  # fmt: skip
    """Median from a key to the last byte it causes, and the mean processor time of a key.

    Enter opens first what is marked so, if anything. The text is typed so many times, each into an empty line. What
    every key took is added to ``each``.
    """
    terminal = Terminal(command, environment)
    try:
        terminal.read_until(ready)
        terminal.settle()
        if opened:
            os.write(terminal.file, b"\r")
            terminal.read_until(opened, limit=60.0)
            terminal.settle(2.0)
        taken: list[Taken] = []
        for _ in range(times):
            for char in text:
                before = terminal.used()
                clock = terminal.key(char.encode())
                taken.append((clock, terminal.used() - before))
            os.write(terminal.file, b"\x15")  # Ctrl+U
            terminal.settle()
        if each is not None:
            each += taken
        return statistics.median(clock for clock, _ in taken), statistics.mean(worked for _, worked in taken)
    finally:
        terminal.stop()


def compare(name: str, goal: str, rounds: int, ours: Callable[[], Taken], bare: Callable[[], Taken]) -> None:
    """Run both in turns and print medians and their ratios, by the clock and by the processor."""
    pairs = [(ours(), bare()) for _ in range(rounds)]
    mine, theirs = ([statistics.median(pair[who][by] for pair in pairs) for by in (0, 1)] for who in (0, 1))
    print(
        f"{name:<44} {mine[0] * 1000:7.1f} ms   bare {theirs[0] * 1000:7.1f} ms   ratio {mine[0] / theirs[0]:4.2f}"
        f"   by processor {mine[1] * 1000:6.1f} to {theirs[1] * 1000:6.1f}, {mine[1] / theirs[1]:4.2f}   goal {goal}"
    )


def main() -> None:
    """Measure everything."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=11)
    parser.add_argument("--jobs", type=int, default=0, help="measure typing in a shop of so many jobs too")
    rounds, jobs = parser.parse_args().rounds, parser.parse_args().jobs
    with tempfile.TemporaryDirectory() as folder:
        database = Path(folder) / "demo.db"
        environment = {
            **os.environ, "TICKET_DB": str(database), "HOME": folder, "TERM": "xterm-256color",
            "COLORTERM": "truecolor",
        }  # fmt: skip
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        fill = "from pathlib import Path; from ticket.scratch_shop import fill; from ticket.shop.opening import Shop\n"
        fill += f"with Shop.open(Path({str(database)!r})) as shop: fill(shop)"
        subprocess.run([sys.executable, "-c", fill], check=True)
        python = [sys.executable, "-c"]
        compare(
            "ticket --help", "<= 3", rounds,
            lambda: timed([*TICKET, "--help"], environment), lambda: timed([*python, BARE], environment),
        )  # fmt: skip
        compare(
            "ticket list", "<= 3", rounds,
            lambda: timed([*TICKET, "list"], environment), lambda: timed([*python, BARE], environment),
        )  # fmt: skip
        compare(
            "start to first paint", "<= 1.25", rounds,
            lambda: first_paint(TICKET, b"find ", environment),
            lambda: first_paint([*python, EMPTY_APP], b"MARKER", environment),
        )  # fmt: skip
        line = "found: LF inner pad 1.9 mm (min 3.0)"
        compare(
            "key to painted understanding", "<= 1.4", max(rounds // 3, 3),
            lambda: keys(TICKET, b"find ", b"retype", line, environment),
            lambda: keys([*python, BARE_INPUT], b"MARKER", b"", line, environment),
        )  # fmt: skip
        if jobs:
            large = Path(folder) / "large.db"
            many(large, jobs)
            environment["TICKET_DB"] = str(large)
            six = 6  # times the line: two hundred keys and a few
            each: list[Taken] = []
            compare(
                f"the same, 300 entries and {jobs:,} jobs", "<= 1.4", 3,
                lambda: keys(TICKET, b"find ", b"retype", line, environment, six, each),
                lambda: keys([*python, BARE_INPUT], b"MARKER", b"", line, environment, six),
            )  # fmt: skip
            clock, worked = (statistics.quantiles([one[by] for one in each], n=20)[-1] * 1000 for by in (0, 1))
            print(f"  95 of 100 of these {len(each)} keys within {clock:.1f} ms, by processor {worked:.1f}   goal < 16")


if __name__ == "__main__":
    main()
