"""A paper as a PDF: tagged, with its fonts inside, the same bytes for the same ticket.

Typst sets it. Two standards are asked for: PDF/A-2a (ISO 19005-2) and PDF/UA-1 (ISO 14289-1); typst checks what it
can and refuses what breaks them, such as a character no font can show.
"""

import json
import unicodedata
from dataclasses import fields, is_dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from ticket.job.errors import InputError
from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.job.width import cells
from ticket.papers.sheet import Pictures, Sheet, Shown, Table
from ticket.store.file_modes import write_private

_LONGEST_WORD = 24  # letters that fit a column of a table; longer words may break anywhere
_PIECE = 6
_WORD = Regex(rf"[^\s\u00a0-]{{{_LONGEST_WORD + 1},}}")
_UNSHOWN = Regex(r'(?:the text|codepoint) `"(.+?)"`')
_ESCAPE = Regex(r"\\u\{([0-9a-f]+)\}")
_ROUNDS = 6
POINTS = "10.5"
_TEMPLATE = "copy.typ"
OWN_TEMPLATE: list[Path] = []
"""The template of a shop, which stands in for the one beside this module; empty for none."""
_WIDE = 26  # cells from which a column shares what room there is


def sheet_pdf(sheet: Sheet, points: str = POINTS) -> bytes:
    """A whole paper as a PDF.

    The fonts that come with typst are used alone, so that every machine makes the same bytes. Where a text holds
    characters they lack, the machine's own fonts may help for this paper; what no font has is shown by its number,
    such as ``[U+1F527]``. ``points`` is the size of the letters.

    Raises:
        InputError: there is no typst on this machine.
    """
    with TemporaryDirectory(prefix="ticket-paper-") as kept:  # typst takes pictures out of files only
        folder = Path(kept)
        template = OWN_TEMPLATE[0] if OWN_TEMPLATE else Path(__file__).with_name(_TEMPLATE)
        write_private(folder / _TEMPLATE, template.read_bytes())
        for block in sheet.blocks:
            for shown in (one for row in block.rows for one in row) if isinstance(block, Pictures) else ():
                write_private(folder / f"{shown.digest}.jpg", shown.content)
        data = json.dumps(_plain(sheet) | _names(sheet), ensure_ascii=False)
        return _made(data, int(sheet.at.timestamp()), folder, points)


def _names(sheet: Sheet) -> dict[str, str]:
    """What programs look for, without places where it may break; papers that name no shop stay as they were."""
    return {"record": sheet.record, "shop": sheet.shop} if sheet.shop else {}


def _made(data: str, at: int, folder: Path, points: str) -> bytes:
    made, lacking = _set(data, at, folder, points, own_fonts=True)
    for _ in range(_ROUNDS):
        if made is not None:
            return made
        made, lacking = _set(data, at, folder, points, own_fonts=False)
        data = _marked(data, lacking)
    bare = _marked(data, {char for char in data if ord(char) > 0xFF})
    return made or _set(bare, at, folder, points, own_fonts=True)[0] or b""


def _set(data: str, at: int, folder: Path, points: str, *, own_fonts: bool) -> tuple[bytes | None, set[str]]:
    """The PDF, or the characters for which there is no font."""
    try:
        import typst
    except ImportError:
        raise InputError("No PDF can be made here: typst is not installed. Write --as html and print that.") from None
    try:
        made = typst.compile(
            folder / _TEMPLATE, format="pdf", sys_inputs={"sheet": data, "points": points},
            pdf_standards=["a-2a", "ua-1"], timestamp=at,
            ignore_system_fonts=own_fonts, root=folder,
        )  # fmt: skip
    except typst.TypstError as error:
        told = _UNSHOWN.findall(str(getattr(error, "diagnostic", "") or error))
        lacking = {char for text in told for char in _ESCAPE.sub(lambda m: chr(int(m.group(1), 16)), text)}
        if not lacking and OWN_TEMPLATE:
            why = one_line(str(error)).rstrip(".")
            raise InputError(f"The shop's own template {OWN_TEMPLATE[0]} cannot be set: {why}.") from error
        if not lacking:
            raise
        return None, lacking
    return made, set()


def _marked(data: str, lacking: set[str]) -> str:
    """The data with the characters no font has as their numbers; JSON's own ASCII stays."""
    return data.translate({ord(char): f"[U+{ord(char):04X}]" for char in lacking if not char.isascii()})


def _plain(value: object) -> Any:
    """A block as JSON values: texts on one line that can be laid out, each block with the name of its class."""
    if isinstance(value, str):
        return _isolated(breakable(one_line(value)))
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, datetime | bytes):
        return None
    if is_dataclass(value):
        plain = {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
        plain["is"] = type(value).__name__.lower()
        if isinstance(value, Table):
            plain["wide"] = _wide(value)
        if isinstance(value, Shown):
            plain |= {"digest": value.digest, "alternative": one_line(value.alternative)}
        return plain
    return value


def _wide(table: Table) -> list[int]:
    """The columns that share the width left over by the others: those with long texts, else the first of words."""
    words = [i for i, column in enumerate(table.columns) if not column.figures]
    long = [i for i in words if any(cells(row[i]) > _WIDE for row in table.rows)]
    return long or words[:1]


def breakable(text: str) -> str:
    """A text in which a word too long for any line may break, at places that do not show (U+200B)."""
    return _WORD.sub(lambda match: "\u200b".join(_pieces(match.group())), text)


def _isolated(text: str) -> str:
    """A text whose direction leaves what stands beside it alone (Unicode Standard Annex 9, FSI and PDI)."""
    turns = not text.isascii() and any(unicodedata.bidirectional(char) in ("R", "AL") for char in text)
    return f"\u2068{text}\u2069" if turns else text


def _pieces(word: str) -> list[str]:
    """A word in short pieces; a combining mark stays with its letter."""
    pieces = [""]
    for char in word:
        if len(pieces[-1]) >= _PIECE and not unicodedata.category(char).startswith("M"):
            pieces.append("")
        pieces[-1] += char
    return pieces
