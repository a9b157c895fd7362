"""How long a story, its gaps and the ticket screen take: the demo jobs, and a ticket of very many entries.

``python benchmarks/story.py [--entries 300] [--rounds 21]`` prints medians in milliseconds of processor time, so that a
busy machine blurs less; nothing is asserted. "First" is a ticket whose words the program has not met since it was
started (its word lists are loaded); "again" is the same ticket once more, as after a key. An Enter is measured on the
screens without a terminal, at 120 columns, where the story stands beside the ticket; each adds another line.
"""

import argparse
import asyncio
import os
import statistics
import tempfile
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from many import line

from ticket.job.case import Case
from ticket.papers.plain_text import as_text
from ticket.scratch_shop import fill
from ticket.screens.app import TicketApp
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of, gaps_of, ticket_of
from ticket.story.build import build
from ticket.story.sentence import READERS


def spent(what: Callable[[], object]) -> float:
    """Milliseconds of processor time of one call."""
    begin = time.process_time()
    what()
    return (time.process_time() - begin) * 1000


def again(what: Callable[[], object], rounds: int) -> float:
    """The median of some calls of the same."""
    return statistics.median(spent(what) for _ in range(rounds))


def told(name: str, first: Sequence[float], later: Sequence[float]) -> None:
    """One line of figures."""
    once = f"first {statistics.median(first):6.2f}" if first else f"{'':12}"
    print(f"{name:<34} {once}   again {statistics.median(later):6.2f}   worst {max(later):6.2f} ms")


def measure(name: str, shop: Shop, numbers: Sequence[int], rounds: int) -> None:
    """Story of each reader, gaps and reading of some tickets."""
    cases: list[Case] = [case_of(shop, number) for number in numbers]
    for reader in READERS:
        tell = [partial(lambda case, reader: as_text(build(case, reader)), case, reader) for case in cases]
        told(f"{name}: story for the {reader}", [spent(one) for one in tell], [again(one, rounds) for one in tell])
    ask = [partial(gaps_of, shop, case) for case in cases]
    told(f"{name}: gaps", [spent(one) for one in ask], [again(one, rounds) for one in ask])
    read = [partial(case_of, shop, number) for number in numbers]
    told(f"{name}: read with its past", [spent(one) for one in read], [again(one, rounds) for one in read])


async def enter(name: str, path: Path, number: int, rounds: int) -> None:
    """What the ticket screen does at Enter: the line is added, all is read again and drawn."""
    app = TicketApp(path, partial(Shop.open, path))
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause(1.0)
        screen = TicketScreen(app.shop, number)
        await app.push_screen(screen)
        await pilot.pause(1.0)
        added, reread = [], []
        for i in range(rounds):
            typed = line(1000 + i)
            added.append(spent(partial(add_lines, app.shop, number, typed)))
            reread.append(spent(screen.reread))
            await pilot.pause(0.05)
        told(f"{name}: a line added", [], added)
        told(f"{name}: read again and drawn", [], reread)
        app.close_shop()


def main() -> None:
    """Fill a scratch shop and measure."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--entries", type=int, default=300)
    parser.add_argument("--rounds", type=int, default=21)
    options = parser.parse_args()
    os.environ.setdefault("TICKET_NOW", "2026-11-25T09:00:00+00:00")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_STATE_HOME"] = folder
        path = Path(folder) / "shop.db"
        with Shop.open(path, "K. Orlo") as shop:
            numbers = fill(shop)
            short = next(number for number in reversed(numbers) if not ticket_of(shop, number).seal)
            long = new_ticket(shop)
            add_lines(shop, long, "\n".join(line(i) for i in range(options.entries)))
            build(case_of(shop, numbers[0]))
            measure(f"{len(numbers)} demo jobs", shop, numbers, options.rounds)
            measure(f"{options.entries} entries", shop, [long], options.rounds)
        asyncio.run(enter("demo job", path, short, options.rounds))
        asyncio.run(enter(f"{options.entries} entries", path, long, options.rounds))


if __name__ == "__main__":
    main()
