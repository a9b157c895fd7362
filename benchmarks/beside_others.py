"""Searches of a shop beside what somebody could use instead, over the same jobs in one run: ratios, p50 and p99.

    python benchmarks/invented_jobs.py 100000 jobs.jsonl && ticket load --db big.db jobs.jsonl
    PYTHONPATH=. python benchmarks/beside_others.py big.db jobs.jsonl [-o beside_others.md] [--each 60]

Beside the program's own search stand: the best hand-written SQL known on the same file, for the numbers alone;
ripgrep over the documents as text, which counts lines and knows no dates and no order; DuckDB over sorted Parquet
tables made of the same documents, on one thread. Milliseconds of processor time, those of a process that was started
too, so that other work on the machine counts little. Questions are drawn from random jobs, so a heavy code is asked for
as often as it occurs; every one is asked of all.
"""

import argparse
import os
import resource
import shutil
import subprocess
import tempfile
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from random import Random
from typing import Any

import duckdb
from past_jobs import rows_of, sample, spread

from ticket.past.query import Here, parse_query
from ticket.shop.opening import Shop
from ticket.shop.past import before
from ticket.store.additions import day_id
from ticket.store.driver import Connection, connect

Job = dict[str, Any]
Ask = Callable[[Job], object]
SINCE, UNTIL = date(2023, 1, 1), date(2025, 12, 31)
TABLES = {
    "codes": "SELECT number, opened, e.fact.code AS code, e.fact.sub AS sub FROM e WHERE e.kind = 'code'"
    " ORDER BY code, sub, number",
    "parts": "SELECT number, opened, e.fact.part AS part FROM e WHERE e.kind = 'used' ORDER BY part, number",
    "techs": "SELECT DISTINCT number, opened, coalesce(e.fact.by, e.person) AS tech FROM e"
    " WHERE e.kind IN ('did', 'found', 'proof', 'cause') ORDER BY tech, number",
    "causes": "SELECT c.number, c.code, c.sub, e.e.fact.text AS cause FROM 'codes.parquet' AS c JOIN e USING(number)"
    " WHERE e.e.kind = 'cause' ORDER BY c.code, c.sub, c.number",
    "words": "SELECT DISTINCT word, number FROM (SELECT number, unnest(regexp_split_to_array(lower("
    "coalesce(e.fact.text, '') || ' ' || coalesce(e.fact.what, '')), '[^a-z0-9]+')) AS word FROM e)"
    " WHERE length(word) > 1 ORDER BY word, number",
}


def processor() -> float:
    """Milliseconds of the processor that this process and the ended ones it started took."""
    found = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return 1000 * sum(one.ru_utime + one.ru_stime for one in found)


def timed(ask: Ask | None, jobs: list[Job]) -> list[float]:
    """What each question took; the first few are asked twice."""
    if ask is None:
        return []
    for job in jobs[:2]:
        ask(job)
    times = []
    for job in jobs:
        begun = processor()
        ask(job)
        times.append(processor() - begun)
    return times


def parquet(source: Path, folder: Path) -> duckdb.DuckDBPyConnection:
    """The documents as sorted tables."""
    db = duckdb.connect()
    db.execute("SET threads = 1; SET enable_progress_bar = false")
    os.chdir(folder)
    db.execute(f"CREATE TABLE e AS SELECT number, opened, unnest(entries) AS e FROM read_json('{source}')")
    for name, sql in TABLES.items():
        db.execute(f"COPY ({sql}) TO '{name}.parquet' (FORMAT parquet, COMPRESSION zstd)")
    db.execute("DROP TABLE e")
    return db


def hand_written(db: Connection) -> dict[str, Ask]:
    """The best SQL known on the shop's own file."""
    low, high = day_id(SINCE), day_id(UNTIL)
    newest = "SELECT t.number FROM {} ORDER BY {}.ticket_id DESC LIMIT 50"
    code = newest.format(
        "entry_code AS c JOIN ticket AS t ON t.id = c.ticket_id WHERE c.code = ? COLLATE NOCASE"
        " AND c.sub = ? COLLATE NOCASE{}", "c",
    )  # fmt: skip
    word = (
        "SELECT t.number FROM ticket_fts AS f JOIN ticket AS t ON t.id = 1099511627776 - f.rowid"
        " WHERE ticket_fts MATCH ?"
        f" AND f.rowid BETWEEN 1099511627776 - {high} AND 1099511627776 - {low} ORDER BY f.rowid LIMIT 50"
    )
    part = newest.format("entry_part AS p JOIN ticket AS t ON t.id = p.ticket_id WHERE p.part LIKE ?", "p")
    tech = newest.format(
        "job_tech AS x JOIN ticket AS t ON t.id = x.ticket_id WHERE x.tech = ?"
        f" AND x.ticket_id BETWEEN {low} AND {high}", "x",
    )  # fmt: skip
    cause = (
        "SELECT cause, count(*), sum(back_days <= 90) FROM job_cause WHERE code = ? AND sub = ? AND state = 'finished'"
        " GROUP BY cause ORDER BY 2 DESC"
    )
    return {
        "code": lambda job: rows_of(db, code.format(""), [job["code"], job["sub"]]),
        "dates": lambda job: rows_of(db, word, [f'codes : "{job["code"]}x{job["sub"]}" AND "{job["word"]}"']),
        "part": lambda job: rows_of(db, part, [f"%{job['part'][:6]}%"]),
        "tech": lambda job: rows_of(db, tech, [job["tech"]]),
        "before": lambda job: rows_of(db, cause, [job["code"], job["sub"]]),
    }


