"""The report of a fault of the program: where it happened and in what, and nothing that was typed or kept."""

import os
import platform
import sys
import tempfile
import traceback
from collections.abc import Iterator, Sequence

from ticket import __version__


def keep_report(error: BaseException, given: Sequence[str]) -> str:
    """Write a report of a fault into the state folder; the sentence that says where it lies.

    Args:
        error: what happened. Its message stays out of the report: it may hold a name or a number of a customer.
        given: the arguments; only the command's word is told.
    """
    from ticket.store.driver import sqlite3

    lines = [
        f"ticket {__version__}, Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}, {sys.platform}",
        f"command: {_command(given)}",
        *_told(error),
    ]
    lead = "this is a fault of the program, not of what you typed."
    try:
        return f"{lead} Its report is {_write(os.linesep.join(lines))}; it holds nothing of your shop."
    except (OSError, ValueError) as refused:
        why = (getattr(refused, "strerror", None) or str(refused)).lower()
        return f"{lead} Its report could not be kept ({why}): {type(error).__name__} in {_place(error)}."


def _command(given: Sequence[str]) -> str:
    """The command's word alone: what stands around it may be a name or a path."""
    words = iter(given)
    for word in words:
        if word in ("--db", "--by"):
            next(words, None)
        elif not word.startswith("-"):
            return word if word.isalpha() and len(word) < 20 else "unknown"
    return "screens"


def _write(text: str) -> str:
    from ticket.machine.environment import state_folder
    from ticket.store.file_modes import make_own_folder

    folder = state_folder()
    make_own_folder(folder)
    handle, path = tempfile.mkstemp(prefix="fault-", suffix=".txt", dir=folder)  # 0600
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(text + "\n")
    return path


def _told(error: BaseException | None) -> Iterator[str]:
    """The error and what it came from, each with its way through the program, innermost step last."""
    while error is not None:
        yield f"\n{type(error).__name__}"
        yield from (line.rstrip() for line in traceback.format_tb(error.__traceback__))
        error = error.__cause__ or error.__context__


def _place(error: BaseException) -> str:
    steps = traceback.extract_tb(error.__traceback__)
    return f"{os.path.basename(steps[-1].filename)}, line {steps[-1].lineno}" if steps else "an unknown place"  # noqa: PTH119
