"""A person at a terminal, key by key: every key is written down with whether the screen showed anything else after it.

``PYTHONPATH=tests python benchmarks/newcomer.py FOLDER start [80x24]`` starts the program in an empty shop of its own;
then ``press KEY ...`` (``enter``, ``ctrl+s``, ``alt+c``, ``f1``), ``type TEXT`` and ``show`` print the screen,
``count`` tells keys and dead keys with the screen each dead one was pressed on, ``end`` closes it. Needs tmux.

A key is dead where the screen is the same before and after it: characters, colours and caret. ``keys.jsonl`` in the
folder holds one line a key.
"""

import argparse
import json
import sys
import time
from pathlib import Path
from typing import Any

from support.screen import Tmux

_PATIENCE = 2.5
"""Seconds in which a key may show that it did something, on a busy machine."""
_STILL = 0.25
"""Seconds in which nothing more may come before a screen is looked at."""
_HAND = 0.05
"""Seconds that a quick hand takes to the next key."""


class Watched:
    """A terminal whose keys are counted.

    Attributes:
        keys: pressed so far.
        dead: those that changed nothing, with the screen each was pressed on.
    """

    def __init__(self, terminal: Tmux, log: Path | None = None) -> None:
        self.terminal = terminal
        self.keys = 0
        self.dead: list[tuple[str, str]] = []
        self._log = log

    def press(self, *keys: str) -> None:
        """Press keys, each when the one before has been drawn."""
        for key in keys:
            self._one(key, typed=False)

    def type(self, text: str) -> None:
        """Type characters one by one."""
        for letter in text:
            self._one(letter, typed=True)

    def _one(self, key: str, *, typed: bool) -> None:
        before = self.terminal.drawn()
        (self.terminal.type if typed else self.terminal.press)(key)
        self.keys += 1
        alive = self._changed(before)
        time.sleep(_HAND)
        shown = "" if alive else self.terminal.text()
        if not alive:
            self.dead.append((key, shown))
        if self._log is not None:
            with self._log.open("a", encoding="utf-8") as file:
                file.write(json.dumps({"key": key, "typed": typed, "dead": not alive, "on": shown}) + "\n")

    def _changed(self, before: str) -> bool:
        end = time.monotonic() + _PATIENCE
        while time.monotonic() < end:
            try:
                if self.terminal.drawn() != before:
                    return True
            except OSError:
                return True  # the program is left
            time.sleep(0.01)
        return False

    def settled(self) -> str:
        """The screen once nothing moves on it any more."""
        shown, since = self.terminal.text(), time.monotonic()
        while time.monotonic() - since < _STILL:
            time.sleep(0.05)
            now = self.terminal.text()
            if now != shown:
                shown, since = now, time.monotonic()
        return shown


def start(folder: Path, size: tuple[int, int]) -> Tmux:
    """The program as it is started for the first time on a machine, at home in a folder."""
    homes = {name: str(folder) for name in ("HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME")}
    command = [sys.executable, "-m", "ticket", "--db", str(folder / "shop.db")]
    return Tmux(command, folder, size=size, environ={**homes, "USER": "bay", "LOGNAME": "bay"})


def told(log: Path) -> str:
    """Keys and dead keys of a log, with the line each dead one was pressed on."""
    rows: list[dict[str, Any]] = []
    if log.exists():
        rows = [json.loads(line) for line in log.read_text(encoding="utf-8").splitlines()]
    dead = [row for row in rows if row["dead"]]
    lines = [f"{len(rows)} keys, {sum(not row['typed'] for row in rows)} of them not letters, {len(dead)} dead"]
    for row in dead:
        head = next((line.strip() for line in row["on"].splitlines() if line.strip()), "")
        lines.append(f"  {row['key']!r} on: {head}")
    return "\n".join(lines)


def main() -> None:
    """Do one thing with the terminal in a folder."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("what", choices=("start", "press", "type", "show", "count", "end"))
    parser.add_argument("words", nargs="*")
    options = parser.parse_args()
    folder, log = options.folder.resolve(), options.folder.resolve() / "keys.jsonl"
    if options.what == "count":
        print(told(log))
        return
    if options.what == "start":
        folder.mkdir(parents=True, exist_ok=True)
        wide, high = map(int, (options.words or ["80x24"])[0].split("x"))
        terminal = start(folder, (wide, high))
        terminal.until("F1 help", 30.0)
    else:
        terminal = Tmux.there_already(folder)
    if options.what == "end":
        terminal.close()
        return
    watched = Watched(terminal, log)
    if options.what == "press":
        watched.press(*options.words)
    elif options.what == "type":
        watched.type(" ".join(options.words))
    print(watched.settled())


if __name__ == "__main__":
    main()
