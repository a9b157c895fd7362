"""Where a sentence stands in a story, and which sentences rest on an entry."""

from collections.abc import Iterator
from dataclasses import replace

from ticket.job.errors import NotFoundError
from ticket.job.values import Ref
from ticket.story.sentence import Lit, Section, Sentence, Story


def places(story: Story) -> Iterator[tuple[str, Sentence]]:
    """Every sentence with its place, ``3.2`` for the second sentence of the third section."""
    for i, section in enumerate(story.sections, 1):
        for j, sentence in enumerate(section.sentences, 1):
            yield f"{i}.{j}", sentence


def sentence_at(story: Story, place: str) -> Sentence:
    """The sentence at a place; the story's own words for it, present or before a rewording, name it too.

    Raises:
        NotFoundError: there is none.
    """
    wanted = plain(place)
    for at, sentence in places(story):
        if wanted in (at, plain(sentence.text), plain(sentence.original)):
            return sentence
    raise NotFoundError(
        f"The {story.reader}'s story of ticket {story.ticket.number} has no sentence {place!r}: "
        f"see ticket story {story.ticket.number} --for {story.reader} --numbers."
    )


def plain(text: str) -> str:
    """Text with the spaces that anybody can type in place of those that keep a figure with its unit."""
    return text.replace("\u00a0", " ").replace("\u202f", " ").strip()


def numbered(story: Story) -> Story:
    """The story with its place before each sentence."""
    sections = tuple(
        replace(
            section,
            sentences=tuple(
                replace(sentence, parts=(Lit(f"({i}.{j}) "), *sentence.parts))
                for j, sentence in enumerate(section.sentences, 1)
            ),
        )
        for i, section in enumerate(story.sections, 1)
    )
    return replace(story, sections=sections)


def rests_on(sentence: Sentence, no: int) -> bool:
    """Whether a sentence rests on an entry of its own ticket."""
    return Ref(no) in sentence.sources


def resting(story: Story, no: int) -> Story:
    """The story's sentences that rest on an entry, under their titles; the other way round stands in ``sources``."""
    kept = (
        (section, [(at, one) for at, one in enumerate(section.sentences) if rests_on(one, no)])
        for section in story.sections
    )
    return replace(story, sections=tuple(_section(section, found) for section, found in kept if found))


def _section(section: Section, found: list[tuple[int, Sentence]]) -> Section:
    """A section with some of its sentences; each stands as an item of its own where the section is a list."""
    items = tuple(range(len(found))) if section.items else ()
    return replace(section, sentences=tuple(one for _, one in found), items=items)
