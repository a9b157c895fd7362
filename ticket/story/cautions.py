"""Cautions by what is done to which system of which vehicle: general sentences, each with its entry."""

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Later, Says, Used
from ticket.job.text import fold
from ticket.job.values import Ref
from ticket.readings.measured_groups import words_of as prose_of
from ticket.story.context import Job
from ticket.story.facts.concerns import cause_unknown
from ticket.story.facts.systems import kind_of, named, part_of, worked_on

MOST = 3
_STATE = "words: "


Needs = tuple[tuple[tuple[re.Pattern[str], bool], ...], ...]
"""Groups of word beginnings, one of which must fit: each with whether it must occur or must not."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A row of ``cautions.tsv``; its head says what the columns mean."""

    id: str
    work: str
    system: str
    never_on: str
    customer: str
    technician: str
    source: str
    standing: str

    @property
    def lines(self) -> dict[str, tuple[str, ...]]:
        """The kinds of entry that call for it, labour with the kinds of work."""
        return _lines(self.work)

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of entry that call for it, those to cite first in front."""
        return _kinds(self.work)


@cache
def _lines(work: str) -> dict[str, tuple[str, ...]]:
    return {head: tuple(rest) for head, *rest in (piece.split() for piece in work.split(";"))}


@cache
def _kinds(work: str) -> tuple[str, ...]:
    return tuple(kind for head, rest in _lines(work).items() for kind in (rest if head == "named" else (head,)))


@cache
def cautions() -> tuple[Caution, ...]:
    """All cautions, in the order of the file."""
    text = Path(__file__).with_name("cautions.tsv").read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")][1:]
    return tuple(Caution(*line.split("\t")) for line in lines)


def called_for(job: Job) -> list[tuple[Caution, Ref]]:
    """The cautions this job calls for with the first entry that does, at most three, the gravest first."""
    vehicle = kind_of(job.ticket.header.vehicle)
    found: list[tuple[Caution, Ref]] = []
    for caution in cautions():
        if not (vehicle and vehicle in caution.never_on.split()):
            kinds = caution.kinds
            calling = [entry for entry in job.entries if entry.kind in kinds and _calls(job, caution, entry)]
            entry = min(calling, key=lambda entry: kinds.index(entry.kind), default=None)
            if entry is not None:
                found.append((caution, Ref(entry.no)))
    return found[:MOST]


def _calls(job: Job, caution: Caution, entry: Entry) -> bool:
    fact, lines = entry.fact, caution.lines
    if isinstance(fact, Did) and "did" in lines:
        kinds = lines["did"]
        return any(
            system == caution.system and (kind in kinds or "*" in kinds) for kind, system in worked_on(fact.text)
        )
    if isinstance(fact, Used) and "used" in lines:
        return part_of(fact.text) == caution.system
    if isinstance(fact, Later) and "later" in lines:
        return caution.system in {system for _, system in worked_on(fact.text)}
    if entry.kind not in lines.get("named", ()):
        return False
    if not caution.system.startswith(_STATE):
        return caution.system in named(words_of(entry))
    # a state of the vehicle that the customer told of is over once its cause was put right
    over = isinstance(fact, Says) and not any(cause_unknown(job, letter) for letter in job.letters_of(entry))
    return not over and calls(_state(caution.system), words_of(entry))


@lru_cache(maxsize=16)
def _state(cell: str) -> Needs:
    return needs_in(cell.removeprefix(_STATE).replace(",", ";"))


def needs_in(text: str) -> Needs:
    """The word groups of a cell such as ``fuel+line; fuel+hose+!cap``."""
    return tuple(tuple(_need(word.strip()) for word in group.split("+")) for group in text.split(";"))


def _need(word: str) -> tuple[re.Pattern[str], bool]:
    """The beginning of a word, and whether it must occur or must not."""
    return re.compile(rf"\b{re.escape(word.removeprefix('!'))}"), not word.startswith("!")


def words_of(entry: Entry) -> str:
    """The words of an entry, as :func:`calls` reads them."""
    return fold(prose_of(entry.fact))


def calls(needs: Needs, text: str) -> bool:
    """Whether the words of an entry call for it."""
    return any(all((word.search(text) is not None) is wanted for word, wanted in group) for group in needs)
