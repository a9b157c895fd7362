"""A field that two people changed, side by side. Pure: clashes in, rows out."""

from collections.abc import Sequence
from itertools import zip_longest

from rich.cells import cell_len

from ticket.assist.merging import Clash
from ticket.grid.rows import Row, Span, row, wrap

MINE, THEIRS, LINE = "mine", "theirs", "line"
_STACKED = 48  # below so many columns the three stand under each other


def conflict_rows(why: str, clashes: Sequence[Clash], width: int, *, retype: bool) -> list[Row]:
    """What happened, each clash with before, yours and theirs, and what can be done.

    Args:
        why: who changed it, when.
        clashes: the fields.
        width: cells.
        retype: whether the typed line can be taken back to be changed.
    """
    width = max(width, 20)
    rows = [*wrap([Span(why)], width), Row()]
    for clash in clashes:
        rows.append(row(clash.name, "strong"))
        sides = (("before", clash.before), ("yours", clash.mine), ("theirs", clash.theirs))
        rows += _stacked(sides, width) if width < _STACKED else _abreast(sides, width)
        rows.append(Row())
    choices = [(MINE, "Write yours; theirs stays in the journal."), (THEIRS, "Keep theirs; yours is dropped.")]
    choices += [(LINE, "Go back to your line and change it; theirs stays for now.")] if retype else []
    for key, text in choices:
        rows += wrap([Span(text)], width, rest="  ", key=key)
    return rows


def _stacked(sides: Sequence[tuple[str, str]], width: int) -> list[Row]:
    return [made for name, text in sides for made in wrap([Span(f"{name}: ", "quiet"), Span(text or "nothing")], width)]


def _abreast(sides: Sequence[tuple[str, str]], width: int) -> list[Row]:
    """The three beside each other, each wrapped in its own third."""
    third = (width - 4) // 3
    blocks = [
        [name, *(made.text for made in wrap([Span(text or "nothing")], third))] for name, text in sides
    ]  # fmt: skip
    return [
        Row(
            (
                Span(
                    "  ".join(text + " " * (third - cell_len(text)) for text in line).rstrip(),
                    "ink" if i else "quiet",
                ),
            )
        )
        for i, line in enumerate(zip_longest(*blocks, fillvalue=""))
    ]
