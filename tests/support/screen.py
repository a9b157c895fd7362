"""What stands on the screen, as text: of an app under the pilot, and of a program in tmux."""

import os
import shutil
import subprocess
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from textual.app import App

_KEYS = {
    "enter": "Enter", "escape": "Escape", "tab": "Tab", "up": "Up", "down": "Down", "left": "Left", "right": "Right",
    "pageup": "PPage", "pagedown": "NPage", "space": "Space", "backspace": "BSpace", "home": "Home", "end": "End",
}  # fmt: skip


def screen_lines(app: App[Any]) -> list[str]:
    """The rows of the screen on top, without trailing blanks."""
    strips = app.screen._compositor.render_strips()
    return ["".join(segment.text for segment in strip).rstrip() for strip in strips]


def screen_text(app: App[Any]) -> str:
    """The screen on top as one text."""
    return "\n".join(screen_lines(app)) + "\n"


def tmux_key(key: str) -> str:
    """A Textual key name as tmux writes it: ``ctrl+n`` -> ``C-n``, ``alt+s`` -> ``M-s``, ``f12`` -> ``F12``."""
    if key in _KEYS:
        return _KEYS[key]
    lead, plus, last = key.rpartition("+")
    if plus:
        return {"ctrl": "C-", "alt": "M-", "shift": "S-"}[lead] + (_KEYS.get(last) or last)
    return key.upper() if key[:1] == "f" and key[1:].isdigit() else key


class Tmux:
    """A command in a tmux of its own: no configuration, no other windows.

    Args:
        command: the program and its arguments.
        folder: where the program runs, and where the socket and the start script stand.
        size: columns and rows.
        environ: variables beside those of this process.
    """

    def __init__(
        self, command: Sequence[str], folder: Path, size: tuple[int, int] = (80, 24), environ: Mapping[str, str] = {}
    ) -> None:
        self.socket = folder / "tmux"
        start = folder / "start.sh"
        quoted = " ".join("'" + part.replace("'", "'\\''") + "'" for part in command)
        start.write_text(f"cd '{folder}' && exec {quoted}\n", encoding="utf-8")
        self._environ = {**os.environ, "TERM": "xterm-256color", **environ}
        self._environ.pop("TMUX", None)
        self._run("new-session", "-d", "-x", str(size[0]), "-y", str(size[1]), f"sh {start}")
        self._run("set-option", "-g", "remain-on-exit", "on")
        self._run("set-option", "-s", "escape-time", "0")

    @classmethod
    def there_already(cls, folder: Path) -> "Tmux":
        """The one that was started in a folder before, maybe by another process."""
        joined = cls.__new__(cls)
        joined.socket, joined._environ = folder / "tmux", {**os.environ}
        joined._environ.pop("TMUX", None)
        return joined

    @staticmethod
    def there() -> bool:
        """Whether this machine has tmux."""
        return shutil.which("tmux") is not None

    def _run(self, *words: str) -> str:
        done = subprocess.run(
            ["tmux", "-f", "/dev/null", "-S", str(self.socket), *words],
            capture_output=True, text=True, env=self._environ, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        return done.stdout

    def text(self) -> str:
        """What stands on the screen now."""
        return self._run("capture-pane", "-p")

    def drawn(self) -> str:
        """The same with its colours, and where the caret stands."""
        caret = "#{cursor_x} #{cursor_y} #{pane_dead}"
        return self._run("capture-pane", "-p", "-e", ";", "display-message", "-p", caret)

    def press(self, *keys: str) -> None:
        """Send keys, named as Textual names them."""
        self._run("send-keys", *(tmux_key(key) for key in keys))

    def type(self, text: str) -> None:
        """Send characters as they are."""
        end = "\\;" if text.endswith(";") else text[-1:]  # tmux takes a last semicolon for the end of its own command
        self._run("send-keys", "-l", text[:-1] + end)

    def until(self, wanted: str, limit: float = 20.0) -> str:
        """Wait for words, whatever the line breaks, and until nothing moves any more; the screen that shows them."""
        end = time.monotonic() + limit
        before = ""
        while True:
            shown = self.text()
            if wanted in " ".join(shown.split()) and shown == before:
                return shown
            before = shown
            assert time.monotonic() < end, f"waited for {wanted!r}; the screen shows:\n{shown}"
            time.sleep(0.1)

    def resize(self, columns: int, rows: int) -> None:
        """Another size of the terminal."""
        self._run("resize-window", "-x", str(columns), "-y", str(rows))

    def close(self) -> None:
        """End it, whatever it does."""
        subprocess.run(
            ["tmux", "-S", str(self.socket), "kill-server"], capture_output=True, env=self._environ, check=False
        )
