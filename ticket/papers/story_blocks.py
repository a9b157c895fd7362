"""A story as blocks of a paper: sentences as paragraphs, what was measured in columns, notes as a list."""

from collections.abc import Collection, Iterator
from itertools import groupby, pairwise

from ticket.language.lexicon import TYPED
from ticket.papers.labels import Labels, labels
from ticket.papers.sheet import Block, Heading, Items, Lead, Measured, Measures, Paragraph, Said
from ticket.story.sentence import LISTED, NOTE, Section, Sentence, Story, text_of

LONGEST_PARAGRAPH = 8  # sentences
CUSTOMER = "customer"


def story_blocks(story: Story, language: str = "en", without: Collection[str] = ()) -> tuple[Block, ...]:
    """The sections of a story in order: a heading each, then paragraphs and lists; notes in a language.

    Args:
        story: what to lay out.
        language: of the labels.
        without: ids of sections that the paper shows another way.
    """
    label = labels(language)
    told = (section for section in story.sections if section.id not in without)
    return tuple(block for section in told for block in _section(section, label, story.reader))


def _said(sentence: Sentence, label: Labels) -> Said:
    note = label("reworded", name=sentence.reworded.by) if sentence.reworded else ""
    text, head = sentence.text, sentence.label
    if head and text.startswith(head) and not sentence.reworded:
        text = text.removeprefix(head).lstrip()
    else:
        head = ""
    other = TYPED if sentence.form == NOTE and label.language != TYPED and not sentence.reworded else ""
    return Said(text, tuple(str(source) for source in sentence.sources), note, head, other)


def _section(section: Section, label: Labels, reader: str) -> Iterator[Block]:
    yield Heading(section.title, section.level)
    start = section.items[0] if section.items else len(section.sentences)
    yield from _plain(section.sentences[:start], label, reader)
    if section.items:
        ends = [*section.items, len(section.sentences)]
        told = [tuple(_said(one, label) for one in section.sentences[a:b]) for a, b in pairwise(ends)]
        yield Items(tuple(told))


def _plain(sentences: tuple[Sentence, ...], label: Labels, reader: str) -> Iterator[Block]:
    """Sentences one after the other in paragraphs; those listed or noted as lists, each under its own line."""
    for (kind, under), held in groupby(sentences, key=lambda one: (_kind(one, reader), one.under)):
        if under:
            yield Lead(f"{under}:")
        if kind == LISTED:
            yield Measures(tuple(_measured(one, label) for one in held))
        elif kind == NOTE:
            yield Items(tuple((_said(one, label),) for one in held))
        else:
            yield from _paragraphs(tuple(_said(one, label) for one in held))


def _kind(sentence: Sentence, reader: str) -> str:
    """How it is laid out; the terse copies are lines one after the other anyway."""
    if sentence.form == NOTE:
        return NOTE if reader == CUSTOMER or sentence.under else ""
    return sentence.form if sentence.cells else ""


def _measured(sentence: Sentence, label: Labels) -> Measured:
    said = _said(sentence, label)
    if sentence.reworded:
        return Measured(said.text, "", "", said)
    name, value, verdict = (text_of(cell) for cell in sentence.cells)
    return Measured(name, value, verdict, said)


def _paragraphs(sentences: tuple[Said, ...]) -> list[Paragraph]:
    """Paragraphs of like length, none longer than the longest that reads well."""
    count = -(-len(sentences) // LONGEST_PARAGRAPH)
    size = -(-len(sentences) // count) if count else 1
    return [Paragraph(sentences[i : i + size]) for i in range(0, len(sentences), size)]
