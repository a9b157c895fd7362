"""What a technician should heed before the work that a ticket calls for; the maker's procedure always comes first."""

from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.story.cautions import Needs, calls, needs_in, words_of
from ticket.story.facts.systems import kind_of, worked_on

STANDING = {"C": "read and compared", "S": "one text", "M": "from memory", "C/S": "read in part"}
"""How sure the words are, by the letter of the file."""


@dataclass(frozen=True, slots=True)
class Precaution:
    """A row of ``precautions.tsv``; ``standing`` is a key of :data:`STANDING`."""

    id: str
    kinds: tuple[str, ...]
    needs: Needs
    system: str
    works: tuple[str, ...]
    words: str
    source: str
    standing: str
    never_on: str


@dataclass(frozen=True, slots=True)
class Called:
    """A precaution and the first entry that calls for it."""

    precaution: Precaution
    entry: Entry


@cache
def precautions() -> tuple[Precaution, ...]:
    """All precautions, in the order of the file."""
    text = Path(__file__).with_name("precautions.tsv").read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")][1:]
    return tuple(_row(*line.split("\t")) for line in lines)


def _row(name: str, kinds: str, needs: str, *rest: str) -> Precaution:
    system, *works = needs.removeprefix("@").split() if needs.startswith("@") else [""]
    words = () if system else needs_in(needs)
    return Precaution(name, tuple(kind.strip() for kind in kinds.split(",")), words, system, tuple(works), *rest)


@lru_cache(maxsize=2048)
def _called_by(kind: str, text: str) -> frozenset[str]:
    """The precautions, by their ids, that the words of an entry of some kind call for."""
    return frozenset(row.id for row in precautions() if kind in row.kinds and _calls(row, text))


def _calls(row: Precaution, text: str) -> bool:
    if row.system:
        return any(system == row.system and work in row.works for work, system in worked_on(text))
    return calls(row.needs, text)


def cautions_for(case: Case) -> tuple[Called, ...]:
    """The precautions that the work of a ticket calls for, the gravest first; none once it is ready or signed."""
    if case.ticket.status in ("ready", "signed"):
        return ()
    found: list[Called] = []
    called = [(entry, _called_by(entry.kind, words_of(entry))) for entry in case.ticket.living]
    vehicle = kind_of(case.ticket.header.vehicle)
    for row in precautions():
        if vehicle and vehicle in row.never_on.split():
            continue
        entry = next((entry for entry, names in called if row.id in names), None)
        if entry is not None:
            found.append(Called(row, entry))
    return tuple(found)
