"""What the customer reads first: each danger as it was found or typed, the shop's judgement, and what was warned of."""

from ticket.story.context import sources
from ticket.story.facts.dangers_found import Danger, dangers, warned
from ticket.story.sections.agreed import tell_warnings
from ticket.story.sections.found import tell_findings
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import NOTE, SENTENCE


def tell_dangers(talk: Talk, writer: Writer) -> None:
    """Every danger that still holds, then the warnings of the talks."""
    for danger in dangers(talk.job):
        if danger.findings:
            tell_findings(talk, list(danger.findings), writer)
        else:
            _worded(talk, danger, writer)
        if danger.sentence:
            writer.add(sources(*danger.cited), talk.say(danger.sentence))
    for entry, fact in warned(talk.job):
        tell_warnings(talk, entry, fact, writer)


def _worded(talk: Talk, danger: Danger, writer: Writer) -> None:
    """The work that is not done; "2 rear tires: can burst" where its own words name the danger, as typed."""
    entry, own = danger.item, talk.as_typed
    work = talk.todo(entry, "text", getattr(entry.fact, "text", ""))
    if work and not danger.fields:
        writer.add(sources(entry), stop(work), form=SENTENCE)
        return
    named = [
        own.typed(entry, name, getattr(entry.fact, name), "remedy" if name == "text" else name)
        for name in dict.fromkeys(("text", *danger.fields))
    ]
    writer.add(sources(entry), stop(joined(named, ": ")), form=NOTE)
