"""Help for the screen it was asked on: its keys, the words of the notation, and every key of the program in order."""

from collections.abc import Sequence
from typing import ClassVar

from ticket.grid.rows import Row, Span, row, wrap
from ticket.grid.signs import WORDS
from ticket.job.kinds import KINDS
from ticket.screens.action_table import ACTIONS
from ticket.screens.actions import actions_of, keys_of, shown_key
from ticket.screens.frame import Reading, bindings

_KEYS = 18
"""Cells of the keys of an action."""
_KEY = 10
"""Cells of one key."""


def help_rows(subject: str, width: int) -> list[Row]:
    """The help of a screen at a width in cells."""
    rows = [row("Keys here", "strong")]
    for action in actions_of(subject):
        keys = " or ".join(shown_key(key) for key in keys_of(action))
        rows += _pair(keys, action.help, _KEYS, width)
    if subject == "ticket":
        rows += [Row(), row("The words of a line", "strong")]
        rows += wrap(
            [Span("One fact a line. The word with its colon decides; without one the line is a finding.")], width
        )
        for word, kind in KINDS.items():
            rows += wrap([Span(f"{word:<7}", "strong"), Span(kind.title)], width, rest=" " * 7)
            rows += wrap([Span(kind.example, "quiet")], width, first=" " * 7, rest=" " * 9)
        rows += wrap(
            [Span("A capital before the word names the concern, as in B found: ...; # and a space hides a line.")],
            width,
        )
        rows += [Row(), row("Signs", "strong")]
        rows += [line for sign, word in WORDS.items() for line in _pair(sign, word, 2, width)]
    return [*rows, Row(), *key_sheet(width)]


def key_sheet(width: int) -> list[Row]:
    """Every key of the program with what it does: a key means one thing, wherever it is pressed."""
    meant: dict[str, list[str]] = {}
    for action in ACTIONS:
        for key in keys_of(action):
            words = meant.setdefault(key, [])
            words += [action.label] if action.label not in words else []
    rows = [row("All keys of the program", "strong")]
    for key in sorted(meant, key=_order):
        rows += _pair(shown_key(key), ", ".join(meant[key]), _KEY, width)
    return rows


def _order(key: str) -> tuple[int, int, str]:
    """Names first, then letters alone, with Ctrl, with Alt, then function keys by their number."""
    last = key.rpartition("+")[2]
    function = int(last[1:]) if last[:1] == "f" and last[1:].isdigit() else 0
    held = 1 if key.startswith("ctrl+") else 2 if key.startswith("alt+") else 3 if function else 0
    return held, function, key


def _pair(head: str, text: str, cells: int, width: int) -> Sequence[Row]:
    return wrap([Span(f"{head:<{cells}}  ", "strong"), Span(text)], width, rest=" " * (cells + 2))


class HelpScreen(Reading):
    """Help, until it is left."""

    subject: ClassVar[str] = "reading"
    BINDINGS = bindings("reading")

    def __init__(self, about: str) -> None:
        super().__init__()
        self.about = about

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.page().show(help_rows(self.about, max(self.size.width - 3, 20)))
        self.top([Span("Help", "strong"), Span("  PgDn shows more, the signs and all keys; Esc goes back", "quiet")])
        self.hints()
