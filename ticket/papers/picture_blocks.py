"""The pictures of a ticket on a paper, before and after beside each other."""

from collections.abc import Iterator, Sequence

from ticket.job.entry import Entry
from ticket.job.kinds import Photo
from ticket.job.picture import name_of
from ticket.papers.copy_contents import CopyContents
from ticket.papers.sheet import Block, Heading, Items, Pictures, Said, Shown
from ticket.papers.story_blocks import story_blocks
from ticket.story.facts.pictures import pairs


def story_and_pictures(contents: CopyContents) -> tuple[Block, ...]:
    """The story, and behind it the pictures it tells of; one that is not at hand stands there as a line."""
    entries = [entry for entry in contents.entries if isinstance(entry.fact, Photo)]
    if not entries:
        return story_blocks(contents.story, contents.language)
    rows = [tuple(_shown(contents, entry) for entry in row) for row in pairs(entries)]
    return (
        *story_blocks(contents.story, contents.language, without=(Photo.kind,)),
        Heading(contents.label("pictures")),
        *_held_and_lost(rows),
    )


def _held_and_lost(rows: Sequence[tuple[Shown, ...]]) -> Iterator[Block]:
    """The pictures that are at hand, and a line for each that is not."""
    held = tuple(row for row in (tuple(one for one in row if one.content) for row in rows) if row)
    lost = tuple((one.line,) for row in rows for one in row if not one.content)
    if held:
        yield Pictures(held)
    if lost:
        yield Items(lost)


def _shown(contents: CopyContents, entry: Entry) -> Shown:
    fact, label = entry.fact, contents.label
    assert isinstance(fact, Photo)  # noqa: S101 - pairs hold pictures alone
    name = label("picture", name=name_of(fact.picture))
    sources = (str(entry.no), *map(str, fact.refs))
    head = label(f"picture.{fact.stage}") if fact.stage else ""
    caption = Said(fact.text or name, sources, label=head)
    line = Said(f"{fact.text} ({name})" if fact.text else name, sources, label=head)
    return Shown(fact.picture, contents.pictures.get(fact.picture, b""), caption, line)
