"""What the sentences of a story rest on, as a list a reader can check them against."""

from collections.abc import Callable, Iterable

from ticket.job.case import Case
from ticket.job.values import Ref
from ticket.notes.write import write_plainly
from ticket.papers.labels import Labels
from ticket.papers.sheet import GroundLine, Grounds
from ticket.story.cautions import cautions
from ticket.story.inside import outward
from ticket.story.sentence import CAUTION, Source, Story


def grounds(story: Story, case: Case, label: Labels, moment: Callable[..., str]) -> Grounds:
    """Every source of a story once: entries in their order, then earlier tickets, then what is no entry.

    Args:
        story: whose sentences are meant.
        case: the ticket with its earlier visits.
        label: the words of the paper.
        moment: how a time is written.
    """
    sources = dict.fromkeys(s for section in story.sections for item in section.sentences for s in item.sources)
    return Grounds(
        label("grounds"), tuple(_ground(source, case, story.reader, label, moment) for source in _ordered(sources))
    )


def _ordered(sources: Iterable[Source]) -> list[Source]:
    sources = list(sources)
    entries = sorted((source for source in sources if isinstance(source, Ref)), key=lambda ref: (ref.ticket, ref.no))
    return [*entries, *(source for source in sources if isinstance(source, str))]


def _ground(source: Source, case: Case, reader: str, label: Labels, moment: Callable[..., str]) -> GroundLine:
    if isinstance(source, str):
        if not source.startswith(CAUTION):
            return GroundLine(source, label("grounds.ticket"), "")
        row = next((row for row in cautions() if row.id == source.removeprefix(CAUTION)), None)
        return GroundLine(source, label("grounds.caution", source=row.source if row else ""), "")
    earlier = {ticket.number: ticket for ticket in case.earlier}
    ticket = earlier.get(source.ticket) if source.ticket else case.ticket
    entry = ticket.entry(source.no) if ticket else None
    if entry is None:
        return GroundLine(str(source), "", "")
    line = write_plainly(outward(entry.fact, reader), concern=entry.concern)
    return GroundLine(str(source), f"{moment(entry.at)}, {entry.person}", line)
