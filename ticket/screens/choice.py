"""A field that lists its values and takes no text: one of them is chosen, and all of them are seen."""

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.message import Message
from textual.widget import Widget

from ticket.job.width import cells
from ticket.screens.look import look_on

ON, OFF = "(●)", "( )"
_MOST = 5
"""Values that stand on one row; more stand below each other."""


class Choice(Widget, can_focus=True):
    """One of some values.

    Args:
        values: what is kept, with what is shown for it.
        value: the one that is chosen; the first where it is none of them.
    """

    DEFAULT_CSS = "Choice { height: 1; width: 1fr; }"
    BINDINGS: ClassVar = []

    class Changed(Message):
        """Another value was chosen."""

        def __init__(self, choice: "Choice") -> None:
            super().__init__()
            self.choice = choice

        @property
        def control(self) -> "Choice":
            """The choice itself, for whoever listens to one of several."""
            return self.choice

    def __init__(self, values: Sequence[tuple[str, str]], value: str = "", *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.values = tuple(values)
        self.at = next((i for i, (kept, _) in enumerate(self.values) if kept == value), 0)

    @property
    def value(self) -> str:
        """The value that is chosen."""
        return self.values[self.at][0]

    @value.setter
    def value(self, wanted: str) -> None:
        self._take(next((i for i, (kept, _) in enumerate(self.values) if kept == wanted), self.at))

    def _take(self, at: int) -> None:
        if at != self.at:
            self.at = at
            self.refresh()
            self.post_message(self.Changed(self))

    def put(self, value: str) -> None:
        """Choose a value, as a field takes a text."""
        self.value = value

    @property
    def tall(self) -> int:
        """Rows it takes: one, or one for each value where they are many or would not fit beside each other."""
        side_by_side = cells("  ".join(f"{ON} {label}" for _, label in self.values))
        return len(self.values) if len(self.values) > _MOST or side_by_side > self.size.width else 1

    def on_resize(self) -> None:
        """As high as its values need."""
        for widget in (self, self.parent):
            if isinstance(widget, Widget) and (widget.styles.height is None or widget.styles.height.value != self.tall):
                widget.styles.height = self.tall

    def render(self) -> Text:
        """All values, the chosen one marked and bold."""
        shown = look_on(self.app)
        text = Text(no_wrap=True, overflow="ellipsis")
        for i, (_, label) in enumerate(self.values):
            ink = "strong" if i == self.at else "quiet"
            ground = "here" if self.has_focus and i == self.at else "bg"
            between = "\n" if self.tall > 1 else "  "
            text.append(between if i else "")
            text.append(shown.drawn(f"{ON if i == self.at else OFF} {label}"), shown.style(ink, ground))
        return text

    async def on_key(self, event: events.Key) -> None:
        """Space, the arrows beside it and the first letter of a value choose."""
        step = {"space": 1, "right": 1, "left": -1}.get(event.key, 0)
        if step:
            event.stop()
            event.prevent_default()
            self._take((self.at + step) % len(self.values))
        elif event.character and event.character.isalnum():
            starts = [i for i, (_, label) in enumerate(self.values) if label[:1].lower() == event.character.lower()]
            if starts:
                event.stop()
                self._take(next((i for i in starts if i > self.at), starts[0]))

    def on_focus(self) -> None:
        """Show that it is here."""
        self.refresh()

    def on_blur(self) -> None:
        """No longer here."""
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        """Choose what stands under the mouse."""
        if self.tall > 1:
            self._take(min(event.y, len(self.values) - 1))
            return
        left = 0
        for i, (_, label) in enumerate(self.values):
            left += cells(f"{ON} {label}  ")
            if event.x < left:
                self._take(i)
                return
