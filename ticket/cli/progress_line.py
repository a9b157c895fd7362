"""Long work on a terminal's standard error: one line that is drawn over itself and taken away; silent in pipes."""

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager

from ticket.grid.progress_bar import Progress, progress_words
from ticket.grid.signs import LETTERS
from ticket.job.progress import told_to

_AFTER = 0.5
"""Seconds of work before a line is drawn: what is quick needs none."""
_EVERY = 0.1


class _Line:
    """The line of one command."""

    def __init__(self) -> None:
        self.begun: dict[str, float] = {}
        self.drawn = 0.0
        self.shown = False
        self.letters = not _draws_blocks()
        self.silent = os.environ.get("TERM") == "dumb"  # it would show the escapes

    def told(self, what: str, done: int, total: int) -> None:
        """Draw how far it is, now and then."""
        if self.silent:
            return
        now = time.monotonic()
        begun = self.begun.setdefault(what, now)
        if now - begun < _AFTER or (now - self.drawn < _EVERY and done < total):
            return
        self.drawn, self.shown = now, True
        text = progress_words(Progress(what, done, total, now - begun))
        _write(f"\r{text.translate(LETTERS) if self.letters else text}\x1b[K")

    def clear(self) -> None:
        """Take the line away."""
        if self.shown:
            _write("\r\x1b[K")


def _draws_blocks() -> bool:
    return (sys.stderr.encoding or "").lower().replace("-", "") == "utf8"


def _write(text: str) -> None:
    try:
        sys.stderr.write(text)
        sys.stderr.flush()
    except OSError:
        return  # nobody sees it: the work goes on


@contextmanager
def progress_line() -> Iterator[None]:
    """Tell long work inside on the terminal behind standard error; whoever asks has seen that there is one."""
    line = _Line()
    with told_to(line.told):
        try:
            yield
        finally:
            line.clear()
