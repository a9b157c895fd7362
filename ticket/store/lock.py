"""A fair lock in front of the database: whoever asks first writes first.

SQLite's own busy handler sleeps and is unfair: with eight writers one may wait half a second. A lock on a side
file queues them. It also covers every commit, checkpoint and last close, so two checkpoints never meet.
"""

import os
import sys
import threading
import time
from pathlib import Path
from types import TracebackType

from ticket.job.errors import StoreError
from ticket.store import driver
from ticket.store.file_modes import locked_out, open_side_file

WAIT_SECONDS = 10.0


class FileLock:
    """An exclusive lock on ``<database>.lock``; one per open store, not reentrant.

    The side file is created empty, with the mode its folder asks for, and never removed: removing it would let two
    holders lock two different files.

    Raises:
        StoreError: the side file cannot be made, or somebody holds it for longer than :data:`WAIT_SECONDS`.
    """

    def __init__(self, database: Path) -> None:
        self.path = database.with_name(f"{database.name}.lock")
        try:
            self._file = open_side_file(self.path, database)
        except (OSError, ValueError) as error:
            if isinstance(error, PermissionError) and driver.is_there(database):
                raise locked_out(database) from error
            why = (getattr(error, "strerror", None) or str(error)).lower()
            raise StoreError(f"{database} cannot be opened for writing: {why} ({self.path})") from error

    def __enter__(self) -> None:
        taken = _take(self.path, self._file, WAIT_SECONDS)
        if taken is None:
            raise StoreError(
                f"another terminal has held {self.path} for {WAIT_SECONDS:.0f} seconds: nothing was changed; try again"
            )
        if taken != self._file:
            os.close(self._file)
            self._file = taken

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        _give_back(self._file)

    def close(self) -> None:
        """Let go of the side file."""
        os.close(self._file)


if sys.platform == "win32":  # pragma: no cover
    import msvcrt

    def _take(_path: Path, file: int, seconds: float) -> int | None:
        """Windows has no queue: ask again until it works. Fairness is lost, not safety."""
        deadline = time.monotonic() + seconds
        while True:
            try:
                msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
            except OSError:
                if time.monotonic() > deadline:
                    return None
                time.sleep(0.005)
            else:
                return file

    def _give_back(file: int) -> None:
        os.lseek(file, 0, os.SEEK_SET)
        msvcrt.locking(file, msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def _take(path: Path, file: int, seconds: float) -> int | None:
        """The open file that now holds the lock, or ``None`` when waiting took too long."""
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return _Waiter(path).wait(seconds)
        return file

    def _give_back(file: int) -> None:
        fcntl.flock(file, fcntl.LOCK_UN)

    class _Waiter:
        """A thread that queues in the kernel, so that its owner can stop waiting: the holder may be suspended.

        It queues on an open file of its own. A lock belongs to the open file, so a waiter given up on can let
        go of its own without touching what its owner holds by then.
        """

        def __init__(self, path: Path) -> None:
            self._file = os.open(path, os.O_RDWR | os.O_CLOEXEC)
            self._guard = threading.Lock()
            self._taken = threading.Event()
            self._given_up = False

        def wait(self, seconds: float) -> int | None:
            threading.Thread(target=self._queue, daemon=True, name="ticket-lock").start()
            try:
                self._taken.wait(seconds)
            except BaseException:
                self._give_up(even_if_taken=True)
                raise
            return None if self._give_up() else self._file

        def _give_up(self, *, even_if_taken: bool = False) -> bool:
            with self._guard:
                self._given_up = not self._taken.is_set()
                if even_if_taken and not self._given_up:
                    os.close(self._file)
                return self._given_up

        def _queue(self) -> None:
            fcntl.flock(self._file, fcntl.LOCK_EX)
            with self._guard:
                if self._given_up:
                    os.close(self._file)
                self._taken.set()
