"""Kills writers of one shop at random moments, eight at a time, and counts what was lost; also where no room is left.

``python benchmarks/killed.py FOLDER KILLS [--writers 8] [--seed 1] [--room BYTES]``. Each writer adds lines to a
ticket of its own, changes and strikes some, signs one now and then and goes on with the next; it acknowledges each
entry through a pipe once the shop has said it is written. With ``--room`` a file fills FOLDER (take a small file system
of its own) until so many bytes are free, and what is refused for want of room is counted. After every so many kills
all are stopped: every acknowledged entry must be there, the pages sound, the journal whole. Prints one line of JSON;
leaves with 1 where anything is lost or an audit fails.
"""

import argparse
import json
import os
import random
import signal
import sys
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import NoReturn

from ticket.job.errors import TicketError
from ticket.shop.changing import add_lines, edit_entry, new_ticket, sign_ticket, strike_entry
from ticket.shop.opening import Shop
from ticket.shop.reading import audit_shop, ticket_of, unanswered
from ticket.store.driver import sqlite3

_ROUND = 40  # kills between two looks at all of it
_LEAST = 4096


def write(path: Path, person: str, out: int, seed: int) -> NoReturn:
    """Work until killed; acknowledge each entry as its ticket and number, eight bytes each."""
    dice = random.Random(seed)
    shop = Shop.open(path, person)
    number = 0
    while True:
        try:
            number = number or new_ticket(shop)
            (made,) = add_lines(
                shop, number, f"found: pressure {dice.randrange(99)}.5 psi (min 1.0); " + "x" * dice.randrange(90)
            )
            os.write(out, number.to_bytes(8, "big") + made.entry.no.to_bytes(8, "big"))
            if made.entry.no % 5 == 0:
                edit_entry(shop, number, made.entry.no, made.entry.fact)
            if made.entry.no % 7 == 0:
                strike_entry(shop, number, made.entry.no)
            if made.entry.no % 11 == 0:
                sign_ticket(shop, number, overruled={gap.id: "a run" for gap in unanswered(shop, number)})
                number = 0
        except TicketError:
            os.write(out, bytes(16))  # refused, such as for want of room


@dataclass(slots=True)
class Run:
    """One run and what came of it."""

    path: Path
    room: int
    acknowledged: set[tuple[int, int]] = field(default_factory=set)
    refused: int = 0
    kills: int = 0
    failed_audits: int = 0
    lost: int = 0

    def look(self) -> None:
        """Compare the file with all that was acknowledged."""
        filler = self.path.parent / "filler"
        filler.unlink(missing_ok=True)
        connection = sqlite3.connect(self.path)
        sound = connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        connection.close()
        self.failed_audits += not (sound and audit_shop(self.path).ok)
        with Shop.open(self.path, "after") as shop:
            held: dict[int, set[int]] = {}
            for number in {number for number, _ in self.acknowledged}:
                held[number] = {entry.no for entry in ticket_of(shop, number).entries}
        self.lost += sum(no not in held[number] for number, no in self.acknowledged)
        self.acknowledged.clear()
        if self.room:
            fill(filler, self.room)


def fill(filler: Path, room: int) -> None:
    """Leave so many bytes of the file system free."""
    with suppress(OSError), filler.open("wb") as stream:
        while True:
            found = os.statvfs(filler.parent)
            left = found.f_bavail * found.f_frsize - room
            if left < _LEAST:
                return
            stream.write(b"\0" * min(left, 1 << 20))
            stream.flush()


def start(path: Path, person: str, seed: int) -> tuple[int, int]:
    """A writer, and the end of its pipe to read from."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            write(path, person, writing, seed)
        finally:
            os._exit(1)
    os.close(writing)
    return child, reading


def kill(child: int, reading: int) -> bytes:
    """Kill a writer; everything it acknowledged."""
    with suppress(ProcessLookupError):
        os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    said = b""
    while more := os.read(reading, 65536):
        said += more
    os.close(reading)
    return said


def main() -> int:
    """The whole run."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("kills", type=int)
    parser.add_argument("--writers", type=int, default=8)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--room", type=int, default=0)
    options = parser.parse_args()
    dice = random.Random(options.seed)
    os.environ["XDG_DATA_HOME"] = str(options.folder)  # the key that signs is made for this run
    run = Run(options.folder / "shop.db", options.room)
    with Shop.open(run.path, "before") as shop:
        add_lines(shop, new_ticket(shop), "says: horn is silent")
    total = 0
    while run.kills < options.kills:
        count = min(_ROUND, options.kills - run.kills)
        total += _round(run, count, options.writers, dice)
        run.look()
    told = {
        "kills": run.kills, "writers": options.writers, "acknowledged": total, "refused": run.refused,
        "lost": run.lost, "failed_audits": run.failed_audits, "room": options.room,
    }  # fmt: skip
    print(json.dumps(told))
    return 1 if run.lost or run.failed_audits else 0


def _round(run: Run, kills: int, writers: int, dice: random.Random) -> int:
    """So many kills with all writers at work; the entries that were acknowledged."""
    seeds = iter(range(run.kills * 100, run.kills * 100 + 10_000))
    work = [start(run.path, f"writer {i}", next(seeds)) for i in range(writers)]
    for _ in range(kills):
        at = dice.randrange(writers)
        child, reading = work[at]
        said = os.read(reading, 16 * dice.randint(1, 40))  # it has begun: a moment of its work is hit
        _note(run, said + kill(child, reading))
        run.kills += 1
        work[at] = start(run.path, f"writer {at}", next(seeds))
    for child, reading in work:
        _note(run, kill(child, reading))
    return len(run.acknowledged)


def _note(run: Run, said: bytes) -> None:
    for at in range(0, len(said) - len(said) % 16, 16):
        number, no = (int.from_bytes(said[i : i + 8], "big") for i in (at, at + 8))
        if number:
            run.acknowledged.add((number, no))
        else:
            run.refused += 1


if __name__ == "__main__":
    sys.exit(main())
