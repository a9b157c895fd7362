"""Help for the screen it was asked on: its keys, the words of the notation, and every key of the program in order."""

from collections.abc import Iterable, Iterator, Sequence
from typing import ClassVar

from ticket.grid.rows import Row, Span, row, wrap
from ticket.grid.signs import UNSAFE, WORDS
from ticket.job.kinds import KINDS
from ticket.screens.action_table import ACTIONS, Action
from ticket.screens.actions import actions_of, key_for, keys_of, shown_key
from ticket.screens.frame import Reading, bindings
from ticket.screens.help_pages import job_steps, purpose

_KEYS = 18
"""Cells of the keys of an action."""
_TITLE = 22
"""Cells of what a kind of line is."""
_KEY = 10
"""Cells of one key."""


_USED_FIRST = "put take edit strike undo redo gaps story call form rest kind sign amend".split()
"""What a hand at a ticket looks for first; every other action follows in the order of the table."""
_ANYWHERE = frozenset(
    "undo kept actions names back leave suspend up down page_up page_down first last help redo".split()
)
"""What does the same on every page: it stands behind what only this page does."""


def help_rows(subject: str, width: int, heeded: Sequence[str] = (), page: str = "") -> list[Row]:
    """The help of a screen at a width in cells.

    Args:
        subject: whose actions they are.
        width: cells.
        heeded: what has to be heeded before the work; it stands first.
        page: which page or state it is, where several share their actions.
    """
    page = page or subject
    first = [line for words in heeded for line in wrap([Span(f"{UNSAFE} ", "bad"), Span(words)], width, rest="  ")]
    here = sorted(actions_of(subject), key=_when_used)
    parts: list[tuple[str, Iterable[Row]]] = [
        ("Before this work", first),
        ("", wrap([Span(words)], width) if (words := purpose(page)) else ()),
        ("A job from beginning to end", _steps(width) if page in ("jobs", "ticket") else ()),
        ("The words of a line", _words(width) if subject == "ticket" else ()),
        ("Keys here", _told(width, [action for action in here if action.id not in _ANYWHERE])),
        ("Keys on every page", _told(width, [action for action in here if action.id in _ANYWHERE])),
        ("Signs", _signs(width) if subject == "ticket" else ()),
        ("", key_sheet(width)),
    ]
    rows = [line for title, lines in parts for line in _part(title, [*lines])]
    return rows[:-1]


def _part(title: str, lines: Sequence[Row]) -> Iterator[Row]:
    """Lines below their heading, a blank row behind them; nothing where there are none."""
    if lines:
        yield from (*((row(title, "strong"),) if title else ()), *lines, Row())


def _steps(width: int) -> Iterator[Row]:
    for at, words in enumerate(job_steps(), 1):
        yield from wrap([Span(f"{at} ", "strong"), Span(words)], width, rest="  ")


def _signs(width: int) -> Iterator[Row]:
    for sign, word in WORDS.items():
        yield from _pair(sign, word, 2, width)


def _told(width: int, actions: Sequence[Action]) -> Iterator[Row]:
    for action in sorted(actions, key=_when_used):
        yield from _pair(" or ".join(shown_key(key) for key in keys_of(action)), action.help, _KEYS, width)


def _when_used(action: Action) -> int:
    return _USED_FIRST.index(action.id) if action.id in _USED_FIRST else len(_USED_FIRST)


def _words(width: int) -> Iterator[Row]:
    """Every kind of line with an example."""
    told = "One fact a line. The word and a colon decide its kind; without them the line's own words do."
    yield from wrap([Span(told)], width)
    for kind in KINDS.values():
        word, _, rest = kind.example.partition(" ")
        spans = [Span(f"{kind.title:<{_TITLE}}", "quiet"), Span(word, "strong"), Span(f" {rest}")]
        yield from wrap(spans, width, rest=" " * (_TITLE + 2))
    yield from wrap([Span("A capital in front names the concern: B found: ...; # and a blank hides a line.")], width)


def key_sheet(width: int) -> list[Row]:
    """Every key of the program with what it does: a key means one thing, wherever it is pressed."""
    meant: dict[str, list[str]] = {}
    for action in ACTIONS:
        for key in keys_of(action):
            words = meant.setdefault(key, [])
            # A single sign means something on one page alone, where its label has words around it.
            told = action.help.rstrip(".") if len(key) == 1 else action.label
            words += [told] if told not in words else []
    rows = [row("All keys of the program", "strong")]
    for key in sorted(meant, key=_order):
        rows += _pair(shown_key(key), ", ".join(meant[key]), _KEY, width)
    return rows


def _order(key: str) -> tuple[int, int, str]:
    """Keys with a name first, then with Ctrl, with Alt, function keys by their number; last the keys of one page."""
    last = key.rpartition("+")[2]
    function = int(last[1:]) if last[:1] == "f" and last[1:].isdecimal() else 0
    one_page = 4 if len(key) == 1 else 0
    held = 1 if key.startswith("ctrl+") else 2 if key.startswith("alt+") else 3 if function else one_page
    return held, function, key


def _pair(head: str, text: str, cells: int, width: int) -> Sequence[Row]:
    return wrap([Span(f"{head:<{cells}}  ", "strong"), Span(text)], width, rest=" " * (cells + 2))


class HelpScreen(Reading):
    """Help, until it is left."""

    subject: ClassVar[str] = "reading"
    BINDINGS = bindings("reading")

    def __init__(self, about: str, heeded: Sequence[str] = (), page: str = "") -> None:
        super().__init__()
        self.about, self.of = about, page
        self.heeded_before = heeded

    def on_resize(self) -> None:
        """Draw for the new width."""
        rows = help_rows(self.about, max(self.size.width - 4, 20), self.heeded_before, self.of)
        self.page().show([Row((Span(" "), *one.spans)) for one in rows])
        more = f"{shown_key('pagedown')} shows more, all keys too; {key_for('back')} or {key_for('help')} goes back"
        self.top([Span("Help", "strong"), Span(f"  {more}", "quiet")])
        self.hints()
