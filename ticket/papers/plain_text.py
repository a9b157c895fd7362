"""A paper as plain text, wrapped to a width, safe to send to a terminal."""

from collections.abc import Sequence
from itertools import chain
from typing import assert_never

from ticket.job.text import one_line
from ticket.job.width import cells, padded, wrapped
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

LEAST_WIDTH = 20
_INDENT = "  "
_BULLET = "- "
_GAP = "  "
_COLUMNS = 60  # cells from which what was measured stands in columns
_NARROWEST = 12  # cells that the widest column of a table needs; with fewer, each row is a list of its cells


def as_text(story: Story, width: int = 80, sources: bool = False) -> str:
    """A story alone as plain text.

    Args:
        story: what to write.
        width: longest line; never less than 20.
        sources: put the numbers of the entries behind each sentence.
    """
    return _joined(story_blocks(story), width, numbered=sources)


def sheet_text(sheet: Sheet, width: int = 80) -> str:
    """A whole paper as plain text, no line wider than ``width``, never less than 20."""
    width = max(width, LEAST_WIDTH)
    top = [line for text in sheet.sender for line in wrapped(one_line(text), width)]
    title = " · ".join(text for text in (one_line(sheet.title), one_line(sheet.kind)) if text)
    head = [*top, *([""] if top else []), *wrapped(title, width), "=" * min(cells(title), width), ""]
    return "\n".join(head) + _joined(sheet.blocks, width, numbered=sheet.numbered)


def numbers(item: Said) -> str:
    """What a sentence rests on, and whose words it is in: ``[2, 2107/12, caution:wheels-off; in the words of ...]``."""
    return f"[{', '.join(item.sources)}{f'; {item.note}' if item.note else ''}]"


def shown(item: Said, *, numbered: bool) -> str:
    """A sentence on one line, every control character a visible mark."""
    text = one_line(f"{item.label} {item.text}" if item.label else item.text)
    return f"{text} {one_line(numbers(item))}" if numbered and item.sources else text


def _joined(blocks: Sequence[Block], width: int, *, numbered: bool) -> str:
    width = max(width, LEAST_WIDTH)
    lines = [line for block in blocks for line in _block(block, width, numbered=numbered)]
    return "\n".join(lines).strip("\n") + "\n"


def _one_lined(pair: tuple[str, str]) -> tuple[str, str]:
    return one_line(pair[0]), one_line(pair[1])


def _signature(name: str, width: int) -> list[str]:
    return ["", "", "_" * min(width, 44), *wrapped(one_line(name), width)]


def _grounds(block: Grounds, width: int) -> list[str]:
    out = ["", *wrapped(one_line(block.title), width)]
    for ground in block.grounds:
        about = one_line(f"[{ground.id}] {ground.about}".strip())
        out += wrapped(about, width, _INDENT, _INDENT * 2)
        out += wrapped(one_line(ground.text), width, _INDENT * 2, _INDENT * 2) if ground.text else []
    return out


def _block(block: Block, width: int, *, numbered: bool) -> list[str]:
    match block:
        case Heading(text):
            return ["", *wrapped(one_line(text), width)]
        case Paragraph(sentences):
            return wrapped(_running(sentences, numbered=numbered), width, _INDENT, _INDENT)
        case Lead(text):
            return wrapped(one_line(text), width, _INDENT, _INDENT)
        case Pictures():
            return _block(block.lines, width, numbered=numbered)
        case Items(items):
            return list(chain.from_iterable(_item(item, width, numbered=numbered) for item in items))
        case Measures():
            return _measures(block, width, numbered=numbered)
        case Facts(pairs):
            return _facts(list(map(_one_lined, pairs)), width)
        case Table():
            return ["", *wrapped(one_line(block.caption), width), *_table(block, width)]
        case Notice(text):
            return ["", *wrapped(one_line(text), width, "! ", "  ")]
        case Signatures(names):
            return list(chain.from_iterable(_signature(name, width) for name in names))
        case Grounds():
            return _grounds(block, width)
        case _:
            assert_never(block)


def _item(item: tuple[Said, ...], width: int, *, numbered: bool) -> list[str]:
    first, rest = _INDENT + _BULLET, " " * len(_INDENT + _BULLET)
    out: list[str] = []
    for line in lines_of(item):
        out += wrapped(_running(line, numbered=numbered), width, rest if out else first, rest)
    return out


