"""A page of rows drawn line by line: it never mounts a widget per line, so length does not matter."""

from collections.abc import Callable, Sequence
from typing import Self

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from ticket.grid.rows import Row, Span
from ticket.grid.signs import HERE
from ticket.job.width import cells
from ticket.screens.bare_ground import filtered
from ticket.screens.look import Look, look_on

_HEAD = 11
"""Cells of a pointed row that are reversed where no band can be drawn: pointer, sign, number and kind, at most."""


class Page(ScrollView, can_focus=False, inherit_css=False):
    """Rows with a cursor that moves over their keys.

    The first column is the cursor's: a pointer stands there, so that it shows without colour.
    """

    DEFAULT_CSS = """
    Page {
        height: 1fr; width: 1fr; layout: vertical; overflow: hidden auto; scrollbar-gutter: stable;
        scrollbar-size: 0 1; scrollbar-color: $scrollbar; scrollbar-background: $scrollbar-background;
        scrollbar-color-hover: $scrollbar-hover; scrollbar-background-hover: $scrollbar-background-hover;
        scrollbar-color-active: $scrollbar-active; scrollbar-background-active: $scrollbar-background-active;
    }
    """

    class Chosen(Message):
        """A row was clicked."""

        def __init__(self, page: "Page", key: int | str) -> None:
            super().__init__()
            self.page = page
            self.key = key

    def __init__(
        self,
        *,
        id: str | None = None,  # noqa: A002 - Textual's name
        pointer: bool = True,
        ground: str = "bg",
    ) -> None:
        super().__init__(id=id)
        self.pointer = pointer
        self.ground = ground
        self.scrolls = True
        self.first_ground = ground  # of the first row, where it differs from the others
        self.rows: tuple[Row, ...] = ()
        self.key: int | str | None = None
        self.on_scrolled: Callable[[], None] | None = None
        self.on_pointed: Callable[[], None] | None = None
        self._drawn: dict[int, tuple[tuple[object, ...], Strip]] = {}  # lines with what they were drawn of
        self._seen: tuple[Region, Look, list[Strip]] | None = None  # all of them, while nothing changes

    def show(self, rows: Sequence[Row], *, key: int | str | None = None, bottom: bool = False) -> None:
        """Draw other rows; keep the cursor where its key still exists.

        Args:
            rows: what to draw.
            key: put the cursor there.
            bottom: scroll to the last row.
        """
        before, self.rows = self.rows, tuple(rows)
        wanted = self.key if key is None else key
        self.key = wanted if wanted in self.keys else None
        if len(before) == len(self.rows) and self.key is None and wanted is None:
            for line, (old, new) in enumerate(zip(before, self.rows, strict=True)):
                if old != new:
                    self.refresh_lines(line)
        else:
            if self.scrolls:  # a new virtual size is a new layout of the whole screen
                self.virtual_size = Size(max(self.size.width - 1, 1), len(self.rows))
            self.refresh()
        if bottom and self.key is None:
            self.call_after_refresh(self.scroll_end, animate=False, force=True)
        elif self.key is not None:
            self.call_after_refresh(self.reveal)

    @property
    def keys(self) -> list[int | str]:
        """The keys in the order of their rows."""
        return list(dict.fromkeys(row.key for row in self.rows if row.key is not None))

    def move(self, step: int) -> None:
        """Move the cursor by keys; from nowhere up to the newest entry, or down to the first thing."""
        keys = self.keys
        if not keys:
            return
        if self.key is None:
            entries = [key for key in keys if isinstance(key, int)]
            self.key = keys[0] if step > 0 else max(entries) if entries else keys[-1]
        else:
            self.key = keys[max(0, min(len(keys) - 1, keys.index(self.key) + step))]
        self.refresh()
        self.reveal()
        self._tell(self.on_pointed)

    def turn(self, step: int) -> None:
        """A screenful up or down: the cursor goes along where there is one, so that it is never out of sight."""
        height = max(self.size.height - 1, 1)
        at = next((y for y, row in enumerate(self.rows) if row.key is not None and row.key == self.key), None)
        if at is None:
            self.scroll_relative(y=step * height, animate=False, force=True)
            return
        wanted = max(0, min(len(self.rows) - 1, at + step * height))
        rows = self.rows[: wanted + 1] if step > 0 else self.rows[wanted:]
        keys = [row.key for row in rows if row.key is not None]
        if keys and keys[-1 if step > 0 else 0] != self.key:
            self.choose(keys[-1 if step > 0 else 0])
        else:  # one thing taller than the screen
            self.scroll_relative(y=step * height, animate=False, force=True)

    def to_end(self, *, last: bool) -> None:
        """The cursor on the first or the last key; without keys only the page moves."""
        keys = self.keys
        if keys:
            self.choose(keys[-1 if last else 0])
        self.scroll_to(y=len(self.rows) if last else 0, animate=False, force=True)

    def choose(self, key: int | str | None) -> None:
        """Put the cursor on a key, or nowhere."""
        self.key = key if key in self.keys else None
        self.refresh()
        if self.key is not None:
            self.reveal()
        self._tell(self.on_pointed)

    @staticmethod
    def _tell(listener: Callable[[], None] | None) -> None:
        if listener is not None:
            listener()

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Tell whoever says what is out of sight."""
        super().watch_scroll_y(old_value, new_value)
        self._tell(self.on_scrolled)

    def out_of_sight(self) -> tuple[int, int]:
        """How many entries stand wholly above what is seen, and how many below."""
        top, end = self.scroll_offset.y, self.scroll_offset.y + self.size.height
        seen = {row.key for row in self.rows[top:end]}
        parts = (self.rows[:top], self.rows[end:])
        above, below = ({row.key for row in rows if isinstance(row.key, int)} for rows in parts)
        return len(above - seen), len(below - seen)

    def settle(self) -> None:
        """Scroll so that the pointer stands in the middle, with as much behind it as there is."""
        at = next((y for y, row in enumerate(self.rows) if row.key is not None and row.key == self.key), 0)
        top = max(min(at - self.size.height // 2, len(self.rows) - self.size.height), 0)
        self.scroll_to(y=top, animate=False, force=True)
        self._tell(self.on_scrolled)

    def reveal(self) -> None:
        """Scroll so that the rows of the cursor are seen."""
        lines = [y for y, row in enumerate(self.rows) if row.key is not None and row.key == self.key]
        if not lines or self.size.height < 1:
            return
        top, height = self.scroll_offset.y, self.size.height
        if lines[0] < top or len(lines) > height:
            above = self.rows[lines[0] - 1] if lines[0] and len(lines) < height else Row()
            headed = above.key is None and bool(above.text.strip())  # the heading over them stays in sight
            self.scroll_to(y=lines[0] - headed, animate=False, force=True)
        elif lines[-1] >= top + height:
            self.scroll_to(y=lines[-1] - height + 1, animate=False, force=True)

    def reveal_too(self, key: int | str) -> None:
        """Scroll up to what stands above the cursor and belongs to it, where both have room."""
        lines = [y for y, row in enumerate(self.rows) if row.key in (key, self.key)]
        if lines and lines[0] < self.scroll_offset.y and lines[-1] - lines[0] < self.size.height:
            self.scroll_to(y=lines[0], animate=False, force=True)

    def render_lines(self, crop: Region) -> list[Strip]:
        """The lines that are seen, each drawn again only where its row, the pointer or the width is another one."""
        shown = look_on(self.app)
        if self._seen is not None and self._seen[0] == crop and self._seen[1] is shown:
            return self._seen[2]  # nothing called for a refresh since
        size = self.size
        if (crop.x, crop.y) != (0, 0) or crop.size != size:
            return super().render_lines(crop)  # there is a border, a bar or an edge: Textual knows how
        top = self.scroll_offset.y
        self._seen = crop, shown, [self._line(shown, size.width, y, top + y) for y in crop.line_range]
        return self._seen[2]

    def refresh(self, *regions: Region, repaint: bool = True, layout: bool = False, recompose: bool = False) -> Self:
        """Draw anew what has changed: from now on no line is taken from what was drawn before."""
        self._seen = None
        return super().refresh(*regions, repaint=repaint, layout=layout, recompose=recompose)

    def _line(self, shown: Look, width: int, y: int, index: int) -> Strip:
        row = self.rows[index] if index < len(self.rows) else None
        of = (row, self._place(index), index == 0, width, shown)
        before = self._drawn.get(y)
        if before is not None and before[0][0] is row and before[0][1:4] == of[1:4] and before[0][4] is shown:
            return before[1]
        strip = filtered(self, [self.render_line(y)])[0]
        self._drawn[y] = (of, strip)
        return strip

    def _place(self, index: int) -> tuple[bool, bool]:
        """Whether the pointer stands on a row, and whether that is the first one of its thing."""
        if self.key is None or index >= len(self.rows) or self.rows[index].key != self.key:
            return False, False
        return True, index == 0 or self.rows[index - 1].key != self.key

    def render_line(self, y: int) -> Strip:
        """One line of the visible part."""
        shown, width = look_on(self.app), self.size.width
        index = y + self.scroll_offset.y
        if index >= len(self.rows):
            return Strip.blank(width, shown.styles[self.ground])
        row = self.rows[index]
        here, first = self._place(index)
        ground = "here" if here else self.ground if index else self.first_ground
        spans = row.here if here and row.here else row.spans
        pointer = Span(HERE if first else " ", "strong")
        segments = [
            Segment(shown.drawn(span.text), shown.style(span.style, ground))
            for span in ((pointer, *spans) if self.pointer else spans)
        ]
        if first and not shown.banded:
            segments = _head_reversed(segments)
        return Strip(segments).adjust_cell_length(width, shown.styles[ground])

    def on_click(self, event: "object") -> None:
        """Put the cursor on the row under the mouse."""
        line = int(getattr(event, "y", 0)) + self.scroll_offset.y
        if 0 <= line < len(self.rows) and (key := self.rows[line].key) is not None:
            self.choose(key)
            self.post_message(self.Chosen(self, key))


def _head_reversed(segments: list[Segment]) -> list[Segment]:
    """The first cells of a row reversed, the rest as it was: a row wholly reversed would hide bold and underlines."""
    made: list[Segment] = []
    left = _head_of(segments)
    for segment in segments:
        head, tail = segment.split_cells(min(left, segment.cell_length)) if left else (Segment(""), segment)
        left -= head.cell_length
        made += [Segment(head.text, (head.style or Style()) + Style(reverse=True))] if head.text else []
        made += [tail] if tail.text else []
    return made


def _head_of(segments: Sequence[Segment]) -> int:
    """The cells of a row's head: never half of a name, so up to the one that begins in it, or behind its word."""
    start = 0
    for segment in segments:
        end = start + segment.cell_length
        if end >= _HEAD and segment.text.strip():
            if end == _HEAD or start > 1:
                return max(start, 2) if end > _HEAD else end
            return start + cells(segment.text) - cells(segment.text[_HEAD - start :].partition(" ")[2])
        start = end
    return _HEAD
