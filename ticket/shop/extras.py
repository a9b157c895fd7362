"""What a shop brings along without code, in a folder of its own: languages, rule packs, codes, a paper template.

The setting ``extras`` names the folder. Nothing in it replaces what comes with the program, but for the template of
printed papers; what cannot be used is told and left out. In the folder:

- ``fr.po``, ``labels_fr.tsv``, ``fr/lexicon.tsv``, ``fr/templates.tsv``: a language, all four of them;
- ``*.json`` with the format ``rule-pack-1``: local rules under a name of their own;
- ``codes.csv``: codes beside those of the program and behind those that were taken in;
- ``copy.typ``: the template of PDFs;
- ``phrasebook.po``: is only told, since nothing of it may be told before somebody has looked at it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from ticket.faults.table import load_csv
from ticket.job.errors import DataError, InputError
from ticket.job.json_places import uncommented
from ticket.job.text import one_line
from ticket.language import tables as words_of_languages
from ticket.machine import environment
from ticket.machine.input_files import SHORT, read_file
from ticket.papers import labels as words_of_papers
from ticket.papers import pdf
from ticket.rules.pack import packaged, read_pack
from ticket.shop.kept_settings import KeptSettings
from ticket.story.sections import files as catalogues

_PACK = "pack "
_FORMAT = '"rule-pack-1"'


@dataclass(slots=True)
class Extras:
    """What a folder holds: texts of rule packs and rows of codes, what was found in words, and what cannot be used."""

    packs: dict[str, str] = field(default_factory=dict)
    codes: tuple[tuple[str, ...], ...] = ()
    languages: tuple[str, ...] = ()
    template: Path | None = None
    found: list[str] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)


def with_extras(kept: KeptSettings) -> KeptSettings:
    """The settings as they are kept, with what the folder they name brings along."""
    folder = environment.named(kept.settings.extras) if kept.settings.extras else None
    extras = read_extras(folder) if folder else Extras()
    _look_in(folder if extras.languages else None, extras.template)
    if folder is None:
        return kept
    own = {row[0] for row in kept.codes}
    return replace(
        kept,
        codes=(*kept.codes, *(row for row in extras.codes if row[0] not in own)),
        documents={_PACK + name: text for name, text in extras.packs.items()} | dict(kept.documents),
        doubts=(*kept.doubts, *extras.doubts),
        extras=tuple(extras.found),
    )


def read_extras(folder: Path) -> Extras:
    """Everything of a folder that can be used."""
    extras = Extras()
    if not folder.is_dir():
        extras.doubts.append(f"the folder {folder} is not there: ticket shop extras FOLDER names another")
        return extras
    _languages(folder, extras)
    for file in sorted(folder.glob("*.json")):
        _pack(file, extras)
    for name, read in (("codes.csv", _codes), ("phrasebook.po", _phrasebook)):
        if (folder / name).is_file():
            read(folder / name, extras)
    if (folder / "copy.typ").is_file():
        extras.template = folder / "copy.typ"
        extras.found.append("paper template copy.typ")
    return extras


def _languages(folder: Path, extras: Extras) -> None:
    english = words_of_papers.labels("en").ids
    for file in sorted(folder.glob("*.po")):
        code = file.stem
        if not (len(code) == 2 and code.isascii() and code.isalpha()):
            continue
        lacking = [name for name in _files_of(code) if not (folder / name).is_file()]
        lacking = lacking or sorted(english - _ids(folder / f"labels_{code}.tsv"))[:3]
        if lacking:
            extras.doubts.append(f"the language {code} lacks {', '.join(lacking)} and is left out")
        else:
            extras.languages += (code,)
            extras.found.append(f"language {code}")


def _files_of(code: str) -> tuple[str, ...]:
    return (f"labels_{code}.tsv", f"{code}/lexicon.tsv", f"{code}/templates.tsv")


def _ids(file: Path) -> frozenset[str]:
    return frozenset(line.partition("\t")[0] for line in file.read_text(encoding="utf-8").splitlines())


def _pack(file: Path, extras: Extras) -> None:
    try:
        text = read_file(file, SHORT)
        if _FORMAT not in text:
            return
        pack = read_pack(text, file.name)
    except (InputError, DataError) as error:
        extras.doubts.append(f"{one_line(str(error)).rstrip('.')}; it is left out")
        return
    if pack.id in packaged():
        extras.doubts.append(f"{file.name}: the rules {pack.id!r} come with the program; give yours another name")
        return
    extras.packs[pack.id] = uncommented(text)
    extras.found.append(f"rules {pack.id}")


def _codes(file: Path, extras: Extras) -> None:
    try:
        rows = load_csv(read_file(file, SHORT))
    except (InputError, DataError) as error:
        extras.doubts.append(f"{file.name}: {one_line(str(error)).rstrip('.')}; its codes are left out")
        return
    extras.codes = tuple((row.code, row.plain, row.trade, row.area, row.source) for row in rows)
    extras.found.append(f"{len(rows)} codes")


def _phrasebook(file: Path, extras: Extras) -> None:
    extras.found.append(f"phrasebook: ticket phrases import {file} takes it in")


def _look_in(folder: Path | None, template: Path | None) -> None:
    """Let this process look for languages in the folder of its shop too, behind the program's own; or no longer."""
    places = (catalogues.FOLDERS, words_of_languages.FOLDERS, words_of_papers.FOLDERS)
    for folders in places:
        folders[:] = list(_behind(folders, folder))
    pdf.OWN_TEMPLATE[:] = [template] if template else []
    words_of_languages.languages.cache_clear()


_OURS: set[Path] = set()


def _behind(folders: list[Path], folder: Path | None) -> Iterator[Path]:
    """The folders without those of a shop that was open before, and the one of this shop last."""
    yield from (one for one in folders if one not in _OURS)
    if folder is not None:
        _OURS.add(folder)
        yield folder
