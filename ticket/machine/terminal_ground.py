"""How light the terminal's background is: asked before the screens are loaded, read when they are.

The question is the one that terminals answer in the xterm control sequences (OSC 11), with a question that all of them
answer behind it (DA1) as the end mark. The answer comes while the program is still being imported, so nobody waits.
"""

import contextlib
import os
import select
import sys
import time
from collections.abc import Mapping
from typing import Any, NamedTuple

from ticket.job.regex import Regex

_QUESTION = b"\x1b]11;?\x1b\\\x1b[c"
_COLOUR = Regex(r"\x1b\]11;rgba?:([0-9a-fA-F]{1,4})/([0-9a-fA-F]{1,4})/([0-9a-fA-F]{1,4})[^\x07\x1b]*(?:\x07|\x1b\\)")
_END = Regex(r"\x1b\[\?[0-9;]*c")
_LONGEST = 0.25
"""Seconds after which an answer is no longer waited for; a terminal that answers at all has done so long before."""
_SILENT = ("dumb", "")


class Ground(NamedTuple):
    """What came back.

    Attributes:
        light: from 0 (black) to 1 (white); ``None`` where the terminal did not say.
        ahead: what was typed meanwhile, to be typed again.
    """

    light: float | None = None
    ahead: str = ""


class GroundQuestion:
    """The question, once it is put; :meth:`answer` gives the terminal back as it was."""

    def __init__(self, around: Mapping[str, str]) -> None:
        self._before: list[Any] | None = None
        self._keys = -1
        follows = around.get("TICKET_LOOK", "terminal") == "terminal" and "NO_COLOR" not in around
        if not follows or around.get("TERM", "") in _SILENT:
            return
        with contextlib.suppress(ImportError, OSError, ValueError):  # no such terminal here: nothing is asked
            import termios
            import tty

            keys = sys.__stdin__.fileno() if sys.__stdin__ else -1
            shown = sys.__stderr__.fileno() if sys.__stderr__ else -1
            if not os.isatty(keys) or select.select([keys], [], [], 0)[0]:
                return  # somebody types already: nothing may get between
            before = termios.tcgetattr(keys)
            tty.setcbreak(keys, termios.TCSANOW)
            self._before, self._keys = before, keys
            os.write(shown, _QUESTION)

    def answer(self) -> Ground:
        """Read what came back."""
        if self._before is None:
            return Ground()
        import termios

        try:
            return ground_in(self._read())
        finally:
            with contextlib.suppress(termios.error):
                termios.tcsetattr(self._keys, termios.TCSANOW, self._before)

    def _read(self) -> str:
        data = b""
        end = time.monotonic() + _LONGEST
        while _END.search(data.decode("latin-1")) is None and (left := end - time.monotonic()) > 0:
            if not select.select([self._keys], [], [], left)[0]:
                break
            more = os.read(self._keys, 4096)
            if not more:
                break
            data += more
        return data.decode("utf-8", "replace")


def ground_in(text: str) -> Ground:
    """The answer in what the terminal sent, and what somebody typed between."""
    colour = _COLOUR.search(text)
    light = None
    if colour is not None:
        red, green, blue = (int(part, 16) / (16 ** len(part) - 1) for part in colour.groups())
        light = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    typed = _END.sub("", _COLOUR.sub("", text)).partition("\x1b")[0]
    return Ground(light, "".join(char for char in typed if char.isprintable() or char in "\r\n"))
