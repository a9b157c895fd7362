"""Pictures of a shop: a file named in a line becomes a picture that is kept; one that is kept is shown."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.job.errors import InputError
from ticket.job.kinds import Fact
from ticket.job.picture import Picture, is_digest, is_name, picture_fields, pictures_in
from ticket.job.text import one_line

if TYPE_CHECKING:
    from ticket.shop.opening import Shop


def take(shop: "Shop", facts: Sequence[Fact]) -> tuple[list[Fact], list[Picture]]:
    """The facts with the digest of each picture in place of its file, and the pictures that are new.

    Nothing is written: the pictures are kept in the same transaction as their entries.

    Raises:
        InputError: no file, or none that can be kept.
        NotFoundError: the first digits of no picture of this shop.
    """
    held: dict[str, Picture] = {}
    taken: list[Fact] = []
    for fact in facts:
        digests = {name: _digest(shop, fact, getattr(fact, name), held) for name in picture_fields(type(fact))}
        taken.append(replace(fact, **digests) if digests else fact)
    return taken, list(held.values())


def _digest(shop: "Shop", fact: Fact, typed: str, held: dict[str, Picture]) -> str:
    if not typed.strip():
        raise InputError(f"Which file is the {fact.title}? It begins the line: {fact.example}")
    if is_digest(typed):
        return typed
    if is_name(typed):
        return shop.store.picture_named(typed)
    from ticket.machine.picture_file import picture_file

    picture = picture_file(path_of(shop, typed))
    held[picture.digest] = picture
    return picture.digest


def raw(fact: Fact, line: str) -> str:
    """What the journal keeps of a typed line: of a picture not, since it names a file of somebody's machine."""
    return "" if pictures_in(fact) else line


def no_file(shop: "Shop", fact: Fact, source: str) -> None:
    """Refuse a line of somebody else's file that names a file of this machine. Raises :class:`InputError`."""
    for typed in pictures_in(fact):
        if not is_name(typed):
            raise InputError(
                f"{source}: {fact.kind}: {one_line(typed)} names a file of this machine, and only who works at it may"
                " do that; nothing was loaded. Take the line out, and add the picture on the ticket."
            )
        shop.store.picture_named(typed)


def path_of(shop: "Shop", typed: str) -> Path:
    """The file that a typed name means: a whole path itself, else one of the folder of new pictures, else from here."""
    path = Path(typed).expanduser() if typed.startswith("~") else Path(typed)
    folder = shop.settings.photos
    if folder and not path.is_absolute():
        inside = Path(folder).expanduser() / path
        if inside.exists():
            return inside
    return path
