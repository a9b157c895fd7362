"""Cautions that the work calls for: general sentences, the gravest first, each with the entry that called for it."""

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from ticket.job.entry import Entry
from ticket.job.text import fold
from ticket.job.values import Ref
from ticket.story.context import Job

MOST = 3
_TEXTS = ("text", "what", "seen", "risk", "watch", "unit")


@dataclass(frozen=True, slots=True)
class Caution:
    """A row of ``cautions.tsv``."""

    id: str
    kinds: tuple[str, ...]
    needs: tuple[tuple[tuple[re.Pattern[str], bool], ...], ...]
    customer: str
    technician: str
    source: str
    standing: str


@cache
def cautions() -> tuple[Caution, ...]:
    """All cautions, in the order of the file."""
    text = Path(__file__).with_name("cautions.tsv").read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")][1:]
    return tuple(_row(*line.split("\t")) for line in lines)


def _row(name: str, kinds: str, needs: str, *texts: str) -> Caution:
    groups = tuple(tuple(_need(word.strip()) for word in group.split("+")) for group in needs.split(";"))
    return Caution(name, tuple(kind.strip() for kind in kinds.split(",")), groups, *texts)


def _need(word: str) -> tuple[re.Pattern[str], bool]:
    """The beginning of a word, and whether it must occur or must not."""
    return re.compile(rf"\b{re.escape(word.removeprefix('!'))}"), not word.startswith("!")


def called_for(job: Job) -> list[tuple[Caution, Ref]]:
    """The cautions this job calls for with the first entry that does, at most three, the gravest first."""
    found: list[tuple[Caution, Ref]] = []
    for caution in cautions():
        calling = [entry for kind in caution.kinds for entry in job.entries if entry.kind == kind]
        entry = next((entry for entry in calling if _calls(caution, entry)), None)
        if entry is not None:
            found.append((caution, Ref(entry.no)))
    return found[:MOST]


def _calls(caution: Caution, entry: Entry) -> bool:
    text = fold(" ".join(part for name in _TEXTS if isinstance(part := getattr(entry.fact, name, ""), str)))
    return any(all((word.search(text) is not None) is wanted for word, wanted in group) for group in caution.needs)
