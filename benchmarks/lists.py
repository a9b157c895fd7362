"""Long lists: does scrolling, filtering and searching ever make a person wait?

``python benchmarks/lists.py [--open 10000] [--past 100000] [--keep FILE]`` fills a scratch shop with copies of the demo
jobs, opens the screens without a terminal and presses keys. Printed are medians and worst cases in milliseconds;
nothing is asserted: a loaded machine must not fail a test.
"""

import argparse
import asyncio
import gc
import os
import statistics
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from ticket.scratch_shop import fill
from ticket.screens.app import GARBAGE, TicketApp
from ticket.screens.jobs_screen import JobsScreen
from ticket.screens.long_page import LongPage
from ticket.screens.prompt import Prompt
from ticket.shop.indexer import index_rows
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of
from ticket.store import index
from ticket.store.driver import sqlite3

_SIDES = ("entry_code", "entry_part", "entry_reading", "entry_ref")
_PLATE = "COALESCE(json_extract(header, '$.vehicle.plate'), '') || ' ' || :copy"


def copies(path: Path, of: list[int], first: int, many: int, status: str) -> None:
    """Copy tickets straight into the tables, each onto a plate of its own; the journal knows nothing of them."""
    with Shop.open(path) as shop:
        tickets = {number: ticket_of(shop, number) for number in of}
        words = {no: index.word_row(one, index.entry_rows(one, index_rows)) for no, one in tickets.items()}
    connection = sqlite3.connect(path, isolation_level=None)
    for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    ids = dict(connection.execute("SELECT number, id FROM ticket").fetchall())
    columns = {
        table: [
            row[1] for row in connection.execute(f"PRAGMA table_info({table})") if row[1] not in ("id", "ticket_id")
        ]
        for table in ("ticket", "entry", *_SIDES)
    }
    connection.execute("PRAGMA synchronous=OFF")
    connection.execute("BEGIN")
    top = connection.execute("SELECT max(id) FROM ticket").fetchone()[0]
    marks = ", ".join("?" * (len(index.WORD_COLUMNS) + 1))
    for copy in range(many):
        source, made = of[copy % len(of)], top + 1 + copy
        changed = {"number": ":number", "header": f"json_set(header, '$.vehicle.plate', {_PLATE})"}
        if status != "signed":
            changed |= {"status": ":status", "seal": "''", "closed": "NULL", "signed_by": "NULL"}
        picked = ", ".join(changed.get(name, name) for name in columns["ticket"])
        connection.execute(
            f"INSERT INTO ticket(id, {', '.join(columns['ticket'])}) SELECT :id, {picked} FROM ticket WHERE id = :of",
            {"id": made, "of": ids[source], "number": first + copy, "status": status, "copy": copy},
        )
        for table in ("entry", *_SIDES):
            names = ", ".join(columns[table])
            connection.execute(
                f"INSERT INTO {table}(ticket_id, {names}) SELECT ?, {names} FROM {table} WHERE ticket_id = ?",
                [made, ids[source]],
            )
    for copy in reversed(range(many)):  # newest first: the index writes rising rowids fast
        row = [index.SHIFT - (top + 1 + copy), *words[of[copy % len(of)]].texts]
        connection.execute(f"INSERT INTO ticket_fts(rowid, {', '.join(index.WORD_COLUMNS)}) VALUES({marks})", row)
    connection.execute("COMMIT")
    connection.close()


@contextmanager
def stalls(found: list[tuple[float, float]]) -> Iterator[None]:
    """Collect how long nothing on the screen could move, in milliseconds.

    Two figures each: by the wall, which a loaded machine makes worse, and the work of the screen's own thread.
    """

    async def beat() -> None:
        while True:
            begin, worked = time.perf_counter(), time.thread_time()
            await asyncio.sleep(0.001)
            found.append(((time.perf_counter() - begin) * 1000 - 1, (time.thread_time() - worked) * 1000))

    task = asyncio.ensure_future(beat())
    try:
        yield
    finally:
        task.cancel()


def told(name: str, found: list[tuple[float, float]]) -> None:
    """One line of figures."""
    for what, place in (("by the wall", 0), ("own work", 1)):
        ordered = sorted(times[place] for times in found) or [0.0]
        worst, late = ordered[-1], ordered[int(len(ordered) * 0.99)]
        middle = statistics.median(ordered)
        print(f"{name:<44} {what:<12} median {middle:6.1f}   99 % {late:6.1f}   worst {worst:6.1f} ms")
        name = ""


