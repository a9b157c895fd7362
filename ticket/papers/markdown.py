"""A story as Markdown in which typed text prints literally."""

import re

from ticket.job.text import one_line
from ticket.papers.text import sentence_text
from ticket.story.sentence import Story

# Everything CommonMark 0.31 lets a backslash escape and that could begin markup inside a paragraph.
_MARKUP = re.compile(r"([\\`*_\[\]<>#|~&!])")


def as_markdown(story: Story, *, sources: bool = False) -> str:
    """A story as Markdown: a heading and a paragraph a section.

    Args:
        story: what is told.
        sources: put the entries each sentence rests on behind it.
    """
    blocks = []
    for section in story.sections:
        told = " ".join(escaped(sentence_text(sentence, sources=sources)) for sentence in section.sentences)
        blocks.append(f"## {escaped(one_line(section.title))}\n\n{told}")
    return "\n\n".join(blocks) + "\n"


def escaped(text: str) -> str:
    """Text in which no character is markup; a figure with a stop at the start begins no list."""
    return re.sub(r"\A(\d+)([.)])", r"\1\\\2", _MARKUP.sub(r"\\\1", text)).replace("\n", " ")
