"""A story document read back: each sentence with the entries it names."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from support.faithful.finding import Finding
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.ticket import Ticket
from ticket.readings.pairing import visits_behind

_TICKET, _CAUTION = "ticket", "caution:"
_HEDGING_TITLES = ("open", "it may be", "not proved")


@dataclass(slots=True)
class Told:
    """One sentence of a story.

    Attributes:
        section_no: number of its section.
        place: its number in the section.
        entries: the entries its sources name.
        earlier: the earlier tickets among them, and those with the readings that they take again.
        derived: declared figures as (operation, text).
        problems: what is wrong with the sources themselves.
        form: how the story says that it is told (note, sentence); empty where it does not say.
        unresolved: a source names nothing that is there, so nothing else can be checked.
    """

    section: str
    section_no: int
    place: int
    text: str
    entries: list[Entry] = field(default_factory=list)
    earlier: list[Ticket] = field(default_factory=list)
    derived: list[tuple[str, str]] = field(default_factory=list)
    caution: bool = False
    reworded: bool = False
    problems: list[Finding] = field(default_factory=list)
    unresolved: bool = False
    form: str = ""

    @property
    def hedged_by_title(self) -> bool:
        """The title of its section says that this is not certain."""
        return self.section.casefold() in _HEDGING_TITLES


def read_story(document: dict[str, Any], case: Case) -> Iterator[Told]:
    """The sentences of a story document in order."""
    for number, section in enumerate(document.get("sections", [])):
        for place, sentence in enumerate(section.get("sentences", [])):
            told = Told(str(section.get("title", "")), number, place, str(sentence.get("text", "")))
            told.form = str(sentence.get("form", ""))
            told.derived = [_derived(one) for one in sentence.get("derived", [])]
            _reworded(told, sentence.get("reworded"))
            sources = sentence.get("sources", [])
            for source in sources:
                _source(told, source, case)
            if not sources:
                told.unresolved = True
                told.problems.append(Finding("F1", "The sentence names no source.", 0, len(told.text)))
            yield told


def _derived(one: Any) -> tuple[str, str]:
    return (str(one.get("op", "")), str(one.get("text", ""))) if isinstance(one, dict) else ("forecast", str(one))


def _reworded(told: Told, mark: Any) -> None:
    """A rewording shows who wrote it and when (F27)."""
    told.reworded = bool(mark)
    if mark and not (isinstance(mark, dict) and mark.get("by") and mark.get("at")):
        told.problems.append(Finding("F27", "It is not shown who reworded this, and when.", 0, len(told.text)))
    if isinstance(mark, dict) and mark.get("stale"):
        told.problems.append(
            Finding("F27", "A source changed since this was reworded.", 0, len(told.text), advice=True)
        )


def _source(told: Told, source: Any, case: Case) -> None:
    name = str(source)
    if name == _TICKET:
        return
    if name.startswith(_CAUTION):
        told.caution = True
        return
    ticket_no, _, no = name.rpartition("/")
    ticket: Ticket | None = case.ticket
    if ticket_no and ticket_no != str(case.ticket.number):
        ticket = next((one for one in case.earlier if str(one.number) == ticket_no), None)
        if ticket is not None and ticket not in told.earlier:
            told.earlier.append(ticket)
    entry = ticket.entry(int(no)) if ticket is not None and no.isdecimal() and len(no) < 10 else None
    if entry is None:
        told.unresolved = True
        told.problems.append(Finding("F1", f"The source {name} is not there.", 0, len(told.text)))
        return
    told.entries.append(entry)
    behind = visits_behind(ticket or case.ticket, entry, case.earlier)
    told.earlier += [one for one in behind if one is not case.ticket and one not in told.earlier]
