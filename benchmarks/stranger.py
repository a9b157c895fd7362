"""Somebody who knows nothing but F1 types three jobs into an empty shop in a real terminal: how many keys are dead.

``PYTHONPATH=tests python benchmarks/stranger.py [--sizes 80x24 120x40 60x20]``. When a key is dead says
``newcomer.py``, which counts a person's keys in the same way. Nothing is asserted; what is printed is a count a job and
every dead key with the screen it was pressed on. Needs tmux.
"""

import argparse
import tempfile
from pathlib import Path

from newcomer import Watched, start

from support.screens_desk import flat

Step = tuple[str, ...]

START: tuple[Step, ...] = (
    ("see", "There is no shop here yet"), ("press", "f1"), ("see", "Keys here"), ("press", "escape"),
    ("type", "Halm Lane Garage"), ("press", "enter"), ("type", "Mo"), ("press", "enter"), ("press", "space"),
    ("press", "ctrl+s"), ("see", "There is no ticket"),
)  # fmt: skip
FAN: tuple[Step, ...] = (
    ("press", "ctrl+n"), ("see", "New ticket"), ("type", "KDE 4471"), ("press", "enter"), ("type", "Oslen Trave 2.4"),
    ("press", "enter"), ("press", "enter"), ("type", "187k"), ("press", "enter"), ("type", "Ada Fenn"),
    ("press", "enter"), ("type", "555-0134"), *[("press", "enter")] * 3, ("type", "tomorrow 16:00"),
    ("press", "ctrl+s"), ("see", "nothing agreed"), ("press", "f1"), ("see", "from beginning to end"),
    ("press", "escape"),
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


def play(size: tuple[int, int], folder: Path) -> None:
    """All jobs at one size."""
    terminal = start(folder, size)
    try:
        for name, steps in JOBS.items():
            watched = Watched(terminal)
            for what, text in steps:
                if what == "see":
                    terminal.until(text, 30.0)
                elif what == "press":
                    watched.press(text)
                else:
                    watched.type(text)
                    watched.press(*["enter"] * (what == "line"))
            print(f"{size[0]}x{size[1]}  {name:<8} {watched.keys:>4} keys, {len(watched.dead)} dead")
            for text, where in watched.dead:
                print(f"    {text!r} on: {flat(where)[:60]}")
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
