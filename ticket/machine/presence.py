"""Who else is on a ticket: one small file a terminal beside the database, outside the journal.

A file lives while its terminal touches it. How old it is, is told by comparing it with one's own file, touched just
now: so no clock is asked, and a terminal that was killed vanishes by itself. Where the folder cannot be written,
nobody is seen; nothing else depends on it.
"""

import contextlib
import os
from pathlib import Path

from ticket.job.text import one_line
from ticket.store.file_modes import PRESENCE, make_folder, write_private

STALE = 5.0  # seconds without a touch after which a terminal counts as gone
_SWEPT = 600.0  # seconds after which its file is taken away
_LONGEST = 80  # characters of a name that are shown


class Presence:
    """This terminal among the others of one shop.

    Args:
        database: the shop's file; the folder stands beside it.
        person: who sits here.
        sitting: what tells this terminal from the others.
    """

    def __init__(self, database: Path, person: str, sitting: str) -> None:
        self.person = person
        self._folder = database.with_name(database.name + PRESENCE)
        self._file = self._folder / sitting
        self._said = ""
        self._locked = False

    def lock(self, *, locked: bool) -> None:
        """Say with the name that nobody can work here until a PIN is typed."""
        self._locked = locked

    def be_on(self, number: int) -> None:
        """Say, or say again, that this terminal shows a ticket."""
        name = f"{self.person} (locked)" if self._locked else self.person
        said = f"{number}\n{one_line(name)[:_LONGEST]}"
        with contextlib.suppress(OSError, ValueError):
            if said == self._said and self._file.exists():
                os.utime(self._file)
                return
            if not self._folder.parent.is_dir():
                return  # the shop has vanished: nobody makes its folder anew only to say that he looks at it
            make_folder(self._folder)
            write_private(self._file, said.encode("utf-8", "replace"))
            self._said = said

    def leave(self) -> None:
        """This terminal shows no ticket any more."""
        self._said = ""
        with contextlib.suppress(OSError, ValueError):
            self._file.unlink(missing_ok=True)
            self._folder.rmdir()  # only the last one out finds it empty

    def others(self, number: int) -> tuple[str, ...]:
        """Names of those whose terminals show the same ticket, in order; a name twice where it sits twice."""
        names = []
        with contextlib.suppress(OSError, ValueError):
            now = self._file.stat().st_mtime
            for file in self._folder.iterdir():
                name = self._name_in(file, number, now)
                if name:
                    names.append(name)
        return tuple(sorted(names))

    def _name_in(self, file: Path, number: int, now: float) -> str:
        """Who a file says is on the ticket; empty for one's own, for another ticket's and for one that went stale."""
        if file == self._file or file.suffix:
            return ""
        try:
            age = now - file.stat().st_mtime
            if age > _SWEPT:
                file.unlink(missing_ok=True)
            if age > STALE:
                return ""
            there, _, name = file.read_text(encoding="utf-8", errors="replace")[:200].partition("\n")
        except (OSError, ValueError):
            return ""
        return one_line(name)[:_LONGEST] if there == str(number) else ""


def company_words(names: tuple[str, ...], person: str) -> str:
    """Such as ``Kaia Rothmere is here too``; empty where nobody is."""
    shown = ["you at another terminal" if name == person else name for name in dict.fromkeys(names)]
    if not shown:
        return ""
    together = f"{', '.join(shown[:-1])} and {shown[-1]}" if len(shown) > 1 else shown[0]
    are = "are" if len(shown) > 1 or shown[0].startswith("you ") else "is"
    return f"{together} {are} here too"
