"""Putting a copy back: never over the present file, and with what is lost by it written down."""

import os
from dataclasses import dataclass
from pathlib import Path

from sqlite_utils import Database

from ticket.job.errors import ConflictError, StoreError
from ticket.store import driver, signed_heads
from ticket.store.canonical import seal_text
from ticket.store.driver import plain_errors
from ticket.store.file_modes import make_file
from ticket.store.lock import FileLock
from ticket.store.page_copy import copy_whole
from ticket.store.proof.read_only import opened_to_read
from ticket.store.signed_heads import Head

_MOST = 20  # tickets that are named


@dataclass(frozen=True, slots=True)
class Loss:
    """What putting a copy back would lose.

    Attributes:
        copy: the last row of the copy.
        present: the last row of the present file; ``None`` where there is none.
        tickets: numbers that actions behind the copy's end were about.
        other: the present file is no later state of the copy: they are two files.
    """

    copy: Head
    present: Head | None
    tickets: tuple[int, ...] = ()
    other: bool = False

    @property
    def words(self) -> str:
        """In one or two sentences."""
        ends = f"The copy ends at row {self.copy.seq} ({self.copy.at})."
        if self.present is None:
            return f"{ends} No shop is there now."
        if self.other:
            return f"{ends} The shop is another file, or was written anew since: its row {self.copy.seq} is another."
        rows = self.present.seq - self.copy.seq
        if rows <= 0:
            return f"{ends} The shop is at row {self.present.seq}: nothing would be lost."
        shown = ", ".join(map(str, self.tickets[:_MOST])) + (" and more" if len(self.tickets) > _MOST else "")
        about = f" on tickets {shown}" if self.tickets else ""
        return f"{ends} The shop is at row {self.present.seq}: {rows} actions{about} would be lost."


def loss(copy: Path, target: Path) -> Loss:
    """What putting a copy in the place of the present file would lose. Raises :class:`StoreError`."""
    last = _last(copy)
    if not driver.is_shop(target):
        return Loss(last, None)
    with plain_errors(target), opened_to_read(target) as connection:
        db = Database(connection, execute_plugins=False)
        present, same = signed_heads.head_of(db), signed_heads.head_of(db, last.seq)
        other = signed_heads.uid(db) != last.shop or same is None or same.hash != last.hash
        older = present is not None and present.seq < last.seq and signed_heads.uid(db) == last.shop
        rows = db.execute(
            "SELECT DISTINCT t.number FROM journal AS j JOIN ticket AS t ON t.id = j.ticket_id WHERE j.seq > ?"
            " ORDER BY 1",
            [last.seq],
        ).fetchall()
    return Loss(last, present, tuple(number for (number,) in rows), other and not older)


def _last(path: Path) -> Head:
    with plain_errors(path), opened_to_read(path) as connection:
        head = signed_heads.head_of(Database(connection, execute_plugins=False))
    if head is None:
        raise StoreError(f"{path} holds no row: it is no copy of a shop")
    return head


def put_back(copy: Path, target: Path) -> Path | None:
    """Put a checked copy at a path; what stands there is renamed, never written over.

    Returns:
        Where the file that stood there lies now, ``None`` where there was none.

    Raises:
        ConflictError: another terminal has it open; nothing was changed.
        StoreError: the copy cannot be made; what stood there is back in its place.
    """
    aside = None
    with FileLock(target):
        if driver.is_there(target):
            _alone(target)
            aside = _free_name(target)
            target.rename(aside)
        try:
            os.close(make_file(target))
            with plain_errors(target), opened_to_read(copy) as source:
                made = driver.connect(target)
                try:
                    copy_whole(source, made)
                finally:
                    made.close()
        except BaseException:
            target.unlink(missing_ok=True)
            if aside is not None:
                aside.rename(target)
            raise
    return aside


def _alone(path: Path) -> None:
    """Fold the log in and see that nobody else has the file open: only then it leaves its way of writing ahead."""
    with plain_errors(path):
        connection = driver.connect(path)
        try:
            connection.execute("PRAGMA busy_timeout=200").fetchall()
            mode = connection.execute("PRAGMA journal_mode=DELETE").fetchone()[0]
        except driver.Error as error:
            if "locked" not in str(error):
                raise
            mode = "wal"
        finally:
            connection.close()
    if mode != "delete":
        raise ConflictError(f"{path} is open at another terminal: close it there first; nothing was changed.")


def _free_name(path: Path) -> Path:
    number = 1
    while (aside := path.with_name(f"{path.name}.aside-{number}")).exists():
        number += 1
    return aside


def body_of(found: Loss) -> dict[str, object]:
    """What the row of a restore says: where the copy ended, what was lost, and the number no ticket had yet."""
    lost = found.present if found.present is not None and found.present.seq > found.copy.seq else None
    numbers = [one.number for one in (found.copy, found.present) if one is not None]
    return {
        "copy": seal_text(found.copy.seq, bytes.fromhex(found.copy.hash)),
        "lost": seal_text(lost.seq, bytes.fromhex(lost.hash)) if lost else None,
        "next": max(numbers) + 1,
    }
