"""Which languages there are. A language is files only: a catalogue, its words, and the word list of the judge."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from ticket.job.errors import InputError
from ticket.story.sections.catalogue import Catalogue, english, read
from ticket.story.sections.leaves import Leaves

ENGLISH = "en"
FOLDERS = [Path(__file__).parent.parent / "locale"]
"""Where languages are looked for, first match first; a shop or a test may put its own folder in front."""


@dataclass(frozen=True, eq=False)
class Language:
    """One language a story is told in.

    Attributes:
        code: its short name, such as ``es``.
        catalogue: sentence patterns.
        leaves: how it tells typed words and figures.
    """

    code: str
    catalogue: Catalogue
    leaves: Leaves


def languages() -> tuple[str, ...]:
    """English and every language with a catalogue."""
    found = {path.stem for folder in FOLDERS for path in folder.glob("*.po")}
    return (ENGLISH, *sorted(found - {ENGLISH}))


def known(code: str) -> str:
    """The code itself. Raises :class:`InputError` for a language without a catalogue."""
    if code not in languages():
        raise InputError(f"There is no story in {code!r}: choose one of {', '.join(languages())}.")
    return code


def load(code: str) -> Language:
    """The files of a language, read once. Raises :class:`InputError` for an unknown one."""
    known(code)
    if code == ENGLISH:
        return _english()
    folder = next(folder for folder in FOLDERS if (folder / f"{code}.po").exists())
    return _load(folder, code)


@cache
def _english() -> Language:
    catalogue = english()
    return Language(ENGLISH, catalogue, Leaves(ENGLISH, catalogue.locale))


@cache
def _load(folder: Path, code: str) -> Language:
    catalogue = read(folder / f"{code}.po")
    return Language(code, catalogue, Leaves(code, catalogue.locale))
