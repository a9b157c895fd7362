"""Searches and counts over a shop of invented jobs, against hand-written SQL on the same file, in one run.

    python benchmarks/invented_jobs.py 100000 jobs.jsonl && ticket load --db big.db jobs.jsonl
    python benchmarks/past_jobs.py big.db [--each 100]

Each row: median and 99th percentile of a question in milliseconds, the same of the best SQL known for it, and the
ratio of the medians; only the numbers of the jobs are asked for, what is shown of fifty of them has a row of its own.
Questions are drawn from random jobs, so a heavy code is asked for as often as it occurs.
"""

import argparse
import statistics
import time
from collections.abc import Callable, Iterable
from datetime import date
from functools import partial
from pathlib import Path
from random import Random
from typing import Any

from ticket.past.query import Here, parse_query
from ticket.shop.money import hours
from ticket.shop.opening import Shop
from ticket.shop.past import before, find_jobs, next_for, search, similar_to
from ticket.store.driver import Connection, connect

Ask = Callable[[], object]


def spread(times: list[float]) -> tuple[float, float]:
    """Median and 99th percentile."""
    ordered = sorted(times)
    return statistics.median(ordered), ordered[min(len(ordered) - 1, int(len(ordered) * 0.99))]


def timed(asks: Iterable[Ask], clock: Callable[[], float] = time.process_time) -> list[float]:
    """Milliseconds of each: of processor time, where no other clock is named."""
    times = []
    for ask in asks:
        begun = clock()
        ask()
        times.append(1000 * (clock() - begun))
    return times


def row(name: str, ours: list[float], theirs: list[float]) -> str:
    """A row of the table."""
    middle, worst = spread(ours)
    text = f"{name:<34} {middle:9.2f} {worst:9.2f}"
    if theirs:
        middle_of, worst_of = spread(theirs)
        text += f" {middle_of:9.2f} {worst_of:9.2f}   x{middle / max(middle_of, 0.001):.1f}"
    return text


def sample(db: Connection, draw: Random, each: int) -> list[dict[str, Any]]:
    """What random jobs hold."""
    (count,) = db.execute("SELECT count(*) FROM job").fetchone()
    found: list[dict[str, Any]] = []
    while len(found) < each:
        (key,) = db.execute("SELECT ticket_id FROM job LIMIT 1 OFFSET ?", [draw.randrange(count)]).fetchone()
        code = db.execute("SELECT code, sub, text FROM job_cause WHERE ticket_id = ? AND code <> ''", [key]).fetchone()
        part = db.execute("SELECT part FROM entry_part WHERE ticket_id = ?", [key]).fetchone()
        tech = db.execute("SELECT tech, name FROM job_tech WHERE ticket_id = ?", [key]).fetchone()
        vin, number = db.execute(
            "SELECT vin, number FROM job JOIN ticket ON id = ticket_id WHERE ticket_id = ?", [key]
        ).fetchone()
        if code and part and tech and code[2]:
            found.append(
                {"code": code[0], "sub": code[1], "word": code[2].split()[0], "part": part[0], "tech": tech[0],
                 "name": tech[1], "vin": vin, "number": number}
            )  # fmt: skip
    return found


def rows_of(db: Connection, sql: str, values: list[Any]) -> list[Any]:
    """What hand-written SQL gives."""
    return db.execute(sql, values).fetchall()


FIND = "SELECT t.number FROM {} ORDER BY {} DESC LIMIT 50"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("path", type=Path)
    parser.add_argument("--each", type=int, default=100)
    given = parser.parse_args()
    db = connect(given.path)
    draw = Random(3)
    jobs = sample(db, draw, given.each)
    heavy = db.execute(
        "SELECT code, sub FROM job_cause WHERE code <> '' GROUP BY 1, 2 ORDER BY count(*) DESC"
    ).fetchone()
    with Shop.open(given.path, "K. Orlo", create=False) as shop:
        _ = shop.kept
        techs = shop.store.jobs.techs()

        def asked(pattern: str) -> list[Ask]:
            queries = [parse_query(pattern.format(**one), Here(techs=techs)) for one in jobs]
            return [partial(shop.store.find, query) for query in queries]

        def by_hand(source: str, order: str, *names: str) -> list[Ask]:
            sql = FIND.format(source, order)
            return [partial(rows_of, db, sql, [one[name] for name in names]) for one in jobs]

        code = "entry_code c JOIN ticket t ON t.id = c.ticket_id WHERE c.code = ? AND c.sub = ?"
        tech = "job_tech x JOIN ticket t ON t.id = x.ticket_id WHERE x.tech = ? AND x.ticket_id > (20000 << 17)"
        part = "entry_part p JOIN ticket t ON t.id = p.ticket_id WHERE p.part LIKE '%' || substr(?, 1, 8) || '%'"
        print(f"{'question':<34} {'p50 ms':>9} {'p99 ms':>9} {'SQL p50':>9} {'SQL p99':>9}")
        questions = [
            ("code with sub-code", "{code}-{sub}", by_hand(code, "c.ticket_id", "code", "sub")),
            ("code, word and dates", "{code}-{sub} {word} since:2023 until:2025", []),
            ("piece of a part number", "part:{part}", by_hand(part, "p.ticket_id", "part")),
            ("piece of a vehicle's number", "vin:{vin}", []),
            ("person and dates", 'tech:"{name}" since:2024-10', by_hand(tech, "x.ticket_id", "tech")),
            ("two words", "{word} cooler", []),
        ]
        for name, pattern, theirs in questions:
            asks = asked(pattern)
            timed(asks[:3])
            print(row(name, timed(asks), timed(theirs)))
        print(
            row("before, code of a random job", timed([partial(before, shop, o["code"], o["sub"]) for o in jobs]), [])
        )
        print(row("shown: code, 50 jobs", timed([partial(find_jobs, shop, o["code"]) for o in jobs]), []))
        print(row("before, commonest code", timed([partial(before, shop, *heavy)] * 10), []))
        print(row("next, code of a random job", timed([partial(next_for, shop, o["code"]) for o in jobs[:20]]), []))
        print(row("like a ticket", timed([partial(similar_to, shop, o["number"]) for o in jobs[:20]]), []))
        day = date(2024, 3, 31)
        print(row("hours of a quarter", timed([partial(hours, shop, date(2024, 1, 1), day)] * 10), []))
        print(row("typed word, live", timed([partial(search, o["word"], shop) for o in jobs[:10]]), []))
    db.close()


if __name__ == "__main__":
    main()
