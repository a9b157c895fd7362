"""Alt and a letter, known by what a terminal sends for it: Escape and the letter.

Textual knows them only by the pause behind: the key came a tenth of a second late, and where the next key was one of
several characters (an arrow, Alt held down) a ``^`` and the letter were typed in its place.
"""

from collections.abc import MutableMapping
from string import ascii_lowercase, digits
from typing import Any, NamedTuple, cast

from textual._ansi_sequences import ANSI_SEQUENCES_KEYS

_KEPT = ("b", "f")  # some terminals send them for a word to the left and to the right, which Textual knows


class _Key(NamedTuple):
    """A key as Textual's table names one."""

    value: str


def know_alt_keys() -> None:
    """Enter them into Textual's table; a second time changes nothing."""
    known = cast("MutableMapping[str, Any]", ANSI_SEQUENCES_KEYS)
    for sign in ascii_lowercase + digits:
        if sign not in _KEPT:
            known[f"\x1b{sign}"] = (_Key(f"alt+{sign}"),)
