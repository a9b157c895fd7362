"""A story as plain text, wrapped to a width."""

import textwrap

from ticket.job.text import one_line
from ticket.story.sentence import Sentence, Story

LEAST_WIDTH = 20  # columns


def as_text(story: Story, *, width: int = 80, sources: bool = False) -> str:
    """A story as lines of text; control characters show as marks.

    Args:
        story: what is told.
        width: columns of a line, at least :data:`LEAST_WIDTH`.
        sources: put the entries each sentence rests on behind it.
    """
    blocks = []
    for section in story.sections:
        told = " ".join(sentence_text(sentence, sources=sources) for sentence in section.sentences)
        blocks.append(f"{one_line(section.title).upper()}\n{fill(told, width)}")
    return "\n\n".join(blocks) + "\n"


def sentence_text(sentence: Sentence, *, sources: bool) -> str:
    """A sentence on one line, with its sources in brackets where they are wanted."""
    text = one_line(sentence.text)
    return f"{text} [{', '.join(str(source) for source in sentence.sources)}]" if sources else text


def fill(text: str, width: int) -> str:
    """Text broken at spaces, never inside a figure and its unit (a no-break space stands there)."""
    lines = textwrap.wrap(text, max(width, LEAST_WIDTH), break_long_words=False, break_on_hyphens=False)
    return "\n".join(lines)
