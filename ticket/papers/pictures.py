"""The pictures of a ticket on a paper, before and after beside each other."""

from ticket.job.entry import Entry
from ticket.job.kinds import Photo
from ticket.job.picture import name_of
from ticket.papers.matter import Matter
from ticket.papers.sheet import Block, Heading, Items, Pictures, Said, Shown
from ticket.papers.story_blocks import story_blocks
from ticket.story.facts.pictures import pairs


def story_and_pictures(matter: Matter) -> tuple[Block, ...]:
    """The story, and behind it the pictures it tells of; one that is not at hand stands there as a line."""
    entries = [entry for entry in matter.entries if isinstance(entry.fact, Photo)]
    if not entries:
        return story_blocks(matter.story, matter.language)
    rows = [tuple(_shown(matter, entry) for entry in row) for row in pairs(entries)]
    held = tuple(row for row in (tuple(one for one in row if one.content) for row in rows) if row)
    lost = tuple((one.line,) for row in rows for one in row if not one.content)
    return (
        *story_blocks(matter.story, matter.language, without=(Photo.kind,)),
        Heading(matter.label("pictures")),
        *((Pictures(held),) if held else ()),
        *((Items(lost),) if lost else ()),
    )


def _shown(matter: Matter, entry: Entry) -> Shown:
    fact, label = entry.fact, matter.label
    assert isinstance(fact, Photo)  # noqa: S101 - pairs hold pictures alone
    name = label("picture", name=name_of(fact.picture))
    sources = (str(entry.no), *map(str, fact.refs))
    head = label(f"picture.{fact.stage}") if fact.stage else ""
    caption = Said(fact.text or name, sources, label=head)
    line = Said(f"{fact.text} ({name})" if fact.text else name, sources, label=head)
    return Shown(fact.picture, matter.pictures.get(fact.picture, b""), caption, line)
