"""The line to type in: one row, no border, and a paste of several lines stays several lines."""

from collections.abc import Callable
from typing import ClassVar

from textual import events
from textual.binding import BindingType
from textual.message import Message
from textual.widgets import Input


class Prompt(Input):
    """An input that hands on what Textual's own would drop."""

    BINDINGS: ClassVar[list[BindingType]] = []
    DEFAULT_CSS = """
    Prompt { border: none; height: 1; padding: 0; background: transparent; width: 1fr; }
    Prompt:focus { border: none; background: transparent; background-tint: transparent 0%; }
    """

    class Pasted(Message):
        """Several lines were pasted."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    class Asked(Message):
        """A question mark was typed into the empty line: the typist wants help."""

    def __init__(self, *, id: str | None = None, placeholder: str = "") -> None:  # noqa: A002 - Textual's name
        self.listener: Callable[[], None] | None = None
        super().__init__(id=id, placeholder=placeholder, select_on_focus=False)
        self.cursor_blink = False

    def watch_value(self) -> None:
        """Tell the screen at once: a message would reach it a frame later than the key."""
        if self.listener is not None:
            self.listener()

    def _on_paste(self, event: events.Paste) -> None:
        text = event.text.replace("\r\n", "\n").replace("\r", "\n").strip("\n")
        event.stop()
        event.prevent_default()
        if "\n" in text:
            self.post_message(self.Pasted(f"{self.value}{text}"))
        elif text:
            self.insert_text_at_cursor(text)

    async def on_key(self, event: events.Key) -> None:
        """Let ``?`` on an empty line ask for help."""
        if event.character == "?" and not self.value:
            event.stop()
            event.prevent_default()
            self.post_message(self.Asked())
