"""Help for the screen it was asked on: its actions, and the words of the notation with an example each."""

from typing import ClassVar

from ticket.grid.rows import Row, Span, row, wrap
from ticket.job.kinds import KINDS
from ticket.screens.actions import actions_of, keys_of, shown_key
from ticket.screens.frame import Reading, bindings

_KEYS = 18  # columns of the keys


def help_rows(subject: str, width: int) -> list[Row]:
    """The help of a screen at a width in cells."""
    rows = [row("Keys", "strong")]
    for action in actions_of(subject):
        keys = " or ".join(shown_key(key) for key in keys_of(action))
        rows += wrap([Span(f"{keys:<{_KEYS}}  ", "strong"), Span(action.help)], width, rest=" " * (_KEYS + 2))
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
    return rows


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
        self.top([Span("Help", "strong"), Span("  Esc goes back", "quiet")])
        self.hints()
