"""What a paper is made of, whatever it is written as: blocks of plain values, no markup in any of them.

Every text here is as it stands in the ticket. Each form makes it literal in one place of its own.
"""

from dataclasses import dataclass
from datetime import datetime

from ticket.job.case import PAPER_SIZES


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence, the numbers of what it rests on (``8``, ``2107/12``, ``ticket``), and whose words it is in.

    ``note`` is empty for the program's own words; like the sources it is shown only where the paper is numbered.
    ``label`` is a word in front that says what the sentence is (``Why:``); the text goes on behind it.
    ``language`` names the language it is in where that is not the paper's.
    """

    text: str
    sources: tuple[str, ...] = ()
    note: str = ""
    label: str = ""
    language: str = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """The title of a part of the paper; ``level`` 1 for a part, 2 for a part of a part."""

    text: str
    level: int = 1


@dataclass(frozen=True, slots=True)
class Lead:
    """A line in front of a list, within a part of the paper: whose words follow, or what they are."""

    text: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Sentences that belong together."""

    sentences: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class Items:
    """A list; each item is a paragraph, or a list of labelled sentences where it has many of them."""

    items: tuple[tuple[Said, ...], ...]


@dataclass(frozen=True, slots=True)
class Measured:
    """One line of what was measured: its name, its value with the limits, the verdict; and the whole as a sentence."""

    name: str
    value: str
    verdict: str
    said: Said


@dataclass(frozen=True, slots=True)
class Measures:
    """What was measured, line by line, values and verdicts in columns."""

    rows: tuple[Measured, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """Names with their values, such as ``Plate``, ``SMC 022``."""

    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Column:
    """The head of a column; figures stand at its right edge."""

    title: str
    figures: bool = False


@dataclass(frozen=True, slots=True)
class Total:
    """A line below a table: its name, and what stands in the last columns; ``grand`` for the one that counts."""

    name: str
    cells: tuple[str, ...]
    grand: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under named columns, each row with a cell for every column."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    totals: tuple[Total, ...] = ()


@dataclass(frozen=True, slots=True)
class Shown:
    """A picture: its digest, its content (JPEG), its caption, and the line that stands where pictures cannot.

    The caption is also its text for those who cannot see it.
    """

    digest: str
    content: bytes
    said: Said
    line: Said

    @property
    def alternative(self) -> str:
        """What it shows, in words."""
        return f"{self.said.label} {self.said.text}".strip()


@dataclass(frozen=True, slots=True)
class Pictures:
    """Pictures in rows of one or of a pair, what was before at the left."""

    rows: tuple[tuple[Shown, ...], ...]

    @property
    def lines(self) -> Items:
        """The same as a list of lines."""
        return Items(tuple((one.line,) for row in self.rows for one in row))


@dataclass(frozen=True, slots=True)
class Notice:
    """Something the reader must not overlook."""

    text: str


@dataclass(frozen=True, slots=True)
class Signatures:
    """Lines to sign on, each with who signs."""

    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GroundLine:
    """Something sentences rest on: its number, when and by whom it was typed, and the line itself."""

    id: str
    about: str
    text: str


@dataclass(frozen=True, slots=True)
class Grounds:
    """What each sentence rests on, to be opened by who wants to see it."""

    title: str
    grounds: tuple[GroundLine, ...]


MANY_LABELS = 3
"""From so many labelled sentences on, each stands on a line of its own."""


def lines_of(item: tuple[Said, ...]) -> tuple[tuple[Said, ...], ...]:
    """The sentences of an item as they stand on lines: all on one, or each labelled one on its own."""
    if sum(bool(one.label) for one in item) < MANY_LABELS:
        return (item,)
    out: list[tuple[Said, ...]] = [()]
    for one in item:
        if one.label or (out[-1] and out[-1][-1].label):
            out.append((one,))
        else:
            out[-1] = (*out[-1], one)
    return tuple(line for line in out if line)


Block = Heading | Lead | Paragraph | Items | Measures | Facts | Table | Pictures | Notice | Signatures | Grounds


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A whole paper.

    Attributes:
        title: what it is, such as ``Ticket 12``.
        kind: whose copy it is; empty for a story alone.
        sender: who hands it out: the name first, then address and the like.
        at: the moment it stands for. It comes from the ticket, so that the same ticket gives the same bytes.
        language: of the labels, ``en``.
        size: one of ``PAPER_SIZES``.
        page: pattern with ``{page}`` and ``{pages}`` for the foot of a printed page.
        back: words in front of the places where something is told, in the list of what sentences rest on.
        foot: text at the foot of every page.
        record: the row of the journal that sealed it, as it is printed; empty where nothing is sealed.
        shop: the random name of the file whose journal holds that row: no reader sees it, ``ticket audit`` does.
        numbered: the numbers of what a sentence rests on are shown behind it.
    """

    title: str
    at: datetime
    blocks: tuple[Block, ...]
    kind: str = ""
    sender: tuple[str, ...] = ()
    language: str = "en"
    size: str = PAPER_SIZES[0]
    page: str = "{page} / {pages}"
    back: str = ""
    foot: str = ""
    record: str = ""
    shop: str = ""
    numbered: bool = False
