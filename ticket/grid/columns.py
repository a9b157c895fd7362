"""The declared grid: which columns the rows of a ticket have at each width of their pane. From 0, both ends in."""

from dataclasses import dataclass, replace
from functools import lru_cache

WIDEST = 96
"""At more cells a value would stand too far from its subject."""
NARROWEST = 48


@dataclass(frozen=True, slots=True)
class Column:
    """The first and the last cell of a column."""

    start: int
    end: int

    @property
    def width(self) -> int:
        """Its cells."""
        return self.end - self.start + 1

    def moved(self, cells: int) -> "Column":
        """The same column further right."""
        return Column(self.start + cells, self.end + cells)


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns of one width; column 0 is the pointer's, column 1 the sign's.

    Attributes:
        against: what a reading is held against; ``None`` where there is no room, and the pointed row says it instead.
        flag: the last column, of one quiet sign.
    """

    width: int
    value: Column
    unit: Column
    result: Column
    flag: int
    against: Column | None = None
    no: Column = Column(2, 4)
    kind: Column = Column(6, 10)

    @property
    def what(self) -> Column:
        """What it is about: all between the kind and the value."""
        return Column(12, self.value.start - 2)


_GRIDS = (
    Columns(60, Column(35, 41), Column(43, 46), Column(48, 56), 58),
    Columns(78, Column(39, 44), Column(46, 50), Column(66, 74), 76, Column(52, 63)),
    Columns(80, Column(41, 46), Column(48, 52), Column(68, 76), 78, Column(54, 65)),
    Columns(96, Column(57, 62), Column(64, 68), Column(84, 92), 94, Column(70, 81)),
)


@lru_cache(maxsize=64)
def columns_for(width: int) -> Columns:
    """The grid of a pane: widths between two declared ones give what they have more to what it is about."""
    width = max(NARROWEST, min(width, WIDEST))
    grid = next((one for one in reversed(_GRIDS) if one.width <= width), _GRIDS[0])
    more = width - grid.width
    return replace(
        grid,
        width=width,
        value=grid.value.moved(more),
        unit=grid.unit.moved(more),
        result=grid.result.moved(more),
        flag=grid.flag + more,
        against=grid.against.moved(more) if grid.against else None,
    )


def pane_of(page: int) -> int:
    """The cells of the entries' pane on a page that has a second one beside them."""
    return max(72, min(page - 42, WIDEST))
