"""Somebody who knows nothing but F1 types three jobs into an empty shop in a real terminal: how many keys are dead.

``PYTHONPATH=tests python benchmarks/stranger.py [--sizes 80x24 120x40 60x20]``. A key is dead where the screen shows
the same before and after it. Nothing is asserted; what is printed is a count a job and every dead key with the screen
it was pressed on. Needs tmux.
"""

import argparse
import sys
import tempfile
import time
from pathlib import Path

from support.screen import Tmux
from support.screens_desk import flat

Step = tuple[str, ...]
_PATIENCE = 2.5
"""Seconds in which a key may show that it did something, on a busy machine."""

START: tuple[Step, ...] = (
    ("see", "There is no shop here yet"), ("press", "f1"), ("see", "Keys here"), ("press", "escape"),
    ("type", "Halm Lane Garage"), ("press", "enter"), ("type", "Mo"), ("press", "enter"), ("press", "space"),
    ("press", "ctrl+s"), ("see", "There is no ticket"),
)  # fmt: skip
FAN: tuple[Step, ...] = (
    ("press", "ctrl+n"), ("see", "New ticket"), ("type", "KDE 4471"), ("press", "enter"), ("type", "Oslen Trave 2.4"),
    ("press", "enter"), ("press", "enter"), ("type", "187k"), ("press", "enter"), ("type", "Ada Fenn"),
    ("press", "enter"), ("type", "555-0134"), *[("press", "enter")] * 3, ("type", "tomorrow 16:00"),
    ("press", "ctrl+s"), ("see", "nothing agreed"), ("press", "f1"), ("see", "words of a line"), ("press", "escape"),
    ("line", "says: fan roars on hills"), ("line", "P1A30-7B stored"),
    ("line", "reservoir level -14 mm (-3 to 0)"), ("line", "cause: shaft seal passes; from 3"),
    ("line", "offer: replace shaft seal; for 3; est 228.40"), ("press", "alt+c"), ("see", "read aloud"),
    ("press", "y"), ("see", "yes 5"), ("press", "enter"), ("see", "228.40"),
    ("line", "did: 1.2 h replace shaft seal; for 5"), ("line", "used: 1 x SK-0412 shaft seal, new @ 31.80"),
    ("line", "proof: 3 now -1 mm"), ("line", "proof: codes read again, none stored"), ("press", "ctrl+g"),
    ("press", "ctrl+t"), ("see", "In short"), ("press", "escape"), ("press", "f12"),
    ("see", "Sign ticket"), ("press", "f12"), ("see", "is signed"), ("press", "escape"), ("see", "find"),
)  # fmt: skip
BRAKES: tuple[Step, ...] = (
    ("press", "ctrl+n"), ("see", "New ticket"), ("type", "LMV 208"), ("press", "enter"), ("type", "Belter Finch 1.4"),
    *[("press", "down")] * 5, ("type", "91,400 km"), ("press", "right"), ("press", "ctrl+s"), ("see", "LMV 208"),
    ("line", "says: brakes squeal"), ("line", "pads LF 7 RF 2 mm (min 3)"), ("type", "later: replace front pds"),
    ("press", "ctrl+z"), ("type", "pads; do soon; because RF is at 2 mm; in 2 weeks; est 180"), ("press", "enter"),
    ("press", "ctrl+l"), ("see", "vehicle and customer"), ("press", "down"), ("press", "down"), ("press", "escape"),
    ("press", "up"), ("press", "alt+x"), ("press", "alt+x"), ("press", "ctrl+z"), ("press", "ctrl+y"),
    ("press", "escape"), ("press", "escape"), ("see", "find"), ("press", "alt+d"), ("see", "what waits"),
    ("press", "alt+u"), ("press", "alt+s"), ("press", "alt+n"), ("see", "come back on"), ("type", "in 3 weeks"),
    ("press", "ctrl+s"), ("see", "what waits"), ("press", "escape"), ("see", "find"),
)  # fmt: skip
AMENDED: tuple[Step, ...] = (
    ("press", "alt+s"), ("press", "alt+i"), ("press", "escape"), ("type", "signed"), ("see", "KDE 4471"),
    ("press", "enter"), ("see", "signed"), ("press", "alt+a"), ("see", "amendment"), ("type", "3"), ("press", "enter"),
    ("type", "reservoir level -13 mm (-3 to 0)"), ("press", "enter"), ("type", "misread"), ("press", "ctrl+s"),
    ("see", "low by 10"), ("press", "escape"), ("see", "find"), ("press", "ctrl+f"), ("see", "came back"),
    ("type", "P1A30"), ("press", "enter"), ("see", "Read only"), ("press", "escape"), ("press", "escape"),
    ("press", "escape"), ("see", "Jobs"), ("press", "ctrl+p"), ("see", "All actions"), ("type", "sett"),
    ("press", "enter"),
    ("see", "Settings"), ("press", "escape"), ("press", "ctrl+s"), ("press", "ctrl+q"),
)  # fmt: skip
JOBS = {"start": START, "fan": FAN, "brakes": BRAKES, "amended": AMENDED}


def changed(terminal: Tmux, before: str) -> bool:
    """Whether the screen shows anything else before long."""
    end = time.monotonic() + _PATIENCE
    while time.monotonic() < end:
        try:
            if terminal.text() != before:
                return True
        except OSError:
            return True  # the program is left
        time.sleep(0.03)
    return False


def play(size: tuple[int, int], folder: Path) -> None:
    """All jobs at one size."""
    command = [sys.executable, "-m", "ticket", "--db", str(folder / "shop.db")]
    homes = {name: str(folder) for name in ("HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME")}
    terminal = Tmux(command, folder, size=size, environ={**homes, "USER": "bay", "LOGNAME": "bay"})
    try:
        for name, steps in JOBS.items():
            keys, dead = 0, []
            for what, text in steps:
                if what == "see":
                    terminal.until(text, 30.0)
                    continue
                before = terminal.text()
                if what == "press":
                    keys += 1
                    terminal.press(text)
                else:
                    keys += len(text) + (what == "line")
                    terminal.type(text)
                    if what == "line":
                        changed(terminal, before)
                        before = terminal.text()
                        terminal.press("enter")
                if not changed(terminal, before):
                    dead.append((text, flat(before)[:60]))
            print(f"{size[0]}x{size[1]}  {name:<8} {keys:>4} keys, {len(dead)} dead")
            for text, where in dead:
                print(f"    {text!r} on: {where}")
    finally:
        terminal.close()


def main() -> None:
    """Play at every size."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", nargs="*", default=["80x24", "120x40", "60x20"])
    for size in parser.parse_args().sizes:
        wide, high = map(int, size.split("x"))
        with tempfile.TemporaryDirectory() as folder:
            play((wide, high), Path(folder))


if __name__ == "__main__":
    main()
