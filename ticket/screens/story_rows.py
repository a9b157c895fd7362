"""A story as rows. Pure: the story in, rows out."""

from ticket.screens.rows import Row, Span, cut, row, wrap
from ticket.story.sentence import Story


def story_rows(story: Story, width: int, *, sources: bool = True) -> list[Row]:
    """A story at a width in cells, each sentence with the numbers of the entries it rests on."""
    rows: list[Row] = []
    for section in story.sections:
        if rows:
            rows.append(Row())
        rows.append(row(cut(section.title, width), "title"))
        spans: list[Span] = []
        for sentence in section.sentences:
            if spans:
                spans.append(Span(" "))
            spans.append(Span(sentence.text))
            if sources:
                spans.append(Span(f" [{', '.join(str(source) for source in sentence.sources)}]", "quiet"))
        rows += wrap(spans, width)
    return rows or wrap([Span("Nothing is told yet: the story grows with the entries.", "quiet")], width)
