"""A story as plain text, wrapped, safe to send to a terminal."""

import textwrap
from itertools import pairwise

from ticket.job.text import one_line
from ticket.story.sentence import Section, Sentence, Source, Story

LEAST_WIDTH = 20
LONGEST_PARAGRAPH = 8  # sentences
_INDENT = "  "
_BULLET = "- "


def as_text(story: Story, width: int = 80, sources: bool = False) -> str:
    """The story as plain text.

    Args:
        story: what to write.
        width: longest line; never less than 20.
        sources: put the numbers of the entries behind each sentence.
    """
    width = max(width, LEAST_WIDTH)
    blocks = [block for section in story.sections for block in _section(section, width, sources=sources)]
    return "\n".join(blocks).strip("\n") + "\n"


def numbers(item: Sentence) -> str:
    """The sources of a sentence in brackets: ``[2, 2107/12, caution:wheels-off]``."""
    return f"[{', '.join(_source(source) for source in item.sources)}]"


def _source(source: Source) -> str:
    return str(source)


def shown(item: Sentence, *, sources: bool) -> str:
    """A sentence on one line, every control character a visible mark."""
    text = one_line(item.text)
    return f"{text} {numbers(item)}" if sources else text


def paragraphs(section: Section) -> list[tuple[bool, list[Sentence]]]:
    """The sentences by paragraph of at most eight; true for those that are items of a list."""
    if not section.items:
        count = -(-len(section.sentences) // LONGEST_PARAGRAPH)
        size = -(-len(section.sentences) // count) if count else 1
        return [(False, list(section.sentences[i : i + size])) for i in range(0, len(section.sentences), size)]
    starts = [*section.items, len(section.sentences)]
    out = [(False, list(section.sentences[: starts[0]]))] if starts[0] else []
    out += [(True, list(section.sentences[a:b])) for a, b in pairwise(starts)]
    return out


def _section(section: Section, width: int, *, sources: bool) -> list[str]:
    out = ["", one_line(section.title)]
    for item, sentences in paragraphs(section):
        text = " ".join(shown(sentence, sources=sources) for sentence in sentences)
        first = _INDENT + _BULLET if item else _INDENT
        out += _wrapped(text, width, first, " " * len(first))
    return out


def _wrapped(text: str, width: int, first: str, rest: str) -> list[str]:
    """Lines no longer than the width; a figure stays with its unit, words break only where they are too long."""
    lines = textwrap.wrap(
        text, width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False, break_long_words=True
    )
    return [line.replace("\u00a0", " ") for line in lines]
