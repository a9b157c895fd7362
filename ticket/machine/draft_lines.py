"""Half-typed lines, kept outside the journal: a closed window or a killed program loses none of them.

One small file for each ticket, person and running program, in the state folder; never synced, readable by its owner
alone. A line is offered again once the program that kept it is gone.
"""

import contextlib
import hashlib
import json
import os
from pathlib import Path

from ticket.machine import environment
from ticket.store.file_modes import make_own_folder, write_private


class DraftLines:
    """The half-typed lines of one person at one shop's file.

    Args:
        database: the shop's file.
        person: who types.
        folder: where the lines are kept; the state folder where not given.
    """

    def __init__(self, database: Path, person: str, folder: Path | None = None) -> None:
        self._who = f"{database.absolute()}\n{person}\n"
        self._folder = folder or environment.state_folder() / "lines"

    def keep(self, number: int | str, text: str) -> None:
        """Keep the line of a ticket, or a form by its name; an empty one is forgotten.

        A full disk is no reason to stop typing.
        """
        path = self._path(number, os.getpid())
        with contextlib.suppress(OSError):
            if not text.strip():
                path.unlink(missing_ok=True)
                return
            make_own_folder(self._folder)
            write_private(path, json.dumps({"ticket": number, "text": text}).encode())

    def left(self, number: int | str) -> str:
        """The line that a program no longer running left on a ticket, newest first; it is not offered a second time."""
        found = ""
        for path in sorted(self._folder.glob(f"{self._name(number)}-*.json"), key=_age, reverse=True):
            if _runs(int(path.stem.rpartition("-")[2])):
                continue
            found = found or _text(path)
            with contextlib.suppress(OSError):
                path.unlink()
        return found

    def _name(self, number: int | str) -> str:
        return hashlib.sha256(f"{self._who}{number}".encode("utf-8", "surrogatepass")).hexdigest()[:24]

    def _path(self, number: int | str, process: int) -> Path:
        return self._folder / f"{self._name(number)}-{process}.json"


def _text(path: Path) -> str:
    try:
        text = json.loads(path.read_text(encoding="utf-8"))["text"]
    except (OSError, ValueError, KeyError, TypeError):
        return ""
    return text if isinstance(text, str) else ""


def _age(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except OSError:
        return 0.0


def _runs(process: int) -> bool:
    """Whether a process is there; where that cannot be told, it is taken to be gone, so that no line is lost."""
    if process == os.getpid():
        return False  # a screen of this very program that was left
    try:
        os.kill(process, 0)
    except PermissionError:
        return True
    except (OSError, OverflowError):
        return False
    return os.name == "posix"
