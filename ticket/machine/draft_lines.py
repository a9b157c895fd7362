"""Half-typed lines, kept outside the journal: a closed window or a killed program loses none of them.

One small file for each ticket, person and running program, in the state folder; never synced, readable by its owner
alone. A line is offered again once the program that kept it is gone.
"""

import contextlib
import hashlib
import json
import os
from collections.abc import Callable, Collection, Iterator
from pathlib import Path

from ticket.job.regex import Regex
from ticket.machine import environment
from ticket.store.file_modes import make_own_folder, write_private

# The ticket a file is of: "12" its line, "entry 12/3" and the like a form; "new ticket 4711" is a scanned code of none.
_TICKET = Regex(r"^(?!new ticket)(?:[a-z]+ )*([0-9]{1,18})(?:/|$)")


class DraftLines:
    """The half-typed lines of one person at one shop's file.

    Args:
        database: the shop's file.
        person: who types.
        folder: where the lines are kept; the state folder where not given.
    """

    def __init__(self, database: Path, person: str, folder: Path | None = None) -> None:
        self._where, self._person = str(database.absolute()), person
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
            found = found or _read(path)[1]
            with contextlib.suppress(OSError):
                path.unlink()
        return found

    def about(self, people: Collection[str], numbers: Collection[int], tells: Callable[[str], bool]) -> Iterator[Path]:
        """Files of half-typed lines and forms that a customer's wish to be forgotten reaches, whoever typed them.

        The name of a file holds who and where only as a digest, so each known person is tried.

        Args:
            people: who works at the shop.
            numbers: tickets of the customer in it; all that was half typed on them goes.
            tells: whether a text names the customer; such a line goes from any shop.
        """
        for path in sorted(self._folder.glob("*.json")):
            number, text = _read(path)
            ours = any(path.stem.startswith(self._digest(who, number)) for who in people)
            on = _TICKET.search(str(number))
            if (ours and on and int(on[1]) in numbers) or tells(_words(text)):
                yield path

    def _name(self, number: int | str) -> str:
        return self._digest(self._person, number)

    def _digest(self, person: str, number: int | str) -> str:
        who = f"{self._where}\n{person}\n"
        return hashlib.sha256(f"{who}{number}".encode("utf-8", "surrogatepass")).hexdigest()[:24]

    def _path(self, number: int | str, process: int) -> Path:
        return self._folder / f"{self._name(number)}-{process}.json"


def _read(path: Path) -> tuple[int | str, str]:
    """What a file stands for, and what was typed; nothing of either where it cannot be read."""
    try:
        kept = json.loads(path.read_text(encoding="utf-8"))
        number, text = kept["ticket"], kept["text"]
    except (OSError, ValueError, KeyError, TypeError):
        return "", ""
    return (number, text) if isinstance(number, int | str) and isinstance(text, str) else ("", "")


def _words(text: str) -> str:
    """A line as it is, or the values of a form, which are kept as JSON with its letters escaped."""
    try:
        fields = json.loads(text)
    except ValueError:
        return text
    return "\n".join(map(str, fields.values())) if isinstance(fields, dict) else text


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