def _measures(block: Measures, width: int, *, numbered: bool) -> list[str]:
    """Names, values and verdicts in columns; each line by itself, as a sentence, where they find no room."""
    rows = [
        (
            one_line(row.name),
            one_line(row.value),
            f"{one_line(row.verdict)}{f' {numbers(row.said)}' if numbered else ''}",
        )
        for row in block.rows
    ]
    sizes = [max(cells(row[i]) for row in rows) for i in range(3)]
    first, rest = _INDENT + _BULLET, " " * len(_INDENT + _BULLET)
    if width < _COLUMNS or sum(sizes) + 2 * len(_GAP) + len(first) > width:
        return [line for row in block.rows for line in wrapped(shown(row.said, numbered=numbered), width, first, rest)]
    return [
        (first + padded(name, sizes[0]) + _GAP + padded(value, sizes[1]) + _GAP + verdict)
        .rstrip()
        .replace("\u00a0", " ")
        for name, value, verdict in rows
    ]


def _running(sentences: Sequence[Said], *, numbered: bool) -> str:
    return " ".join(shown(sentence, numbered=numbered) for sentence in sentences)


def _facts(pairs: Sequence[tuple[str, str]], width: int) -> list[str]:
    """Names in one column and their values in the next; below each other where there is no room for that."""
    longest = max((cells(name) for name, _ in pairs), default=0)
    if longest + len(_GAP) + _NARROWEST > width:
        return [line for name, value in pairs for line in wrapped(f"{name}: {value}", width, "", _INDENT)]
    hang = " " * (longest + len(_GAP))
    return [line for name, value in pairs for line in wrapped(value, width, padded(name, longest) + _GAP, hang)]


def _sizes(heads: Sequence[str], rows: Sequence[Sequence[str]], sums: Sequence[Sequence[str]]) -> list[int]:
    """The widest cell of each column; sums stand in the last ones."""
    sizes = [max(cells(row[i]) for row in (heads, *rows)) for i in range(len(heads))]
    for amounts in sums:
        for i, cell in enumerate(amounts, len(heads) - len(amounts)):
            sizes[i] = max(sizes[i], cells(cell))
    return sizes


def _filled(heads: Sequence[str], row: Sequence[str]) -> list[tuple[str, str]]:
    return [pair for pair in zip(heads, row, strict=True) if pair[1]]


def _table(table: Table, width: int) -> list[str]:
    rows = [tuple(one_line(cell) for cell in row) for row in table.rows]
    heads = tuple(one_line(column.title) for column in table.columns)
    totals = [(one_line(total.name), tuple(map(one_line, total.cells)), total.grand) for total in table.totals]
    sizes = _sizes(heads, rows, [amounts for _, amounts, _ in totals])
    if not _shrunk(sizes, width - len(_GAP) * (len(sizes) - 1)):
        lines = [line for row in rows for line in ("", *_facts(_filled(heads, row), width))]
        return [*lines, "", *_facts([(name, " · ".join(filter(None, amounts))) for name, amounts, _ in totals], width)]
    right = [column.figures for column in table.columns]
    rule = _GAP.join("-" * size for size in sizes)
    out = [*_row(heads, sizes, right), rule]
    for row in rows:
        out += _row(row, sizes, right)
    out += [rule] * bool(totals)
    for i, (name, amounts, grand) in enumerate(totals):
        out += [rule] * (grand and i > 0)
        out += _total(name, amounts, sizes)
    return out


def _shrunk(sizes: list[int], room: int) -> bool:
    """Make columns narrower until all fit, the widest first; false where none of them could be read any more."""
    while (over := sum(sizes) - room) > 0:
        widest = max(range(len(sizes)), key=lambda i: sizes[i])
        others = sorted(sizes)[-2] if len(sizes) > 1 else 0
        sizes[widest] = max(sizes[widest] - over, min(others, sizes[widest] - 1))
        if sizes[widest] < _NARROWEST:
            return False
    return True


def _row(row: Sequence[str], sizes: Sequence[int], right: Sequence[bool]) -> list[str]:
    columns = [wrapped(cell, max(size, 1)) for cell, size in zip(row, sizes, strict=True)]
    height = max(map(len, columns))
    return [
        _GAP.join(
            padded(column[i] if i < len(column) else "", size, right=at_right)
            for column, size, at_right in zip(columns, sizes, right, strict=True)
        ).rstrip()
        for i in range(height)
    ]


def _total(name: str, amounts: Sequence[str], sizes: Sequence[int]) -> list[str]:
    split = len(sizes) - len(amounts)
    left = sum(sizes[:split]) + len(_GAP) * (split - 1)
    return _row((name, *amounts), [left, *sizes[split:]], [False, *(True for _ in amounts)])
