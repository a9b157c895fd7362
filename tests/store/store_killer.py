"""Kills writers at random moments and counts what was lost. ``python store_killer.py DATABASE KILLS SEED``.

Two writers at a time add entries and acknowledge each through a pipe, after the store has said it is done. One is
killed with SIGKILL once a random number of bytes was acknowledged, the other a moment later. Then the file must hold
every acknowledged entry, be sound, and prove its journal. Prints one line of JSON.
"""

import json
import os
import random
import signal
import sys
from pathlib import Path
from typing import NoReturn

sys.path.insert(0, str(Path(__file__).parent))

from store_bench import KIM, MO, open_store, plain

from ticket.job.kinds import Found, Note
from ticket.job.ticket import Header
from ticket.store.store import NewEntry


def write_until_killed(path: Path, number: int, out: int, by: str, seed: int) -> NoReturn:
    """Add, edit, undo; acknowledge the number of each added entry in eight bytes."""
    store = open_store(path, seed)
    while True:
        no = store.add(number, [NewEntry(Found(what="hose", seen="x" * 50))], by)[0].no
        os.write(out, no.to_bytes(8, "big"))
        if no % 5 == 0:
            store.edit(number, no, Note(text="a note after all"), by)
            store.undo(number, by)
        if no % 7 == 0:
            store.refresh_words()


def start(path: Path, number: int, by: str, seed: int) -> tuple[int, int]:
    """A writer and the end of its pipe to read from."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        write_until_killed(path, number, writing, by, seed)
    os.close(writing)
    return child, reading


def kill_after(child: int, reading: int, size: int) -> list[int]:
    """Let a writer acknowledge so many bytes, kill it, and give every number it acknowledged."""
    said = b""
    while len(said) < size and (more := os.read(reading, size - len(said))):
        said += more
    os.kill(child, signal.SIGKILL)
    while more := os.read(reading, 65536):
        said += more
    os.waitpid(child, 0)
    os.close(reading)
    return [int.from_bytes(said[i : i + 8], "big") for i in range(0, len(said) - len(said) % 8, 8)]


def main(path: Path, kills: int, seed: int) -> dict[str, int]:
    """The whole experiment; raises where anything acknowledged is missing."""
    rng = random.Random(seed)
    acknowledged = unsaid = 0
    for round_ in range(0, kills, 2):
        with open_store(path, 1000 + round_) as store:
            numbers = [store.open_ticket(Header(), KIM) for _ in range(2)]
        pairs = [
            (number, *start(path, number, by, round_ + i))
            for i, (number, by) in enumerate(zip(numbers, (KIM, MO), strict=True))
        ]
        said = {number: kill_after(child, reading, rng.randrange(400)) for number, child, reading in pairs}
        with open_store(path, 2000 + round_) as store:
            for number, wanted in said.items():
                held = [entry.no for entry in store.ticket(number).entries]
                assert held[: len(wanted)] == wanted, (number, wanted, held)
                assert len(held) - len(wanted) <= 1, "at most the one being written was not yet acknowledged"
                acknowledged += len(wanted)
                unsaid += len(held) - len(wanted)
            audit = store.audit(deep=round_ % 20 == 0)
            assert audit.ok, audit
        with plain(path) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    with open_store(path, 3000) as store:
        audit = store.audit(deep=True)
        assert audit.ok, audit
    return {"kills": kills, "acknowledged": acknowledged, "lost": 0, "unsaid": unsaid, "events": audit.rows}


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))))  # noqa: T201
