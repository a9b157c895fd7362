"""Help for the screen it was asked on: its keys, the words of the notation, and every key of the program in order."""

from collections.abc import Iterator, Sequence
from typing import ClassVar

from ticket.grid.rows import Row, Span, row, wrap
from ticket.grid.signs import UNSAFE, WORDS
from ticket.job.kinds import KINDS
from ticket.screens.action_table import ACTIONS, Action
from ticket.screens.actions import actions_of, keys_of, shown_key
from ticket.screens.frame import Reading, bindings

_KEYS = 18
"""Cells of the keys of an action."""
_TITLE = 22
"""Cells of what a kind of line is."""
_KEY = 10
"""Cells of one key."""


_USED_FIRST = "put take edit strike undo redo gaps story call form rest kind sign amend".split()
"""What a hand at a ticket looks for first; every other action follows in the order of the table."""
_PAGES = {
    "phone": "What to read to the customer, one item after the other. One key says the answer to the item under the"
    " pointer; the line below shows what Enter will write on the ticket.",
    "sign": "The story as the customer will read it, with the entries it rests on. What is still open asks for a reason"
    " first. Signed, a ticket is never changed; what was wrong is amended beside it.",
}
"""What a page is for, where its keys alone do not say it."""


def help_rows(subject: str, width: int, heeded: Sequence[str] = ()) -> list[Row]:
    """The help of a screen at a width in cells; what has to be heeded before the work stands first."""
    about = [*wrap([Span(_PAGES[subject])], width), Row()] if subject in _PAGES else []
    keys = [*about, row("Keys here", "strong")]
    for action in sorted(actions_of(subject), key=_when_used):
        keys += _pair(" or ".join(shown_key(key) for key in keys_of(action)), action.help, _KEYS, width)
    rows = keys
    if subject == "ticket":  # what to type comes first: without it no key helps
        rows = [row("The words of a line", "strong"), *_words(width), Row(), *keys, Row(), row("Signs", "strong")]
        rows += [line for sign, word in WORDS.items() for line in _pair(sign, word, 2, width)]
    first = [line for words in heeded for line in wrap([Span(f"{UNSAFE} ", "bad"), Span(words)], width, rest="  ")]
    heed = [row("Before this work", "strong"), *first, Row()] if first else []
    return [*heed, *rows, Row(), *key_sheet(width)]


def _when_used(action: Action) -> int:
    return _USED_FIRST.index(action.id) if action.id in _USED_FIRST else len(_USED_FIRST)


def _words(width: int) -> Iterator[Row]:
    """Every kind of line with an example."""
    yield from wrap([Span("One fact a line. The word and a colon decide; without one a line is a finding.")], width)
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
    function = int(last[1:]) if last[:1] == "f" and last[1:].isdigit() else 0
    one_page = 4 if len(key) == 1 else 0
    held = 1 if key.startswith("ctrl+") else 2 if key.startswith("alt+") else 3 if function else one_page
    return held, function, key


def _pair(head: str, text: str, cells: int, width: int) -> Sequence[Row]:
    return wrap([Span(f"{head:<{cells}}  ", "strong"), Span(text)], width, rest=" " * (cells + 2))


class HelpScreen(Reading):
    """Help, until it is left."""

    subject: ClassVar[str] = "reading"
    BINDINGS = bindings("reading")

    def __init__(self, about: str, heeded: Sequence[str] = ()) -> None:
        super().__init__()
        self.about = about
        self.heeded_before = heeded

    def on_resize(self) -> None:
        """Draw for the new width."""
        rows = help_rows(self.about, max(self.size.width - 4, 20), self.heeded_before)
        self.page().show([Row((Span(" "), *one.spans)) for one in rows])
        more = "PgDn shows more, all keys too; Esc goes back"
        self.top([Span("Help", "strong"), Span(f"  {more}", "quiet")])
        self.hints()