def by_duckdb(db: duckdb.DuckDBPyConnection) -> dict[str, Ask]:
    """The same over Parquet."""
    span = f"CAST(opened AS DATE) BETWEEN '{SINCE}' AND '{UNTIL}'"

    def asked(sql: str, *names: str) -> Ask:
        return lambda job: db.execute(sql, [job[name] for name in names]).fetchall()

    newest = " ORDER BY number DESC LIMIT 50"
    return {
        "code": asked(f"SELECT number FROM 'codes.parquet' WHERE code = ? AND sub = ?{newest}", "code", "sub"),
        "dates": asked(
            f"SELECT number FROM 'codes.parquet' WHERE code = ? AND sub = ? AND {span} AND number IN"
            f" (SELECT number FROM 'words.parquet' WHERE word = lower(?)){newest}", "code", "sub", "word",
        ),
        "part": asked(f"SELECT number FROM 'parts.parquet' WHERE contains(part, substr(?, 1, 6)){newest}", "part"),
        "tech": asked(f"SELECT number FROM 'techs.parquet' WHERE tech = ? AND {span}{newest}", "name"),
        "before": asked(
            "SELECT cause, count(*) FROM 'causes.parquet' WHERE code = ? AND sub = ? GROUP BY 1 ORDER BY 2 DESC",
            "code", "sub",
        ),
    }  # fmt: skip


def by_ripgrep(source: Path) -> dict[str, Ask]:
    """Lines of the documents; nothing where it is not installed."""
    found = shutil.which("rg")
    if found is None:
        return {}

    def asked(pattern: str) -> Ask:
        return lambda job: subprocess.run(
            [found, "--threads", "1", "--count", "--regexp", pattern.format(**job | {"piece": job["part"][:6]}),
             str(source)], capture_output=True, check=False,
        )  # fmt: skip

    code = '"code":"{code}","sub":"{sub}"'
    return {
        "code": asked(code), "dates": asked(code + ".*{word}"), "part": asked('"part":"[^"]*{piece}'),
        "tech": asked('"(by|person)":"{name}"'), "before": asked(code + '.*"kind":"cause"'),
    }  # fmt: skip


QUESTIONS = {
    "code": "code with sub-code, newest 50",
    "dates": "code, word and three years",
    "part": "six characters of a part number",
    "tech": "person and three years",
    "before": "what a random job's code turned out to be",
}


def table(path: Path, source: Path, folder: Path, each: int) -> list[str]:
    """The rows of the table."""
    db = connect(path)
    jobs = sample(db, Random(3), each)
    searches = {
        "code": "{code}-{sub}", "dates": '{code}-{sub} {word} since:2023 until:2025', "part": "part:{piece}",
        "tech": 'tech:"{name}" since:2023 until:2025',
    }  # fmt: skip
    with Shop.open(path, "K. Orlo", create=False) as shop:
        _ = shop.kept
        techs = shop.store.jobs.techs()

        def searched(pattern: str) -> Ask:
            return lambda job: shop.store.find(
                parse_query(pattern.format(**job | {"piece": job["part"][:6]}), Here(techs=techs))
            )

        ours = {name: searched(pattern) for name, pattern in searches.items()}
        ours["before"] = lambda job: before(shop, job["code"], job["sub"])
        others = {
            "SQL": hand_written(db), "DuckDB": by_duckdb(parquet(source, folder)), "ripgrep": by_ripgrep(source)
        }  # fmt: skip
        rows = []
        for name, words in QUESTIONS.items():
            own = spread(timed(ours[name], jobs))
            cells = [f"{own[0]:.2f} / {own[1]:.2f}"]
            for asks in others.values():
                times = timed(asks.get(name), jobs)
                middle, worst = spread(times) if times else (0.0, 0.0)
                cells.append(f"{middle:.2f} / {worst:.2f} (x{middle / max(own[0], 0.01):.1f})" if times else "-")
            rows.append(f"| {words} | {' | '.join(cells)} |")
            print(rows[-1], flush=True)
    db.close()
    return rows


def main() -> None:
    """Print the table and keep it."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("path", type=Path)
    parser.add_argument("source", type=Path)
    parser.add_argument("-o", "--output", type=Path, default=Path(__file__).parent / "beside_others.md")
    parser.add_argument("--each", type=int, default=60)
    given = parser.parse_args()
    output = given.output.resolve()
    with tempfile.TemporaryDirectory() as folder:
        rows = table(given.path.resolve(), given.source.resolve(), Path(folder), given.each)
    load = ", ".join(f"{one:.1f}" for one in os.getloadavg())
    head = [
        "# Searches beside others", "",
        "Written by `python benchmarks/beside_others.py`. Milliseconds of processor time, p50 / p99; in brackets"
        " how many times the program's own median.", "",
        f"- Day: {datetime.now(UTC):%Y-%m-%d %H:%M} UTC; load of the machine at the end: {load}",
        f"- Jobs: {sum(1 for _ in given.source.open('rb')):,}; questions of each kind: {given.each}", "",
        f"| question | this program | {' | '.join(('hand-written SQL', 'DuckDB over Parquet', 'ripgrep'))} |",
        "|---|--:|--:|--:|--:|",
    ]  # fmt: skip
    output.write_text("\n".join([*head, *rows]) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
