"""The data files of each language, read on first use. A language is a folder beside this module."""

from functools import cache
from pathlib import Path

_FOLDER = Path(__file__).parent


@cache
def languages() -> tuple[str, ...]:
    """Every language that has a folder with words."""
    return tuple(sorted(path.parent.name for path in _FOLDER.glob("*/lexicon.tsv")))


@cache
def rows(language: str, name: str) -> tuple[tuple[str, ...], ...]:
    """The cells of one file, remarks and heading left out, every row as wide as the heading."""
    lines = [
        line
        for line in (_FOLDER / language / f"{name}.tsv").read_text(encoding="utf-8").split("\n")
        if line and not line.startswith("#")
    ]
    width = lines[0].count("\t") + 1
    return tuple(tuple((line.split("\t") + [""] * width)[:width]) for line in lines[1:])
