"""How often the entries proposed for a line are those that stand behind it, and how many of those are found.

``python benchmarks/proposals.py [FOLDER] [--half odd|even] [--misses]`` blanks the numbers behind ``from`` and ``for``
of every job, asks what would be proposed for each line with what stood before it, and compares. Jobs are the demo
jobs, or the ``.notes`` files of FOLDER: typed lines, with ``## vehicle:`` and the like as remarks that are skipped.

*Precision* is right numbers of those proposed; a number proposed for a line that had none counts as wrong, and is
shown apart too, as people leave numbers out that would be true. *Recall* is right numbers of those that stood and
could be proposed: entries of the same ticket. A *line* is right where every number proposed for it is. ``--half`` takes
the jobs with odd or even numbers, so that one half can be built with and the other kept for the end.
"""

import argparse
import json
import re
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from ticket.assist.line_settling import propose
from ticket.data import data_folder
from ticket.gaps.ticket_lookup import bad_values
from ticket.job.entry import Draft, Entry
from ticket.job.kinds import Cause, Did, Later, Offer, Ruled, Used
from ticket.job.ticket import Ticket
from ticket.job.ticket_document import from_document
from ticket.notes.write import write
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of

GOAL = 0.95
_KINDS = ("cause", "ruled", "offer", "later", "did", "used")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a job with the numbers that stood behind it and those proposed for it."""

    job: str
    entry: Entry
    stood: frozenset[int]
    proposed: frozenset[int]


def lines(name: str, ticket: Ticket) -> Iterator[Line]:
    """Every line of a ticket that may rest on entries, as it would be typed without their numbers."""
    for at, entry in enumerate(ticket.entries):
        fact = entry.fact
        if entry.struck or entry.amended or not isinstance(fact, Cause | Ruled | Offer | Later | Did | Used):
            continue
        before = replace(ticket, status="open", entries=ticket.entries[:at])
        bare = replace(fact, refs=())
        draft = Draft(bare, concern=entry.concern, shop_only=entry.shop_only, line=write(bare))
        proposed = propose(draft, before, lambda one, so_far=before: bool(bad_values(so_far, one)))  # type: ignore[misc]
        stood = frozenset(ref.no for ref in fact.refs if ref.ticket in (0, ticket.number))
        yield Line(name, entry, stood, frozenset(ref.no for ref in proposed))


def demo_jobs() -> Iterator[tuple[str, Ticket]]:
    """The jobs that travel with the program."""
    for file in sorted(data_folder("demo_jobs").glob("[0-9]*.json")):
        yield file.stem, from_document(json.loads(file.read_text(encoding="utf-8")))


def typed_jobs(folder: Path) -> Iterator[tuple[str, Ticket]]:
    """The jobs of a folder, each typed line by line into a ticket of a scratch shop."""
    with tempfile.TemporaryDirectory() as scratch, Shop.open(Path(scratch) / "shop.db", "K. Orlo") as shop:
        for file in sorted(folder.glob("*.notes")):
            typed = [line for line in file.read_text(encoding="utf-8").splitlines() if line and line[:2] != "##"]
            number = new_ticket(shop)
            add_lines(shop, number, "\n".join(typed))
            yield file.stem, ticket_of(shop, number)


def report(done: list[Line]) -> bool:
    """Print the figures of each kind and of all; whether the goal is met."""
    head = ("kind", "lines", "stood", "proposed", "right", "precision", "recall", "none stood", "lines right")
    print("  ".join(f"{title:>10}" for title in head))
    met = True
    for kind in (*_KINDS, "all"):
        mine = [line for line in done if kind in (line.entry.kind, "all")]
        sums: Counter[str] = Counter()
        for line in mine:
            right = len(line.stood & line.proposed)
            sums += Counter(
                stood=len(line.stood),
                proposed=len(line.proposed),
                right=right,
                bare=0 if line.stood else len(line.proposed),
                asked=bool(line.proposed),
                whole=bool(line.proposed) and right == len(line.proposed),
            )
        precision, recall = _share(sums["right"], sums["proposed"]), _share(sums["right"], sums["stood"])
        figures = (kind, len(mine), sums["stood"], sums["proposed"], sums["right"], precision, recall, sums["bare"])
        print("  ".join(f"{figure:>10}" for figure in (*figures, f"{sums['whole']} of {sums['asked']}")))
        met = sums["right"] >= GOAL * sums["proposed"]
    return met


def _share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.1f} %" if whole else "-"


def main() -> int:
    """Measure, print, and exit with 1 where precision is below the goal."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", type=Path, nargs="?", help="typed jobs, instead of the demo jobs")
    parser.add_argument("--half", choices=("odd", "even"), help="only jobs with such a number")
    parser.add_argument("--misses", action="store_true", help="print each line whose numbers differ")
    chosen = parser.parse_args()
    jobs = typed_jobs(chosen.folder) if chosen.folder else demo_jobs()
    done = [line for name, ticket in jobs if _wanted(name, chosen.half) for line in lines(name, ticket)]
    if chosen.misses:
        for line in (line for line in done if line.stood != line.proposed):
            stood, proposed = sorted(line.stood), sorted(line.proposed)
            wrong = "wrong " if line.proposed - line.stood else "silent"
            print(f"{wrong} {line.job} {line.entry.no}: {write(line.entry.fact)}  stood {stood} proposed {proposed}")
    return int(not report(done))


def _wanted(name: str, half: str | None) -> bool:
    number = re.search(r"\d+", name)
    return half is None or (number is not None and int(number[0]) % 2 == (half == "odd"))


if __name__ == "__main__":
    sys.exit(main())
