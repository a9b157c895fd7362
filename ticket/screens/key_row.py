"""The last row of every screen: which key does what, as many as fit; a click does the same. Pure but for the click."""

from collections.abc import Sequence

from textual import events
from textual.message import Message

from ticket.grid.rows import Row, Span
from ticket.screens.actions import hinted
from ticket.screens.page import Page
from ticket.screens.sides import ends, length, spaced


def key_row(subject: str, width: int, *, looks: bool = False) -> tuple[Span, ...]:
    """The keys of a screen on so many cells behind a blank one; the last of them stands at the right edge.

    Who only ``looks`` is shown none that writes.
    """
    pairs = [(Span(hint.key, "key"), Span(f" {hint.label}", "quiet")) for hint in hinted(subject, width, looks=looks)]
    return (Span(" "), *ends(spaced(pairs[:-1]), pairs[-1], width)) if pairs else ()


def action_at(subject: str, width: int, cell: int, *, looks: bool = False) -> str:
    """The action whose key or words stand at a cell of the row; empty where none does."""
    names = iter(hinted(subject, width, looks=looks))
    at, spans = 0, key_row(subject, width, looks=looks)
    for place, span in enumerate(spans):
        if span.style == "key":
            hint = next(names)
            if at <= cell < at + length(spans[place : place + 2]):
                return hint.action
        at += length((span,))
    return ""


class KeyRow(Page):
    """The row on the screen."""

    subject = ""
    looks = False

    def tell(self, subject: str, width: int, above: Sequence[Row] = (), *, looks: bool = False) -> None:
        """Show the keys of a screen, and above them what is said or how far long work is."""
        self.subject, self.looks = subject, looks
        self.show([*above, Row(key_row(subject, width, looks=looks))])
        if self.styles.height is None or self.styles.height.value != len(self.rows):
            self.styles.height = len(self.rows)

    class Pressed(Message):
        """Keys of the row were clicked; the screen does what they do."""

        def __init__(self, action: str) -> None:
            super().__init__()
            self.action = action

    async def on_click(self, event: events.Click) -> None:  # type: ignore[override]  # a click here points at no row
        """Say what stands under the mouse."""
        event.prevent_default()  # the page's own answer to a click
        name = action_at(self.subject, max(self.size.width - 2, 8), event.x, looks=self.looks)
        if name and event.y == len(self.rows) - 1:
            self.post_message(self.Pressed(name))
