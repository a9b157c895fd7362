"""Kinds of entry that no section has sentences of its own for: told by their declaration, at the end of each story."""

from ticket.job.kinds import Fact
from ticket.job.values import Ref
from ticket.story.context import told
from ticket.story.sections.lines import Liner, declared_kinds
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import NOTE, Section


def sections(talk: Talk) -> tuple[Section, ...]:
    """A section for each such kind that stands on the ticket, titled by its band."""
    return tuple(section for kind in declared_kinds() for section in _section(talk, kind))


def _section(talk: Talk, kind: type[Fact]) -> tuple[Section, ...]:
    writer = Writer()
    for entry, fact in talk.job.each(kind):
        liner = Liner(talk)
        line, sources = liner.line(entry), (Ref(entry.no), *talk.job.seen(getattr(fact, "refs", ())))
        if entry.shop_only or not (line or liner.left):
            continue  # what is for the shop alone stands among its notes
        if len(talk.job.letters) > 1 and entry.concern and line:
            line = talk.say("head.concern", letter=(told(entry, "concern", entry.concern, "typed"),), text=line)
        if line:
            writer.add(sources, stop(line), form=NOTE)
        if liner.left:
            writer.add(sources, joined(liner.left, " "), form=NOTE)
    name = f"title.{kind.kind}"
    title = talk.title(name) if talk.has(name) else kind.band[:1].upper() + kind.band[1:]
    return writer.as_told(title, kind.kind)
