"""A story as rows. Pure: the story in, rows out."""

from collections.abc import Iterable, Iterator
from itertools import groupby

from ticket.grid.rows import HELD, Row, Span, cut, row, wrap
from ticket.story.sentence import NOTE, Section, Sentence, Story

_BULLET = "- "


def story_rows(story: Story, width: int, *, sources: bool = True) -> list[Row]:
    """A story at a width in cells, each sentence with the numbers of the entries it rests on."""
    rows: list[Row] = []
    for section in story.sections:
        if rows:
            rows.append(Row())
        rows.append(row(cut(section.title, width), "strong"))
        rows += _section(section, width, story.reader, sources=sources)
    return rows or wrap([Span("Nothing is told yet: the story grows with the entries.", "quiet")], width)


def is_item(sentence: Sentence, reader: str) -> bool:
    """Whether a sentence is a list item of its own: what was measured, or a note; the terse copies have none."""
    return bool(sentence.cells or sentence.under) or (sentence.form == NOTE and reader == "customer")


def under_row(under: str, width: int) -> Row:
    """The line in front of what stands under a sub-heading."""
    return row(cut(f"{under}:", width), "quiet")


def _section(section: Section, width: int, reader: str, *, sources: bool) -> Iterator[Row]:
    """Sentences in a paragraph, those listed or noted and those that open an item on lines of their own."""
    starts = frozenset(section.items)
    numbered = list(enumerate(section.sentences))
    for (under, _), held in groupby(numbered, key=lambda one: (one[1].under, is_item(one[1], reader))):
        if under:
            yield under_row(under, width)
        paragraph: list[Sentence] = []
        for i, sentence in held:
            if is_item(sentence, reader):
                yield from wrap(_spans([sentence], sources=sources), width, first=_BULLET, rest="  ")
                continue
            if i in starts and paragraph:
                yield from wrap(_spans(paragraph, sources=sources), width)
                paragraph = []
            paragraph.append(sentence)
        if paragraph:
            yield from wrap(_spans(paragraph, sources=sources), width)


def _spans(sentences: Iterable[Sentence], *, sources: bool) -> list[Span]:
    spans: list[Span] = []
    for sentence in sentences:
        if spans:
            spans.append(Span(" "))
        spans.append(Span(sentence.text))
        if sources:
            spans.append(Span(f" [{f',{HELD}'.join(str(source) for source in sentence.sources)}]", "quiet"))
    return spans
