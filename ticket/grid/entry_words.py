"""What is known of one entry beside its row: told where the row is pointed at, and below it in a plain text."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from ticket.faults.code_meaning import meaning
from ticket.faults.table import with_own
from ticket.grid.cells import Cells
from ticket.grid.columns import Columns
from ticket.grid.computed import misfit_words
from ticket.grid.entries import flags_of
from ticket.grid.measured_rows import against_words
from ticket.grid.sight import Sight
from ticket.grid.signs import AMENDED, WAITS, WORDS
from ticket.grid.worded import numbers, worded_cells
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import Code, Did, Fact, Found, Offer, Photo, Proof, Told
from ticket.job.picture import name_of
from ticket.job.wall import local_time
from ticket.notes.pen import Pen
from ticket.notes.runs import write_run
from ticket.readings.measured_groups import groups
from ticket.readings.pairing import judge_entry, side_by_side, taken_last
from ticket.readings.reservoir_balance_line import balance_of
from ticket.story.facts.pictures import pairs

_SAID = {WAITS: "waits for an answer", AMENDED: "amended later"}
"""Signs that say more of one entry than in the list of signs; what amends says so in words of its own."""


def entry_words(sight: Sight, entry: Entry, grid: Columns) -> str:
    """Everything about an entry that its row has no room for, the most telling first."""
    return "; ".join((*beside_words(sight, entry, grid), f"{entry.person} {local_time(entry.at)}"))


def beside_words(sight: Sight, entry: Entry, grid: Columns) -> tuple[str, ...]:
    """The same without who wrote it and when."""
    return tuple(text for text in _words(sight, entry, grid) if text)


def _words(sight: Sight, entry: Entry, grid: Columns) -> Iterator[str]:
    fact, case = entry.fact, sight.case
    if type(fact) in _OF_KIND:
        yield from _OF_KIND[type(fact)](sight, entry, fact, grid)
    if grid.against is None and not isinstance(fact, Found | Proof):
        for row in worded_cells(sight, entry):
            yield " ".join(row.against)
    first = worded_cells(sight, entry)[0] if isinstance(fact, Offer) else Cells()
    for sign in flags_of(sight, entry, first):
        if not fact.inside:
            yield _SAID.get(sign, WORDS[sign]) if sign != AMENDED or entry.no in sight.replaced else ""
    yield f"replaces {entry.replaces}" if entry.replaces else ""
    yield f"added after signing: {entry.reason}" if entry.reason else ""
    yield _concern(case, entry)


def _concern(case: Case, entry: Entry) -> str:
    """The concern of an entry, where a ticket has several of them and it belongs to one."""
    several = len({letter for other in case.ticket.living for letter in other.concerns}) > 1
    return f"concern {entry.concern}" if several and entry.concern else ""


def _code(sight: Sight, _entry: Entry, fact: Code, _grid: Columns) -> Iterator[str]:
    yield meaning_words(fact, sight.case)


def _measured(sight: Sight, entry: Entry, fact: Found | Proof, grid: Columns) -> Iterator[str]:
    yield from _held_against(sight, entry, fact, grid)
    yield from _taken_again(sight, entry)
    if isinstance(fact, Found) and (balance := balance_of(fact)) is not None:
        yield misfit_words(balance)


def _photo(sight: Sight, entry: Entry, fact: Photo, _grid: Columns) -> Iterator[str]:
    pair = next((row for row in pairs(sight.case.ticket.living) if entry in row), ())
    yield from (f"{getattr(one.fact, 'stage', '')}: [{one.no}]" for one in pair if one is not entry)
    yield f"picture {name_of(fact.picture)}"


def _offer(_sight: Sight, _entry: Entry, fact: Offer, _grid: Columns) -> Iterator[str]:
    yield f"{fact.hours} h" if fact.hours else ""
    yield f"parts {fact.parts}" if fact.parts else ""
    yield numbers("for", fact.refs)


def _did(_sight: Sight, _entry: Entry, fact: Did, _grid: Columns) -> Iterator[str]:
    yield f"by {fact.by}" if fact.by else ""
    yield f"rate {fact.rate}" if fact.rate else ""
    yield "; ".join(f"{span.start} to {span.end}" for span in fact.clock if span.start != span.end)


def _told(_sight: Sight, _entry: Entry, fact: Told, _grid: Columns) -> Iterator[str]:
    yield f"taken by {fact.by}" if fact.by else ""


_OF_KIND: Mapping[type[Fact], Callable[[Sight, Entry, Any, Columns], Iterator[str]]] = {
    Code: _code, Found: _measured, Proof: _measured, Photo: _photo, Offer: _offer, Did: _did, Told: _told,
}  # fmt: skip
"""A kind that stands here tells more than its row; no other place of this file asks for the kinds."""


def _held_against(sight: Sight, entry: Entry, fact: Found | Proof, grid: Columns) -> Iterator[str]:
    for held in groups(fact):
        limits = held.run.limits
        if limits is not None and (grid.against is None or limits.source):
            words = ["limits " + ", ".join(against_words(limits))] if grid.against is None else []
            yield ", ".join([*words, f"per {limits.source}"] if limits.source else words)
    for verdict in judge_entry(sight.case.ticket, entry, sight.case.earlier):
        if verdict.word == "undecided":
            yield verdict.reason


def _taken_again(sight: Sight, entry: Entry) -> Iterator[str]:
    """The same readings as they were taken last."""
    for ref, run in side_by_side(taken_last(sight.case.ticket, entry)):
        yield f"after the work {write_run(replace(run, limits=None), Pen())} [{ref.no}]"


def meaning_words(fact: Code, case: Case) -> str:
    """What a code and its sub-code stand for, in a technician's words; empty where the tables do not know."""
    known = meaning(fact.code, fact.sub, with_own(case.codes))
    words = known.trade or known.words
    if known.what and known.failure:
        words = f"{known.what} {known.failure}"
    return "; ".join(part for part in (words, known.sub_trade or known.sub_words) if part)
