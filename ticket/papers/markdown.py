"""A story as Markdown; whatever a technician typed prints literally."""

import re

from ticket.job.text import one_line
from ticket.papers.text import numbers, paragraphs
from ticket.story.sentence import Sentence, Story

# Everything CommonMark lets a backslash escape that could open markup inside a line, and the pipe of tables.
_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~&$^])")
# What opens a block at the start of a line: bullets, numbers, headings, rules, quotes.
_OPENS = re.compile(r"^(\s*)([-+=]|[0-9]{1,9}[.)])")
_LINKS = re.compile(r"(?i)\b(https?|ftp|mailto|www)([:.])")


def as_markdown(story: Story, sources: bool = False) -> str:
    """The story as CommonMark: a heading for each section, deferred items as a list.

    Args:
        story: what to write.
        sources: put the numbers of the entries behind each sentence.
    """
    blocks: list[str] = []
    for section in story.sections:
        blocks.append(f"{'#' * (section.level + 1)} {escaped(section.title)}")
        for item, sentences in paragraphs(section):
            text = " ".join(_shown(sentence, sources=sources) for sentence in sentences)
            blocks.append(f"- {text}" if item else _OPENS.sub(_guarded, text))
    return "\n\n".join(blocks) + "\n"


def _guarded(match: re.Match[str]) -> str:
    mark = match.group(2)
    return f"{match.group(1)}{mark[:-1]}\\{mark[-1]}"


def _shown(item: Sentence, *, sources: bool) -> str:
    text = escaped(item.text)
    return f"{text} {escaped(numbers(item))}" if sources else text


def escaped(text: str) -> str:
    """Text on one line that Markdown shows as it is: no markup, no HTML, no link made of a bare address."""
    plain = _SPECIAL.sub(r"\\\1", one_line(text))
    return _LINKS.sub(r"\1\\\2", plain)
