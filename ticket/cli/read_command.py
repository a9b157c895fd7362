"""The command ``read``: what lines mean by themselves, without a ticket and without opening a shop."""

import argparse
import json
import sys
from collections.abc import Iterable, Iterator
from typing import Any

from ticket.cli.output import STDIN, say
from ticket.job.errors import InputError
from ticket.job.text import clean, escaped, one_line
from ticket.notes.bounds import LONGEST, check_size
from ticket.notes.meaning import meaning_of
from ticket.notes.read import read
from ticket.notes.reply import describe

_AT_ONCE = 512  # lines printed together


def read_lines(options: argparse.Namespace) -> int:
    """Say what each line means; 1 where something is asked or unread."""
    asked = False
    out: list[str] = []
    for line in _lines(options.lines):
        drafts = read(clean(line))
        said = meaning_of(drafts)
        asked = asked or bool(said["unread"] or said["questions"])
        if options.json:
            out.append(escaped(json.dumps({"line": line} | said, ensure_ascii=False)))
        else:
            out.extend(_words(line, said, drafts))
        if len(out) >= _AT_ONCE:
            say("\n".join(out))
            out.clear()
    if out:
        say("\n".join(out))
    return int(asked)


def _lines(given: Iterable[str]) -> Iterator[str]:
    for item in given:
        if item == "-":
            yield from typed_lines()
        else:
            yield item


def typed_lines() -> Iterator[str]:
    """The lines of standard input as they come. Raises :class:`InputError` for bytes that are no UTF-8 text."""
    try:
        while line := sys.stdin.readline(LONGEST + 1):
            check_size(line.rstrip("\r\n"))
            yield line.rstrip("\r\n")
    except UnicodeDecodeError:
        raise InputError(f"What stands on {STDIN} is no UTF-8 text.") from None


def _words(line: str, said: dict[str, Any], drafts: Any) -> Iterator[str]:
    """The line, what it is, and under it what is asked."""
    yield one_line(line)
    for draft in drafts:
        fields = "; ".join(f"{title}: {one_line(text)}" for title, text in describe(draft))
        spoken = "".join(f"; {item.answer} to {one_line(item.to)}" for item in draft.spoken)
        yield f"  {draft.fact.title}: {fields}{spoken}" if fields or spoken else f"  {draft.fact.title}"
    for item in said["unread"]:
        yield f"  ? not read: {one_line(item['text'])} - {item['question']}"
    for item in said["questions"]:
        yield f"  ? {item['text']}"
