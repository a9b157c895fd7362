"""How the judge answers false and honest wordings of typed lines: refused, not proved, proved.

    PYTHONPATH=tests:tests/story python benchmarks/judge.py false.tsv honest.tsv [--show proved|refused|"not proved"]

A file has a header row with the columns ``typed`` and ``sentence`` (also ``false sentence``, ``honest plain wording``);
`` ¦ `` stands between typed lines, and the sentence is judged with all of them as its sources.
"""

import argparse
import csv
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from story_jobs import case_of, ticket_from

from ticket.job.case import Case
from ticket.job.values import Ref
from ticket.story.build import build
from ticket.story.judge import judge
from ticket.story.sentence import Lit, Sentence, Val

_SENTENCE = ("sentence", "false sentence", "honest plain wording")
_BETWEEN = " ¦ "


def rows(path: Path) -> Iterator[tuple[str, str]]:
    """Typed lines and the sentence told of them."""
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE):
            yield row["typed"], next(row[name] for name in _SENTENCE if row.get(name))


def answer(typed: str, told: str, reader: str = "customer") -> tuple[str, str]:
    """What the judge says of a sentence that rests on all the typed lines, and why."""
    case = case_of(ticket_from("\n".join(typed.split(_BETWEEN))))
    said = judge(case, reader, _of_all(case), told)
    return said.word, "; ".join(f"{one.rule}: {one.reason}" for one in said.findings)


def _of_all(case: Case) -> Sentence:
    """One sentence that stands for all that the story tells of these lines."""
    told = [one for part in build(case).sections for one in part.sentences]
    parts = [part for one in told for part in (*one.parts, Lit(" ")) if isinstance(part, Val) or part.text == " "]
    return Sentence(tuple(parts), tuple(Ref(entry.no) for entry in case.ticket.living))


def main() -> None:
    """Print the counts of each file, and on demand the rows that got one answer."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("--show", default="")
    options = parser.parse_args()
    for path in options.files:
        counts: Counter[str] = Counter()
        for typed, told in rows(path):
            said, why = answer(typed, told)
            counts[said] += 1
            if said == options.show:
                print(f"{typed}\n    {told}\n    {why}")
        print(f"{path.name}: " + ", ".join(f"{counts[name]} {name}" for name in ("refused", "not proved", "proved")))


if __name__ == "__main__":
    main()
