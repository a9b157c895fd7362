"""Searches and counts over a shop of invented jobs, against hand-written SQL on the same file, in one run.

    python benchmarks/invented_jobs.py 100000 jobs.jsonl && ticket load --db big.db jobs.jsonl
    python benchmarks/past_jobs.py big.db [--each 100]

Each row: median and 99th percentile of a question in milliseconds, the same of the best SQL known for the same answer,
and the ratio of the medians. The answer is the numbers of the newest fifty jobs and how many there are, up to 1,001;
what is shown of fifty of them has a row of its own, and so has all of them counted.
Questions are drawn from random jobs, so a heavy code is asked for as often as it occurs.
"""

import argparse
import statistics
import time
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from random import Random
from typing import Any

from ticket.past.query import Here, parse_query
from ticket.past.word_forms import forms
from ticket.shop.money import hours
from ticket.shop.opening import Shop
from ticket.shop.past import before, find_jobs, next_for, search, similar_to
from ticket.store.additions import day_id
from ticket.store.driver import Connection, connect
from ticket.store.index import SHIFT

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
            word = code[2].split()[0]
            found.append(
                {"code": code[0], "sub": code[1], "word": word, "forms": " OR ".join(forms(word)), "part": part[0],
                 "tech": tech[0], "name": tech[1], "vin": vin, "number": number}
            )  # fmt: skip
    return found


def rows_of(db: Connection, sql: str, values: list[Any]) -> list[Any]:
    """What hand-written SQL gives."""
    return db.execute(sql, values).fetchall()


DATES = day_id(date(2023, 1, 1)), day_id(date(2026, 1, 1))
BY_HAND = {
    "code": (
        "entry_code AS k JOIN ticket AS t ON t.id = k.ticket_id WHERE k.code = :code COLLATE NOCASE"
        " AND k.sub = :sub COLLATE NOCASE",
        "k.ticket_id DESC",
    ),
    "dates": (
        f"ticket_fts AS f JOIN ticket AS t ON t.id = {SHIFT} - f.rowid WHERE f.ticket_fts MATCH 'codes : ' || :code"
        f" || 'x' || :sub || ' AND (' || :forms || ')' AND f.rowid BETWEEN {SHIFT - DATES[1]} AND {SHIFT - DATES[0]}",
        "f.rowid",
    ),
    "part": (
        "entry_part AS k JOIN ticket AS t ON t.id = k.ticket_id WHERE k.part LIKE '%' || :part || '%'",
        "k.ticket_id DESC",
    ),
    "vin": ("job AS k JOIN ticket AS t ON t.id = k.ticket_id WHERE k.vin = :vin AND k.vin <> ''", "k.ticket_id DESC"),
    "tech": (
        f"job_tech AS k JOIN ticket AS t ON t.id = k.ticket_id WHERE k.tech = :tech AND k.ticket_id >= {DATES[0]}"
        f" AND k.ticket_id < {DATES[1]}",
        "k.ticket_id DESC",
    ),
}  # fmt: skip
"""The best SQL known on the shop's own file: where it looks, and what puts the newest first."""


def by_hand(db: Connection, name: str, job: dict[str, Any]) -> object:
    """The newest fifty and how many there are up to 1,001."""
    source, order = BY_HAND[name]
    given = {key: value for key, value in job.items() if f":{key}" in source}
    page = db.execute(f"SELECT t.number FROM {source} ORDER BY {order} LIMIT 50", given).fetchall()
    return page, db.execute(f"SELECT count(*) FROM (SELECT 1 FROM {source} LIMIT 1001)", given).fetchone()


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

        print(f"{'question':<34} {'p50 ms':>9} {'p99 ms':>9} {'SQL p50':>9} {'SQL p99':>9}")
        questions = [
            ("code with sub-code", "{code}-{sub}", "code"),
            ("code, word and dates", "{code}-{sub} {word} since:2023 until:2025", "dates"),
            ("piece of a part number", "part:{part}", "part"),
            ("a vehicle's number", "vin:{vin}", "vin"),
            ("person and dates", 'tech:"{name}" since:2023 until:2025', "tech"),
            ("two words", "{word} cooler", ""),
        ]
        for name, pattern, hand in questions:
            asks = asked(pattern)
            theirs: list[Ask] = [partial(by_hand, db, hand, one) for one in jobs] if hand else []
            for one in (*asks[:3], *theirs[:3]):
                one()
            print(row(name, timed(asks), timed(theirs)), flush=True)
        asks = [partial(shop.store.find, replace(parse_query(o["code"]), counted=True)) for o in jobs]
        print(row("code, every job counted", timed(asks), []))
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
