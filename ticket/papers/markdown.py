"""A paper as Markdown; whatever a technician typed prints literally."""

import re
from collections.abc import Iterable, Sequence
from typing import assert_never

from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.papers.plain_text import numbers
from ticket.papers.sheet import (
    Block,
    Facts,
    Grounds,
    Heading,
    Items,
    Lead,
    Measures,
    Notice,
    Paragraph,
    Pictures,
    Said,
    Sheet,
    Signatures,
    Table,
    lines_of,
)  # fmt: skip
from ticket.papers.story_blocks import story_blocks
from ticket.story.sentence import Story

# Everything CommonMark lets a backslash escape that could open markup inside a line, and the pipe of tables.
_SPECIAL = Regex(r"([\\`*_{}\[\]<>#|~&$^])")
# What opens a block at the start of a line: bullets, numbers, headings, rules, quotes.
_OPENS = Regex(r"^(\s*)([-+=]|[0-9]{1,9}[.)])")
_RULE = "\\_" * 30
_LINKS = Regex(r"(?i)\b(https?|ftp|mailto|www)([:.])")


def as_markdown(story: Story, sources: bool = False) -> str:
    """A story alone as CommonMark: a heading for each section, deferred items as a list.

    Args:
        story: what to write.
        sources: put the numbers of the entries behind each sentence.
    """
    return _joined(story_blocks(story), numbered=sources)


def sheet_markdown(sheet: Sheet) -> str:
    """A whole paper as Markdown; tables as GitHub Flavored Markdown has them."""
    title = " · ".join(escaped(text) for text in (sheet.title, sheet.kind) if text)
    top = [escaped(text) for text in sheet.sender]
    head = [*(["\\\n".join(_line(text) for text in top)] if top else []), f"# {title}"]
    return "\n\n".join(head) + "\n\n" + _joined(sheet.blocks, numbered=sheet.numbered)


def escaped(text: str) -> str:
    """Text on one line that Markdown shows as it is: no markup, no HTML, no link made of a bare address."""
    plain = _SPECIAL.sub(r"\\\1", one_line(text))
    return _LINKS.sub(r"\1\\\2", plain)


def _line(escaped_text: str) -> str:
    """Escaped text that may stand at the beginning of a line."""
    return _OPENS.sub(_guarded, escaped_text)


def _guarded(match: re.Match[str]) -> str:
    mark = match.group(2)
    return f"{match.group(1)}{mark[:-1]}\\{mark[-1]}"


def _joined(blocks: Sequence[Block], *, numbered: bool) -> str:
    return "\n\n".join(_block(block, numbered=numbered) for block in blocks) + "\n"


def _facts(pairs: Iterable[tuple[str, str]]) -> str:
    return "\n".join(f"- **{escaped(name)}:** {escaped(value)}" for name, value in pairs)


def _grounds(block: Grounds) -> str:
    rows = (f"- \\[{escaped(one.id)}\\] {escaped(f'{one.about}: {one.text}'.strip(': '))}" for one in block.grounds)
    return "\n\n".join([f"## {escaped(block.title)}", "\n".join(rows)])


def _block(block: Block, *, numbered: bool) -> str:
    match block:
        case Heading(text, level):
            return f"{'#' * (level + 1)} {escaped(text)}"
        case Paragraph(sentences):
            return _line(_running(sentences, numbered=numbered))
        case Lead(text):
            return f"*{escaped(text)}*"
        case Items(items):
            return "\n\n".join(f"- {_line(_item(item, numbered=numbered))}" for item in items)
        case Measures():
            return _measures(block, numbered=numbered)
        case Facts(pairs):
            return _facts(pairs)
        case Table():
            return _table(block)
        case Pictures():
            return _block(block.lines, numbered=numbered)
        case Notice(text):
            return f"> **{escaped(text)}**"
        case Signatures(names):
            return "\n\n".join(f"{_RULE} {escaped(name)}" for name in names)
        case Grounds():
            return _grounds(block)
        case _:
            assert_never(block)


def _running(sentences: Sequence[Said], *, numbered: bool) -> str:
    return " ".join(_sentence(sentence, numbered=numbered) for sentence in sentences)


def _sentence(item: Said, *, numbered: bool) -> str:
    label = f"**{escaped(item.label)}** " if item.label else ""
    behind = f" {escaped(numbers(item))}" if numbered and item.sources else ""
    return f"{label}{escaped(item.text)}{behind}"


def _item(item: tuple[Said, ...], *, numbered: bool) -> str:
    return "\\\n  ".join(_line(_running(line, numbered=numbered)) for line in lines_of(item))


def _measures(block: Measures, *, numbered: bool) -> str:
    """A table of three columns; its head is empty, because the line in front of it says what it is."""
    rows = (
        (row.name, row.value, f"{row.verdict} {numbers(row.said)}".strip() if numbered else row.verdict)
        for row in block.rows
    )
    return "\n".join(["|  |  |  |", "| :--- | :--- | :--- |", *map(_cells, rows)])


def _table(table: Table) -> str:
    count = len(table.columns)
    edges = ("---:" if column.figures else ":---" for column in table.columns)
    rows = [_cells(column.title for column in table.columns), f"| {' | '.join(edges)} |", *map(_cells, table.rows)]
    for total in table.totals:
        name, blank = f"**{escaped(total.name)}**", [""] * (count - len(total.cells) - 1)
        amounts = (f"**{escaped(cell)}**" if total.grand and cell else escaped(cell) for cell in total.cells)
        rows.append(f"| {' | '.join([name, *blank, *amounts])} |")
    return f"**{escaped(table.caption)}**\n\n" + "\n".join(rows)


def _cells(row: Iterable[str]) -> str:
    return f"| {' | '.join(map(escaped, row))} |"