async def scroll(name: str, pilot: Pilot[int], keys: list[str]) -> None:
    """Press keys as fast as they are taken; what is told is the pause between two looks of the screen."""
    found: list[tuple[float, float]] = []
    with stalls(found):
        for key in keys:
            pilot.app.post_message(_key(key))
            await asyncio.sleep(0.012)
            while not all(pump._message_queue.empty() for pump in (pilot.app, pilot.app.screen)):
                await asyncio.sleep(0.001)  # a slow machine gets its keys one by one too
        await asyncio.sleep(0.1)
    told(name, found)


def _key(key: str) -> Any:
    from textual.events import Key

    return Key(key, key if len(key) == 1 else None)


async def opening(path: Path) -> None:
    """How long from pushing the list to its first rows on the screen, with everything imported; five times."""
    found: list[tuple[float, float]] = []
    app = TicketApp(path, partial(Shop.open, path))
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause(1.0)
        for _ in range(5):
            begin, worked = time.perf_counter(), time.thread_time()
            screen = JobsScreen(path, "K. Orlo")
            await app.push_screen(screen)
            while not screen.query("#page") or not screen.query_one("#page", LongPage).seen():
                await asyncio.sleep(0.001)
            found.append(((time.perf_counter() - begin) * 1000, (time.thread_time() - worked) * 1000))
            app.pop_screen()
            await pilot.pause(0.5)
        app.close_shop()
    told("open tickets: the list is opened", found)


async def measure(path: Path) -> None:
    """Everything, on one filled shop."""
    app = TicketApp(path, partial(Shop.open, path))
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause(2.0)
        print(f"{len(app.screen.query_one('#page', LongPage).keys)} open tickets in the list")
        await scroll("open tickets: 200 times down", pilot, ["down"] * 200)
        await scroll("open tickets: 200 screenfuls down", pilot, ["pagedown"] * 200)
        await scroll("open tickets: narrowing, 12 keys", pilot, list("alder p0562-"))
        await scroll("open tickets: widening, 12 keys", pilot, ["backspace"] * 12)
        await pilot.press("ctrl+f")
        await pilot.pause(1.5)
        for text in ("P0562-16", "belt", "replace", "hose leaks since:2026"):
            app.screen.query_one(Prompt).value = ""
            await pilot.pause(1.0)
            found: list[tuple[float, float]] = []
            with stalls(found):
                for char in text:
                    pilot.app.post_message(_key(char))
                    await asyncio.sleep(0.03)
                typed = time.perf_counter()
                while app.screen._answered != text and time.perf_counter() - typed < 10:  # type: ignore[attr-defined]
                    await asyncio.sleep(0.005)
            told(f"past jobs: typing {text!r}", found)
            total = app.screen.results.total  # type: ignore[attr-defined]
            answer = (time.perf_counter() - typed) * 1000
            print(f"{'':<44} answer {answer:6.1f} ms after the last key, {total} jobs")
        await scroll("past jobs: 200 times down", pilot, ["down"] * 200)
        app.close_shop()


def main() -> None:
    """Fill, then measure."""
    gc.set_threshold(*GARBAGE)  # as the program sets it when it is started
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--open", type=int, default=10_000)
    parser.add_argument("--past", type=int, default=100_000)
    parser.add_argument("--keep", type=Path, help="keep the filled shop in this file and use it again")
    options = parser.parse_args()
    os.environ.setdefault("TICKET_NOW", "2026-11-25T09:00:00+00:00")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_STATE_HOME"] = folder
        path = options.keep or Path(folder) / "shop.db"
        if not path.exists():
            begin = time.perf_counter()
            with Shop.open(path) as shop:
                fill(shop)
                numbers = shop.store.numbers()
            copies(path, [number for number in numbers if number < 1020], 100_000, options.past, "signed")
            copies(path, [number for number in numbers if number >= 1020], 500_000, options.open, "open")
            print(f"filled in {time.perf_counter() - begin:.0f} s")
        asyncio.run(opening(path))
        asyncio.run(measure(path))


if __name__ == "__main__":
    main()
