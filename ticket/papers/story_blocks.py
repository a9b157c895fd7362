"""A story as blocks of a paper."""

from itertools import pairwise

from ticket.papers.labels import Labels, labels
from ticket.papers.sheet import Block, Heading, Items, Paragraph, Said
from ticket.story.sentence import Section, Sentence, Story

LONGEST_PARAGRAPH = 8  # sentences


def story_blocks(story: Story, language: str = "en") -> tuple[Block, ...]:
    """The sections of a story in order: a heading each, then paragraphs and lists; notes in a language."""
    label = labels(language)
    return tuple(block for section in story.sections for block in _section(section, label))


def _said(sentence: Sentence, label: Labels) -> Said:
    note = label("reworded", name=sentence.reworded.by) if sentence.reworded else ""
    return Said(sentence.text, tuple(str(source) for source in sentence.sources), note)


def _section(section: Section, label: Labels) -> list[Block]:
    sentences = tuple(_said(sentence, label) for sentence in section.sentences)
    start = section.items[0] if section.items else len(sentences)
    ends = [*section.items, len(sentences)]
    out: list[Block] = [Heading(section.title, section.level), *_paragraphs(sentences[:start])]
    if section.items:
        out.append(Items(tuple(sentences[a:b] for a, b in pairwise(ends))))
    return out


def _paragraphs(sentences: tuple[Said, ...]) -> list[Paragraph]:
    """Paragraphs of like length, none longer than the longest that reads well."""
    count = -(-len(sentences) // LONGEST_PARAGRAPH)
    size = -(-len(sentences) // count) if count else 1
    return [Paragraph(sentences[i : i + size]) for i in range(0, len(sentences), size)]
