"""How commands print: facts to standard output, remarks to standard error, JSON in one shape."""

import argparse
import contextlib
import json
import shutil
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, TextIO

from ticket.job.errors import ConflictError, InputError
from ticket.job.text import escaped, visible
from ticket.job.width import cells

STDIN = "standard input"
PAPER_COLUMNS = 80
LEAST_COLUMNS = 20
_HANG = 4


def say(text: str = "") -> None:
    """One line or block for a person; control characters show as marks. No line is wider than its terminal."""
    shown = visible(text)
    if sys.stdout.isatty():
        shown = "\n".join(line for long in shown.split("\n") for line in fitted(long, screen_columns()))
    _print(shown, sys.stdout)


def say_as_it_is(text: str) -> None:
    """Text that is read by something else than eyes: a script, a file, what a screen reader speaks line by line."""
    _print(visible(text), sys.stdout)


def fitted(line: str, width: int) -> list[str]:
    """A line cut between words to a width, what follows set in behind its own beginning; long words stay whole."""
    hang = " " * min(len(line) - len(line.lstrip(" ")) + _HANG, width // 2)
    out: list[str] = []
    while cells(line) > width:
        least = len(hang) if out else len(line) - len(line.lstrip(" "))
        gaps = (i for i, char in enumerate(line) if char == " " and i > least)
        cut = max((i for i in gaps if cells(line[:i]) <= width), default=0)
        if not cut:
            break
        out.append(line[:cut].rstrip(" "))
        line = hang + line[cut:].lstrip(" ")
    return [*out, line]


def remark(text: str) -> None:
    """A remark that is not part of the result."""
    with contextlib.suppress(OSError, InputError):  # a remark that nobody can read stops no work
        _print(visible(text), sys.stderr)


def as_json(value: Any) -> str:
    """JSON as every command prints it: characters a terminal would obey are escaped, so nothing is lost."""
    return escaped(json.dumps(value, indent=2, ensure_ascii=False))


def compact_json(value: Any) -> str:
    """JSON in one line."""
    return escaped(json.dumps(value, ensure_ascii=False, separators=(",", ":")))


def say_json(value: Any) -> None:
    """A value as JSON."""
    _print(as_json(value), sys.stdout)


def say_taken(options: argparse.Namespace, what: str, file: str, told: str, doubts: Sequence[str] = ()) -> None:
    """That a file of the shop was taken in, and what to look at in it."""
    if options.json:
        say_json({"taken": what, "file": file, "told": told, "doubts": list(doubts)})
        return
    say(told)
    for doubt in doubts:
        remark(doubt)


def say_bytes(made: bytes) -> None:
    """A paper that is no text, to standard output."""
    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(made)
        sys.stdout.buffer.flush()
    except OSError as error:
        raise unwritable(error) from error


def _print(text: str, stream: TextIO) -> None:
    try:
        print(text, file=stream)
    except OSError as error:
        raise unwritable(error) from error


def send() -> None:
    """Send out what was said so far: somebody waits for it."""
    try:
        sys.stdout.flush()
    except OSError as error:
        raise unwritable(error) from error


def unwritable(error: OSError) -> Exception:
    """What to raise where output cannot be written: a reader that has gone is no mistake of anybody's."""
    if isinstance(error, BrokenPipeError):
        return error
    return InputError(f"The output cannot be written: {(error.strerror or str(error)).lower()}.")


def write(options: argparse.Namespace, text: str, *, fit: bool = False) -> None:
    """Text to ``--output`` where a file is named, else to standard output; ``fit`` for lines of a list."""
    if to_file(options):
        hand_out(options, (text if text.endswith("\n") else text + "\n").encode("utf-8", "replace"))
    else:
        (say if fit else say_as_it_is)(text.rstrip("\n"))


def columns(options: argparse.Namespace) -> int:
    """How wide text is written: as asked for, in a file as wide as paper, else as wide as the terminal."""
    asked: int | None = getattr(options, "width", None)
    return asked or (PAPER_COLUMNS if to_file(options) else screen_columns())


def screen_columns() -> int:
    """The columns of the terminal (``COLUMNS``, where it is set); 80 where nobody knows."""
    return max(shutil.get_terminal_size((PAPER_COLUMNS, 24)).columns, LEAST_COLUMNS)


def to_file(options: argparse.Namespace) -> bool:
    """Whether ``--output`` names a file; ``-`` is standard output, as everywhere."""
    return getattr(options, "output", None) not in (None, "-")


def hand_out(options: argparse.Namespace, content: bytes) -> None:
    """Bytes to the file that ``--output`` names; what stands there is written over with ``--force`` only."""
    from ticket.machine.environment import database_path
    from ticket.machine.printer import write_out

    try:
        write_out(Path(options.output), content, database=database_path(options.db), replace=options.force)
    except ConflictError as error:
        raise InputError(f"{error} Nothing was written: name another file, or add --force.") from None


def read_text(name: str, *, short: bool = False) -> str:
    """A file's text, or standard input for ``-``; ``short`` for what is a megabyte at most.

    Raises:
        InputError: also for bytes that are no UTF-8.
    """
    from ticket.machine.input_files import MOST, SHORT, read_file, read_stream

    most = SHORT if short else MOST
    return read_stream(sys.stdin.buffer, STDIN, most) if name == "-" else read_file(Path(name), most)


def read_report() -> str:
    """A scan tool's report on standard input, which is only looked at: bytes that are no UTF-8 show as marks."""
    from ticket.machine.input_files import decoded, read_bytes

    data = read_bytes(sys.stdin.buffer, STDIN)
    try:
        return decoded(data, STDIN)
    except InputError:
        remark(f"Some bytes of {STDIN} are no UTF-8 text; they show as \ufffd.")
        return data.decode("utf-8-sig", "replace")
