"""What counts of an archive: the parts that are named here, and nothing else. Replaced by a rename, under a lock."""

import fcntl
import json
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, field
from pathlib import Path

from ticket.job.errors import InputError, StoreError
from ticket.job.text import one_line
from ticket.machine.input_files import reason
from ticket.store.file_modes import make_file, make_folder, write_private

FORMAT = "archive-1"
_NAME = "MANIFEST"


@dataclass(frozen=True, slots=True)
class Part:
    """The records of one shop and one month.

    Attributes:
        shop: the shop's number in this archive.
        month: such as ``2026-03``.
        name: of the file below ``records``; it says what it holds, so the same records have the same name.
        count: how many tickets.
    """

    shop: int
    month: str
    name: str
    count: int


@dataclass(frozen=True, slots=True)
class Manifest:
    """An archive as it stands.

    Attributes:
        generation: rises with every change.
        shops: numbers of the shops by the random names of their files; given once.
        parts: by shop and month.
    """

    generation: int = 0
    shops: dict[str, int] = field(default_factory=dict)
    parts: dict[str, Part] = field(default_factory=dict)

    @property
    def count(self) -> int:
        """All tickets."""
        return sum(part.count for part in self.parts.values())


def key_of(shop: int, month: str) -> str:
    """The key of a part."""
    return f"{shop}/{month}"


def is_there(archive: Path) -> bool:
    """Whether something was gathered into a folder."""
    try:
        return (archive / _NAME).is_file()
    except (OSError, ValueError):  # no path, or none that may be looked at
        return False


def read(archive: Path) -> Manifest:
    """The manifest of an archive; an empty one where nothing was gathered yet.

    Raises:
        StoreError: it cannot be read, or a newer program wrote it.
    """
    try:
        found = json.loads((archive / _NAME).read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Manifest()
    except (OSError, ValueError) as error:
        raise StoreError(
            f"the manifest of {archive} cannot be read: gather again into a new folder ({error})"
        ) from None
    if found.get("format") != FORMAT:
        raise StoreError(f"{archive} was gathered by another version of this program: gather again into a new folder")
    parts = {key: Part(**part) for key, part in found["parts"].items()}
    return Manifest(found["generation"], found["shops"], parts)


def write(archive: Path, manifest: Manifest) -> None:
    """Put a manifest in place of the one that is there: wholly, or not at all."""
    text = json.dumps({"format": FORMAT} | asdict(manifest), indent=1)
    put_in_place(archive / _NAME, text.encode())


def put_in_place(target: Path, content: bytes) -> None:
    """Write aside, bring to the disk, rename."""
    aside = target.with_name(f"{target.name}.{os.getpid()}.tmp")
    write_private(aside, content)
    rename(aside, target)


def rename(aside: Path, target: Path) -> None:
    """Bring a finished file to the disk, rename it, and bring the folder there too."""
    with aside.open("rb") as made:
        os.fsync(made.fileno())
    aside.replace(target)
    folder = os.open(target.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)


@contextmanager
def locked(archive: Path) -> Iterator[None]:
    """One gathering at a time. Raises :class:`InputError` where another is at work, or no folder can be made."""
    path = archive / "LOCK"
    try:
        make_folder(archive)
        with suppress(FileExistsError):
            os.close(make_file(path))
    except (OSError, ValueError) as error:
        raise InputError(f"{one_line(str(archive))} can be no archive: {reason(error)}; name a folder.") from None
    with path.open("rb") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise InputError(f"Another gathering into {archive} is at work; nothing was done.") from None
        yield
