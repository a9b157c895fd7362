"""The words of the papers by id: English in ``labels_en.tsv``; another language is another file of the same ids."""

from functools import cache
from pathlib import Path

from ticket.job.errors import InputError


class Labels:
    """The words of one language."""

    def __init__(self, language: str, texts: dict[str, str]) -> None:
        self.language = language
        self._texts = texts

    @property
    def ids(self) -> frozenset[str]:
        """Every id there is."""
        return frozenset(self._texts)

    def __call__(self, name: str, /, **slots: object) -> str:
        """The text of an id with its slots filled; raises ``KeyError`` for an id or a slot that is not there."""
        text = self._texts[name]
        return text.format_map(slots) if slots else text

    def raw(self, name: str) -> str:
        """The text of an id with its slots open."""
        return self._texts[name]

    def or_typed(self, group: str, word: str) -> str:
        """The word for one of a closed list, such as ``way`` and ``phone``; a word that is not listed stays."""
        return self._texts.get(f"{group}.{word}", word)


FOLDERS = [Path(__file__).parent]
"""Where the words of a language are looked for, first match first; those of a shop stand behind."""


@cache
def labels(language: str = "en") -> Labels:
    """The words of a language. Raises :class:`InputError` where no file holds it."""
    name = f"labels_{language}.tsv" if language.isalpha() else ""
    file = next((path for one in FOLDERS if name and (path := one / name).is_file()), None)
    if file is None:
        there = {path.stem.removeprefix("labels_") for one in FOLDERS for path in one.glob("labels_*.tsv")}
        known = ", ".join(sorted(there))
        raise InputError(f"The papers have no words in language {language!r}: choose one of {known}.")
    lines = [line for line in file.read_text(encoding="utf-8").split("\n") if line and not line.startswith("#")]
    return Labels(language, dict(line.split("\t", 1) for line in lines[1:]))
