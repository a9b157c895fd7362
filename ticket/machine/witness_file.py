"""A witness: a file in other hands to which heads of the journal are appended, a line each, and never written over."""

import json
import os
import stat
import threading
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

from ticket.job.errors import InputError
from ticket.machine.input_files import reason

_TAIL = 4096  # bytes at the end that hold the last line
_LIMIT = 2.0  # seconds that a stick or a share may take; signing waits no longer for it

Answer = TypeVar("Answer")


def last_line(path: Path) -> Any:
    """The last whole line as JSON; ``None`` where there is no file, or none that can be read. Raises ``OSError``."""
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    with os.fdopen(handle, "rb") as file:
        _check(handle, path)
        size = os.fstat(handle).st_size
        file.seek(max(size - _TAIL, 0))
        lines = file.read(_TAIL).split(b"\n")
    for line in reversed(lines):
        try:
            return json.loads(line)
        except ValueError:
            continue
    return None


def append(path: Path, lines: Sequence[str]) -> None:
    """Add lines at the end, on the disk before this returns. Raises ``OSError``, or :class:`InputError`."""
    flags = os.O_RDWR | os.O_APPEND | os.O_CREAT | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0)
    handle = os.open(path, flags, 0o600)
    with os.fdopen(handle, "r+b", buffering=0) as file:
        _check(handle, path)
        size = os.fstat(handle).st_size
        cut = b""
        if size:
            file.seek(size - 1)
            cut = b"" if file.read(1) == b"\n" else b"\n"  # a line was cut off once: it must not take the next along
        os.write(handle, cut + "".join(f"{line}\n" for line in lines).encode())
        os.fsync(handle)


def in_time(work: Callable[[], Answer]) -> Answer:
    """Do something with a file that may never answer. Raises :class:`InputError` where it does not, in one sentence."""
    done: list[Answer] = []
    failed: list[Exception] = []

    def run() -> None:
        try:
            done.append(work())
        except (OSError, ValueError, InputError) as error:
            failed.append(error)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    thread.join(_LIMIT)
    if done:
        return done[0]
    if not failed:
        raise InputError("it does not answer")
    raise failed[0] if isinstance(failed[0], InputError) else InputError(reason(failed[0]))


def _check(handle: int, path: Path) -> None:
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        raise InputError(f"{path} is no plain file")
