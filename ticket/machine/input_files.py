"""Text from outside, out of files and streams: plain files only, of a size one can hold, in UTF-8 or not at all."""

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from ticket.job.errors import InputError
from ticket.job.text import one_line

MOST = 5 * 1024 * 1024
"""Bytes of one file or stream of lines."""

SHORT = 1024 * 1024
"""Bytes of a price list, a pack of rules, a limits book: what is read by people before it is taken in."""

_KINDS = (
    (stat.S_ISDIR, "it is a folder"),
    (stat.S_ISFIFO, "it is a pipe"),
    (stat.S_ISSOCK, "it is a socket"),
    (stat.S_ISREG, ""),
)  # fmt: skip
_HINT = "name a plain file, or give - and send the text through standard input"


def read_file(path: Path, most: int = MOST) -> str:
    """The text of a plain file. Raises :class:`InputError`, also for what would never end or never answer."""
    return decoded(read_plain(path, most), one_line(str(path)))


def read_plain(path: Path, most: int = MOST) -> bytes:
    """What a plain file holds. Raises :class:`InputError`, also for what would never end or never answer."""
    with open_plain(path) as file:
        return read_bytes(file, one_line(str(path)), most)


@contextmanager
def open_plain(path: Path) -> Iterator[BinaryIO]:
    """A plain file, open. Raises :class:`InputError`, also for what would never end or never answer."""
    shown = one_line(str(path))
    try:
        # Not blocking: opening a pipe that nobody writes to would wait for ever.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        found = os.fstat(handle).st_mode
        if kind := next((words for fits, words in _KINDS if fits(found)), "it is a device"):
            os.close(handle)
            raise InputError(f"{shown} cannot be read: {kind}; {_HINT}.")
        with os.fdopen(handle, "rb") as file:
            yield file
    except (OSError, ValueError) as error:
        raise InputError(f"{shown} cannot be read: {reason(error)}.") from None


def read_stream(stream: BinaryIO, shown: str, most: int = MOST) -> str:
    """The text of an open stream to its end. Raises :class:`InputError`."""
    return decoded(read_bytes(stream, shown, most), shown)


def read_bytes(stream: BinaryIO, shown: str, most: int = MOST, *, whole: bool = True) -> bytes:
    """What a stream holds, up to ``most`` bytes; more of it is refused, or left there. Raises :class:`InputError`."""
    try:
        data = stream.read(most + whole)
    except OSError as error:
        raise InputError(f"{shown} cannot be read: {reason(error)}.") from None
    if len(data) > most:
        raise InputError(f"{shown} holds more than {most // 1024**2} MB: take it in in parts.")
    return data


def decoded(data: bytes, shown: str) -> str:
    """Bytes as the text they are in UTF-8. Raises :class:`InputError` naming the line of the first that are none."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        byte = error.object[error.start]
        raise InputError(
            f"{shown}: line {line} holds the byte 0x{byte:02X}, which is no UTF-8 text; nothing was taken in."
            " Save it as UTF-8 first."
        ) from None


def reason(error: Exception) -> str:
    """Why the system refused, in its own words."""
    return (getattr(error, "strerror", None) or str(error)).lower()
