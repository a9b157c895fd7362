"""Cautions that the work calls for: general sentences, the gravest first, each with the entry that called for it."""

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

from ticket.job.entry import Entry
from ticket.job.text import fold
from ticket.job.values import Ref
from ticket.readings.groups import text_in
from ticket.story.context import Job

MOST = 3
_TEXTS = ("text", "what", "seen", "risk", "watch", "unit")


Needs = tuple[tuple[tuple[re.Pattern[str], bool], ...], ...]
"""Groups of word beginnings, one of which must fit: each with whether it must occur or must not."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A row of ``cautions.tsv``."""

    id: str
    kinds: tuple[str, ...]
    needs: Needs
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
    return Caution(name, tuple(kind.strip() for kind in kinds.split(",")), needs_in(needs), *texts)


def needs_in(text: str) -> Needs:
    """The word groups of a cell such as ``fuel+line; fuel+hose+!cap``."""
    return tuple(tuple(_need(word.strip()) for word in group.split("+")) for group in text.split(";"))


def _need(word: str) -> tuple[re.Pattern[str], bool]:
    """The beginning of a word, and whether it must occur or must not."""
    return re.compile(rf"\b{re.escape(word.removeprefix('!'))}"), not word.startswith("!")


def called_for(job: Job) -> list[tuple[Caution, Ref]]:
    """The cautions this job calls for with the first entry that does, at most three, the gravest first."""
    found: list[tuple[Caution, Ref]] = []
    called = [(entry, _called_by(entry.kind, words_of(entry))) for entry in job.entries]
    calling = [(entry, names) for entry, names in called if names]
    for caution in cautions():
        fitting = (
            entry for kind in caution.kinds for entry, names in calling if caution.id in names and entry.kind == kind
        )
        entry = next(fitting, None)
        if entry is not None:
            found.append((caution, Ref(entry.no)))
    return found[:MOST]


@lru_cache(maxsize=2048)
def _called_by(kind: str, text: str) -> frozenset[str]:
    """The cautions, by their ids, that the words of an entry of some kind call for."""
    return frozenset(row.id for row in cautions() if kind in row.kinds and calls(row.needs, text))


def words_of(entry: Entry) -> str:
    """The words of an entry, as :func:`calls` reads them."""
    return fold(" ".join(part for name in _TEXTS if (part := text_in(entry.fact, name))))


def calls(needs: Needs, text: str) -> bool:
    """Whether the words of an entry call for it."""
    return any(all((word.search(text) is not None) is wanted for word, wanted in group) for group in needs)
