"""Regular expressions that are compiled where they are first asked: a command that reads no line pays for none."""

import re
import sys
from collections.abc import Callable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING, Any


class Regex:
    """A text that becomes a compiled pattern at the first question put to it.

    Each method of the compiled pattern is kept on the instance once it was asked for, so that later calls reach it
    directly. It is no ``re.Pattern`` itself: the ``re`` of a match is :attr:`compiled`.

    Attributes:
        pattern: its text; joining it into a larger one compiles nothing.
        flags: those of ``re.compile``.
    """

    def __init__(self, pattern: str, flags: int = 0) -> None:
        self.pattern = pattern
        self.flags = flags

    @cached_property
    def compiled(self) -> re.Pattern[str]:
        """The compiled pattern."""
        return re.compile(self.pattern, self.flags)

    if TYPE_CHECKING:  # what is used of a compiled pattern, for the checker of types

        def match(self, string: str, pos: int = 0, endpos: int = sys.maxsize) -> re.Match[str] | None: ...  # noqa: D102
        def fullmatch(self, string: str, pos: int = 0, endpos: int = sys.maxsize) -> re.Match[str] | None: ...  # noqa: D102
        def search(self, string: str, pos: int = 0, endpos: int = sys.maxsize) -> re.Match[str] | None: ...  # noqa: D102
        def finditer(self, string: str, pos: int = 0, endpos: int = sys.maxsize) -> Iterator[re.Match[str]]: ...  # noqa: D102
        def findall(self, string: str) -> list[Any]: ...  # noqa: D102
        def split(self, string: str, maxsplit: int = 0) -> list[str]: ...  # noqa: D102
        def sub(self, repl: str | Callable[[re.Match[str]], str], string: str, count: int = 0) -> str: ...  # noqa: D102
    else:

        def __getattr__(self, name):
            if name.startswith("_"):  # copying asks for such names before there is a text
                raise AttributeError(name)
            found = getattr(self.compiled, name)
            setattr(self, name, found)
            return found
