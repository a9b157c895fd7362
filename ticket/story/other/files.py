"""Which languages there are. A language is files only: a catalogue, its terms, and the word list of the judge."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.job.errors import InputError
from ticket.story.other.terms import Terms
from ticket.story.other.terms import read as read_terms

if TYPE_CHECKING:
    from ticket.story.other.catalogue import Catalogue

ENGLISH = "en"
FOLDERS = [Path(__file__).parent.parent / "locale"]
"""Where languages are looked for, first match first; a shop or a test may put its own folder in front."""


@dataclass(frozen=True, eq=False)
class Language:
    """One language other than English.

    Attributes:
        code: its short name, such as ``es``.
        catalogue: sentence patterns.
        terms: words of the trade, and how they are put together.
    """

    code: str
    catalogue: "Catalogue"
    terms: Terms


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
    folder = next(folder for folder in FOLDERS if (folder / f"{code}.po").exists())
    return _load(folder, code)


@cache
def _load(folder: Path, code: str) -> Language:
    from ticket.story.other.catalogue import read

    return Language(code, read(folder / f"{code}.po"), read_terms(folder / f"{code}_terms.tsv"))
