"""The line to type in: one row, no border, and a paste of several lines stays several lines."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any, ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import BindingType
from textual.geometry import Region, Size
from textual.message import Message
from textual.strip import Strip
from textual.widgets import Input
from textual.widgets.input import Selection

from ticket.grid.signs import HERE
from ticket.job.text import one_line
from ticket.job.width import cells
from ticket.screens.bare_ground import filtered
from ticket.screens.look import look_on
from ticket.screens.typing_history import TypingHistory

FIND = f"find {HERE}"
"""What stands before a line that finds."""
_REVERSED = Style(reverse=True)
_EDITING = frozenset("backspace delete left right home end ctrl+u ctrl+w ctrl+left ctrl+right".split())


class Field(Input):
    """An input whose editing keys act in the order they were pressed, and whose typing can be taken back.

    Textual finds a binding when the key has gone up to the app; letters typed ahead would be there first.
    """

    def __init__(self, *args: Any, **named: Any) -> None:
        self._history = TypingHistory()
        self._turning = False  # the text comes from the history itself
        self.mover: Callable[[], bool] | None = None
        """Called when Right is pressed at the end: takes the value to the field where it belongs."""
        super().__init__(*args, **named)
        self.cursor_blink = False

    def watch_value(self, old_value: str, value: str) -> None:
        """Note what stood there before."""
        if not self._turning:
            self._history.changed(old_value, value)

    def take_back(self) -> bool:
        """Put back what stood there before the last typing; whether there was something."""
        return self._turn(self._history.back(self.value))

    def again(self) -> bool:
        """Type again what was taken back last; whether there was something."""
        return self._turn(self._history.again(self.value))

    def _turn(self, text: str | None) -> bool:
        if text is None:
            return False
        self._turning = True
        self.put(text)
        self._turning = False
        return True

    def put(self, line: str) -> None:
        """Set the text, the cursor behind it."""
        self.value = line
        self.cursor_position = len(line)

    def action_cursor_right(self, select: bool = False) -> None:
        """Take a value that belongs elsewhere there; else move."""
        if select or not (self.cursor_at_end and self.mover is not None and self.mover()):
            super().action_cursor_right(select)

    def begin_anew(self) -> None:
        """An empty field whose typing cannot be taken back: what stood there has become something else."""
        self.value = ""
        self._history.forget()

    async def on_key(self, event: events.Key) -> None:
        """Edit at once; type nothing for an unbound Alt letter; the ends of an empty line are those of the page."""
        if event.key in ("home", "end") and not self.value:
            event.stop()
            event.prevent_default()
            await self.screen.run_action("first" if event.key == "home" else "last")
        elif event.key in _EDITING:
            event.stop()
            event.prevent_default()
            for binding in self._bindings.get_bindings_for_key(event.key):
                await self.run_action(binding.action)
        elif event.key.startswith("alt+"):
            event.prevent_default()


class Prompt(Field, inherit_css=False):
    """An input that hands on what Textual's own would drop, and shows how the line may go on.

    Attributes:
        listener: called at once when the line changes: a message would reach the screen a frame later than the key.
        enter: called at once when Enter is pressed: on the way of a binding through the screen to the app, keys typed
            ahead would join the line before it is taken.
        taker: called when the completion shown is taken: with ``True`` for one word of it, else for all.
        answerer: called when the answer shown is taken, where a question has one.
        proposer: called when what is proposed for the line is taken into it, where something is.
        finds: the line only finds: a slash in front of it is how other programs begin to find, and is no part of it.
        lead: what stands in front of the line.
        inks: pieces of the line with the ink of what each was read as; the one that nobody read is underlined.
    """

    BINDINGS: ClassVar[list[BindingType]] = []
    DEFAULT_CSS = """
    Prompt { height: 1; width: 1fr; overflow: hidden hidden; scrollbar-size: 0 0; }
    """

    class Pasted(Message):
        """Several lines were pasted."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    class Asked(Message):
        """A question mark was typed into the empty line: the typist wants help."""

    def __init__(self, *, id: str | None = None, placeholder: str = "", lead: str = "") -> None:  # noqa: A002 - Textual's name
        self.lead = f" {lead} " if lead else ""
        self.listener: Callable[[], None] | None = None
        self.enter: Callable[[], None] | None = None
        self.taker: Callable[[bool], None] | None = None
        self.answerer: Callable[[], None] | None = None
        self.proposer: Callable[[], None] | None = None
        self.finds = False
        self.inks: tuple[tuple[int, int, str], ...] = ()
        self._wide = False
        super().__init__(id=id, placeholder=placeholder, select_on_focus=False)
        self.styles.padding = (0, 0, 0, cells(self.lead))

    def _watch_value(self, value: str) -> None:
        # As Textual's own, but while the line fits without a new layout of the whole screen at every key: a layout
        # draws the edges of everything else again a frame later.
        wanted = Size(self.content_width, 1)
        wide = wanted.width >= self.size.width
        if wide or self._wide:
            self.virtual_size = wanted
        else:
            self.set_reactive(Prompt.virtual_size, wanted)
        self._wide = wide
        self._suggestion = ""
        self._initial_value = False  # from now on Textual keeps the cursor of a long line in sight
        if self.listener is None:  # who listens is told at once: a message would go through everything around it
            self.post_message(self.Changed(self, value))

    def _watch_selection(self, selection: Selection) -> None:
        # As Textual's own; a line that fits has nowhere to scroll to, which it would find out at every key.
        if self._wide or self.scroll_offset.x:
            super()._watch_selection(selection)
        else:
            if self.screen.selections:
                self.app.clear_selection()
            self.app.cursor_position = self.cursor_screen_offset

    def watch_value(self, old_value: str, value: str) -> None:
        """Tell the screen at once."""
        super().watch_value(old_value, value)
        if self.listener is not None:
            self.listener()

    def ghost(self, line: str) -> None:
        """Show how the line may go on: the rest of it, or all of it where taking it would rewrite what is typed.

        The sign of the key that takes it stands before it: by its ink alone it would pass for typed.
        """
        # Textual draws what stands in this attribute behind the value; its own suggester would come a frame later.
        rest = f"→{line[len(self.value) :]}" if line.startswith(self.value) else f"  → {line}"
        self._suggestion = one_line(self.value + rest) if line else ""

    @property
    def content_width(self) -> int:
        """The cells of the line, one more for the caret."""
        return cells(one_line(self.value)) + 1 if self.value else cells(self.placeholder)

    def render_lines(self, crop: Region) -> list[Strip]:
        """The line behind its lead: drawn in one piece, so that nothing is laid around it at every key."""
        shown = look_on(self.app)
        lead = [Segment(shown.drawn(self.lead), shown.style("strong"))] if self.lead else []
        return filtered(self, [Strip([*lead, *self.render_line(y)]) for y in crop.line_range])

    def render_line(self, y: int) -> Strip:
        """The line in its inks, behind it how it may go on; the caret a block in reverse."""
        shown, width, value = look_on(self.app), self.size.width, self.value
        if y:
            return Strip.blank(width, shown.styles["bg"])
        line = one_line(value) if value else self.placeholder
        inks = [shown.style("ink" if value else "quiet")] * len(line)
        for start, end, ink in self.inks if value else ():
            inks[start:end] = [shown.style(ink)] * len(inks[start:end])
        if self.has_focus:
            ahead = self._suggestion[len(value) :] if value else ""
            line = f"{line}{shown.drawn(ahead)} "  # the caret stands behind the last character at most
            inks += [shown.style("quiet")] * (len(ahead) + 1)
            selected = self.selection
            if not selected.is_empty:
                start, end = sorted(selected)
                inks[start:end] = [ink + _REVERSED for ink in inks[start:end]]
            inks[min(selected.end, len(inks) - 1)] += shown.styles["strong"] + _REVERSED
        strip = Strip(_runs(line, inks))
        if value and (left := self.scroll_offset.x):
            strip = strip.crop(left)
        return strip.adjust_cell_length(width, shown.styles["bg"])

    def _taken(self, *, word: bool) -> bool:
        if self.answerer is not None and self.cursor_at_end and self.selection.is_empty and not word:
            self.answerer()
            return True
        if not (self.cursor_at_end and self.selection.is_empty):
            return False
        if self._suggestion and self.taker is not None:
            self.taker(word)
            return True
        if self.proposer is not None and not word:
            self.proposer()
            return True
        return False

    def action_cursor_right(self, select: bool = False) -> None:
        """Take the answer or the completion shown where the cursor stands at the end; else move."""
        if select or not self._taken(word=False):
            super().action_cursor_right(select)

    def action_cursor_right_word(self, select: bool = False) -> None:
        """Take one word of the completion where the cursor stands at the end; else move."""
        if select or not self._taken(word=True):
            super().action_cursor_right_word(select)

    def _on_paste(self, event: events.Paste) -> None:
        text = event.text.replace("\r\n", "\n").replace("\r", "\n").strip("\n")
        event.stop()
        event.prevent_default()
        if "\n" in text:
            self.post_message(self.Pasted(f"{self.value}{text}"))
        elif text:
            self.insert_text_at_cursor(text)

    async def on_key(self, event: events.Key) -> None:
        """Take Enter at once, and let ``?`` on an empty line ask for help."""
        if event.key == "enter" and self.enter is not None:
            event.stop()
            event.prevent_default()
            self.enter()
            return
        if event.character == "?" and not self.value:
            event.stop()
            event.prevent_default()
            self.post_message(self.Asked())
        elif event.character == "/" and not self.value and self.finds:
            event.stop()
            event.prevent_default()


def _runs(text: str, inks: Sequence[Style]) -> Iterator[Segment]:
    """A text whose characters have inks of their own, in as few pieces as there are changes."""
    begin = 0
    for at in range(1, len(text) + 1):
        if at == len(text) or inks[at] is not inks[begin]:
            yield Segment(text[begin:at], inks[begin])
            begin = at
