"""Random searches over a large shop: none fails, none changes anything; how long they take.

    python benchmarks/random_queries.py big.db [--queries 10000] [--seed 3]

Words, codes, pieces and names are drawn from the shop's own jobs, fields and marks at random, now and then broken as a
hand breaks them; a text that is no search must be one remark with its place. Times are those of the processor.
"""

import argparse
import statistics
import time
from collections import Counter
from dataclasses import replace
from pathlib import Path
from random import Random

from ticket.past.query import FIELDS, QueryFault, parse_query
from ticket.shop.code_history import here
from ticket.shop.opening import Shop
from ticket.store.driver import connect

_MARKS = ('"', "-", ":", "*", "(", ")", "^", "'", ";", "--", " or ", " OR ", "%", "_", "\\", "é", "NEAR", "AND")
_VALUES = {
    "since": ("2021", "2022-05", "2023-02-11", "soon"), "until": ("2024", "2025-01", "9999"),
    "distance": ("80000..120000", ">50000", "<=9,000km", "5ly"), "total": (">500", "100..300", "<20"),
    "status": ("signed", "open", "gone"), "pays": ("customer", "warranty", "contract"),
    "over": ("yes", "no"), "declined": ("yes", "no"), "overruled": ("yes", "no", "x"),
    "comeback": ("yes", "no", "90d", "7"),
}  # fmt: skip


def drawn_from(path: Path, draw: Random) -> dict[str, list[str]]:
    """What some random jobs of a shop hold, by the field that asks for it."""
    db = connect(path)
    (most,) = db.execute("SELECT max(ticket_id) FROM job").fetchone()
    found: dict[str, list[str]] = {name: [] for name in ("word", "code", "part", "vin", "plate", "tech", "vehicle")}
    asks = {
        "word": "SELECT text FROM job_cause WHERE ticket_id >= ? AND text <> '' LIMIT 1",
        "code": "SELECT code || CASE sub WHEN '' THEN '' ELSE '-' || sub END FROM entry_code WHERE ticket_id >= ?"
        " LIMIT 1",
        "part": "SELECT part FROM entry_part WHERE ticket_id >= ? LIMIT 1",
        "vin": "SELECT vin FROM job WHERE ticket_id >= ? AND vin <> '' LIMIT 1",
        "plate": "SELECT plate FROM job WHERE ticket_id >= ? AND plate <> '' LIMIT 1",
        "tech": "SELECT name FROM job_tech WHERE ticket_id >= ? LIMIT 1",
        "vehicle": "SELECT label FROM job WHERE ticket_id >= ? LIMIT 1",
    }
    (least,) = db.execute("SELECT min(ticket_id) FROM job").fetchone()
    for name, sql in asks.items():
        for _ in range(200):
            row = db.execute(sql, [draw.randint(least, most)]).fetchone()
            if row and row[0]:
                found[name] += row[0].split() if name in ("word", "vehicle") else [row[0]]
    db.close()
    return found


def query_of(draw: Random, known: dict[str, list[str]]) -> str:
    """One random search."""
    words = [_term(draw, known) for _ in range(draw.choice((1, 1, 2, 2, 3, 4)))]
    text = draw.choice((" ", " ", " or ")).join(words)
    if draw.random() < 0.15:
        at = draw.randrange(len(text) + 1)
        text = text[:at] + draw.choice(_MARKS) + text[at + draw.randrange(2) :]
    return text


def _term(draw: Random, known: dict[str, list[str]]) -> str:
    field = draw.choice((*FIELDS, "word", "word", "code", "code", "code"))
    if field in _VALUES:
        value = draw.choice(_VALUES[field])
    else:
        value = draw.choice(known.get(field) or known["word"] or ["lamp"])
        value = value[: draw.randint(1, len(value))] if draw.random() < 0.4 else value
    lead = draw.choice(("", "", "", "-"))
    quoted = f'"{value}"' if " " in value or draw.random() < 0.1 else value
    return f"{lead}{quoted}" if field in ("word", "code") else f"{lead}{field}:{quoted}"


def main() -> None:
    """Ask and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("path", type=Path)
    parser.add_argument("--queries", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=3)
    given = parser.parse_args()
    draw = Random(given.seed)
    known = drawn_from(given.path, draw)
    times: list[tuple[float, str]] = []
    told: Counter[str] = Counter()
    with Shop.open(given.path, "K. Orlo", create=False) as shop:
        _ = shop.kept
        head = shop.store.proofs.head()
        for _ in range(given.queries):
            text = query_of(draw, known)
            begun = time.process_time()
            try:
                found = shop.store.find(replace(parse_query(text, here(shop, text)), counted=True))
                told["found" if found.total else "none"] += 1
            except QueryFault:
                told["remark"] += 1
            times.append((1000 * (time.process_time() - begun), text))
        if shop.store.proofs.head() != head:
            raise SystemExit("A search wrote something.")
    times.sort()
    print(
        f"{given.queries:,} searches: {told['found']:,} found jobs, {told['none']:,} none, {told['remark']:,} remarks"
    )
    print(f"p50 {statistics.median(t for t, _ in times):.2f} ms, p99 {times[int(len(times) * 0.99)][0]:.1f} ms")
    for took, text in times[-10:]:
        print(f"{took:8.1f} ms  {text}")


if __name__ == "__main__":
    main()
