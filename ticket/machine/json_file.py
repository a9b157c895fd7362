"""JSON documents out of a file one by one, however many it holds: never more than one of them in memory.

A file holds one document, a list of them, or one behind the other, such as a line each.
"""

import codecs
import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO

from ticket.job.errors import DataError, InputError
from ticket.job.progress import tell
from ticket.job.read_json import decoder, shallow
from ticket.machine.input_files import decoded, open_plain, reason

_DECODER = decoder()
_CHUNK = 1024 * 1024
_DOCUMENT = 64 * 1024 * 1024
"""Bytes of one document: 4 MB of facts are more than any ticket has, and each of its pictures is up to 3."""


@dataclass(frozen=True, slots=True)
class JsonFile:
    """A file that holds one document or several; it can be gone through more than once.

    Attributes:
        path: the file.
        shown: what to call it.
    """

    path: Path
    shown: str

    def __iter__(self) -> Iterator[tuple[str, Any]]:
        """Each document behind what to call it. Raises :class:`InputError` naming place and reason."""
        with open_plain(self.path) as stream:
            size = self.path.stat().st_size
            yield from _Reader(stream, self.shown, size).documents()


def begins_as_json(head: bytes) -> bool:
    """Whether a file that begins so holds JSON documents and no plain lines."""
    return head.removeprefix(codecs.BOM_UTF8).lstrip()[:1] in (b"{", b"[")


@dataclass(slots=True)
class _Reader:
    stream: BinaryIO
    shown: str
    size: int
    text: str = ""
    at: int = 0
    line: int = 1
    ended: bool = False
    rest: bytes = b""
    taken: int = 0

    def documents(self) -> Iterator[tuple[str, Any]]:
        first = self._next()
        if first != "[":
            yield self.shown, self._value(self.shown)
            number = 1
            while self._next() == "{":
                number += 1
                name = f"{self.shown} (document {number})"
                yield name, self._value(name)
        else:
            self.at += 1
            number = 0
            while self._next() != "]" or number == 0:
                if self._next() == "]":
                    break
                number += 1
                name = f"{self.shown} (document {number})"
                yield name, self._value(name)
                if self._next() not in (",", "]"):
                    raise self._bad("no JSON: expecting ',' delimiter")
                self.at += self._next() == ","
            self.at += 1
        if self._next():
            raise self._bad("no JSON: Extra data")

    def _next(self) -> str:
        """The next character that is no space; empty at the end."""
        while True:
            while self.at < len(self.text):
                char = self.text[self.at]
                if char not in " \t\r\n":
                    return char
                self.at += 1
            self._drop_read()
            if not self._more(_CHUNK):
                return ""

    def _drop_read(self) -> None:
        """Let go of what was read, with its lines counted."""
        self.line += self.text.count("\n", 0, self.at)
        self.text, self.at = self.text[self.at :], 0

    def _value(self, name: str) -> Any:
        """The value that begins here; more is read until it is whole."""
        size = _CHUNK
        while True:
            try:
                value, self.at = _DECODER.raw_decode(self.text, self.at)
            except json.JSONDecodeError as error:
                beyond = error.pos - self.at
                self._drop_read()
                if len(self.text) > _DOCUMENT:
                    raise InputError(
                        f"{name}: a document of more than {_DOCUMENT // 1024**2} MB; nothing was loaded."
                    ) from None
                if not self._more(size):
                    raise self._bad(f"no JSON: {error.msg}", self.text.count("\n", 0, beyond)) from None
                size *= 2
            except RecursionError:
                raise self._bad("nested too deeply") from None
            except DataError as error:
                raise InputError(f"{name}: {error}; nothing was loaded.") from None
            else:
                try:
                    return shallow(value)
                except DataError as error:
                    raise InputError(f"{name}: {error}; nothing was loaded.") from None

    def _more(self, size: int) -> bool:
        if self.ended:
            return False
        try:
            data = self.rest + self.stream.read(size)
        except OSError as error:
            raise InputError(f"{self.shown} cannot be read: {reason(error)}.") from None
        self.ended = len(data) == len(self.rest)
        self.taken += len(data) - len(self.rest)
        tell("load, kB", self.taken // 1024, self.size // 1024)
        whole = len(data) if self.ended else _cut(data)
        self.rest = data[whole:]
        self.text += decoded(data[:whole], self.shown)
        return not self.ended

    def _bad(self, why: str, further: int = 0) -> InputError:
        line = self.line + self.text.count("\n", 0, self.at) + further
        return InputError(f"{self.shown}: {why} in line {line}; nothing was loaded.")


def _cut(data: bytes) -> int:
    """Where the last whole character of some bytes ends."""
    for back in range(1, min(4, len(data)) + 1):
        byte = data[-back]
        if byte & 0xC0 != 0x80:  # the first byte of a character
            length = 1 if byte < 0x80 else 2 if byte < 0xE0 else 3 if byte < 0xF0 else 4
            return len(data) - back if length > back else len(data)
    return len(data)
