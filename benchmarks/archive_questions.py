"""What an archive of several shops takes for its questions, and whether several engines give the same answers.

    PYTHONPATH=. python benchmarks/archive_questions.py ARCHIVE [ADDRESS ...] [--each 40] [--few 6]

ARCHIVE is a folder as ``ticket gather`` makes it, or as ``grown_archive.py`` does; an ADDRESS is a server that holds
the same (``ticket gather --into``): ``postgresql://...`` or ``spark:FOLDER``, which is asked few questions. Each
question is asked as the program asks it, the opening of the archive with it, in wall time: engines work in threads or
processes of their own. Questions are drawn from random jobs, so a heavy code is asked for as often as it occurs.
"""

import argparse
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from past_jobs import row, timed

from ticket.archive.archive_counts import count_archived
from ticket.archive.archive_search import find
from ticket.archive.engine import opened
from ticket.archive.engines import engine_of
from ticket.archive.search_file import current
from ticket.past.query import Here, parse_query
from ticket.store.seen_jobs import Window

Ask = Callable[[], object]
NOW = 1.79e9  # the same for each engine
QUESTIONS = (
    ("code, newest 50", "{code}"),
    ("code, sub-code and dates", "{code}-{sub} since:2022 until:2024"),
    ("code, two words and dates", "{code}-{sub} {word} {noun} since:2021 until:2025"),
    ("piece of a part number", "part:{part}"),
    ("person and dates", 'tech:"{tech}" since:2023 until:2025'),
)


def drawn(search: Path, each: int) -> list[dict[str, str]]:
    """What random jobs hold."""
    with opened(search) as db:
        rows = db.execute(
            "WITH picked AS (SELECT job FROM jobs WHERE state = 'finished' ORDER BY hash(job) LIMIT ?)"
            " SELECT min(c.code), min(c.sub), min(c.text), min(p.part), min(x.tech) FROM picked"
            " JOIN causes AS c USING (job) JOIN parts AS p USING (job) JOIN techs AS x USING (job)"
            " WHERE c.text <> '' GROUP BY job ORDER BY job",
            [each * 2],
        ).fetchall()
    found = [
        {"code": code.upper(), "sub": sub, "word": text.split()[0], "noun": text.split()[-1], "part": part[:6],
         "tech": tech}
        for code, sub, text, part, tech in rows
    ]  # fmt: skip
    return found[:each]


def heaviest(search: Path) -> tuple[str, str, int]:
    """The commonest code with its sub-code, and how many jobs hold it."""
    with opened(search) as db:
        found = db.execute("SELECT code, sub, count(*) FROM codes GROUP BY 1, 2 ORDER BY 3 DESC, 1, 2").fetchone()
    return found or ("", "", 0)


def named(archive: str) -> str:
    """An archive without the place where it lies."""
    return archive.partition(":")[0] if ":" in archive else Path(archive).name


def what_it_was(archive: str, code: str, sub: str, window: Window, *, fixes: bool = True) -> object:
    """What a code was, in numbers: which jobs they are nobody asks here."""
    found = count_archived(archive, code, sub, window, fixes=fixes)
    tallies = [
        [(one.text, len(one.jobs), len(one.back), one.age, one.followed, one.hours, one.parts) for one in group]
        for group in (found.causes, found.fixes)
    ]
    others = (found.unknown, found.came_back, found.declined, found.still_open)
    return len(found.whole.jobs), found.whole.followed, tallies, [len(one) for one in others]


def touched(archive: str) -> object:
    """What it takes to ask nothing."""
    with engine_of(archive) as engine:
        return engine.ask("SELECT 1", {})


def asked(archive: str, jobs: list[dict[str, str]], heavy: tuple[str, str]) -> list[object]:
    """Ask everything, print what it took, and give the answers."""
    answers: list[object] = []

    def kept(ask: Ask) -> Ask:
        return lambda: answers.append(ask())

    print(f"\n{named(archive)}, {len(jobs)} of each\n{'question':<34} {'p50 ms':>9} {'p99 ms':>9}", flush=True)
    print(row("opened and closed", timed([partial(touched, archive)] * 10, time.perf_counter), []), flush=True)
    for name, pattern in QUESTIONS:
        asks = [kept(partial(find, archive, parse_query(pattern.format(**one), Here()))) for one in jobs]
        print(row(name, timed(asks, time.perf_counter), []), flush=True)
    window = Window(90, NOW)
    asks = [kept(partial(what_it_was, archive, one["code"], one["sub"], window)) for one in jobs[: len(jobs) // 3]]
    print(row("the same with the work, random job", timed(asks, time.perf_counter), []), flush=True)
    asks = [kept(partial(what_it_was, archive, *heavy, window, fixes=False))] * min(len(jobs), 10)
    print(row("what the commonest code was", timed(asks, time.perf_counter), []), flush=True)
    return answers


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("archive")
    parser.add_argument("others", nargs="*")
    parser.add_argument("--each", type=int, default=40)
    parser.add_argument("--few", type=int, default=6, help="questions of each kind for Spark")
    given = parser.parse_args()
    search = current(Path(given.archive))
    code, sub, count = heaviest(search)
    print(f"commonest code {code.upper()}-{sub}: {count:,} jobs")
    for few, addresses in (
        (given.each, [one for one in given.others if not one.startswith("spark:")]),
        (given.few, [one for one in given.others if one.startswith("spark:")]),
    ):
        jobs = drawn(search, few)
        wanted = asked(given.archive, jobs, (code, sub)) if addresses or few == given.each else []
        for address in addresses:
            answers = asked(address, jobs, (code, sub))
            same = sum(one == other for one, other in zip(wanted, answers, strict=True))
            print(f"{same} of {len(wanted)} answers of {named(address)} are the same", flush=True)


if __name__ == "__main__":
    main()
