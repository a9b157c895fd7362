"""A page of very many lines: each line is made when it is first seen, so length costs nothing."""

from collections.abc import Callable, Sequence
from typing import overload

from textual.geometry import Size

from ticket.grid.rows import Row
from ticket.screens.page import Page

Key = int | str


class Lines(Sequence[Row]):
    """Rows made on demand: some that stand on top, then the same number of rows for each of many things.

    Args:
        head: rows that stand on top.
        keys: the key of each thing, in order; ``None`` for a blank between two groups of them.
        make: the rows of the thing at a place; always ``each`` of them.
        each: how many rows a thing has.
    """

    def __init__(
        self, head: Sequence[Row], keys: Sequence[Key | None] = (), make: Callable[[int], Sequence[Row]] | None = None,
        each: int = 1,
    ) -> None:  # fmt: skip
        self.head = tuple(head)
        things = [key for key in keys if key is not None]
        self.keys = [*dict.fromkeys(row.key for row in self.head if row.key is not None), *things]
        self.each = each
        self._make = make
        self._many = len(keys)
        self._thing = {key: i for i, key in enumerate(keys) if key is not None}
        self._blank = frozenset(i for i, key in enumerate(keys) if key is None)
        self._made: dict[int, Sequence[Row]] = {}
        self._place = {key: i for i, key in enumerate(self.keys)}

    def __len__(self) -> int:
        """Head and things together."""
        return len(self.head) + self._many * self.each

    @overload
    def __getitem__(self, index: int) -> Row: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Row]: ...
    def __getitem__(self, index: int | slice) -> Row | Sequence[Row]:
        """The row at a place."""
        if isinstance(index, slice):
            return [self[i] for i in range(*index.indices(len(self)))]
        if not 0 <= index < len(self):
            raise IndexError(index)
        if index < len(self.head) or self._make is None:
            return self.head[index]
        thing, line = divmod(index - len(self.head), self.each)
        if thing in self._blank:
            return Row()
        if thing not in self._made:
            self._made[thing] = self._make(thing)
        return self._made[thing][line]

    def place(self, key: Key | None) -> int | None:
        """Where a key stands among the keys."""
        return None if key is None else self._place.get(key)

    def lines(self, key: Key) -> range:
        """The rows of a key."""
        thing = self._thing.get(key)
        if thing is not None:
            start = len(self.head) + thing * self.each
            return range(start, start + self.each)
        mine = [i for i, row in enumerate(self.head) if row.key == key]
        return range(mine[0], mine[-1] + 1)

    def forget(self) -> None:
        """Make every row anew when it is seen next: what they tell has changed."""
        self._made.clear()


class LongPage(Page, inherit_css=True):
    """A page over :class:`Lines`; the cursor moves by keys without looking at every row."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's name
        super().__init__(id=id)
        self.many = Lines(())

    def show_lines(self, lines: Lines) -> None:
        """Draw other lines; the cursor stays on its key, else goes to the first."""
        self.many = lines
        self.rows = lines  # type: ignore[assignment]  # as a sequence it is all the page asks of a tuple
        if lines.place(self.key) is None:
            self.key = lines.keys[0] if lines.keys else None
        self.virtual_size = Size(max(self.size.width - 1, 1), len(lines))
        self.refresh()
        if self.key is not None:
            self.call_after_refresh(self.reveal)

    def fresh(self) -> None:
        """Draw the seen rows anew; nothing moves."""
        self.many.forget()
        self._seen = None
        self.refresh()

    @property
    def keys(self) -> list[Key]:
        """The keys in the order of their rows."""
        return self.many.keys

    def seen(self) -> list[Key]:
        """The keys whose rows stand on the screen now."""
        top = self.scroll_offset.y
        rows = self.many[top : top + max(self.size.height, 1)]
        return list(dict.fromkeys(row.key for row in rows if row.key is not None))

    def move(self, step: int) -> None:
        """Move the cursor by keys."""
        keys = self.keys
        if not keys:
            return
        here = self.many.place(self.key)
        self.choose(keys[0 if here is None else max(0, min(len(keys) - 1, here + step))])

    def turn(self, step: int) -> None:
        """Move the cursor by a screenful, up or down."""
        self.move(step * max(1, self.size.height // self.many.each - 1))

    def choose(self, key: Key | None) -> None:
        """Put the cursor on a key, or nowhere."""
        self.key = key if self.many.place(key) is not None else None
        self.refresh()
        if self.key is not None:
            self.reveal()
        self._tell(self.on_pointed)

    def reveal(self) -> None:
        """Scroll so that the rows of the cursor are seen; above the first thing the head is seen too."""
        if self.key is None or self.many.place(self.key) is None or self.size.height < 1:
            return
        lines = self.many.lines(self.key)
        top, height = self.scroll_offset.y, self.size.height
        if self.many.place(self.key) == 0:
            self.scroll_to(y=0 if lines[-1] < height else lines[0], animate=False, force=True)
        elif lines[0] < top:
            self.scroll_to(y=lines[0], animate=False, force=True)
        elif lines[-1] >= top + height:
            self.scroll_to(y=lines[-1] - height + 1, animate=False, force=True)
