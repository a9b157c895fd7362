"""The data files of each language, read on first use. A language is a folder beside this module, or one of a shop's."""

from functools import cache
from pathlib import Path

FOLDERS = [Path(__file__).parent]
"""Where the folders of languages are looked for, first match first; those of a shop stand behind."""


@cache
def languages() -> tuple[str, ...]:
    """Every language that has a folder with words."""
    return tuple(sorted({path.parent.name for folder in FOLDERS for path in folder.glob("*/lexicon.tsv")}))


@cache
def rows(language: str, name: str) -> tuple[tuple[str, ...], ...]:
    """The cells of one file, remarks and heading left out, every row as wide as the heading."""
    file = next((path for one in FOLDERS if (path := one / language / f"{name}.tsv").is_file()), None)
    text = (file or FOLDERS[0] / language / f"{name}.tsv").read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")]
    width = lines[0].count("\t") + 1
    return tuple(tuple((line.split("\t") + [""] * width)[:width]) for line in lines[1:])
